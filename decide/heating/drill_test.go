package heating

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
)

// With a heater or the mains out nothing is lost less than with all running; what is
// quicker to its limit stands first, and the early minute is no later than the usual.
func TestDrills(t *testing.T) {
	sc, sp := build{more: fan + `[[heater]]
name = "pipes"
space = "House"
kind = "hot water"
input = "1 kW"
setpoint = "8 °C"
mains = false
`}.scene(t)
	h := look(t, ask(t, sc, sp, nights(sc, -4, 1, 0.1), 0, 8))
	if len(h.Drills) != 2 || len(h.Mains) != 4 {
		t.Fatalf("%d drills, %d hours without mains; want 2 and 4", len(h.Drills), len(h.Mains))
	}
	for _, d := range slices.Concat(h.Drills, h.Mains) {
		t.Log(d.Say)
		if d.Loss < h.Loss-1e-9 || math.Abs(d.More-(d.Loss-h.Loss)) > 1e-9 {
			t.Errorf("%s at %v: loss %.3f, %.3f with all running, %.3f more", d.What, d.At, d.Loss, h.Loss, d.More)
		}
		if len(d.Groups) != 2 || d.Early != d.Groups[0].Early {
			t.Fatalf("%s: %+v", d.What, d)
		}
		for i, g := range d.Groups {
			if g.Early > g.Usual || i > 0 && g.Early < d.Groups[i-1].Early || g.Odds < 0 || g.Odds > 1 {
				t.Errorf("%s: %s early %.0f, usual %.0f min, odds %.2f", d.What, g.Group, g.Early, g.Usual, g.Odds)
			}
		}
	}
	if soft := h.Mains[0].Groups[0]; soft.Group != "soft leaf" || math.IsInf(soft.Early, 1) {
		t.Errorf("without mains from 18:00 the soft leaf is first: %+v", h.Mains[0].Groups)
	}
	for i := 1; i < len(h.Mains); i++ {
		if h.Mains[i].Loss > h.Mains[i-1].Loss+1e-9 {
			t.Errorf("without mains from %v it loses more than from %v", h.Mains[i].At, h.Mains[i-1].At)
		}
	}
}

// What stops with the mains is what the site file says, whatever the heater is.
func TestMainsDrillsFollowTheFile(t *testing.T) {
	for _, kind := range []string{"vented gas", "unvented gas", "hot water"} {
		for _, mains := range []bool{true, false} {
			fuel := "fuel = \"propane\"\n"
			if kind == "hot water" {
				fuel = ""
			}
			sc, sp := build{more: "[[heater]]\nname = \"it\"\nspace = \"House\"\nkind = \"" + kind + "\"\ninput = \"9 kW\"\nsetpoint = \"7 °C\"\nmains = " + map[bool]string{true: "true", false: "false"}[mains] + "\n" + fuel}.scene(t)
			h := look(t, ask(t, sc, sp, nights(sc, -5, 1, 0.1), 0, 2))
			if (len(h.Mains) > 0) != mains || len(h.Drills) != 1 {
				t.Errorf("%s, mains = %v: %d hours without mains, %d drills", kind, mains, len(h.Mains), len(h.Drills))
			}
			if mains && math.IsInf(h.Mains[0].Early, 1) {
				t.Errorf("%s: without mains nothing happens", kind)
			}
		}
	}
}

// A house holds longer on a milder night, under a second film and under a curtain, and
// over ground that gives more heat back.
func TestHoldTimes(t *testing.T) {
	early := func(b build, mean float64) float64 {
		b.more = "[[heater]]\nname = \"it\"\nspace = \"House\"\nkind = \"electric\"\ninput = \"20 kW\"\nsetpoint = \"8 °C\"\n"
		sc, sp := b.scene(t)
		h := look(t, ask(t, sc, sp, nights(sc, mean, 1, 0.1), 0, 4))
		return h.Drills[0].Groups[0].Usual
	}
	plain := build{}
	var last float64
	for i, mean := range []float64{-14, -9, -5, -2} {
		m := early(plain, mean)
		t.Logf("mean %3.0f °C: %.0f min", mean, m)
		if i > 0 && m <= last {
			t.Errorf("at a mean of %.0f °C it holds %.1f min, colder %.1f", mean, m, last)
		}
		last = m
	}
	base := early(plain, -5)
	for _, c := range []struct {
		name  string
		more  build
		times float64
	}{{"two films", build{layers: 2}, 1.05}, {"a curtain", build{curtain: "greenhouse film"}, 1.05}} {
		m := early(c.more, -5)
		t.Logf("%s: %.0f min, without %.0f min", c.name, m, base)
		if m < c.times*base {
			t.Errorf("%s: %.1f min, without %.1f min", c.name, m, base)
		}
	}
	wet, dry := early(build{ground: "concrete"}, -5), early(build{ground: "peat", moisture: "dry"}, -5)
	t.Logf("on concrete %.0f min, on dry peat %.0f min", wet, dry)
	if wet <= dry {
		t.Errorf("concrete holds %.1f min, dry peat %.1f min", wet, dry)
	}
}

// Hold times are said rounded down, and a longer one never reads as shorter.
func TestMinutes(t *testing.T) {
	for _, c := range []struct {
		m    float64
		want string
	}{
		{0, "a few minutes"},
		{9.9, "a few minutes"},
		{10, "10 min"},
		{38, "35 min"},
		{99, "95 min"},
		{119, "115 min"},
		{120, "2 h"},
		{299, "4 h"},
		{math.Inf(1), "no time that night"},
	} {
		if got := Minutes(c.m); got != c.want {
			t.Errorf("%.1f: %q, want %q", c.m, got, c.want)
		}
	}
}

// Who is on, across midnight too.
func TestOnDuty(t *testing.T) {
	s := &site.Site{Zone: time.UTC, Crew: []site.Worker{
		{Name: "day", FromMin: 8 * 60, ToMin: 17 * 60}, {Name: "watch", FromMin: 22 * 60, ToMin: 30 * 60},
	}}
	v := night.VoiceOf(s)
	for _, c := range []struct {
		hour int
		want string
	}{{7, ""}, {8, "day"}, {16, "day"}, {17, ""}, {22, "watch"}, {23, "watch"}, {0, "watch"}, {5, "watch"}, {6, ""}} {
		at := time.Date(2026, 1, 5, c.hour, 0, 0, 0, time.UTC)
		got := working(s, at, v)
		if (got == "") != (c.want == "") || c.want != "" && got[:len(c.want)] != c.want {
			t.Errorf("%02d:00: %q, want %q", c.hour, got, c.want)
		}
		if c.want == "" && onDuty(s, at, v)[:6] != "Nobody" {
			t.Errorf("%02d:00: %q", c.hour, onDuty(s, at, v))
		}
	}
}

// Where a flame burns without a flue no drill sends one person in alone; with a flue it
// says who is there, as ever.
func TestDrillSendsTwoToAFlame(t *testing.T) {
	s := &site.Site{Zone: time.UTC, Crew: []site.Worker{{Name: "watch", FromMin: 22 * 60, ToMin: 30 * 60}}}
	for _, c := range []struct {
		heater site.Heater
		two    bool
	}{
		{site.Heater{Name: "gas", Kind: site.UnventedGas}, true},
		{site.Heater{Name: "unit", Kind: site.VentedGas, Vented: true}, false},
		{site.Heater{Name: "fan", Kind: site.Electric}, false},
	} {
		a := Ask{Scene: &night.Scene{Site: s}, Voice: night.VoiceOf(s), Chosen: night.Protection{Firing: &night.Firing{Lit: []night.Lit{{Heater: &c.heater}}}}}
		o := &night.Outlook{Options: make([]night.Result, 2), Stocks: []night.Stock{{Name: "leaf"}}}
		for i := range o.Options {
			o.Options[i].Reach, o.Options[i].Odds = []night.Reach{{Early: 40, Usual: 80, Odds: 1}}, make([]night.Odds, 1)
		}
		for _, hour := range []int{18, 23} { // nobody is on, one is
			d := a.drill(o, failing{heater: c.heater.Name, at: time.Date(2026, 7, 12, hour, 0, 0, 0, time.UTC), night: &Night{}, option: 1})
			for _, said := range []string{d.Who, d.Say} {
				if got := strings.HasSuffix(said, inTwos); got != c.two {
					t.Errorf("%s at %d: %q", c.heater.Name, hour, said)
				}
			}
		}
	}
}
