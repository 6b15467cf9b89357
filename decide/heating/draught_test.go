package heating

import (
	"math"
	"strings"
	"testing"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
)

// What an opening costs is told three ways that agree: fuel by line, kWh, and the coldest air. A flame without a
// thermostat burns the same with it and the house is colder; one with a thermostat pays in fuel.
func TestOpeningCostsHeat(t *testing.T) {
	for _, c := range []struct {
		name, more string
	}{
		{"thermostat", flame},
		{"burns on", strings.Replace(flame, "setpoint = \"6 °C\"\n", "", 1)},
	} {
		sc, sp := build{more: c.more}.scene(t)
		h := look(t, ask(t, sc, sp, nights(sc, 2, 2, 0.3), 0.03, 3))
		d := &h.Draught
		if !d.Known || len(d.ByHeater) != 1 || len(d.NightOpenC) != len(d.NightShutC) || len(d.NightOpenC) == 0 {
			t.Fatalf("%s: %+v", c.name, d)
		}
		// 50.3 MJ/kg is the higher heating value of propane that physics/burner works out
		near(t, c.name+": kWh", d.KWh, h.OpeningUses[0]*50.324/3.6, 1e-3)
		t.Logf("%s: %.2f kWh, %.2f °C with it, %.2f shut: %s", c.name, d.KWh, d.OpenC, d.ShutC, d.Say(night.VoiceOf(sc.Site)))
		if d.ColderK() < 0 {
			t.Errorf("%s: a hole in the wall warms the house: %.2f °C with it, %.2f shut", c.name, d.OpenC, d.ShutC)
		}
		switch c.name {
		case "thermostat":
			if d.KWh <= 0.5 {
				t.Errorf("the thermostat holds its house with a hole in it for %.2f kWh", d.KWh)
			}
		case "burns on":
			if math.Abs(d.KWh) > 0.05*h.Heat.Lines[0].Mean*50.324/3.6 || d.ColderK() < 0.3 {
				t.Errorf("burning on it takes %.2f kWh more and gets %.2f K colder", d.KWh, d.ColderK())
			}
		}
		if s := d.Say(night.VoiceOf(sc.Site)); strings.Contains(s, "°C") != (d.ColderK() > 0.11) {
			t.Errorf("%s: %q", c.name, s)
		}
	}
	if (&Draught{}).Say(night.Voice{}) != "" {
		t.Error("a draught that was not played is told")
	}
}

// near fails when two numbers are further apart than a share of the second.
func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within*math.Abs(want)) {
		t.Errorf("%s: %.6g, want %.6g within %.3g", what, got, want, within)
	}
}

// Water from a flame without a flue comes down from the roof, hour by hour as much as in all, on the groups beneath; in
// words with its hours.
func TestDripsAreTold(t *testing.T) {
	sc, sp := build{more: flame, moisture: "wet"}.scene(t)
	h := look(t, ask(t, sc, sp, nights(sc, 0, 1.5, 0.2), 0.03, 3))
	if len(h.Drips) == 0 {
		t.Fatal("nothing drips in a wet house with a flame")
	}
	if told := Told(h.Drips, 2); len(told) == 0 || len(told) == 2 && told[0].Edge && told[1].Edge {
		t.Errorf("told are %+v", told)
	}
	told := 0
	for _, d := range h.Drips {
		sum := 0.0
		for _, kg := range d.ByHourKg {
			sum += kg
		}
		t.Logf("%s, %s: %.1f kg (%.1f to %.1f): %s", d.Cell, d.Place, d.AllKg.P50, d.AllKg.P10, d.AllKg.P90, d.Say)
		if d.AllKg.P50 > 1 && (sum < 0.5*d.AllKg.P50 || sum > 1.5*d.AllKg.P50) {
			t.Errorf("%s: %.1f kg by the hour, %.1f in all", d.Place, sum, d.AllKg.P50)
		}
		if d.Say == "" {
			continue
		}
		told++
		if len(d.Groups) != 2 || !strings.Contains(d.Say, "soft leaf") || strings.Contains(d.Say, "wet leaves freeze sooner") == strings.Contains(d.Say, "dry before evening") {
			t.Errorf("%v: %q", d.Groups, d.Say)
		}
		for _, r := range d.Runs {
			if !r.From.Before(r.To) || r.KgM2 < night.Drizzle {
				t.Errorf("%s: %+v", d.Place, r)
			}
		}
	}
	if told == 0 {
		t.Error("no place is told")
	}
}

// A fan that takes air out beside a flue is warned of, whatever the numbers; no other is.
func TestBackdraughtIsAlwaysACaution(t *testing.T) {
	out := "[[fan]]\nname = \"big fan\"\nspace = \"House\"\nkind = \"exhaust\"\nmoves = \"9000 m3/h\"\npower = \"400 W\"\n"
	for _, c := range []struct {
		name, more string
		want       int
	}{
		{"flue and fan", fan + out, 1},
		{"its own air", fan + "outside_air = true\n" + out, 0},
		{"no fan", fan, 0},
		{"no flue", flame + out, 0},
		{"fan that stirs", fan + strings.Replace(out, "exhaust", "circulation", 1), 0},
	} {
		sc, sp := build{more: c.more}.scene(t)
		got := Backdraughts(sc.Site, sp, sc.Written(sp).Lit)
		if len(got) != c.want {
			t.Errorf("%s: %q", c.name, got)
		}
		for _, s := range got {
			if !strings.Contains(s, "carbon monoxide") || !strings.Contains(s, "big fan") || !strings.Contains(s, "local code") || strings.Contains(s, "is safe") {
				t.Errorf("%s: %q", c.name, s)
			}
		}
	}
}

// Fans and blowers hang on circuits and backups like heaters, and stop with the mains: a house whose heater does not need
// them is played through all the same.
func TestFansAndBlowersHangOnTheMains(t *testing.T) {
	more := flame + `[[fan]]
name = "round"
space = "House"
kind = "circulation"
count = 2
moves = "1500 m3/h"
power = "92 W"
circuit = "K1"
[[circuit]]
name = "K1"
volts = "230 V"
amps = "10 A"
[[backup]]
name = "generator"
power = "2 kW"
hours = "10 h"
`
	sc, sp := build{layers: 2, more: more}.scene(t)
	sp.House.BlowerW, sp.House.BlowerCircuit = 46, "K1"
	if l := Circuits(sc.Site, nil); len(l) != 1 || math.Abs(l[0].Amps-1) > 1e-9 || len(l[0].Heaters) != 2 {
		t.Errorf("%+v, want 1 A of fans and blower", l)
	}
	if all, largest := blowersW(sc.Site, sp); all != 230 || largest != 92 {
		t.Errorf("%.0f W, the largest %.0f", all, largest)
	}
	if !blowsOnMains(sc.Site, sp) {
		t.Error("nothing stops with the mains")
	}
	h := look(t, ask(t, sc, sp, nights(sc, 2, 2, 0.3), 0.03, 2))
	if len(h.Mains) == 0 {
		t.Error("the mains out was not played where only fans and a blower need them")
	}
	sp.House.BlowerMains = false
	sc.Site.Fans[0].When = nil
	if blowsOnMains(sc.Site, sp) {
		t.Error("a fan at rest needs the mains")
	}
	var none site.Space
	if blowsOnMains(sc.Site, &none) {
		t.Error("a bed has a blower")
	}
}

// A blown film that falls together shortens how long a house holds when the mains fail; the draws spread the time.
func TestHoldIsShorterUnderSlackFilm(t *testing.T) {
	hold := func(mains string) (early float64, low night.Band) {
		sc, sp := build{layers: 2, more: fan + "outside_air = true\n"}.scene(t)
		sp.House.BlowerMains = mains == "true"
		h := look(t, ask(t, sc, sp, nights(sc, 1, 2, 0), 0, 4))
		for i := range h.Mains {
			if at := h.Mains[i].At.In(sc.Site.Zone); at.Hour() == 18 {
				return h.Mains[i].Early, h.Mains[i].Groups[0].MinC
			}
		}
		t.Fatal("the mains out at 18:00 was not played")
		return 0, low
	}
	up, upLow := hold("false")
	slack, low := hold("true")
	t.Logf("mains out at 18:00: %.0f min and %.2f °C blown up, %.0f and %.2f slack", up, upLow.P50, slack, low.P50)
	if slack >= up || low.P50 >= upLow.P50 {
		t.Errorf("mains out at 18:00: %.0f min and %.2f °C blown up, %.0f and %.2f slack", up, upLow.P50, slack, low.P50)
	}
}
