package measure_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.org/coldnight/measure"
)

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Max(math.Abs(want), 1e-12)) {
		t.Errorf("%s = %.15g, want %.15g", what, got, want)
	}
}

// si reads s as a Q and returns the SI value; a refusal fails the test.
func si[Q measure.Quantity](t *testing.T, s string, bare ...measure.Unit) float64 {
	t.Helper()
	q, err := measure.Parse[Q](s, bare...)
	if err != nil {
		t.Errorf("%q: %v", s, err)
	}
	return float64(q)
}

// Conversions by NIST Special Publication 811 (2008) appendix B unless another
// origin is named.
func TestConversions(t *testing.T) {
	near(t, "28 °F", si[measure.Temperature](t, "28 °F"), -20./9, 1e-15)
	near(t, "-40 F", si[measure.Temperature](t, "-40 F"), -40, 1e-15)
	near(t, "273.15 K", si[measure.Temperature](t, "273.15 K"), 0, 1)
	near(t, "difference 5 °F", si[measure.TemperatureDiff](t, "5 °F"), 25./9, 1e-15)
	near(t, "6 ft", si[measure.Length](t, "6 ft"), 1.8288, 1e-15)
	near(t, "1 mi", si[measure.Length](t, "1 mi"), 1609.344, 1e-15)
	near(t, "6 mil", si[measure.Length](t, "6 mil"), 152.4e-6, 1e-15)
	near(t, "1 acre", si[measure.Area](t, "1 acre"), 4046.8564224, 1e-12) // international acre
	near(t, "5 gal", si[measure.Volume](t, "5 gal"), 5*3.785411784e-3, 1e-14)
	near(t, "1 ft3", si[measure.Volume](t, "1 cu ft"), 0.028316846592, 1e-14)
	near(t, "20 mph", si[measure.Speed](t, "20 mph"), 20*0.44704, 1e-14)
	near(t, "10 kn", si[measure.Speed](t, "10 kn"), 10*1852./3600, 1e-14)
	near(t, "20 lb", si[measure.Mass](t, "20 lb"), 20*0.45359237, 1e-15)
	near(t, "1 oz/yd2", si[measure.ArealMass](t, "1 oz/yd2"), 0.0339057475, 1e-8)
	near(t, "1 oz/yd2 of the trade", si[measure.ArealMass](t, "1 osy")*1000, 33.9, 1e-3) // the trade's rounded figure
	near(t, "1 psf", si[measure.ArealMass](t, "1 psf"), 4.882428, 1e-6)
	near(t, "1 BTU/h", si[measure.Power](t, "1 BTU/h"), 0.29307107, 1e-8)
	near(t, "40,000 BTU/h", si[measure.Power](t, "40,000 BTU/h"), 11722.84, 1e-6)
	near(t, "1 kWh in BTU", si[measure.Energy](t, "1 kWh"), si[measure.Energy](t, "3412.14 BTU"), 1e-6)
	near(t, "1 psi", si[measure.Pressure](t, "1 psi"), 6894.757, 1e-7)
	near(t, "29.92 inHg", si[measure.Pressure](t, "29.92 inHg"), 101320.76, 1e-6)
	near(t, "11 in wc", si[measure.Pressure](t, "11 in wc"), 11*249.08891, 1e-9)
}

func TestSpellings(t *testing.T) {
	for _, s := range []string{"6 ft", "6ft", " 6  FT ", "6 feet", "6'", "6′", "6.0 ft.", "72 in", `72"`, "72″", "2 yd", "1,828.8 mm", "182.88cm", "1.8288 m", "5 ft 12 in", `5' 12"`, `5'12"`, "0.006 0 ft"} {
		q, err := measure.ParseLength(s)
		if s == "0.006 0 ft" {
			if err == nil {
				t.Errorf("%q taken as %v", s, q)
			}
			continue
		}
		if err != nil || math.Abs(float64(q)-1.8288) > 1e-12 {
			t.Errorf("%q = %v, %v", s, q, err)
		}
	}
	near(t, "1 1/2 in", si[measure.Length](t, "1 1/2 in"), 0.0381, 1e-12)
	near(t, "1½ in", si[measure.Length](t, "1½ in"), 0.0381, 1e-12)
	near(t, "½ in", si[measure.Length](t, "½ in"), 0.0127, 1e-12)
	near(t, "3/4 in", si[measure.Length](t, "3/4in"), 0.01905, 1e-12)
	near(t, "5 ft 6 1/2 in", si[measure.Length](t, "5 ft 6 1/2 in"), 66.5*0.0254, 1e-12)
	near(t, "-5 ft 6 in", si[measure.Length](t, "-5 ft 6 in"), -66*0.0254, 1e-12)
	near(t, "1e3 W", si[measure.Power](t, "1e3 W"), 1000, 0)
	near(t, "−2 °C", si[measure.Temperature](t, "−2 °C"), -2, 0)
	near(t, "1 lb 4 oz", si[measure.Mass](t, "1 lb 4 oz"), 1.25*0.45359237, 1e-12)
	for _, s := range []string{"1.5 oz/yd2", "1.5 oz/yd²", "1.5 oz per square yard", "1.5 oz/sq. yd", "1.5 osy", "1.5 OZ / YD2", "1.5 ounces per sq yd"} {
		near(t, s, si[measure.ArealMass](t, s), 1.5*0.0339057475, 1e-8)
	}
	for _, s := range []string{"200 ft2", "200 sq ft", "200 sq. ft.", "200 square feet", "200 ft²", "200 sqft", "200 ft^2"} {
		near(t, s, si[measure.Area](t, s), 200*0.09290304, 1e-12)
	}
	for _, s := range []string{"40000 BTU/h", "40,000 BTU/hr", "40000 btuh", "40 MBH", "40 kBTU/h", "40000 BTU per hour"} {
		near(t, s, si[measure.Power](t, s), 11722.84, 1e-6)
	}
}

func TestBareNumbers(t *testing.T) {
	_, err := measure.ParseTemperature("28")
	var e *measure.ParseError
	if !errors.As(err, &e) || e.Why != measure.NoUnit || !slices.Equal(e.Try, []string{"28 °F", "28 °C"}) {
		t.Errorf("bare 28: %v", err)
	}
	near(t, "28 with a default", si[measure.Temperature](t, "28", measure.Fahrenheit), -20./9, 1e-15)
	near(t, "a written unit beats the default", si[measure.Temperature](t, "-2 C", measure.Fahrenheit), -2, 0)
	near(t, "site default", si[measure.Length](t, "6", measure.Usual[measure.Length](measure.Customary)), 1.8288, 1e-15)
	if _, err := measure.ParseLength("5 ft 6", measure.Inch); err == nil {
		t.Error("a default must not fill in the second part")
	}
}

func TestRefusals(t *testing.T) {
	for _, r := range []struct {
		text string
		why  measure.Why
	}{
		{"", measure.Empty},
		{"  \t", measure.Empty},
		{"ft", measure.NoNumber},
		{"six ft", measure.NoNumber},
		{"NaN ft", measure.NoNumber},
		{"Inf ft", measure.NoNumber},
		{"0x10 ft", measure.UnknownUnit},
		{"1_000 ft", measure.UnknownUnit},
		{"6", measure.NoUnit},
		{"6 parsec", measure.UnknownUnit},
		{"6 lb", measure.WrongUnit},
		{"6 ft2", measure.WrongUnit},
		{"2,5 m", measure.Comma},
		{"0,500 m", measure.Comma},
		{"1,0000 m", measure.Comma},
		{"1,000,00 m", measure.Comma},
		{"1e999 ft", measure.TooLarge},
		{"1e308 mi", measure.TooLarge},
		{"5 in 6 ft", measure.Trailing},
		{"5 ft -6 in", measure.UnknownUnit},
		{"5 ft 6 ft", measure.Trailing},
		{"--5 ft", measure.NoNumber},
		{"1.2.3 ft", measure.NoNumber},
		{"1/0 ft", measure.UnknownUnit},
	} {
		_, err := measure.ParseLength(r.text)
		var e *measure.ParseError
		if !errors.As(err, &e) {
			t.Errorf("%q taken", r.text)
			continue
		}
		if e.Why != r.why {
			t.Errorf("%q: %s, want %s", r.text, e.Why, r.why)
		}
		if len(e.Accepted) != 10 || len(e.Try) == 0 {
			t.Errorf("%q: units %v, try %v", r.text, e.Accepted, e.Try)
		}
		for _, try := range e.Try {
			if _, err := measure.ParseLength(try); err != nil {
				t.Errorf("%q: advice %q is itself refused: %v", r.text, try, err)
			}
		}
	}
	if _, err := measure.ParseTemperature("-500 °F"); err == nil || !strings.Contains(err.Error(), "absolute zero") {
		t.Errorf("-500 °F: %v", err)
	}
	if _, err := measure.ParseTemperatureDiff("-500 °F"); err != nil {
		t.Errorf("a difference has no absolute zero: %v", err)
	}
	// a long text does not flood the page
	if _, err := measure.ParseLength(strings.Repeat("9 q", 1000)); len(err.Error()) > 400 {
		t.Errorf("message of %d bytes", len(err.Error()))
	}
}

func ExampleParseLength() {
	_, err := measure.ParseLength("6")
	fmt.Println(err)
	_, err = measure.ParseLength("2,5 m")
	fmt.Println(err)
	l, _ := measure.ParseLength("6 ft")
	fmt.Println(measure.SI.Length(l))
	// Output:
	// length "6" has no unit: write "6 ft" or "6 m"; units: ft, m, in, cm, mm, yd, mi, km, mil, µm
	// length "2,5 m" has a comma that could mean two things: write "2.5 ft" or "2.5 m"; units: ft, m, in, cm, mm, yd, mi, km, mil, µm
	// 1.83 m
}

// roundTrip: text in any accepted unit comes back, to a few roundings of the value,
// or of the scale's offset where it has one.
func roundTrip[Q measure.Quantity](t *testing.T, low, high, offset float64) {
	t.Helper()
	name := fmt.Sprintf("%T", *new(Q))
	t.Run(name, func(t *testing.T) {
		if len(measure.Accepted[Q]()) < 3 {
			t.Fatal("hardly any units")
		}
		rapid.Check(t, func(t *rapid.T) {
			x := rapid.Float64Range(low, high).Draw(t, "si")
			for _, u := range measure.Accepted[Q]() {
				text := measure.Text(Q(x), u)
				got, err := measure.Parse[Q](text)
				if err != nil {
					t.Fatalf("%s: %v", text, err)
				}
				if d := math.Abs(float64(got) - x); d > 2e-15*math.Max(offset, math.Abs(x)) {
					t.Fatalf("%s came back as %.17g, was %.17g", text, float64(got), x)
				}
				n, ok := measure.In(Q(x), u)
				if back, ok2 := measure.Of[Q](n, u); !ok || !ok2 || math.Abs(float64(back)-x) > 2e-15*math.Max(offset, math.Abs(x)) {
					t.Fatalf("%v %s came back as %v, was %v", n, u, back, x)
				}
			}
		})
	})
}

// tiny keeps the smallest floats, which carry fewer digits, out of the comparison.
const tiny = 1e-280

func TestRoundTrips(t *testing.T) {
	roundTrip[measure.Temperature](t, -90, 60, 460)
	roundTrip[measure.TemperatureDiff](t, -60, 60, tiny)
	roundTrip[measure.Length](t, -1e4, 1e4, tiny)
	roundTrip[measure.Area](t, 0, 1e6, tiny)
	roundTrip[measure.Volume](t, 0, 1e4, tiny)
	roundTrip[measure.Speed](t, 0, 90, tiny)
	roundTrip[measure.Mass](t, 0, 1e5, tiny)
	roundTrip[measure.ArealMass](t, 0, 1000, tiny)
	roundTrip[measure.Power](t, 0, 1e7, tiny)
	roundTrip[measure.Energy](t, 0, 1e12, tiny)
	roundTrip[measure.Pressure](t, 0, 2e6, tiny)
}

func TestPointsAndDifferences(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := measure.Temperature(rapid.Float64Range(-90, 60).Draw(t, "a"))
		b := measure.Temperature(rapid.Float64Range(-90, 60).Draw(t, "b"))
		if got := b.Add(a.Sub(b)); math.Abs(float64(got-a)) > 1e-12 {
			t.Fatalf("b + (a-b) = %v, a = %v", got, a)
		}
		if d := a.Fahrenheit() - b.Fahrenheit(); math.Abs(d-1.8*float64(a.Sub(b))) > 1e-12 {
			t.Fatalf("difference in °F %v", d)
		}
		if got := measure.FromFahrenheit(a.Fahrenheit()); math.Abs(float64(got-a)) > 1e-12 {
			t.Fatalf("°F round trip %v", got)
		}
		if a.Kelvin() < 0 {
			t.Fatal("below absolute zero")
		}
	})
}

func TestUnitsOfOtherQuantities(t *testing.T) {
	if _, ok := measure.In(measure.Length(1), "furlong"); ok {
		t.Error("furlong known")
	}
	if _, ok := measure.Of[measure.Length](1, measure.Pound); ok {
		t.Error("a pound is a length")
	}
	if measure.Text(measure.Length(1), measure.Pound) != "" {
		t.Error("a length in pounds")
	}
	for _, u := range []measure.Unit{"FT", "Ft", "feet"} {
		if n, ok := measure.In(measure.Length(0.3048), u); !ok || n != 1 {
			t.Errorf("%s: %v %v", u, n, ok)
		}
	}
}

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		if _, err := measure.ParseLength("6 ft"); err != nil {
			b.Fatal(err)
		}
	}
}
