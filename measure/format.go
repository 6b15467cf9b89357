package measure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Units is the choice of a site: which units people read and write there.
type Units uint8

// The two choices. SI is the zero value.
const (
	SI        Units = iota // °C, m, kg, kW
	Customary              // °F, ft, lb, BTU/h
)

// ParseUnits reads a site's choice.
func ParseUnits(s string) (Units, error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "si", "metric":
		return SI, nil
	case "customary", "us", "imperial":
		return Customary, nil
	}
	return SI, fmt.Errorf("units %q are not known: write \"customary\" (°F, ft, lb) or \"si\" (°C, m, kg)", clip(s))
}

// String is the word that [ParseUnits] reads.
func (u Units) String() string {
	if u == Customary {
		return "customary"
	}
	return "si"
}

// Usual returns the unit in which a site with that choice writes Q: what to pass to
// [Parse] for a form field that shows its unit.
func Usual[Q Quantity](u Units) Unit {
	k := kindOf[Q]()
	if u == Customary {
		return Unit(k.units[0].name)
	}
	return Unit(k.units[1].name)
}

// Text writes q in unit to so many digits that [Parse] gives q again (within a
// rounding or two). It returns "" if to does not measure q.
func Text[Q Quantity](q Q, to Unit) string {
	x, ok := In(q, to)
	if !ok {
		return ""
	}
	return strconv.FormatFloat(x, 'g', -1, 64) + " " + string(to)
}

// Temperature writes whole degrees, "28 °F".
func (u Units) Temperature(t Temperature) string { return u.degrees(t, 0) }

// TemperatureFine writes tenths, for comparing instruments: "27.8 °F".
func (u Units) TemperatureFine(t Temperature) string { return u.degrees(t, 1) }

func (u Units) degrees(t Temperature, places int) string {
	if u == Customary {
		return fixed(t.Fahrenheit(), places) + " °F"
	}
	return fixed(float64(t), places) + " °C"
}

// TemperatureDiff writes whole degrees, "5 °F".
func (u Units) TemperatureDiff(d TemperatureDiff) string {
	if u == Customary {
		return fixed(float64(d)*1.8, 0) + " °F"
	}
	return fixed(float64(d), 0) + " °C"
}

// TemperatureDiffFine writes tenths of a degree.
func (u Units) TemperatureDiffFine(d TemperatureDiff) string {
	if u == Customary {
		return fixed(float64(d)*1.8, 1) + " °F"
	}
	return fixed(float64(d), 1) + " °C"
}

// Length writes ft, below one foot in, below a fiftieth of an inch mil; or m, cm, mm, µm.
func (u Units) Length(l Length) string {
	return u.pick(float64(l), []step{{foot, "ft"}, {inch / 50, "in"}, {0, "mil"}}, []step{{1, "m"}, {0.01, "cm"}, {0.001, "mm"}, {0, "µm"}}, in(l))
}

// Area writes ft2, below one in2; or m2, below a tenth cm2.
func (u Units) Area(a Area) string {
	return u.pick(float64(a), []step{{foot * foot, "ft2"}, {0, "in2"}}, []step{{0.1, "m2"}, {0, "cm2"}}, in(a))
}

// SmallArea writes the area of an opening: whole square centimetres or square inches.
func (u Units) SmallArea(a Area) string {
	if u == Customary {
		return fmt.Sprintf("%.0f sq in", float64(a)/(inch*inch))
	}
	return fmt.Sprintf("%.0f cm²", float64(a)*1e4)
}

// Volume writes gal; or l, from a thousand m3, below one ml.
func (u Units) Volume(v Volume) string {
	return u.pick(float64(v), []step{{0, "gal"}}, []step{{1, "m3"}, {0.001, "l"}, {0, "ml"}}, in(v))
}

// Speed writes mph; or m/s.
func (u Units) Speed(v Speed) string {
	return u.pick(float64(v), []step{{0, "mph"}}, []step{{0, "m/s"}}, in(v))
}

// Mass writes lb, below one oz; or kg, below one g.
func (u Units) Mass(m Mass) string {
	return u.pick(float64(m), []step{{pound, "lb"}, {0, "oz"}}, []step{{1, "kg"}, {0, "g"}}, in(m))
}

// ArealMass writes oz/yd2, from 0.5 lb/ft2 (snow) lb/ft2; or g/m2, kg/m2.
func (u Units) ArealMass(m ArealMass) string {
	return u.pick(float64(m), []step{{0.5 * pound / (foot * foot), "lb/ft2"}, {0, "oz/yd2"}}, []step{{1, "kg/m2"}, {0, "g/m2"}}, in(m))
}

// Power writes BTU/h; or kW, below one W.
func (u Units) Power(p Power) string {
	return u.pick(float64(p), []step{{0, "BTU/h"}}, []step{{1000, "kW"}, {0, "W"}}, in(p))
}

// Energy writes BTU; or kWh, below 0.1 kWh kJ.
func (u Units) Energy(e Energy) string {
	return u.pick(float64(e), []step{{0, "BTU"}}, []step{{100 * hour, "kWh"}, {0, "kJ"}}, in(e))
}

// Pressure writes psi, below 0.1 psi inches of water; or hPa, below one Pa.
func (u Units) Pressure(p Pressure) string {
	return u.pick(float64(p), []step{{0.1 * psi, "psi"}, {0, "inH2O"}}, []step{{100, "hPa"}, {0, "Pa"}}, in(p))
}

// step is a unit used from a size [SI] upward.
type step struct {
	from float64
	unit Unit
}

func in[Q Quantity](q Q) func(Unit) float64 {
	return func(u Unit) float64 { x, _ := In(q, u); return x }
}

// pick writes the value in the first unit it reaches; zero in the first.
func (u Units) pick(si float64, customary, metric []step, in func(Unit) float64) string {
	steps := metric
	if u == Customary {
		steps = customary
	}
	for _, s := range steps {
		if si == 0 || math.Abs(si)*(1+1e-9) >= s.from {
			return short(in(s.unit)) + " " + string(s.unit)
		}
	}
	return short(in(steps[0].unit)) + " " + string(steps[0].unit) // not a number
}

// fixed writes x with that many places and never "-0".
func fixed(x float64, places int) string {
	s := strconv.FormatFloat(x, 'f', places, 64)
	if t, ok := strings.CutPrefix(s, "-"); ok && strings.Trim(t, "0.") == "" {
		return t
	}
	return s
}

// short writes three significant digits, thousands parted by commas.
func short(x float64) string {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return fixed(x, 0)
	}
	r, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 2, 64), 64)
	if a := math.Abs(r); a >= 1e15 || a < 1e-4 {
		return strconv.FormatFloat(r, 'g', 3, 64)
	}
	s := strconv.FormatFloat(r, 'f', -1, 64)
	sign := ""
	if t, ok := strings.CutPrefix(s, "-"); ok {
		s, sign = t, "-"
	}
	whole, part, _ := strings.Cut(s, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if part != "" {
		whole += "." + part
	}
	return sign + whole
}
