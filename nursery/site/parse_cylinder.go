package site

import (
	"fmt"
	"math"
	"slices"

	"example.org/coldnight/measure"
)

const (
	outdoors   = "outdoors"
	inTheHouse = "in the house"

	poundKg = 0.45359237

	// fullBy is how far above its full weight a cylinder may be written: 9 kg and 20 lb are the same cylinder.
	fullBy = 1.02
)

// usualTareKg returns what an empty cylinder of that size weighs [kg], 0 where it is not known: 18 lb for 20 lb, 24 lb for 30 lb
// (trade facts).
func usualTareKg(holdsKg float64) float64 {
	for _, c := range [][2]float64{{20, 18}, {30, 24}} {
		if math.Abs(holdsKg/(c[0]*poundKg)-1) < 0.02 {
			return c[1] * poundKg
		}
	}
	return 0
}

func (r *reader) readCylinders() {
	r.unlike("cylinder", len(r.root.Cylinder), func(i int) value { return r.root.Cylinder[i].Name })
	fedBy := map[string]int{} // heater -> line of its cylinder
	for i := range r.root.Cylinder {
		r.site.Cylinders = append(r.site.Cylinders, r.cylinders(&r.root.Cylinder[i], fedBy))
	}
	for i := range r.site.Heaters {
		h, f := &r.site.Heaters[i], &r.root.Heater[i]
		fu, known := fuelOf(h.Fuel)
		switch {
		case fedBy[plain(h.Name)] > 0 || !known || !fu.bottled():
		case h.Kind == TankTop:
			r.complain(f.At, h.called()+" sits on a cylinder and there is none that feeds it", "add [[cylinder]] with holds = \"20 lb\" and feeds = ["+quoted(h.Name)+"]")
		default:
			r.assume(h.where(), "fuel", "as much as it wants", "no [[cylinder]] feeds it: taken to hang on a large tank or a pipe that does not run dry", f.At)
		}
	}
}

func (r *reader) cylinders(f *fileCylinder, fedBy map[string]int) Cylinders {
	c := Cylinders{Name: f.Name.Text, Fuel: f.Fuel.Text, Count: 1, Spare: int(f.Spare.Num), CanBuy: f.CanBuy.Flag, Line: r.line(f.At.Off)}
	if f.Count.Set {
		c.Count = int(f.Count.Num)
	}
	c.Together = f.Together.Flag && c.Count > 1
	fed := r.fed(f, &c, fedBy)
	fu, ok := r.cylinderFuel(f, &c, fed)
	r.drawn(f, &c, fed)
	r.stands(f, &c, fed)
	if !ok || !f.Holds.Set {
		return c
	}
	c.HoldsKg = fu.kg(f.Holds)
	if c.HoldsKg < 0.2 || c.HoldsKg > 5000 {
		hint := "a cylinder or tank holds 0.2 kg (0.44 lb) to 5000 kg (11000 lb)"
		if g := guess(f.Holds.Text, fu.reads, func(kg float64) bool { return kg >= 0.2 && kg <= 5000 }, measure.Pound, measure.Kilogram, measure.Gallon, measure.Litre); g != "" {
			hint = "did you mean " + quote(g) + "? " + hint
		}
		r.complain(f.Holds.At, "holds "+quote(f.Holds.Text)+" is not believable", hint)
		return c
	}
	if !r.byLitre("holds", f.Holds.At, f.Holds, &c, fu) {
		c.HoldsKg = 0
		return c
	}
	if f.Empty.Set {
		c.TareKg = f.Empty.Num
	}
	r.left(f, &c, fu, fed)
	return c
}

func (c *Cylinders) called() string {
	if c.Name == "" {
		return "this cylinder"
	}
	return c.Name
}

func (c *Cylinders) where() string { return "cylinder " + c.called() }

// fed finds the heaters that the cylinders feed. Each is fed by one set only.
func (r *reader) fed(f *fileCylinder, c *Cylinders, fedBy map[string]int) (fed []*Heater) {
	var known []string
	for i := range r.site.Heaters {
		known = append(known, r.site.Heaters[i].Name)
	}
	for _, n := range f.Feeds.List {
		n, ok := r.refer("heater", f.Feeds.At, n, known)
		if !ok {
			continue
		}
		h := &r.site.Heaters[slices.Index(known, n)]
		switch line := fedBy[plain(n)]; {
		case line == c.Line:
			r.complain(f.Feeds.At, quote(n)+" stands twice in feeds", "name it once")
			continue
		case line > 0:
			r.complain(f.Feeds.At, fmt.Sprintf("%s is fed by the cylinder in line %d already", n, line), "put all its cylinders in one [[cylinder]] with count, or give each heater its own")
			continue
		}
		if h.Kind != "" && !h.Burns() {
			r.complain(f.Feeds.At, n+" is a heater of kind "+quote(string(h.Kind))+" and burns nothing", "take it out of feeds")
			continue
		}
		fedBy[plain(n)] = c.Line
		c.Feeds, fed = append(c.Feeds, n), append(fed, h)
	}
	return fed
}

func (r *reader) cylinderFuel(f *fileCylinder, c *Cylinders, fed []*Heater) (fuel, bool) {
	for _, h := range fed {
		switch {
		case h.Fuel == "":
		case f.Fuel.open() && c.Fuel == "":
			c.Fuel = h.Fuel
		case c.Fuel != "" && h.Fuel != c.Fuel:
			r.complain(f.Feeds.At, h.called()+" burns "+h.Fuel+" and "+c.called()+" holds "+c.Fuel, "a cylinder feeds only what burns its fuel")
			return fuel{}, false
		}
	}
	fu, ok := fuelOf(c.Fuel)
	switch {
	case c.Fuel == "":
		return fu, false
	case !ok || !fu.bottled():
		at := f.Fuel.At
		if at == (span{}) {
			at = f.At
		}
		r.complain(at, c.Fuel+" does not come in cylinders", "a heater that burns it needs no [[cylinder]]; cylinders hold propane, butane or kerosene")
		return fu, false
	}
	return fu, true
}

// drawn settles whether several cylinders give gas at once.
func (r *reader) drawn(f *fileCylinder, c *Cylinders, fed []*Heater) {
	heads, all := 0, true
	for _, h := range fed {
		if h.Kind == TankTop {
			heads += h.Count
		} else {
			all = false
		}
	}
	switch {
	case heads > 0 && !all:
		r.complain(f.Feeds.At, "a tank-top burner sits on its cylinder and shares it with no other heater", "give the others a [[cylinder]] of their own")
	case heads > 0 && heads != c.Count && f.Count.Sort != bad:
		r.complain(f.Feeds.At, fmt.Sprintf("%s for %s: each sits on its own", many(c.Count, "cylinder"), many(heads, "tank-top burner")),
			fmt.Sprintf("write count = %d here, and full ones that wait as spare", heads))
	case heads > 1 && f.Together.Set && !f.Together.Flag:
		r.complain(f.Together.At, "together = false is given and every tank-top burner draws on its own cylinder", "take together out")
	case heads > 1:
		c.Together = true
	case c.Count > 1 && f.Together.open():
		r.assume(c.where(), "together", "false", "not given; one is drawn on after the other, so each must give the whole flow alone", f.At)
	}
}

// stands settles where they stand. Codes mostly keep gas cylinders out of buildings; that is said wherever the file has one in.
func (r *reader) stands(f *fileCylinder, c *Cylinders, fed []*Heater) {
	c.Indoors = f.Stands.Text == inTheHouse
	for _, h := range fed {
		s := r.site.Space(h.Space)
		if s == nil || s.House == nil || h.Kind != TankTop && h.Kind != Kerosene {
			continue
		}
		if f.Stands.open() {
			c.Indoors = true
		} else if f.Stands.Set && !c.Indoors && h.Kind == TankTop {
			r.complain(f.Stands.At, h.called()+" sits on this cylinder and stands in "+h.Space+", which is a house", "write stands = "+quoted(inTheHouse)+", or take it out of the house")
			return
		}
	}
	switch {
	case !c.Indoors:
	case c.Fuel == "kerosene":
		if f.Stands.open() {
			r.assume(c.where(), "stands", inTheHouse, "not given; the tank of a kerosene heater is taken to be in it", f.At)
		}
	default:
		r.assume(c.where(), "stands", inTheHouse, "codes mostly forbid gas cylinders inside a building, and a leak there collects on the floor: ask your gas supplier or fire department", f.At)
	}
}
