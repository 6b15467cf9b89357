package heat

import (
	"math"
	"slices"
	"testing"
)

// minima runs a week and returns the nightly minima (noon to noon) of air,
// canopy, outermost skin, floor, leaf and stem.
func minima(tb testing.TB, c Cell, w []Sample, tol, fixed float64) ([][6]float64, Stats) {
	s, err := New(c, testTissues()...)
	if err != nil {
		tb.Fatal(err)
	}
	s.Begin(Start{AirC: w[0].AirC, VapourKgM3: w[0].VapourKgM3, GroundC: slices.Repeat([]float64{7}, 12)})
	if tol > 0 || fixed > 0 {
		s.Control(tol, 3600, fixed)
	}
	var out [][6]float64
	low := [6]float64{99, 99, 99, 99, 99, 99}
	for i := 0; i+1 < len(w); i++ {
		if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
			tb.Fatal(err)
		}
		st := s.State(&w[i+1])
		outer := st.OuterC
		if math.IsNaN(outer) {
			outer = st.LocalC
		}
		for k, v := range [6]float64{st.AirC, st.CanopyC, outer, st.FloorC, s.Tissue(0), s.Tissue(1)} {
			low[k] = math.Min(low[k], v)
		}
		if (i+1)%24 == 12 {
			out = append(out, low)
			low = [6]float64{99, 99, 99, 99, 99, 99}
		}
	}
	return out, s.Stats()
}

// TestMinimaAgainstReference compares nightly minima under weather that jumps
// every hour with a run at very small steps (15 s).
func TestMinimaAgainstReference(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	for _, layers := range []int{0, 2} {
		for _, gusty := range []bool{false, true} {
			var errs []float64
			worst, steps := 0.0, 0
			members := 1
			if gusty {
				members = 4
			}
			for m := range members {
				w := testWeek(uint64(m), gusty)
				c := testBed(layers)
				ref, _ := minima(t, c, w, 0, 15)
				got, st := minima(t, c, w, 0, 0)
				steps += st.Steps + st.Rejected
				for n := range ref {
					for k := range ref[n] {
						e := math.Abs(got[n][k] - ref[n][k])
						errs = append(errs, e)
						worst = math.Max(worst, e)
					}
				}
			}
			slices.Sort(errs)
			p95 := errs[int(0.95*float64(len(errs)))]
			t.Logf("%d layers, gusty %v: error of nightly minima p95 %.4f K, max %.4f K, %.2f steps/h (rejected included)",
				layers, gusty, p95, worst, float64(steps)/168/float64(members))
			if p95 > 0.05 {
				t.Errorf("p95 %.3f K above 0.05 K", p95)
			}
		}
	}
}

// BenchmarkCellHour is one cell under two layers for a week of hourly weather.
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
			st := Start{AirC: w[0].AirC, VapourKgM3: w[0].VapourKgM3, GroundC: slices.Repeat([]float64{7}, 12)}
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
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/168, "ns/cell-hour")
		})
	}
}
