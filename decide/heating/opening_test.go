package heating

import (
	"strings"
	"testing"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/burner"
)

// With the opening no draw trips, in calm and in wind, with a curtain drawn or none;
// shut, the calm house goes out. The opening costs some fuel, a larger one more.
func TestOpeningKeepsTheFlame(t *testing.T) {
	for _, curtain := range []string{"", "greenhouse film"} {
		sc, sp := build{curtain: curtain, more: flame}.scene(t)
		o := OpeningFor(sp, sc.Written(sp).Lit, sc.Site.ElevationM, night.VoiceOf(sc.Site))
		if o.Under != (curtain != "") || o.Thin || !o.NeedsIt || o.CutM2 != o.EachM2 {
			t.Errorf("curtain %q: %+v", curtain, o)
		}
		for _, wind := range []float64{0, 1, 6} {
			s := nights(sc, -4, wind, 0.1)
			firing := func(m2 float64, cutoff bool) *night.Firing {
				f := sc.Written(sp)
				f.OpeningM2 = m2
				if !cutoff {
					f.Lit = heedless(f.Lit)
				}
				return f
			}
			var ps []night.Protection
			ps = append(ps, night.Protection{Key: "none"}, night.Protection{Key: "shut", Firing: firing(0, true)}, night.Protection{Key: "shut, no device", Firing: firing(0, false)})
			for _, x := range []float64{1, 1.5} {
				ps = append(ps, night.Protection{Key: "open", Firing: firing(x*o.EachM2, true)})
			}
			r, err := sc.Outlook(night.Request{Space: sp, Protections: ps, Members: []weather.Series{s}, Draws: night.Draws(10, 1, 5), From: s.Rows[60].Time, To: s.Rows[84].Time})
			if err != nil {
				t.Fatal(err)
			}
			shut, none, open, wide := r.Options[1].Heat, r.Options[2].Heat, r.Options[3].Heat, r.Options[4].Heat
			used := func(h *night.HeatOutlook) float64 { return h.Lines[0].Mean }
			t.Logf("curtain %-16q wind %.1f m/s: shut trips in %.2f of draws; %.0f cm² low and high keep %.2f %% oxygen in nine of ten, %.2f kg for %.2f shut, half as large again %.2f kg",
				curtain, wind, shut.Lines[0].Trip.Odds, 1e4*o.EachM2, 100*open.Air.LowO2.P10, used(open), used(none), used(wide))
			if open.Lines[0].Trip.Odds > 0 || open.Air.MayTrip > 0 {
				t.Errorf("wind %.1f: with the opening %.2f trip, %.2f may", wind, open.Lines[0].Trip.Odds, open.Air.MayTrip)
			}
			if wind == 0 && shut.Lines[0].Trip.Odds < 0.4 {
				t.Errorf("wind %.1f: shut only %.2f trip", wind, shut.Lines[0].Trip.Odds)
			}
			if cost := used(open)/used(none) - 1; cost <= 0 || cost > 0.5 || used(wide) <= used(open) {
				t.Errorf("wind %.1f: the opening costs %.3f of the fuel; %.3f kg open, %.3f kg wide", wind, cost, used(open), used(wide))
			}
		}
	}
}

// A house that is looked at says what its opening costs against the same heat, not
// against a flame that has gone out.
func TestOpeningCost(t *testing.T) {
	sc, sp := build{more: flame}.scene(t)
	o := OpeningFor(sp, sc.Written(sp).Lit, 0, night.VoiceOf(sc.Site))
	h := look(t, ask(t, sc, sp, nights(sc, -4, 0.5, 0.1), o.EachM2, 8))
	kg := h.Heat.Lines[0].Mean
	t.Logf("open %.2f kg, shut as it would go %.2f kg, the opening uses %.2f kg and costs %.2f; loss %.0f, shut %.0f", kg, h.Sealed.Lines[0].Mean, h.OpeningUses[0], h.OpeningCost, h.Loss, h.SealedLoss)
	if h.Sealed.Lines[0].Trip.Odds < 0.5 || h.OpeningUses[0] <= 0 || h.OpeningUses[0] > 0.35*kg {
		t.Errorf("shut trips in %.2f, the opening uses %.2f of %.2f kg", h.Sealed.Lines[0].Trip.Odds, h.OpeningUses[0], kg)
	}
	if d := h.OpeningCost - 2*h.OpeningUses[0]; d > 1e-9 || d < -1e-9 {
		t.Errorf("%.2f kg at 2 a kg cost %.2f", h.OpeningUses[0], h.OpeningCost)
	}
	if h.SealedLoss < h.Loss {
		t.Errorf("shut loses %.2f, open %.2f", h.SealedLoss, h.Loss)
	}
}

// Sizes: 10 kW of propane, by the published rules and by the need of air; nothing for a
// flue; more up a mountain where the device asks for it; and no false hope higher up.
func TestOpeningFor(t *testing.T) {
	sc, sp := build{more: flame + fan}.scene(t)
	v := night.VoiceOf(sc.Site)
	lit := sc.Written(sp).Lit
	area := func(lit []night.Lit, elev float64) Opening { return OpeningFor(sp, lit, elev, v) }
	low := area(lit, 0)
	if low.BurnW != 7000 || low.LimitO2 != burner.HazardO2 {
		t.Errorf("%+v", low)
	}
	for _, r := range burner.Rules() {
		if r.Key != indoorRule && low.EachM2*2 < r.EachM2(7000)*float64(r.Openings)-1e-9 {
			t.Errorf("%.0f cm² each is less than %s", 1e4*low.EachM2, r.Says)
		}
	}
	if strings.Contains(strings.Join(low.Rules, " "), "other rooms") {
		t.Errorf("a house has no other rooms: %v", low.Rules)
	}
	if o := area(lit[1:], 0); o.NeedsIt || o.EachM2 != 0 || o.CutM2 != 0 {
		t.Errorf("with a flue: %+v", o)
	}
	bare := *sp
	bare.House = nil
	if o := OpeningFor(&bare, lit, 0, v); o.NeedsIt {
		t.Errorf("in the open: %+v", o)
	}
	twice := *lit[0].Heater
	twice.Count = 2
	if o := area([]night.Lit{{Heater: &twice}}, 0); o.EachM2 < 1.9*low.EachM2 || o.EachM2 > 2.1*low.EachM2 {
		t.Errorf("two: %.0f cm², one %.0f cm²", 1e4*o.EachM2, 1e4*low.EachM2)
	}
	some, high := area(lit, 800), area(lit, 1500)
	t.Logf("7 kW: %.0f cm² each at sea level, %.0f at 800 m, %.0f at 1,500 m (%s)", 1e4*low.EachM2, 1e4*some.EachM2, 1e4*high.EachM2, high.Why)
	if some.EachM2 < 1.5*low.EachM2 || some.Thin || !high.Thin || high.LimitO2 != burner.HazardO2 || !strings.Contains(high.Why, "maker") {
		t.Errorf("at 800 m %+v, at 1,500 m %+v", some, high)
	}
	with := *sp
	house := *sp.House
	with.House = &house
	house.OpeningLowM2, house.OpeningHighM2 = 0.03, 0.02
	if o := OpeningFor(&with, lit, 0, v); o.HaveM2 != 0.02 || o.CutM2 != o.EachM2-0.02 {
		t.Errorf("with openings: %+v", o)
	}
}

// Up a mountain the larger opening keeps the device from acting.
func TestOpeningUpAMountain(t *testing.T) {
	sc, sp := build{elevM: 800, more: flame}.scene(t)
	s := nights(sc, -4, 0, 0.1)
	f := func(m2 float64) *night.Firing {
		g := sc.Written(sp)
		g.OpeningM2 = m2
		return g
	}
	v := night.VoiceOf(sc.Site)
	here, sea := OpeningFor(sp, f(0).Lit, 800, v).EachM2, OpeningFor(sp, f(0).Lit, 0, v).EachM2
	r, err := sc.Outlook(night.Request{
		Space: sp, Members: []weather.Series{s}, Draws: night.Draws(12, 1, 5), From: s.Rows[60].Time, To: s.Rows[84].Time,
		Protections: []night.Protection{{Key: "none"}, {Key: "sea", Firing: f(sea)}, {Key: "here", Firing: f(here)}},
	})
	if err != nil {
		t.Fatal(err)
	}
	at := func(k int) float64 { return r.Options[k].Heat.Lines[0].Trip.Odds }
	t.Logf("800 m up: %.0f cm² trips in %.2f of draws, %.0f cm² in %.2f", 1e4*sea, at(1), 1e4*here, at(2))
	if at(2) > 0 {
		t.Errorf("with %.0f cm² it trips in %.2f of draws", 1e4*here, at(2))
	}
}

// The cautions are there for what is lit, each once.
func TestCautions(t *testing.T) {
	h := func(kind site.HeaterKind, fuel string, mains bool) *site.Heater {
		return &site.Heater{Kind: kind, Fuel: fuel, NeedsMains: mains, Vented: kind == site.VentedGas}
	}
	store := &site.Cylinders{}
	for _, c := range []struct {
		name          string
		lit           []night.Lit
		current, wire bool
		want          []Hazard
	}{
		{"nothing", nil, false, false, nil},
		{"cloth", nil, false, true, []Hazard{Wire}},
		{"flame", []night.Lit{{Heater: h(site.UnventedGas, "propane", false), Store: store}, {Heater: h(site.UnventedGas, "propane", false)}}, false, false, []Hazard{Fumes, Fuel, Fire}},
		{"electric", []night.Lit{{Heater: h(site.Electric, site.Electricity, true)}}, false, false, []Hazard{Fire, Current}},
		{"generator", nil, true, false, []Hazard{Current}},
	} {
		var got []Hazard
		for _, x := range Cautions(c.lit, c.current, c.wire) {
			got = append(got, x.Hazard)
			if len(x.Text) < 20 {
				t.Errorf("%s: %q", c.name, x.Text)
			}
		}
		if len(got) != len(c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%s: %v, want %v", c.name, got, c.want)
			}
		}
	}
}

// A flame whose openings would be a missing wall is told to be too large for its house.
func TestOpeningOfAHugeFlame(t *testing.T) {
	sc, sp := build{more: flame}.scene(t)
	lit := sc.Written(sp).Lit
	if o := OpeningFor(sp, lit, 0, night.VoiceOf(sc.Site)); o.TooLarge {
		t.Errorf("a usual flame: %+v", o)
	}
	huge := *lit[0].Heater
	huge.InputW *= 60
	lit[0].Heater = &huge
	o := OpeningFor(sp, lit, 0, night.VoiceOf(sc.Site))
	if !o.TooLarge || o.EachM2 <= 0.25*sp.WidthM*sp.HeightM {
		t.Errorf("sixty times as much: %+v", o)
	}
}
