package site_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.org/coldnight/nursery/site"
)

// refused parses a file with one mistake and returns what is said about it.
func refused(t *testing.T, text string) string {
	t.Helper()
	_, _, err := site.Parse([]byte(text+"\n"), "m.toml", known())
	var ps site.Problems
	if !errors.As(err, &ps) || len(ps) != 1 {
		t.Errorf("%s\nwant one complaint, got %v", text, err)
		return ""
	}
	return err.Error()
}

// Four mistakes that a tired person makes, in every way they are written: each is refused once, with what was probably meant.
func TestMistakesWithTheirGuess(t *testing.T) {
	const cylinder = heated + wall + "[[cylinder]]\nname = \"C\"\nfeeds = \"wall\"\n"
	const circuit = "[[circuit]]\nname = \"North\"\nvolts = \"120 V\"\namps = \"15 A\"\n"
	electric := func(more string) string {
		return heated + "[[heater]]\nname = \"R\"\nspace = \"House\"\nkind = \"electric\"\ncircuit = \"north\"\n" + more + "\n" + circuit
	}
	opening := func(line string) string { // into an end wall of 5 by 3 m
		return strings.Replace(heated, "glazing", line+"\nglazing", 1) + wall
	}
	for _, c := range []struct{ text, want string }{
		// a cylinder fuller than full
		{cylinder + "holds = \"20 lb\"\nleft = \"20 kg\"", `did you mean "20 lb"? that would be full`},
		{cylinder + "holds = \"20 lb\"\nleft = \"20kg\"", `did you mean "20 lb"? that would be full`},
		{cylinder + "holds = \"20 lb\"\nleft = \"20 kilograms\"", `did you mean "20 lb"? that would be full`},
		{cylinder + "holds = \"20 lb\"\nleft = \"20 gal\"", `did you mean "20 lb"? that would be full`},
		{cylinder + "holds = \"20 lb\"\nleft = \"20 gallons\"", `did you mean "20 lb"? that would be full`},
		{cylinder + "holds = \"20 lb\"\nleft = \"20 L\"", `did you mean "20 lb"? that would be full`},
		{cylinder + "holds = \"20 lb\"\nleft = \"31 lb\"", "is that its weight with the cylinder?"},
		{cylinder + "holds = \"20 lb\"\nleft = \"120 %\"", "a full one is 100 %"},
		{cylinder + "holds = \"20 lb\"\nleft = [\"12 lb\", \"20 kg\"]\ncount = 2", `did you mean "20 lb"? that would be full`},
		{cylinder + "holds = \"20 lb\"\nweight = \"20 kg\"", `more than a full one weighs, which is 17.2 kg (38 lb); did you mean "20 lb"?`},
		{cylinder + "holds = \"20 lb\"\nburned = \"40 h\"", "would take"},
		{cylinder + "holds = \"20 lb\"\nleft = \"2000 lb\"", "more than a full one holds"},
		// a heater larger than its circuit: 120 V and 15 A carry 1,800 W
		{electric("input = \"5000 W\""), `did you mean input = "5000 BTU/h" for R?`},
		{electric("input = \"5000W\""), `did you mean input = "5000 BTU/h" for R?`},
		{electric("input = \"5 kW\""), "would take 41.7 A at 120 V"},
		{electric("input = \"17000 BTU/h\""), "would take 41.5 A at 120 V"},
		{electric("input = \"1500 W\"\ncount = 2"), "would take 25 A at 120 V"},
		{electric("input = \"1500 W\"\ncount = 2"), "230 V or 240 V?"},
		{heated + wall + "[[heater]]\nname = \"F\"\nspace = \"House\"\nkind = \"vented gas\"\nfuel = \"natural gas\"\ninput = \"20 kW\"\nmains = true\npower = \"2.5 kW\"\ncircuit = \"North\"\n" + circuit, "would take 20.8 A at 120 V"},
		// litres for pounds: propane 508 kg/m3 (LPGAS), so 20 l are 10.16 kg
		{cylinder + "holds = \"20 L\"", `did you mean "20 lb"? 20 L of liquid propane weighs 10.2 kg (22.4 lb), at 508 kg/m3: write holds = "10.2 kg" if it is litres`},
		{cylinder + "holds = \"20 l\"", `did you mean "20 lb"?`},
		{cylinder + "holds = \"20L\"", `did you mean "20 lb"?`},
		{cylinder + "holds = \"20 litres\"", `did you mean "20 lb"?`},
		{cylinder + "holds = \"20 liters\"", `did you mean "20 lb"?`},
		{cylinder + "holds = \"20.0 l\"", `did you mean "20.0 lb"?`},
		{cylinder + "holds = \"33.5 l\"", `did you mean "33.5 lb"?`},
		{cylinder + "holds = \"100 l\"", `did you mean "100 lb"?`},
		{cylinder + "holds = \"13 l\"", `did you mean "13 kg"?`},
		{cylinder + "holds = \"20000 ml\"", `write holds = "10.2 kg" if it is litres`},
		{cylinder + "holds = \"0.02 m3\"", `write holds = "10.2 kg" if it is litres`},
		{cylinder + "holds = \"20 lb\"\nleft = \"12 L\"", `did you mean "12 lb"? 12 L of liquid propane weighs 6.1 kg`},
		{cylinder + "holds = \"20 lb\"\nleft = [\"60 %\", \"12 litres\"]\ncount = 2", `did you mean "12 lb"?`},
		// an opening larger than the wall
		{opening("opening_low = \"200 ft2\""), `opening_low "200 ft2" is larger than the end wall, which has at most 15 m2 (161 ft2) (width times height); did you mean "200 in2"?`},
		{opening("opening_high = \"200 sq ft\""), `did you mean "200 in2"?`},
		{opening("opening_low = \"18 m2\""), `did you mean "18 in2"?`},
		{opening("opening_low = \"200 m2\""), `did you mean "200 in2"?`},
		{opening("opening_low = \"400 ft2\""), `did you mean "400 in2"?`},
		{opening("opening_low = \"90 ft2\"\nopening_high = \"90 ft2\""), "together are larger than the end wall"},
		{opening("opening_low = \"40\""), `write opening_low = "40 in2" or opening_low = "40 cm2"`},
		{opening("opening_low = \"40 in\""), `opening_low = `},
	} {
		if got := refused(t, c.text); !strings.Contains(got, c.want) {
			t.Errorf("%s\n%s\nwant %s", c.text[len(heated):], got, c.want)
		}
	}
}

// What is right in litres and gallons is taken, and what a gas is converted to is listed: a tank of 250 l, gallons as delivered, and
// kerosene, which is sold so.
func TestVolumesThatAreTaken(t *testing.T) {
	const gas = "[[cylinder]]\nname = \"C\"\nfeeds = \"wall\"\n"
	stove := strings.Replace(strings.Replace(wall, "wall heater", "kerosene", 1), "fuel = \"LP gas\"\n", "", 1)
	for _, c := range []struct {
		text, listed string
		kg           float64
	}{
		{wall + gas + "holds = \"250 l\"", "127 kg (280 lb)", 0.250 * 508.1},
		{wall + gas + "holds = \"250 l\"\nleft = \"100 l\"", "127 kg (280 lb)", 0.250 * 508.1},
		{wall + gas + "holds = \"5 gal\"", "9.62 kg (21.2 lb)", 5 * 3.785411784e-3 * 508.1},
		{wall + gas + "holds = \"20 lb\"\nleft = \"2 gal\"", "", 20 * 0.45359237},
		{stove + gas + "holds = \"20 L\"", "", 16},
	} {
		s, assumed := parsed(t, heated+c.text+"\n")
		if got := s.Cylinders[0].HoldsKg; math.Abs(got-c.kg) > 1e-3 {
			t.Errorf("%s: holds %.3f kg, want %.3f", c.text, got, c.kg)
		}
		if got := said(assumed, "cylinder C", "holds"); got != c.listed {
			t.Errorf("%s: listed %q, want %q", c.text, got, c.listed)
		}
	}
}
