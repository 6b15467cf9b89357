package heat

import (
	"errors"
	"math"
	"slices"
	"testing"

	"example.org/coldnight/physics/cover"
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

// TestMinimaAgainstReference compares nightly minima at the default tolerance with
// a run at fixed steps of 15 s, in a quiet week and in weeks whose wind and cloud
// jump every hour between calm and 10 m/s. The 15 s are held against another method
// by [TestAgainstExplicitEuler].
func TestMinimaAgainstReference(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	const weeks = 4
	for layers := range 3 {
		for _, gusty := range []bool{false, true} {
			var all []float64
			var by [len(watchedNames)][]float64
			steps, rejected, members := 0, 0, 1
			if gusty {
				members = weeks
			}
			for m := range members {
				w := testWeek(uint64(m), gusty)
				ref, _ := minima(t, testBed(layers), w, 0, 15)
				got, st := minima(t, testBed(layers), w, 0, 0)
				steps, rejected = steps+st.Steps, rejected+st.Rejected
				for n := range ref {
					for k := range ref[n] {
						e := math.Abs(got[n][k] - ref[n][k])
						all, by[k] = append(all, e), append(by[k], e)
					}
				}
			}
			p95, worst := quantile(all, 0.95), slices.Max(all)
			hours := 168 * float64(members)
			t.Logf("%d layers, gusty %-5v: error of nightly minima p95 %.3f K, max %.3f K; %.2f steps/h and %.2f rejected",
				layers, gusty, p95, worst, float64(steps)/hours, float64(rejected)/hours)
			for k, name := range watchedNames {
				t.Logf("    %-6s p95 %.3f K, max %.3f K", name, quantile(by[k], 0.95), slices.Max(by[k]))
			}
			if p95 > 0.05 {
				t.Errorf("p95 %.3f K above 0.05 K", p95)
			}
			if worst > 0.2 { // what the 0.05 K leave to the worst one in twenty; seen 0.1
				t.Errorf("worst %.3f K above 0.2 K", worst)
			}
		}
	}
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

// TestOrderOfState halves fixed steps through a smooth night and compares with steps
// of 3 s. Without dew the state converges at order two and better. With it, films
// enter as they are expected in the middle of the step: what is stored keeps its
// order, but covers and leaves, which answer within a minute, show the film of half a
// step ago. That is order one, a hundredth of a kelvin at ten minutes.
func TestOrderOfState(t *testing.T) {
	for _, dew := range []bool{false, true} {
		for layers := range 3 {
			c := testBed(layers)
			if !dew {
				c.Canopy.FilmCap = 0
				for j := range c.Skins {
					c.Skins[j].Optics, c.Skins[j].FilmCap = constant(c.Skins[j].Optics(0)), 0
				}
			}
			w := testWeek(1, false)
			run := func(h float64) watched {
				s := begun(t, c, &w[18])
				for i := 18; i < 29; i++ {
					s.Control(0, 3600, 15)
					if i >= 23 { // from midnight, when the start has been forgotten
						s.Control(0, 3600, h)
					}
					if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
						t.Fatal(err)
					}
				}
				return s.look(&w[29])
			}
			ref := run(3)
			sizes := []float64{1800, 900, 450, 225, 112.5}
			errs := make([]watched, len(sizes))
			for n, h := range sizes {
				got := run(h)
				for k := range got {
					errs[n][k] = math.Abs(got[k] - ref[k])
				}
				t.Logf("%d layers, dew %-5v %5g s: %s %.1e K", layers, dew, h, watchedNames, errs[n])
			}
			order := func(first, last float64) float64 {
				return math.Log2(first/last) / math.Log2(sizes[0]/sizes[len(sizes)-1])
			}
			first, last := errs[0], errs[len(errs)-1]
			if !dew {
				for k, name := range watchedNames[:4] {
					o := order(first[k], last[k])
					t.Logf("%d layers, no dew: %-6s order %.2f", layers, name, o)
					if o < 1.8 {
						t.Errorf("%d layers: %s converges at order %.2f", layers, name, o)
					}
				}
				continue
			}
			o := order(slices.Max(first[:]), slices.Max(last[:]))
			t.Logf("%d layers, dew: order of the worst %.2f", layers, o)
			if o < 0.9 {
				t.Errorf("%d layers, dew: the worst converges at order %.2f", layers, o)
			}
		}
	}
}

func constant(o cover.Optic) func(float64) cover.Optic {
	return func(float64) cover.Optic { return o }
}

// TestFixedStepsFromAnywhere starts an open bed far out of balance, floor 9 K above
// the air, at steps no such scheme can take whole.
func TestFixedStepsFromAnywhere(t *testing.T) {
	w := testWeek(1, false)
	for layers := range 3 {
		for _, h := range []float64{300, 400, 1200} {
			run := func(h float64) (watched, Stats) {
				s := begun(t, testBed(layers), &w[0])
				s.Begin(Start{AirC: -2, VapourKgM3: w[0].VapourKgM3, GroundC: slices.Repeat([]float64{7}, 12)})
				s.Control(0, 3600, h)
				for i := range 34 { // through a sunrise
					if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
						t.Fatalf("%d layers, %g s: %v", layers, h, err)
					}
				}
				return s.look(&w[34]), s.Stats()
			}
			ref, _ := run(15)
			got, st := run(h)
			worst := 0.0
			for k := range got {
				worst = max(worst, math.Abs(got[k]-ref[k]))
			}
			t.Logf("%d layers, fixed steps of %g s: %+v, %.3f K from 15 s", layers, h, st, worst)
			if !(worst < 0.6) {
				t.Errorf("%d layers, fixed steps of %g s: %.2f K from steps of 15 s", layers, h, worst)
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

// BenchmarkCellHour is a week of hourly weather; ns/cell-hour and steps/h (with the
// rejected) are what counts.
func BenchmarkCellHour(b *testing.B) {
	for _, bc := range []struct {
		name   string
		gusty  bool
		layers int
	}{{"smooth/2layers", false, 2}, {"gusty/2layers", true, 2}, {"smooth/bare", false, 0}, {"gusty/bare", true, 0}} {
		b.Run(bc.name, func(b *testing.B) {
			w := testWeek(1, bc.gusty)
			s, err := New(testBed(bc.layers))
			if err != nil {
				b.Fatal(err)
			}
			st := testStart(&w[0])
			b.ReportAllocs()
			b.ResetTimer()
			for range b.N {
				s.Begin(st)
				for i := 0; i+1 < len(w); i++ {
					if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
						b.Fatal(err)
					}
				}
			}
			hours := float64(b.N) * 168
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/hours, "ns/cell-hour")
			b.ReportMetric(float64(s.stats.Steps+s.stats.Rejected)/hours, "steps/h")
		})
	}
}
