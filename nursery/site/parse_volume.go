package site

import (
	"math"
	"slices"

	"example.org/coldnight/measure"
)

// tankKg is what the smallest tank holds that is spoken of by its litres [kg]: what holds less and gives gas is filled, sold and
// weighed by weight. Judgement; 120 l of propane.
const tankKg = 61

// usualPounds are the sizes of cylinders as the North American trade names them [lb] (from memory).
func usualPounds() []float64 { return []float64{5, 10, 11, 20, 30, 33.5, 40, 60, 100} }

// byLitre refuses litres of a gas that is sold by weight: "20 L" is mostly the 20-lb cylinder, and read as liquid it would hold
// 12 % more. It says what was probably meant, and what to write where it is litres after all. Gallons are how fuel is delivered: they are
// converted, and that is listed. It reports whether the value can be used.
func (r *reader) byLitre(key string, at span, v value, c *Cylinders, fu fuel) bool {
	if v.Sort != byVolume || !fu.Vapour || v.Num == 0 {
		return true
	}
	kg := fu.kg(v)
	says := v.Text + " of liquid " + c.Fuel + " weighs " + sayMass(kg) + ", at " + short(fu.LiquidKgM3) + " kg/m3"
	if gallons(v) || kg >= tankKg && key == "holds" || c.HoldsKg >= tankKg {
		r.assume(c.where(), key, sayMass(kg), says+"; write it by weight if that is what the number means", at)
		return true
	}
	pound, metric := []measure.Unit{measure.Pound, measure.Kilogram}, []measure.Unit{measure.Kilogram, measure.Pound}
	units := metric
	if n, _ := leading(v.Text); slices.Contains(usualPounds(), n) {
		units = pound
	}
	fits := func(x float64) bool { return x > 0 && x <= tankKg }
	if key == "left" {
		units = pound
		fits = func(x float64) bool { return x > 0 && x <= c.HoldsKg*fullBy }
	}
	hint := "write its weight"
	if g := guess(v.Text, reads[measure.Mass], fits, units...); g != "" {
		hint = "did you mean " + quote(g) + "?"
	}
	r.complain(at, key+" "+quote(v.Text)+" is in litres, and "+c.Fuel+" is filled and sold by weight",
		hint+" "+says+": write "+key+" = "+quoted(short(kg)+" kg")+" if it is litres")
	return false
}

// gallons tells whether a volume was given in gallons or quarts.
func gallons(v value) bool {
	n, _ := leading(v.Text)
	for _, u := range []measure.Unit{measure.Gallon, measure.ImpGal, measure.Quart} {
		if one, err := reads[measure.Volume]("1 " + string(u)); err == nil && math.Abs(v.Num-n*one) <= 1e-9*v.Num {
			return true
		}
	}
	return false
}
