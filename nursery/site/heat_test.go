package site_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/burner"
)

// heated is minimal with a house instead of the bed.
const heated = `[site]
name = "A"
latitude = 50
longitude = 8
timezone = "Europe/Berlin"
[[space]]
name = "House"
kind = "tall house"
length = "10 m"
width = "5 m"
height = "3 m"
[space.house]
glazing = "glass"
`

const wall = `[[heater]]
name = "wall"
space = "house"
kind = "wall heater"
input = "30000 BTU/h"
fuel = "LP gas"
mains = false
`

func said(assumed []site.Assumption, where, what string) string {
	for _, a := range assumed {
		if a.Where == where && a.What == what {
			return a.Value
		}
	}
	return ""
}

func TestHeaterKinds(t *testing.T) {
	for _, c := range []struct {
		word, fuel                       string
		kind                             site.HeaterKind
		efficiency, radiant              float64 // common practice and judgement, as doc/SITEFILE.md says
		burns, unvented, breathes, mains bool
	}{
		{"Unit heater", "propane", site.VentedGas, 0.8, 0.05, true, false, true, true},
		{"vent-free", "natural gas", site.UnventedGas, 1, 0.3, true, true, true, false},
		{"kerosene", "", site.Kerosene, 1, 0.3, true, true, true, false},
		{"oil-filled radiator", "", site.Electric, 1, 0.2, false, false, false, true},
		{"boiler", "", site.HotWater, 1, 0.4, false, false, false, true},
	} {
		text := heated + "[[heater]]\nname = \"H\"\nspace = \"HOUSE\"\nkind = \"" + c.word + "\"\ninput = \"5 kW\"\n"
		if c.fuel != "" {
			text += "fuel = \"" + c.fuel + "\"\n"
		}
		if c.kind != site.Electric {
			text += map[bool]string{true: "mains = true\n", false: "mains = false\n"}[c.mains]
		}
		s, assumed := parsed(t, text)
		h := s.Heaters[0]
		if h.Kind != c.kind || h.Efficiency != c.efficiency || h.Radiant != c.radiant || h.NeedsMains != c.mains || h.Least != 1 || h.Count != 1 || h.Space != "House" {
			t.Errorf("%s: %+v", c.word, h)
		}
		if h.Burns() != c.burns || h.Unvented() != c.unvented || h.BreathesHouse() != c.breathes {
			t.Errorf("%s: burns %v, unvented %v, breathes %v", c.word, h.Burns(), h.Unvented(), h.BreathesHouse())
		}
		for _, what := range []string{"efficiency", "radiant", "setpoint"} {
			if said(assumed, "House, heater H", what) == "" {
				t.Errorf("%s: %s is not listed", c.word, what)
			}
		}
		if got := said(assumed, "House, heater H", "air to burn") != ""; got != c.unvented {
			t.Errorf("%s: remark on air %v", c.word, got)
		}
	}
}

// The kind's name never says whether it stops with the mains: the same heater, both ways.
func TestMainsFollowTheFile(t *testing.T) {
	for _, kind := range []string{"vented gas", "unvented gas", "hot water"} {
		for _, mains := range []string{"true", "false"} {
			fuel := "fuel = \"propane\"\n"
			if kind == "hot water" {
				fuel = ""
			}
			s, _ := parsed(t, heated+"[[heater]]\nname = \"H\"\nspace = \"House\"\nkind = \""+kind+"\"\ninput = \"9 kW\"\nmains = "+mains+"\n"+fuel)
			if got := s.Heaters[0].NeedsMains; got != (mains == "true") {
				t.Errorf("%s, mains = %s: %v", kind, mains, got)
			}
		}
	}
}

func TestThermostat(t *testing.T) {
	s, assumed := parsed(t, heated+wall+"setpoint = \"41 °F\"\n")
	if h := s.Heaters[0]; math.Abs(*h.SetpointC-5) > 1e-12 || h.SwingK != 2 || said(assumed, "House, heater wall", "swing") == "" {
		t.Errorf("%+v", h)
	}
	if s, _ = parsed(t, heated+wall+"setpoint = \"5 °C\"\nswing = \"9 °F\"\nleast = \"30 %\"\ncutoff = \"18 %\"\n"); s.Heaters[0].SwingK != 5 || s.Heaters[0].Least != 0.3 || s.Heaters[0].CutoffO2 != 0.18 {
		t.Errorf("%+v", s.Heaters[0])
	}
}

// What is left, in every way to say it. HHV and densities are those of package burner; 1 lb = 0.45359237 kg.
func TestLeft(t *testing.T) {
	const lb = 0.45359237
	propane, ok := burner.Find("propane")
	if !ok {
		t.Fatal("no propane")
	}
	hour := propane.Rate(30000*1055.05585262/3600) * 3600 // kg burned by the wall heater in an hour
	for _, c := range []struct {
		text   string
		left   []float64
		from   string
		spread float64
	}{
		{"holds = \"20 lb\"", []float64{20 * lb}, site.TakenFull, 4 * lb},
		{"holds = \"20 lb\"\nleft = \"60 %\"", []float64{12 * lb}, site.FromGauge, 3 * lb},
		{"holds = \"20 lb\"\nleft = \"12 lb\"", []float64{12 * lb}, site.AsWritten, lb},
		{"holds = \"20 lb\"\nleft = \"12 lb\"\nleft_from = \"weight\"", []float64{12 * lb}, site.FromWeight, 0.2},
		{"holds = \"9 kg\"\nleft = \"20 lb\"", []float64{9}, site.AsWritten, 0.45}, // the same cylinder in other units: full
		{"holds = \"20 lb\"\nweight = \"31 lb\"", []float64{13 * lb}, site.FromWeight, 0.2},
		{"holds = \"40 lb\"\nempty = \"29 lb\"\nweight = [\"31 lb\", \"29 lb\"]\ncount = 2", []float64{2 * lb, 0}, site.FromWeight, 0.2},
		{"holds = \"20 lb\"\nleft = [\"50 %\", \"4 kg\"]\ncount = 2", []float64{10 * lb, 4}, site.FromGauge, 3 * lb},
		{"holds = \"20 lb\"\nleft = \"50 %\"\ncount = 2", []float64{10 * lb, 10 * lb}, site.FromGauge, 3 * lb},
		{"holds = \"250 L\"", []float64{0.250 * propane.LiquidKgM3}, site.TakenFull, 0.2 * 0.250 * propane.LiquidKgM3},
		{"holds = \"20 lb\"\nburned = \"6 h\"", []float64{20*lb - 6*hour}, site.FromHours, 0.6 * hour},
		{"holds = \"20 lb\"\nburned = \"20 h\"\ncount = 2", []float64{0, 40*lb - 20*hour}, site.FromHours, 2 * lb}, // one after the other
		{"holds = \"20 lb\"\nburned = \"20 h\"\ncount = 2\ntogether = true", []float64{20*lb - 10*hour, 20*lb - 10*hour}, site.FromHours, hour},
	} {
		s, assumed := parsed(t, heated+wall+"[[cylinder]]\nname = \"C\"\nfeeds = \"Wall\"\n"+c.text+"\n")
		got := s.Cylinders[0]
		near := func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }
		if !slices.EqualFunc(got.LeftKg, c.left, near) || got.LeftFrom != c.from || !near(got.LeftSpreadKg, c.spread) {
			t.Errorf("%s:\n%+v, want %v %s ± %v", c.text, got, c.left, c.from, c.spread)
		}
		if got.Fuel != "propane" || got.Feeds[0] != "wall" || got.Indoors {
			t.Errorf("%+v", got)
		}
		if listed := said(assumed, "cylinder C", "left") != ""; listed != (c.from == site.TakenFull) {
			t.Errorf("%s: listed %v", c.text, listed)
		}
	}
}

func TestPrices(t *testing.T) {
	propane, _ := burner.Find("propane")
	methane, _ := burner.Find("natural gas")
	s, assumed := parsed(t, heated+wall+`[prices]
propane = "3.10 per gal"
butane = "24 / 10 kg"
natural_gas = "1.20 per therm"
kerosene = "100 per 20 kg"
electricity = "0.31/kWh"
`)
	p := s.Prices
	for key, want := range map[string]float64{
		"propane": 3.10 / (3.785411784e-3 * propane.LiquidKgM3), "butane": 2.4, "kerosene": 5,
		"natural gas": 1.20 / (1e5 * 1055.05585262) * methane.HHV, // a therm is 100,000 BTU
	} {
		if math.Abs(p.PerKg[key]/want-1) > 1e-12 {
			t.Errorf("%s: %v, want %v", key, p.PerKg[key], want)
		}
	}
	if p.PerKWh != 0.31 || !p.Set || said(assumed, "prices", "fuel") != "" {
		t.Errorf("%+v", p)
	}
	// A cubic metre of methane at 15 °C weighs 0.679 kg (16.043 g / 23.645 l).
	s, assumed = parsed(t, heated+wall+"[prices]\nnatural_gas = \"0.679 per m3\"\n")
	if got := s.Prices.PerKg["natural gas"]; math.Abs(got-1) > 0.002 {
		t.Errorf("per m3: %v", got)
	}
	if said(assumed, "prices", "propane") != "counted as free" {
		t.Errorf("the wall heater's propane has no price and that is not listed: %v", assumed)
	}
	if _, assumed = parsed(t, heated+wall); said(assumed, "prices", "fuel") != "counted as free" {
		t.Error("no prices and not listed")
	}
}

func TestCircuitLoad(t *testing.T) {
	radiator := "[[heater]]\nname = \"R\"\nspace = \"House\"\nkind = \"electric\"\ninput = \"1000 W\"\ncircuit = \"north\"\n"
	for amps, want := range map[string]string{
		"8 A": "refused", "9 A": "93 % of its breaker", "10 A": "83 % of its breaker", "15 A": "", // 1000 W at 120 V are 8.33 A
	} {
		text := heated + radiator + "[[circuit]]\nname = \"North\"\nvolts = \"120 V\"\namps = \"" + amps + "\"\n"
		_, assumed, err := site.Parse([]byte(text), "c.toml", known())
		got := said(assumed, "circuit North", "load")
		if err != nil {
			got = "refused"
		}
		if got != want {
			t.Errorf("%s: %q, want %q (%v)", amps, got, want, err)
		}
	}
}

// What hangs on one breaker in two houses may be more than it holds: a plan runs no more of
// it at once. In one house it is refused.
func TestCircuitOfTwoHouses(t *testing.T) {
	radiator := func(name, space string) string {
		return "[[heater]]\nname = \"" + name + "\"\n" + space + "\nkind = \"electric\"\ninput = \"1000 W\"\ncircuit = \"north\"\n"
	}
	other := "[[space]]\nname = \"Annex\"\nkind = \"tall house\"\nlength = \"20 ft\"\nwidth = \"10 ft\"\nheight = \"8 ft\"\n[space.house]\nglazing = \"glass\"\nlayers = 1\nleaks = \"usual\"\n"
	breaker := "[[circuit]]\nname = \"North\"\nvolts = \"120 V\"\namps = \"15 A\"\n" // 2000 W at 120 V are 16.7 A
	for space, ok := range map[string]bool{"space = \"Annex\"": true, "portable = true": true, "space = \"House\"": false} {
		_, assumed, err := site.Parse([]byte(heated+other+radiator("R", "space = \"House\"")+radiator("Q", space)+breaker), "c.toml", known())
		if (err == nil) != ok || ok && said(assumed, "circuit North", "load") != "111 % of its breaker with all of it on" {
			t.Errorf("%s: %v, %q", space, err, said(assumed, "circuit North", "load"))
		}
	}
}

// One mistake each in a file that is right without it.
func TestHeatRefusals(t *testing.T) {
	const cylinder = "[[cylinder]]\nname = \"C\"\nfeeds = \"wall\"\nholds = \"20 lb\"\n"
	const heads = "[[heater]]\nname = \"heads\"\nspace = \"House\"\nkind = \"tank top\"\ncount = 2\ninput = \"12000 BTU/h\"\nmains = false\n" +
		"[[cylinder]]\nname = \"T\"\nholds = \"20 lb\"\n"
	parsed(t, heated+wall+cylinder)
	parsed(t, heated+heads+"feeds = \"heads\"\ncount = 2\n")
	for _, c := range []struct{ text, want string }{
		{wall + cylinder + "left = \"31 lb\"", `is that its weight with the cylinder? an empty one weighs 8.16 kg (18 lb): write weight = "31 lb"`},
		{wall + cylinder + "left = \"20 kg\"", `did you mean "20 lb"? that would be full`},
		{wall + cylinder + "left = \"20 gal\"", `did you mean "20 lb"? that would be full`},
		{wall + cylinder + "left = \"47 lb\"", `did you mean holds = "20 gal"?`},
		{wall + cylinder + "left = \"101 %\"", "a full one is 100 %"},
		{wall + cylinder + "left = 9", `write "9 lb" or "9 kg" or "9 %"`},
		{wall + cylinder + "left = []", "left is an empty list"},
		{wall + cylinder + "weight = \"20 kg\"", `more than a full one weighs, which is 17.2 kg (38 lb); did you mean "20 lb"?`},
		{wall + cylinder + "weight = \"9 kg\"\nleft = \"9 kg\"", "what is left is given in more than one way"},
		{wall + cylinder + "burned = \"40 h\"", "would take"},
		{wall + cylinder + "fuel = \"butane\"", "wall burns propane and C holds butane"},
		{wall + cylinder + "fuel = \"electricity\"", `fuel "electricity" is not known; it is one of propane, butane, kerosene`},
		{wall + cylinder + "fuel = \"natural gas\"", "wall burns propane and C holds natural gas"},
		{strings.Replace(wall, "LP gas", "natural gas", 1) + cylinder, "natural gas does not come in cylinders"},
		{wall + cylinder + "left = \"20 L\"", `did you mean "20 lb"? that would be full`},
		{heads + "feeds = \"heads\"\ncount = 1", "1 cylinder for 2 tank-top burners: each sits on its own"},
		{heads + "feeds = \"heads\"\ncount = 2\ntogether = false", "every tank-top burner draws on its own cylinder"},
		{heads + "feeds = \"heads\"\ncount = 2\nstands = \"outdoors\"", "heads sits on this cylinder and stands in House"},
		{wall + heads + "feeds = [\"heads\", \"wall\"]\ncount = 2", "shares it with no other heater"},
		{wall + "cutoff = \"21 %\"", `cutoff "21 %" is not believable; it lies between 15 % and 20.5 %`},
		{strings.Replace(wall, "mains = false\n", "", 1), "wall does not say whether it stops when the power fails"},
		{strings.Replace(wall, "space = \"house\"\n", "", 1), "wall has no space"},
		{strings.Replace(wall, "LP gas", "wood", 1), `fuel "wood" is not known`},
		{strings.Replace(wall, "LP gas", "electricity", 1), `for electricity write kind = "electric"`},
		{strings.Replace(wall, "30000 BTU/h", "15 W", 1), `did you mean "15 kW"`},
		{strings.Replace(wall, "30000 BTU/h", "400000 W", 1), `did you mean "400000 BTU/h"`},
	} {
		_, _, err := site.Parse([]byte(heated+c.text+"\n"), "h.toml", known())
		var ps site.Problems
		if !errors.As(err, &ps) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s\n%v\nwant %s", c.text, err, c.want)
		}
		if len(ps) > 1 {
			t.Errorf("%s\none mistake and %d complaints: %v", c.text, len(ps), err)
		}
	}
}

func TestRemarks(t *testing.T) {
	vents := strings.Replace(heated, "glazing", "opening_low = \"200 cm2\"\nglazing", 1)
	for _, c := range []struct{ text, where, what, value string }{
		{heated + wall, "House, heater wall", "air to burn", "only what leaks in"},
		{heated + wall + "cutoff = \"18 %\"\n", "House, heater wall", "air to burn", ""},
		{vents + wall, "House, heater wall", "air to burn", ""},
		{heated + wall, "House, heater wall", "fuel", "as much as it wants"},
		{heated + strings.Replace(wall, "LP gas", "natural gas", 1), "House, heater wall", "fuel", ""},
		{heated + strings.Replace(wall, "30000 BTU/h", "30000 W", 1), "House, heater wall", "input", "30 kW (102,000 BTU/h)"},
		{heated + strings.Replace(wall, "30000 BTU/h", "30 kW", 1), "House, heater wall", "input", ""},
		{heated + wall + "[[cylinder]]\nname = \"C\"\nfeeds = \"wall\"\nholds = \"20 lb\"\nstands = \"indoors\"\n", "cylinder C", "stands", "in the house"},
		{heated + wall + "[[cylinder]]\nname = \"C\"\nfeeds = \"wall\"\nholds = \"20 lb\"\ncount = 2\n", "cylinder C", "together", "false"},
	} {
		if _, assumed := parsed(t, c.text); said(assumed, c.where, c.what) != c.value {
			t.Errorf("%s\n%s: %q, want %q", c.text, c.what, said(assumed, c.where, c.what), c.value)
		}
	}
	// Heaters of different names are listed once.
	two := wall + strings.Replace(wall, `name = "wall"`, `name = "other"`, 1)
	_, assumed := parsed(t, heated+two)
	if got := said(site.Merge(assumed), "House, heater wall; House, heater other", "radiant"); got != "30 %" {
		t.Errorf("merged: %v", site.Merge(assumed))
	}
}
