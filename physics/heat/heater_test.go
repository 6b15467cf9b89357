package heat

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// thermostated is a small heated glass house, invented, with one heater.
func thermostated(t testing.TB, h Heater) Cell {
	t.Helper()
	c := leaky(heatedHouse(0.05, 0, findCover(t, "glass3")))
	c.Canopy = lowPlants()
	h.Zone = 1
	c.Heaters = []Heater{h}
	return c
}

// coldHours is hours of steady weather at 0 °C with a wind that changes hourly
// (invented), the first heater free to burn.
func coldHours(n int, burn float64) []Sample {
	w := make([]Sample, n)
	for i := range w {
		w[i] = winterNight(1+float64(i*7%5), 0.3)
		w[i].Burn[0] = burn
	}
	return w
}

func run(t testing.TB, s *Sim, w []Sample) {
	t.Helper()
	for i := range len(w) - 1 {
		if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
			t.Fatal(err)
		}
	}
}

// A thermostat holds its house within the swing, both ledgers stay shut, and the
// full-burn seconds counted are the heat the books received.
func TestThermostatHoldsAndCounts(t *testing.T) {
	h := Heater{AirWM2: 180, RadiantWM2: 60, VapourKgM2S: 6e-6, SetC: 8, SwingK: 2, Least: 1}
	s, err := New(thermostated(t, h))
	if err != nil {
		t.Fatal(err)
	}
	s.Begin(Start{AirC: 5, VapourKgM3: 0.004, GroundC: []float64{5, 5, 5, 5, 5, 5, 5, 5}})
	w := coldHours(25, 1)
	run(t, s, w[:13])
	s.Audit(true)
	before := s.Burnt(0)
	for i := 12; i < 24; i++ {
		if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
			t.Fatal(err)
		}
		if got := s.State(&w[i+1]).AirC; math.Abs(got-h.SetC) > h.SwingK/2 {
			t.Errorf("hour %d: %.2f °C inside, outside the swing of %.0f K around %.0f °C", i, got, h.SwingK, h.SetC)
		}
	}
	l := s.Ledger()
	if l.SchemeGap() > 1e-9 || l.NonlinearGap() > 0.005 {
		t.Errorf("ledgers open by %.1e, %.1e", l.SchemeGap(), l.NonlinearGap())
	}
	lost := 0.0 // radiation that left through the glass
	for _, f := range s.heat.share[0] {
		lost += f
	}
	full := h.AirWM2 + lost*h.RadiantWM2 + Latent*h.VapourKgM2S
	counted := (s.Burnt(0) - before) * full
	if off := counted/l.Scheme[FlowHeat] - 1; math.Abs(off) > 0.005 {
		t.Errorf("counted %.0f kJ/m2, the books received %.0f (%.2f %% off)", counted/1e3, l.Scheme[FlowHeat]/1e3, 100*off)
	}
	if lost < 0.95 || lost > 1 {
		t.Errorf("glass is dark to heat: %.3f of the radiation stays, expected nearly all", lost)
	}
}

// A burner without a thermostat gives what it has; one that is out gives nothing;
// one that starves gives its share; a house never gets warmer by starving.
func TestBurnersWithoutThermostat(t *testing.T) {
	end := func(burn, set float64) (airC, full float64) {
		s, err := New(thermostated(t, Heater{AirWM2: 60, RadiantWM2: 60, SetC: set, SwingK: 2, Least: 1}))
		if err != nil {
			t.Fatal(err)
		}
		s.Begin(Start{AirC: 3, VapourKgM3: 0.004, GroundC: []float64{5, 5, 5, 5, 5, 5, 5, 5}})
		w := coldHours(13, burn)
		run(t, s, w)
		return s.State(&w[12]).AirC, s.Burnt(0) / (12 * 3600)
	}
	none := math.Inf(1)
	out, zero := end(0, none)
	half, part := end(0.5, none)
	all, one := end(1, none)
	if zero != 0 || math.Abs(part-0.5) > 1e-9 || math.Abs(one-1) > 1e-9 {
		t.Errorf("shares of full burn %.3f, %.3f, %.3f; expected 0, 0.5, 1", zero, part, one)
	}
	if !(out < half && half < all) {
		t.Errorf("inside %.1f, %.1f, %.1f °C out, starved, full", out, half, all)
	}
	starved, got := end(0.3, 20)
	if math.Abs(got-0.3) > 1e-6 || starved > half {
		t.Errorf("a starved burner under a thermostat that calls for more gives %.3f of full burn, %.1f °C", got, starved)
	}
}

// Radiation warms what it sees: the same heat as radiation leaves leaves warmer over
// their air than as warm air; cloth inside the house catches most of it.
func TestRadiantHeatWarmsWhatItSees(t *testing.T) {
	leafOverAir := func(radiant, covered bool) (leafK, shine float64) {
		h := Heater{SetC: math.Inf(1), SwingK: 1, Least: 1, AirWM2: 100}
		if radiant {
			h.AirWM2, h.RadiantWM2 = 0, 100
		}
		c := thermostated(t, h)
		if covered {
			c = under(c, 0.5, Leak{Still: 1e-4}, findCover(t, "pp30"))
		}
		s, err := New(c, bareLeaf(0.05))
		if err != nil {
			t.Fatal(err)
		}
		s.Begin(Start{AirC: 3, VapourKgM3: 0.004, GroundC: []float64{5, 5, 5, 5, 5, 5, 5, 5}})
		w := coldHours(13, 1)
		run(t, s, w)
		return s.Tissue(0) - s.State(&w[12]).AirC, s.shine(&w[12])
	}
	warmAir, none := leafOverAir(false, false)
	shone, open := leafOverAir(true, false)
	if none != 0 || math.Abs(open-100*(1-radiantUp)) > 1 {
		t.Errorf("%.0f W/m2 on the plants from a heater of warm air, %.0f from one of radiation", none, open)
	}
	if !(shone > warmAir+1) {
		t.Errorf("leaf over its air: %.2f K in warm air, %.2f K in radiant heat", warmAir, shone)
	}
	if _, hidden := leafOverAir(true, true); !(hidden > 0 && hidden < 0.7*open) {
		t.Errorf("%.0f W/m2 on the plants in the open house, %.0f under cloth", open, hidden)
	}
}

// A heater takes as much as the handbooks' sum of losses needs: k·A·ΔT and leaks.
// The check is one of size: within a tenth of the house's own transfer, found by
// heating at a fixed rate.
func TestThermostatNeedsWhatTheHouseLoses(t *testing.T) {
	c := leaky(heatedHouse(1, 0, findCover(t, "glass3")))
	d := winterNight(3, 0.5)
	k, _ := transfer(t, c, d, 10)
	c.Heaters = []Heater{{AirWM2: 400, SetC: 10, SwingK: 1, Least: 1, Zone: 1}}
	s, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	d.Burn[0] = 1
	s.Begin(Start{AirC: 8, VapourKgM3: d.VapourKgM3})
	for range 30 {
		if err := s.Advance(&d, &d, 3600); err != nil {
			t.Fatal(err)
		}
	}
	st := s.State(&d)
	got := s.HeatWM2(&d) / 1.7 / (st.AirC - st.LocalC)
	if math.Abs(got/k-1) > 0.1 {
		t.Errorf("the thermostat settles at %.2f W/m2K, the house passes %.2f", got, k)
	}
	if v := s.FreshMS(1, &d); v <= 0 || v*3600/2 > 5 {
		t.Errorf("%.2f air changes per hour", v*3600/2)
	}
}

func TestHeatersRefused(t *testing.T) {
	for _, c := range []struct {
		h    Heater
		says string
	}{
		{Heater{Zone: 2, SetC: 5, SwingK: 1}, "zone 2"},
		{Heater{Zone: 1, AirWM2: -1, SetC: 5, SwingK: 1}, "less than nothing"},
		{Heater{Zone: 1, AirWM2: 10, SetC: 5}, "without a swing"},
	} {
		cell := heatedHouse(0.05, 0, findCover(t, "glass3"))
		cell.Heaters = []Heater{c.h}
		if _, err := New(cell); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%+v: %v", c.h, err)
		}
	}
	s, err := New(thermostated(t, Heater{AirWM2: 1, SetC: 5, SwingK: 1}))
	if err != nil {
		t.Fatal(err)
	}
	s.Begin(Start{AirC: 3, VapourKgM3: 0.004})
	d := winterNight(1, 0)
	d.Burn[0] = math.NaN()
	if err := s.Advance(&d, &d, 60); !errors.Is(err, ErrWeather) {
		t.Errorf("a heater's share that is not a number: %v", err)
	}
}
