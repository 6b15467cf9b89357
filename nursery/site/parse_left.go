package site

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/coldnight/measure"
)

// left works out what is in each cylinder, in the one way that the file gives it.
func (r *reader) left(f *fileCylinder, c *Cylinders, fu fuel, fed []*Heater) {
	ways := 0
	for _, v := range []value{f.Left, f.Weight, f.Burned} {
		if v.Set {
			ways++
		}
		if v.Sort == bad {
			return
		}
	}
	switch {
	case ways > 1:
		at := f.Burned.At
		if !f.Burned.Set {
			at = f.Weight.At
		}
		r.complain(at, "what is left is given in more than one way", "keep one of left, weight and burned; the scale knows best")
		return
	case f.LeftFrom.Set && !f.Left.Set && f.LeftFrom.Text != TakenFull:
		r.complain(f.LeftFrom.At, "left_from is given without left", "add left = \"60 %\", or take left_from out")
		return
	case f.Left.Set:
		r.leftWritten(f, c, fu)
	case f.Weight.Set:
		r.leftByWeight(f, c)
	case f.Burned.Set:
		r.leftByHours(f, c, fu, fed)
	default:
		c.LeftFrom, c.LeftKg = TakenFull, slices.Repeat([]float64{c.HoldsKg}, c.Count)
		r.assume(c.where(), "left", "full", "not given; weigh them: exchanged cylinders are often sold filled to about three quarters (common practice, no source)", f.At)
	}
	if len(c.LeftKg) == c.Count {
		c.LeftSpreadKg = c.spread()
	}
}

// spread returns how far off what is left may be, for each cylinder [kg]; judgement.
func (c *Cylinders) spread() float64 {
	switch c.LeftFrom {
	case FromWeight:
		return 0.2
	case FromGauge:
		return 0.15 * c.HoldsKg
	case FromHours:
		return 0.1 * (c.HoldsKg - slices.Min(c.LeftKg))
	case TakenFull:
		return 0.2 * c.HoldsKg
	}
	return 0.05 * c.HoldsKg // as written
}

// each gives one value for every cylinder: one for all, or a list.
func (r *reader) each(key string, v value, c *Cylinders) []value {
	switch len(v.Each) {
	case c.Count:
		return v.Each
	case 1:
		return slices.Repeat(v.Each, c.Count)
	}
	r.complain(v.At, fmt.Sprintf("%s has %s and count is %d", key, many(len(v.Each), "value"), c.Count), "give one for each connected cylinder, or one that holds for all")
	return nil
}

func (r *reader) leftWritten(f *fileCylinder, c *Cylinders, fu fuel) {
	c.LeftFrom = AsWritten
	for _, v := range r.each("left", f.Left, c) {
		kg := fu.kg(v)
		if v.Sort == byShare {
			kg, c.LeftFrom = v.Num*c.HoldsKg, FromGauge
		}
		if kg > c.HoldsKg*fullBy || v.Sort == byShare && v.Num > 1 {
			r.complain(f.Left.At, "left "+quote(v.Text)+" is more than a full one holds, which is "+sayMass(c.HoldsKg), r.guessLeft(f, c, fu, v, kg))
			c.LeftKg = nil
			return
		}
		if !r.byLitre("left", f.Left.At, v, c, fu) {
			c.LeftKg = nil
			return
		}
		c.LeftKg = append(c.LeftKg, math.Min(kg, c.HoldsKg))
	}
	if f.LeftFrom.Set {
		c.LeftFrom = f.LeftFrom.Text
	}
}

// guessLeft says what was probably meant by more fuel than the cylinder holds: the wrong unit where that makes it just full, the
// weight with the cylinder, a size given in the wrong unit, or any unit that fits.
func (r *reader) guessLeft(f *fileCylinder, c *Cylinders, fu fuel, v value, kg float64) string {
	if v.Sort == byShare {
		return "a full one is 100 %"
	}
	units := []measure.Unit{measure.Pound, measure.Kilogram, measure.Litre, measure.Gallon}
	full := func(x float64) bool { return math.Abs(x/c.HoldsKg-1) < 0.03 }
	if g := guess(v.Text, fu.reads, full, units...); g != "" {
		return "did you mean " + quote(g) + "? that would be full"
	}
	tare := c.TareKg
	if tare == 0 {
		tare = usualTareKg(c.HoldsKg)
	}
	if tare > 0 && kg >= tare && kg-tare <= c.HoldsKg*fullBy {
		return "is that its weight with the cylinder? an empty one weighs " + sayMass(tare) + ": write weight = " + quoted(v.Text)
	}
	holds := func(x float64) bool { return kg <= x*fullBy && kg >= 0.5*x }
	if g := guess(f.Holds.Text, fu.reads, holds, measure.Gallon, measure.Kilogram, measure.Pound); g != "" {
		return "did you mean holds = " + quoted(g) + "?"
	}
	if g := guess(v.Text, fu.reads, func(x float64) bool { return x > 0 && x <= c.HoldsKg }, units...); g != "" {
		return "did you mean " + quote(g) + "?"
	}
	return "check left and holds"
}

func (r *reader) leftByWeight(f *fileCylinder, c *Cylinders) {
	c.LeftFrom = FromWeight
	if f.Empty.Sort == bad {
		return
	}
	if c.TareKg == 0 {
		if c.TareKg = usualTareKg(c.HoldsKg); c.TareKg == 0 {
			r.complain(f.Weight.At, "weight is given without empty", "add empty = \"18 lb\", what an empty one weighs: it is stamped on the collar after TW")
			return
		}
		r.assume(c.where(), "empty", sayMass(c.TareKg), "not given; usual for this size, yours has it stamped on the collar after TW", f.At)
	}
	for _, v := range r.each("weight", f.Weight, c) {
		kg := v.Num - c.TareKg
		fits := func(x float64) bool { return x >= c.TareKg && x-c.TareKg <= c.HoldsKg*fullBy }
		if kg >= -0.01*c.TareKg && kg <= c.HoldsKg*fullBy {
			c.LeftKg = append(c.LeftKg, math.Min(math.Max(kg, 0), c.HoldsKg))
			continue
		}
		text := "weight " + quote(v.Text) + " is more than a full one weighs, which is " + sayMass(c.TareKg+c.HoldsKg)
		hint := "check weight, empty and holds"
		if kg < 0 {
			text = "weight " + quote(v.Text) + " is less than an empty one weighs, which is " + sayMass(c.TareKg)
			hint = "is that the fuel alone? write left = " + quoted(v.Text)
		}
		if g := guess(v.Text, reads[measure.Mass], fits, measure.Pound, measure.Kilogram); g != "" {
			hint = strings.TrimPrefix(hint+", or did you mean "+quote(g)+"?", "check weight, empty and holds, or ")
		}
		r.complain(f.Weight.At, text, hint)
		c.LeftKg = nil
		return
	}
}

func (r *reader) leftByHours(f *fileCylinder, c *Cylinders, fu fuel, fed []*Heater) {
	c.LeftFrom = FromHours
	w := 0.0
	for _, h := range fed {
		w += h.InputW * float64(h.Count)
	}
	if w == 0 {
		return // what is wrong with the heaters has been said
	}
	burned := f.Burned.Num * 3600 * w / fu.HHV
	all := c.HoldsKg * float64(c.Count)
	if burned > all*1.001 {
		r.complain(f.Burned.At, fmt.Sprintf("burned %s at %s would take %s and the full ones held %s", quote(f.Burned.Text), sayInput(w), sayMass(burned), sayMass(all)),
			"count from when they were last full, and only the hours of flame at full input")
		return
	}
	for range c.Count {
		gone := math.Min(burned, c.HoldsKg)
		if c.Together {
			gone = math.Min(burned/float64(c.Count), c.HoldsKg)
		} else {
			burned -= gone
		}
		c.LeftKg = append(c.LeftKg, c.HoldsKg-gone)
	}
}

// reads reads an amount of this fuel [kg].
func (f fuel) reads(s string) (float64, error) {
	v, err := fill(value{Text: s})
	return f.kg(v), err
}
