package heat

import (
	"errors"
	"math"
	"slices"
	"testing"
)

// begun is a cell with the test tissues at the start of weather w, soil at 7 °C.
func begun(tb testing.TB, c Cell, w *Sample) *Sim {
	tb.Helper()
	s, err := New(c, testTissues()...)
	if err != nil {
		tb.Fatal(err)
	}
	s.Begin(testStart(w))
	return s
}

func testStart(w *Sample) Start {
	return Start{AirC: w.AirC, VapourKgM3: w.VapourKgM3, GroundC: slices.Repeat([]float64{7}, 12)}
}

// watched is what the tests of the numerics compare [°C].
var watchedNames = [...]string{"air", "canopy", "outer", "floor", "leaf", "stem"}

type watched [len(watchedNames)]float64

// look reads air, canopy, outermost skin (local air without one), floor, leaf, stem.
func (s *Sim) look(d *Sample) watched {
	st := s.State(d)
	outer := st.OuterC
	if math.IsNaN(outer) {
		outer = st.LocalC
	}
	return watched{st.AirC, st.CanopyC, outer, st.FloorC, s.Tissue(0), s.Tissue(1)}
}

// minima runs a week and returns the nightly minima, noon to noon, of the hourly
// values; tolK and fixedS of 0 keep the default control.
func minima(tb testing.TB, c Cell, w []Sample, tolK, fixedS float64) ([]watched, Stats) {
	tb.Helper()
	s := begun(tb, c, &w[0])
	if tolK > 0 || fixedS > 0 {
		s.Control(tolK, 3600, fixedS)
	}
	var out []watched
	low := s.look(&w[0])
	for i := range len(w) - 1 {
		if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
			tb.Fatal(err)
		}
		for k, v := range s.look(&w[i+1]) {
			low[k] = min(low[k], v)
		}
		if (i+1)%24 == 12 {
			out = append(out, low)
			low = s.look(&w[i+1])
		}
	}
	return out, s.Stats()
}

func quantile(v []float64, p float64) float64 {
	v = slices.Sorted(slices.Values(v))
	return v[int(p*float64(len(v)-1)+0.5)]
}

// explicitEuler carries the cell by the plainest method there is, from the rates
// alone: no Jacobian, no stages, no elimination. Stable below about half a second.
func (s *Sim) explicitEuler(a, b *Sample, seconds, tau float64) {
	ix, so := &s.ix, &s.soilSys
	var d Sample
	n := int(math.Round(seconds / tau))
	for k := range n {
		d.between(a, b, float64(k)/float64(n))
		s.refreshConductance(0)
		s.refreshOptics(0)
		s.soilTemperatures()
		s.flows(&d, false)
		s.soilFlows(&d)
		for i := range ix.thermal {
			if mt := &s.mats[i]; mt.on {
				s.h[i] += tau * s.sys.r[i] / mt.volumeM3
				s.t[i], _ = mt.mat.Temperature(s.h[i])
			} else {
				s.t[i] += tau * s.sys.r[i] / s.fixed.capacity[i]
			}
		}
		for z := range ix.nz {
			s.q[z] += tau * s.sys.r[ix.thermal+z] / s.cell.Zones[z].DepthM
		}
		for i := 1; i < so.n; i++ {
			s.soil[i] += tau * so.r[i] / s.cell.Ground.Layers[i].ThickM
		}
		s.soil[0] = s.h[ix.soil]
		for f := range ix.nf {
			s.film[f] = max(0, s.film[f]+tau*s.sys.wet[f])
			if f < ix.filmCanopy {
				sk := &s.cell.Skins[f%ix.ns]
				s.film[f] = min(s.film[f], sk.FilmCap*sk.AreaRatio)
			}
		}
		if ix.canopy >= 0 {
			s.film[ix.filmCanopy] = min(s.film[ix.filmCanopy], s.cell.Canopy.FilmCap)
		}
	}
}

// TestAgainstExplicitEuler holds the scheme against the explicit Euler method at
// a quarter of a second, over a gusty night from sunset to sunrise.
func TestAgainstExplicitEuler(t *testing.T) {
	for layers := range 3 {
		w := testWeek(2, true)
		euler, small, free := begun(t, testBed(layers), &w[0]), begun(t, testBed(layers), &w[0]), begun(t, testBed(layers), &w[0])
		small.Control(0, 3600, 15)
		var worstSmall, worstFree watched
		for i := range 30 {
			if i < 17 { // the same past for all three
				for _, s := range []*Sim{euler, small, free} {
					fixed := s.err
					s.Control(0, 3600, 60)
					if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
						t.Fatal(err)
					}
					s.err = fixed
				}
				continue
			}
			euler.explicitEuler(&w[i], &w[i+1], 3600, 0.25)
			for s, worst := range map[*Sim]*watched{small: &worstSmall, free: &worstFree} {
				if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
					t.Fatal(err)
				}
				got, want := s.look(&w[i+1]), euler.look(&w[i+1])
				for k := range 4 { // Euler carries no tissues
					worst[k] = max(worst[k], math.Abs(got[k]-want[k]))
				}
			}
		}
		t.Logf("%d layers, %v: steps of 15 s %.3f K from Euler, steps of the control %.3f K at the worst hour",
			layers, watchedNames[:4], worstSmall[:4], worstFree[:4])
		for k := range 4 {
			if worstSmall[k] > 0.02 {
				t.Errorf("%d layers: %s at 15 s is %.3f K from Euler", layers, watchedNames[k], worstSmall[k])
			}
			if worstFree[k] > 0.25 { // an hour's end, not a minimum
				t.Errorf("%d layers: %s is %.3f K from Euler", layers, watchedNames[k], worstFree[k])
			}
		}
	}
}

// TestAbsurdInputFails: what is no weather is refused, and the state stays as it was.
func TestAbsurdInputFails(t *testing.T) {
	w := testWeek(1, false)
	for name, c := range map[string]struct {
		change func(*Sample)
		want   error
	}{
		"air NaN":      {func(d *Sample) { d.AirC = math.NaN() }, ErrWeather},
		"sun NaN":      {func(d *Sample) { d.SunWM2 = math.NaN() }, ErrWeather},
		"rain NaN":     {func(d *Sample) { d.RainKgM2S = math.NaN() }, ErrWeather},
		"wind +Inf":    {func(d *Sample) { d.WindMS = math.Inf(1) }, ErrWeather},
		"sky -Inf":     {func(d *Sample) { d.SkyWM2 = math.Inf(-1) }, ErrWeather},
		"air 1e200":    {func(d *Sample) { d.AirC = 1e200 }, ErrStep},
		"vapour 1e300": {func(d *Sample) { d.VapourKgM3 = 1e300 }, ErrStep},
		"sky 1e250":    {func(d *Sample) { d.SkyWM2 = 1e250 }, ErrStep},
	} {
		for _, fixedS := range []float64{0, 300} {
			s := begun(t, testBed(2), &w[0])
			if fixedS > 0 {
				s.Control(0, 3600, fixedS)
			}
			before, film := s.look(&w[0]), s.film
			bad := w[1]
			c.change(&bad)
			for _, pair := range [][2]*Sample{{&bad, &bad}, {&w[0], &bad}} {
				err := s.Advance(pair[0], pair[1], 3600)
				if !errors.Is(err, c.want) {
					t.Errorf("%s, fixed %g: error %v, want %v", name, fixedS, err, c.want)
				}
				if pair[0] == &bad && (s.look(&w[0]) != before || s.film != film) {
					t.Errorf("%s, fixed %g: the refused step left a trace", name, fixedS)
				}
			}
			for i, v := range s.look(&w[0]) {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Errorf("%s, fixed %g: %s is %g after the refusal", name, fixedS, watchedNames[i], v)
				}
			}
		}
	}
}

// TestSameEveryTime: a run repeats to the last bit, and a cell that has been used
// before begins like a new one.
func TestSameEveryTime(t *testing.T) {
	w := testWeek(3, true)
	run := func(s *Sim) (all []watched) {
		s.Begin(testStart(&w[0]))
		for i := range 48 {
			if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
				t.Fatal(err)
			}
			all = append(all, s.look(&w[i+1]))
		}
		return all
	}
	s := begun(t, testBed(2), &w[0])
	first, again, other := run(s), run(s), run(begun(t, testBed(2), &w[0]))
	if !slices.Equal(first, again) || !slices.Equal(first, other) {
		t.Error("two runs of the same weather differ")
	}
}

// TestBecomeGoesOn: taking over one's own state changes nothing but the length of
// the next step, and a cover that goes on leaves ground and canopy as they were.
func TestBecomeGoesOn(t *testing.T) {
	w := testWeek(1, false)
	going, twin := begun(t, testBed(1), &w[0]), begun(t, testBed(1), &w[0])
	open := begun(t, testBed(0), &w[0])
	advance := func(i int, sims ...*Sim) {
		for _, s := range sims {
			if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
				t.Fatal(err)
			}
		}
	}
	for i := range 20 {
		advance(i, going, open)
	}
	twin.Become(going)
	if a, b := twin.look(&w[20]), going.look(&w[20]); math.Abs(a[0]-b[0]) > 1e-12 || a[3] != b[3] || a[5] != b[5] {
		t.Errorf("state %v became %v", b, a)
	}
	for i := 20; i < 30; i++ {
		advance(i, going, twin)
	}
	a, b := twin.look(&w[30]), going.look(&w[30])
	for k := range a {
		if math.Abs(a[k]-b[k]) > 0.03 {
			t.Errorf("%s ten hours after taking over: %.3f °C, without %.3f °C", watchedNames[k], a[k], b[k])
		}
	}
	covered := begun(t, testBed(2), &w[0])
	covered.Become(open)
	if covered.soil != open.soil || covered.t[covered.ix.canopy] != open.t[open.ix.canopy] || covered.Tissue(1) != open.Tissue(1) {
		t.Error("ground, canopy or stem jump when a cover goes on")
	}
	advance(20, covered)
}

// TestNoAllocation: after New, a run takes no memory.
func TestNoAllocation(t *testing.T) {
	w := testWeek(1, true)
	s, other := begun(t, testBed(2), &w[0]), begun(t, testBed(0), &w[0])
	n := testing.AllocsPerRun(5, func() {
		s.Begin(Start{AirC: 2, VapourKgM3: 0.004})
		s.Audit(true)
		for i := range 24 {
			if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
				t.Fatal(err)
			}
		}
		s.State(&w[24])
		other.Become(s)
	})
	if n != 0 {
		t.Errorf("%g allocations in a day", n)
	}
}
