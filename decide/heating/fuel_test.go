package heating

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/burner"
)

func cylinders(kg float64, count, spare int, together bool) string {
	out := fmt.Sprintf("[[cylinder]]\nname = \"bottles\"\nfuel = \"propane\"\nholds = \"%g kg\"\nleft = \"%g kg\"\nleft_from = \"weight\"\ncount = %d\nspare = %d\nfeeds = [\"flame\"]\n", kg, kg, count, spare)
	if count > 1 {
		out += fmt.Sprintf("together = %v\n", together)
	}
	return out
}

const torch = `[[heater]]
name = "flame"
space = "House"
kind = "unvented gas"
input = "7 kW"
fuel = "propane"
mains = false
`

// stove burns kerosene from cans: nothing starves it.
const stove = `[[heater]]
name = "flame"
space = "House"
kind = "kerosene"
input = "7 kW"
mains = false
`

func cans(kg float64, count, spare int) string {
	return strings.Replace(cylinders(kg, count, spare, false), "propane", "kerosene", 1)
}

// What to buy is what the night wants less what is there, with the doubt of both (a
// scale is sure to 0.2 kg) and the 3 % that stay in what is taken away, also when all there is runs
// out; the hours left are those of the flame; someone goes before it is needed.
func TestFuelRunsOut(t *testing.T) {
	kerosene, _ := burner.Find("kerosene")
	sc, sp := build{more: stove + cans(3, 1, 0)}.scene(t)
	a := ask(t, sc, sp, nights(sc, -2, 1, 0.5), 0.07, 6)
	h := look(t, a)
	l := h.Fuel[0]
	full := 3600 * kerosene.Rate(7000)
	hours := l.Want.P50 / full // from an hour before sunset to two after sunrise
	t.Logf("%s; burns %.1f h, empty from %v (odds %.2f)", l.Say, hours, l.Empty.Early, l.Empty.Odds)
	if hours < 12 || hours > 18 {
		t.Errorf("a torch burns for %.1f h of a winter night", hours)
	}
	if l.Empty.Odds != 1 || l.Used.P90 > 3.5 || math.Abs(l.BuyKg-(l.Want.P50+math.Hypot(l.Want.P90-l.Want.P50, 1.2816*0.2)-3*0.97)) > 1e-9 || l.Buy != int(math.Ceil(l.BuyKg/3)) {
		t.Errorf("%+v", l)
	}
	if math.Abs(l.HoursFull-3/full) > 1e-9 || math.Abs(l.HoursTonight-l.HoursFull) > 0.1*l.HoursFull {
		t.Errorf("left for %.2f h at full burn and %.2f h at the pace of the night, want %.2f", l.HoursFull, l.HoursTonight, 3/full)
	}
	if len(h.Rounds) != 1 || h.Rounds[0].At.After(l.Empty.Earliest.Add(-roundBefore)) || h.Rounds[0].Carry != "" {
		t.Errorf("rounds %+v", h.Rounds)
	}
	// with enough in the shed nothing is bought and someone changes
	sc, sp = build{more: stove + cans(3, 1, 4)}.scene(t)
	h = look(t, ask(t, sc, sp, nights(sc, -2, 1, 0.5), 0.07, 6))
	l = h.Fuel[0]
	t.Log(l.Say)
	for _, r := range h.Rounds {
		t.Logf("%s %s: %s", r.At.Format("15:04"), r.What, r.Carry)
	}
	if l.Buy != 0 || l.Empty.Odds != 0 || len(h.Rounds) < 2 || math.Abs(l.Used.P50-l.Want.P50) > 1e-9 {
		t.Errorf("with spares: %+v, %d rounds", l, len(h.Rounds))
	}
	for i, r := range h.Rounds {
		if !strings.Contains(r.What, "fill flame") || !strings.Contains(r.What, "cool before") || !strings.Contains(r.What, "never alone") || i > 0 && !r.At.After(h.Rounds[i-1].At) {
			t.Errorf("round %d: %+v", i, r)
		}
		// one in 20 minutes before 3 kg less what is left at the change, at full burn
		if i > 0 {
			if gap := r.At.Sub(h.Rounds[i-1].At).Hours(); gap < 0.75*3/full || gap > 3/full {
				t.Errorf("%.2f h between two changes of %.2f h", gap, 3/full)
			}
		}
	}
	// the second of two connected is turned over to, nothing is carried
	sc, sp = build{more: torch + cylinders(5, 2, 1, false)}.scene(t)
	h = look(t, ask(t, sc, sp, nights(sc, -2, 1, 0.5), 0.07, 3))
	if len(h.Rounds) == 0 || !strings.Contains(h.Rounds[0].What, "turn over") || strings.Contains(h.Rounds[0].Carry, "full") {
		t.Errorf("rounds %+v", h.Rounds)
	}
}

// A manifold is changed as a whole, in one walk.
func TestManifoldIsOneWalk(t *testing.T) {
	sc, sp := build{more: torch + cylinders(4, 2, 2, true)}.scene(t)
	h := look(t, ask(t, sc, sp, nights(sc, 6, 1, 1), 0.07, 2))
	if len(h.Rounds) != 1 || !strings.Contains(h.Rounds[0].What, "change the cylinders of") || !strings.HasPrefix(h.Rounds[0].Carry, "2 full") {
		t.Errorf("%+v", h.Rounds)
	}
	if s := h.Heat.Lines[0].Swaps; s.P50 != 2 {
		t.Errorf("%g cylinders changed, want 2", s.P50)
	}
}

// Two lines on one store: what is there and what to buy stands once, for both.
func TestOneStoreTwoLines(t *testing.T) {
	second := strings.Replace(torch, `"flame"`, `"second"`, 1)
	sc, sp := build{more: torch + second + strings.Replace(cylinders(5, 1, 0, false), `["flame"]`, `["flame", "second"]`, 1)}.scene(t)
	h := look(t, ask(t, sc, sp, nights(sc, -2, 1, 0.5), 0.14, 3))
	a, b := h.Fuel[0], h.Fuel[1]
	if math.Abs(a.BuyKg-(a.Want.P90+b.Want.P90+1.2816*0.2-5*0.97)) > 1e-6 || b.Buy != 0 || b.With != "flame" || !math.IsNaN(b.HaveKg) {
		t.Errorf("%+v\n%+v", a, b)
	}
	propane, _ := burner.Find("propane")
	if math.Abs(a.HoursFull-5/(3600*propane.Rate(14000))) > 1e-9 {
		t.Errorf("left for %.2f h", a.HoursFull)
	}
}

// Prices: by the fuel; hot water is not known.
func TestPrice(t *testing.T) {
	s := &site.Site{Prices: site.Prices{PerKg: map[string]float64{"propane": 2}, PerKWh: 0.3, Set: true}}
	for _, c := range []struct {
		fuel string
		per  float64
		ok   bool
	}{{"propane", 2, true}, {"kerosene", 0, false}, {site.Electricity, 0.3, true}, {site.WarmWater, 0.3, false}} {
		if per, ok := Price(s, &site.Heater{Fuel: c.fuel}); per != c.per || ok != c.ok {
			t.Errorf("%s: %g, %v", c.fuel, per, ok)
		}
	}
}

// Instead of a flame without a flue: the same heat, less what a flue takes.
func TestInstead(t *testing.T) {
	propane, _ := burner.Find("propane")
	sc, sp := build{more: torch}.scene(t)
	h := look(t, ask(t, sc, sp, nights(sc, -2, 1, 0.5), 0.07, 2))
	kg := h.Heat.Lines[0].Mean
	want := map[string]float64{"with a flue": 2 * kg / usualFlue, "with air from outdoors": 2 * kg / usualFlue, "electric": 0.2 * kg * propane.HHV / 3.6e6}
	for _, o := range h.Instead {
		if math.Abs(o.Cost-want[o.Kind]) > 1e-9 || !o.Known {
			t.Errorf("%+v, want %.3f", o, want[o.Kind])
		}
	}
	if len(h.Instead) != 3 {
		t.Errorf("%+v", h.Instead)
	}
	sc, sp = build{more: fan}.scene(t)
	if h = look(t, ask(t, sc, sp, nights(sc, -2, 1, 0.5), 0, 2)); len(h.Instead) != 0 {
		t.Errorf("instead of a flue: %+v", h.Instead)
	}
}

// Nothing lit is refused in words.
func TestLookAtNothing(t *testing.T) {
	sc, sp := build{more: torch}.scene(t)
	a := ask(t, sc, sp, nights(sc, -2, 1, 0.5), 0, 1)
	a.Chosen.Firing = nil
	if _, err := Look(a); err == nil || !strings.Contains(err.Error(), "House") {
		t.Errorf("%v", err)
	}
}
