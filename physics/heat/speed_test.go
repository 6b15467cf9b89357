package heat

import (
	"math"
	"slices"
	"testing"
)

// speedCase is a cell whose time and whose error of nightly minima are measured.
type speedCase struct {
	name string
	cell Cell
}

// speedCases are an open bed, beds under one and two cloths, a house of film over a
// nearly dry floor and over a wet one, where the film sweats, and the wet one with a
// heater on a thermostat. Numbers invented.
func speedCases(tb testing.TB) []speedCase {
	tb.Helper()
	house := func(moisture float64) Cell {
		c := testBed(0)
		c.Outside.LocalM, c.Zones[0].DepthM = 1.9, 2
		c.Ground.Moisture = moisture
		c = under(c, 2.5, Leak{Still: 2e-4, PerWind: 1e-4, Stack: 1e-4}, findCover(tb, "pe150"))
		c.Skins[0].AreaRatio, c.Skins[0].OuterView = 1.5, 2.5/3
		c.Bench = Bench{Share: 0.4, Layers: testBed(0).Ground.Layers[5:8], WallM2: 0.3}
		return c
	}
	heated := house(1)
	heated.Heaters = []Heater{{AirWM2: 80, RadiantWM2: 20, Zone: 1, SetC: 4, SwingK: 1, Least: 1}}
	return []speedCase{
		{"open", testBed(0)},
		{"1layer", testBed(1)},
		{"2layers", testBed(2)},
		{"house", house(0.1)},
		{"wet house", house(1)},
		{"heated", heated},
	}
}

// speedWeek is [testWeek] with the heaters free to burn.
func speedWeek(seed uint64, gusty bool) []Sample {
	w := testWeek(seed, gusty)
	for i := range w {
		w[i].Burn = [MaxHeaters]float64{1, 1, 1, 1}
	}
	return w
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
	for _, c := range speedCases(t) {
		for _, gusty := range []bool{false, true} {
			var all []float64
			var by [len(watchedNames)][]float64
			steps, rejected, members := 0, 0, 1
			if gusty {
				members = weeks
			}
			for m := range members {
				w := speedWeek(uint64(m), gusty)
				ref, _ := minima(t, c.cell, w, 0, 15)
				got, st := minima(t, c.cell, w, 0, 0)
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
			t.Logf("%s, gusty %-5v: error of nightly minima p95 %.3f K, max %.3f K; %.2f steps/h and %.2f rejected",
				c.name, gusty, p95, worst, float64(steps)/hours, float64(rejected)/hours)
			for k, name := range watchedNames {
				t.Logf("    %-6s p95 %.3f K, max %.3f K", name, quantile(by[k], 0.95), slices.Max(by[k]))
			}
			if p95 > 0.05 {
				t.Errorf("%s: p95 %.3f K above 0.05 K", c.name, p95)
			}
			if worst > 0.2 { // what the 0.05 K leave to the worst one in twenty; seen 0.19
				t.Errorf("%s: worst %.3f K above 0.2 K", c.name, worst)
			}
		}
	}
}

// BenchmarkCellHour runs weeks of hourly weather, four of them in turn; ns/cell-hour
// and steps/h (with the rejected) are what counts.
func BenchmarkCellHour(b *testing.B) {
	for _, c := range speedCases(b) {
		for _, gusty := range []bool{false, true} {
			name := c.name + "/quiet"
			if gusty {
				name = c.name + "/gusty"
			}
			b.Run(name, func(b *testing.B) {
				var weeks [4][]Sample
				for m := range weeks {
					weeks[m] = speedWeek(uint64(m), gusty)
				}
				s, err := New(c.cell)
				if err != nil {
					b.Fatal(err)
				}
				start := testStart(&weeks[0][0])
				b.ReportAllocs()
				b.ResetTimer()
				for n := range b.N {
					w := weeks[n%len(weeks)]
					s.Begin(start)
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
}
