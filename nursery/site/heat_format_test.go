package site_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.org/coldnight/nursery/site"
)

// addHeat draws heaters and what feeds them. Sizes invented.
func addHeat(t *rapid.T, s *site.Site) {
	share := func(lo float64) float64 { return rapid.Float64Range(lo, 1).Draw(t, "share") }
	s.Circuits = []site.Circuit{{Name: "north", Volts: size(t, 100, 500), Amps: size(t, 100, 800)}}
	s.Backups = []site.Backup{{Name: "old", PowerW: size(t, 50, 1e5), RunHours: size(t, 0.2, 100), Fuel: oneOf(t, "", "diesel")}}
	gas := oneOf(t, "propane", "natural gas", "butane")
	hot := site.Heater{
		Name: "hot", Space: "A", Kind: site.VentedGas, Count: 2, InputW: size(t, 2e3, 5e5), Fuel: gas, Vented: true,
		OutsideAir: rapid.Bool().Draw(t, "outside"), Efficiency: share(0.3), Radiant: 0.05, Least: share(0.05), NeedsMains: true,
		MainsW: size(t, 1, 300), Circuit: "north",
	}
	if hot.SetpointC = point(t, -5, 20); hot.SetpointC != nil {
		hot.SwingK = rapid.Float64Range(0.2, 10).Draw(t, "swing")
	}
	warm := site.Heater{
		Name: "warm", Kind: site.Electric, Count: 1, InputW: size(t, 100, 5e4), Fuel: site.Electricity, Efficiency: 1, Radiant: share(0) * 0.9,
		Least: 1, NeedsMains: true, Portable: true,
	}
	warm.MainsW = warm.InputW
	dim := site.Heater{
		Name: "dim", Space: "A", Kind: site.Kerosene, Count: 3, InputW: size(t, 1e3, 1e5), Fuel: "kerosene", Vented: rapid.Bool().Draw(t, "flue"),
		Efficiency: 1, Radiant: 0.3, Least: 1, CutoffO2: rapid.SampledFrom([]float64{0, 0.18, 0.185}).Draw(t, "cutoff"),
	}
	if hot.Hood = !hot.OutsideAir && rapid.Bool().Draw(t, "hood"); !hot.OutsideAir {
		hot.Damper = rapid.Bool().Draw(t, "damper")
	}
	hot.MovesM3S = rapid.SampledFrom([]float64{0, 0.5, 1.23}).Draw(t, "throws")
	s.Heaters = []site.Heater{hot, warm, dim}
	for i := range s.Spaces {
		if s.Spaces[i].House == nil {
			continue
		}
		fan := site.Fan{
			Name: "fan of " + s.Spaces[i].Name, Space: s.Spaces[i].Name, Kind: site.FanKind(oneOf(t, "circulation", "exhaust", "intake")),
			Count: rapid.IntRange(1, 9).Draw(t, "fans"), MovesM3S: size(t, 0.01, 40), MainsW: size(t, 1, 300), NeedsMains: true, Circuit: "north",
			When: &site.When{Kind: site.WhenKind(rapid.IntRange(0, 1).Draw(t, "when"))},
		}
		if fan.Kind != site.Circulation && rapid.Bool().Draw(t, "at rest") {
			fan.When = nil
		}
		s.Fans = append(s.Fans, fan)
		break
	}
	for _, h := range s.Heaters {
		if h.Fuel == site.Electricity || h.Fuel == "natural gas" || rapid.Bool().Draw(t, "pipe") {
			continue
		}
		c := site.Cylinders{
			Name: "for " + h.Name, Fuel: h.Fuel, HoldsKg: size(t, 0.2, 5000), TareKg: size(t, 0.5, 1000), Feeds: []string{h.Name},
			Count: rapid.IntRange(1, 4).Draw(t, "count"), Spare: 3, Indoors: rapid.Bool().Draw(t, "indoors"),
		}
		c.Together = c.Count > 1 && rapid.Bool().Draw(t, "together")
		for range c.Count {
			c.LeftKg = append(c.LeftKg, c.HoldsKg*share(0))
		}
		c.LeftFrom = oneOf(t, site.FromWeight, site.FromGauge, site.FromHours, site.AsWritten, site.TakenFull)
		c.LeftSpreadKg = map[string]float64{ // the judgement of parse_left.go
			site.FromWeight: 0.2, site.FromGauge: 0.15 * c.HoldsKg, site.FromHours: 0.1 * (c.HoldsKg - slices.Min(c.LeftKg)),
			site.AsWritten: 0.05 * c.HoldsKg, site.TakenFull: 0.2 * c.HoldsKg,
		}[c.LeftFrom]
		s.Cylinders = append(s.Cylinders, c)
	}
	if rapid.Bool().Draw(t, "priced") {
		s.Prices = site.Prices{PerKWh: size(t, 0.01, 1), Set: true}
		if rapid.Bool().Draw(t, "of gas") {
			s.Prices.PerKg = map[string]float64{gas: size(t, 0.1, 20), "kerosene": 1.5}
		}
	}
}

// Any keys of the tables of heat, with values that are good in some place: what is read is written and read again, what is
// refused has a place and a way out.
func TestHeatAnyKeys(t *testing.T) {
	tables := []struct {
		header string
		keys   []string
	}{
		{"[[heater]]", []string{
			`space = "House"`, `kind = "vented gas"`, `kind = "unvented gas"`, `kind = "tank top"`, `kind = "kerosene"`, `kind = "electric"`, `kind = "hot water"`,
			`count = 2`, `input = "5 kW"`, `input = "30000 BTU/h"`, `input = "30000 W"`, `fuel = "propane"`, `fuel = "natural gas"`, `fuel = "kerosene"`,
			`mains = true`, `mains = false`, `power = "150 W"`, `circuit = "K1"`, `setpoint = "40 °F"`, `swing = "3 °C"`, `least = "40 %"`,
			`efficiency = "93.7 %"`, `radiant = "0 %"`, `flue = true`, `flue = false`, `outside_air = true`, `hood = true`, `damper = true`, `moves = "2000 m3/h"`, `cutoff = "18.5 %"`, `portable = true`,
		}},
		{"[[cylinder]]", []string{
			`fuel = "propane"`, `fuel = "kerosene"`, `feeds = ["H0"]`, `feeds = ["h1", "H0"]`, `holds = "20 lb"`, `holds = "5 gal"`, `holds = "9 kg"`, `count = 2`,
			`together = true`, `together = false`, `left = "60 %"`, `left = ["3 kg", "1 gal"]`, `left_from = "hours"`, `left_from = "taken as full"`, `weight = "31 lb"`,
			`empty = "17.3 lb"`, `burned = "2 h 20 min"`, `spare = 4`, `stands = "indoors"`, `stands = "outdoors"`,
		}},
		{"[[fan]]", []string{
			`space = "House"`, `kind = "haf"`, `kind = "exhaust"`, `kind = "in"`, `count = 3`, `moves = "1500 cfm"`, `moves = "2 m3/s"`, `power = "90 W"`,
			`mains = false`, `circuit = "K1"`, `when = "always"`, `when = "evening-morning"`,
		}},
		{"[[circuit]]", []string{`volts = "120 V"`, `amps = "20 A"`, `amps = "80 A"`}},
		{"[[backup]]", []string{`power = "3 kW"`, `hours = "7.3 h"`, `fuel = "petrol"`}},
		{"[prices]", []string{
			`propane = "3.1 per gal"`, `propane = "2.3 per lb"`, `natural_gas = "0.9 per m3"`, `natural_gas = "1.2 per therm"`, `kerosene = "1.1 per litre"`,
			`electricity = "0.31 per kWh"`, `electricity = "9 per MJ"`,
		}},
	}
	read := 0
	one := func(t *rapid.T) {
		var b strings.Builder
		b.WriteString(strings.Replace(heated, "name = \"A\"", "name = \"A\"\nunits = \""+oneOf(t, "us", "metric")+"\"", 1))
		for i, n := range []int{rapid.IntRange(1, 2).Draw(t, "heaters"), rapid.IntRange(0, 1).Draw(t, "cylinders"), rapid.IntRange(0, 1).Draw(t, "fans"), 1, 1, 1} {
			for j := range n {
				b.WriteString(tables[i].header + "\n")
				if i < 5 {
					b.WriteString("name = \"" + string("HCFKB"[i]) + string(rune('0'+j+i/2)) + "\"\n")
				}
				have := map[string]bool{}
				for _, k := range rapid.Permutation(tables[i].keys).Draw(t, "keys") {
					key, _, _ := strings.Cut(k, " ")
					must := slices.Contains([]string{"space", "kind", "input", "mains", "holds", "feeds", "volts", "amps", "power", "hours", "moves"}, key) && (key != "moves" || i == 2)
					if !have[key] && (must && (key != "power" || i == 4) || rapid.IntRange(0, 11).Draw(t, "take") == 0) {
						have[key] = true
						b.WriteString(k + "\n")
					}
				}
			}
		}
		s, _, err := site.Parse([]byte(b.String()), "any.toml", known())
		var ps site.Problems
		if err != nil {
			if !errors.As(err, &ps) || s != nil {
				t.Fatalf("%T %v", err, err)
			}
			for _, p := range ps {
				if p.Line < 14 || p.Hint == "" || strings.Contains(p.Text+p.Hint, `""`) {
					t.Fatalf("%+v\n%s", p, b.String())
				}
			}
			return
		}
		read++
		for _, c := range s.Cylinders {
			if len(c.LeftKg) != c.Count || c.HoldsKg <= 0 || len(c.Feeds) == 0 || c.LeftSpreadKg < 0 {
				t.Fatalf("%+v\n%s", c, b.String())
			}
			for _, kg := range c.LeftKg {
				if kg < 0 || kg > c.HoldsKg {
					t.Fatalf("%+v\n%s", c, b.String())
				}
			}
		}
		for _, h := range s.Heaters {
			if h.Fuel == "" || h.Efficiency <= 0 || h.InputW <= 0 || h.SetpointC != nil && h.SwingK <= 0 || h.Unvented() && h.OutsideAir {
				t.Fatalf("%+v\n%s", h, b.String())
			}
		}
		text := site.Format(s)
		again, _, err := site.Parse(text, "again.toml", known())
		if err != nil {
			t.Fatalf("%v\n%s\nwritten as\n%s", err, b.String(), text)
		}
		if !same(s, again) {
			t.Fatalf("read\n%s\nwrote\n%s\nread again\n%s", b.String(), text, site.Format(again))
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		for range 5 { // about one in twelve is good
			one(t)
		}
	})
	if !testing.Short() && read == 0 { // a short run draws a fifth
		t.Error("no file was good")
	}
	t.Logf("%d good files", read)
}
