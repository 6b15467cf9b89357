package measure_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.org/coldnight/measure"
)

func ExampleUnits_Temperature() {
	t, _ := measure.ParseTemperature("28 °F")
	fmt.Println(measure.Customary.Temperature(t), "or", measure.SI.Temperature(t))
	// Output: 28 °F or -2 °C
}

// Sizes invented.
func TestFormats(t *testing.T) {
	us, si := measure.Customary, measure.SI
	for _, r := range [][2]string{
		{us.Temperature(-0.2), "32 °F"},
		{si.Temperature(-0.2), "0 °C"}, // never "-0"
		{si.TemperatureFine(-0.04), "0.0 °C"},
		{us.TemperatureFine(-2.35), "27.8 °F"},
		{us.TemperatureDiff(2.8), "5 °F"},
		{si.TemperatureDiff(2.8), "3 °C"},
		{us.TemperatureDiffFine(-1), "-1.8 °F"},
		{si.TemperatureDiffFine(1), "1.0 °C"},
		{us.Length(1.8288), "6 ft"},
		{us.Length(0.1), "3.94 in"},
		{us.Length(152.4e-6), "6 mil"},
		{si.Length(1.8288), "1.83 m"},
		{si.Length(0.1), "10 cm"},
		{si.Length(0.004), "4 mm"},
		{si.Length(200e-6), "200 µm"},
		{si.Length(0), "0 m"},
		{us.Area(100), "1,080 ft2"},
		{us.Area(0.01), "15.5 in2"},
		{si.Area(100), "100 m2"},
		{si.Area(0.01), "100 cm2"},
		{us.Volume(0.02), "5.28 gal"},
		{si.Volume(0.02), "20 l"},
		{si.Volume(2), "2 m3"},
		{si.Volume(0.0005), "500 ml"},
		{us.Speed(8.9408), "20 mph"},
		{si.Speed(8.9408), "8.94 m/s"},
		{us.Mass(9.0718474), "20 lb"},
		{us.Mass(0.1), "3.53 oz"},
		{si.Mass(0.1), "100 g"},
		{us.ArealMass(0.051), "1.5 oz/yd2"},
		{si.ArealMass(0.051), "51 g/m2"},
		{us.ArealMass(97.6), "20 lb/ft2"},
		{us.Power(11722.8), "40,000 BTU/h"},
		{si.Power(11722.8), "11.7 kW"},
		{si.Power(60), "60 W"},
		{us.Energy(1e8), "94,800 BTU"},
		{si.Energy(1e8), "27.8 kWh"},
		{us.Pressure(206843), "30 psi"},
		{us.Pressure(20), "0.0803 inH2O"},
		{si.Pressure(101325), "1,010 hPa"},
		{si.Pressure(20), "20 Pa"},
	} {
		if r[0] != r[1] {
			t.Errorf("%q, want %q", r[0], r[1])
		}
	}
	if s := si.Length(measure.Length(math.NaN())); !strings.HasPrefix(s, "NaN") {
		t.Errorf("not a number as %q", s)
	}
}

// What is written can be read, to half a degree or three digits.
func TestWrittenTextIsRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, u := range []measure.Units{measure.SI, measure.Customary} {
			x := rapid.Float64Range(-60, 60).Draw(t, "t")
			if got, err := measure.ParseTemperature(u.Temperature(measure.Temperature(x))); err != nil || math.Abs(float64(got)-x) > 0.5+1e-9 {
				t.Fatalf("temperature %g: %v %v", x, got, err)
			}
			y := math.Pow(10, rapid.Float64Range(-6, 6).Draw(t, "log"))
			check(t, y, u.Length, measure.Parse[measure.Length])
			check(t, y, u.Area, measure.Parse[measure.Area])
			check(t, y, u.Volume, measure.Parse[measure.Volume])
			check(t, y, u.Speed, measure.Parse[measure.Speed])
			check(t, y, u.Mass, measure.Parse[measure.Mass])
			check(t, y, u.ArealMass, measure.Parse[measure.ArealMass])
			check(t, y, u.Power, measure.Parse[measure.Power])
			check(t, y, u.Energy, measure.Parse[measure.Energy])
			check(t, y, u.Pressure, measure.Parse[measure.Pressure])
		}
	})
}

func check[Q measure.Quantity](t *rapid.T, x float64, write func(Q) string, read func(string, ...measure.Unit) (Q, error)) {
	s := write(Q(x))
	got, err := read(s)
	if err != nil || math.Abs(float64(got)/x-1) > 0.0051 {
		t.Fatalf("%g written %q read %g, %v", x, s, float64(got), err)
	}
}

func TestUnitsWord(t *testing.T) {
	for _, u := range []measure.Units{measure.SI, measure.Customary} {
		if got, err := measure.ParseUnits(strings.ToUpper(u.String())); err != nil || got != u {
			t.Errorf("%v read as %v, %v", u, got, err)
		}
	}
	if _, err := measure.ParseUnits("furlongs"); err == nil || !strings.Contains(err.Error(), `"customary"`) {
		t.Errorf("unknown units: %v", err)
	}
	if measure.Usual[measure.Power](measure.Customary) != measure.BTUPerHour || measure.Usual[measure.Power](measure.SI) != measure.Kilowatt {
		t.Error("usual units of power")
	}
}

// The opening of a stove-pipe of 8 in across: 50 sq in (a printed rule's pipe for
// 125,000 BTU/h), 324 cm².
func TestSmallArea(t *testing.T) {
	const pipe = measure.Area(0.0324293)
	if a, b := measure.Customary.SmallArea(pipe), measure.SI.SmallArea(pipe); a != "50 sq in" || b != "324 cm²" {
		t.Errorf("%q, %q", a, b)
	}
}
