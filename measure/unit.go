package measure

import "strings"

// Unit is the short name of a unit as it is written in text, e.g. "°F" or "oz/yd2".
type Unit string

// Units by their short names. In and Of take any accepted spelling.
const (
	Celsius, Fahrenheit, Kelvin = Unit("°C"), Unit("°F"), Unit("K")

	Metre, Centimetre, Millimetre, Micrometre, Kilometre = Unit("m"), Unit("cm"), Unit("mm"), Unit("µm"), Unit("km")
	Foot, Inch, Yard, Mile, Mil                          = Unit("ft"), Unit("in"), Unit("yd"), Unit("mi"), Unit("mil")

	SquareMetre, SquareCentimetre, Hectare   = Unit("m2"), Unit("cm2"), Unit("ha")
	SquareFoot, SquareInch, SquareYard, Acre = Unit("ft2"), Unit("in2"), Unit("yd2"), Unit("acre")

	CubicMetre, Litre, Millilitre               = Unit("m3"), Unit("l"), Unit("ml")
	Gallon, Quart, CubicFoot, CubicYard, ImpGal = Unit("gal"), Unit("qt"), Unit("ft3"), Unit("yd3"), Unit("imp gal")

	MetrePerSecond, KilometrePerHour             = Unit("m/s"), Unit("km/h")
	MilePerHour, Knot, FootPerSecond, FootPerMin = Unit("mph"), Unit("kn"), Unit("ft/s"), Unit("ft/min")

	Kilogram, Gram, Tonne, Pound, Ounce = Unit("kg"), Unit("g"), Unit("t"), Unit("lb"), Unit("oz")

	KilogramPerSquareMetre, GramPerSquareMetre = Unit("kg/m2"), Unit("g/m2")
	OuncePerSquareYard, PoundPerSquareFoot     = Unit("oz/yd2"), Unit("lb/ft2")

	Watt, Kilowatt, BTUPerHour, ThousandBTUPerHour = Unit("W"), Unit("kW"), Unit("BTU/h"), Unit("kBTU/h")

	CubicFootPerMin, CubicMetrePerHour, CubicMetrePerSecond = Unit("ft3/min"), Unit("m3/h"), Unit("m3/s")

	Joule, Kilojoule, Megajoule, WattHour, KilowattHour = Unit("J"), Unit("kJ"), Unit("MJ"), Unit("Wh"), Unit("kWh")
	BTU, Therm                                          = Unit("BTU"), Unit("therm")

	Pascal, Hectopascal, Kilopascal, Bar, Millibar       = Unit("Pa"), Unit("hPa"), Unit("kPa"), Unit("bar"), Unit("mbar")
	PSI, InchOfMercury, InchOfWater, MillimetreOfMercury = Unit("psi"), Unit("inHg"), Unit("inH2O"), Unit("mmHg")
)

// Exact definitions: international yard and pound agreement 1959; US gallon of 231
// cubic inches; standard gravity for pressures of columns; BTU of the International
// Table (ISO 31-4, 1055.05585262 J). NIST Special Publication 811 (2008), appendix B.
const (
	foot       = 0.3048
	inch       = foot / 12
	yard       = 3 * foot
	mile       = 5280 * foot
	pound      = 0.45359237
	ounce      = pound / 16
	gallon     = 231 * inch * inch * inch
	impGallon  = 0.00454609
	btu        = 1055.05585262
	psi        = pound * 9.80665 / (inch * inch)
	inchHg     = 3386.389 // at 0 °C, NIST SP 811
	inchWater  = 249.08891
	millimHg   = 133.322387415
	hour       = 3600.0
	knot       = 1852 / hour
	fahrenheit = 1 / 1.8
)

// unit is one accepted unit: SI value = (n - zero)·size/per. Only one of size and per
// differs from 1 where the definition allows, so that decimal units convert exactly.
type unit struct {
	name  string
	size  float64
	per   float64 // 0 means 1
	zero  float64 // reading at SI zero, in this unit
	words []string
}

func (u unit) toSI(n float64) float64 {
	n = (n - u.zero) * u.size
	if u.per != 0 {
		n /= u.per
	}
	return n
}

func (u unit) fromSI(x float64) float64 {
	if u.per != 0 {
		x *= u.per
	}
	return x/u.size + u.zero
}

// kind is a quantity as it is written.
type kind struct {
	name    string
	example [2]string // metric, customary
	units   []unit    // the first two are those offered
	chain   bool      // "5 ft 6 in" is one value
	least   float64   // lowest believable SI value, 0 if any
}

// find returns the unit with that spelling: exact, then whatever the case.
func (k kind) find(s string) (unit, bool) {
	s = tidy(s)
	for _, same := range []func(a, b string) bool{func(a, b string) bool { return a == b }, strings.EqualFold} {
		for _, u := range k.units {
			if same(s, u.name) {
				return u, true
			}
			for _, w := range u.words {
				if same(s, w) {
					return u, true
				}
			}
		}
	}
	return unit{}, false
}

// accepted lists the short names.
func (k kind) accepted() []Unit {
	var names []Unit
	for _, u := range k.units {
		names = append(names, Unit(u.name))
	}
	return names
}

// Accepted lists the units that text of that quantity may carry.
func Accepted[Q Quantity]() []Unit { return kindOf[Q]().accepted() }

// tidy brings spellings together: "sq. ft", "ft²", "square feet" and "ft^2" become "ft2".
func tidy(s string) string {
	if plain(s) {
		return s
	}
	s = strings.Join(strings.Fields(s), " ")
	s = strings.NewReplacer("²", "2", "³", "3", "^", "", "º", "°", "˚", "°", "μ", "µ", "″", `"`, "”", `"`, "′", "'", "’", "'", "℃", "°C", "℉", "°F", " / ", "/", "/ ", "/", " /", "/").Replace(s)
	s = strings.TrimSuffix(s, ".")
	lower := strings.ToLower(s)
	if strings.Contains(lower, "sq") || strings.Contains(lower, "cu") || strings.Contains(lower, "per ") {
		s = strings.NewReplacer(" per ", "/", "square ", "sq ", "sq. ", "sq ", "cubic ", "cu ", "cu. ", "cu ").Replace(lower)
		s = strings.NewReplacer("sq ft", "ft2", "sq feet", "ft2", "sq foot", "ft2", "sq yd", "yd2", "sq yard", "yd2", "sq yards", "yd2",
			"sq in", "in2", "sq inches", "in2", "sq inch", "in2", "sq meter", "m2", "sq metre", "m2", "sq m", "m2",
			"cu ft", "ft3", "cu feet", "ft3", "cu yd", "yd3", "cu yards", "yd3", "cu m", "m3").Replace(s)
	}
	return s
}

// plain says whether s is a short name already, as nearly all are: nothing to tidy.
func plain(s string) bool {
	for i := range len(s) {
		if c := s[i] | 0x20; (c < 'a' || c > 'z') && !isDigit(s[i]) && s[i] != '/' {
			return s == string(Celsius) || s == string(Fahrenheit)
		}
	}
	return len(s) < 3 || !strings.Contains(s, "sq") && !strings.Contains(s, "cu")
}
