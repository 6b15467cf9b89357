package plan

import (
	"os"
	"testing"
	"time"
)

// Sixty invented spaces: the gap asked for is 0.5 %. With the worst tenth held down it
// is not always reached within the default number of nodes; then it is said.
func TestSixtyCarefulSpaces(t *testing.T) {
	if testing.Short() {
		t.Skip("long; not in short runs")
	}
	missed, all, sites := 0, 0, uint64(3)
	if os.Getenv("COLDNIGHT_LONG") != "" {
		sites = 8
	}
	for seed := range sites {
		least := 0.0
		for _, care := range []Care{Usual, Careful, VeryCareful} {
			c := withDraws(inventedNursery(seed, 60), seed, 24, 0.05)
			c.Care = care
			m := compiled(t, c, Bounds{})
			began := time.Now()
			a := m.Solve(Limits{Gap: 0.005})
			took := time.Since(began)
			checkAllocation(t, m, a)
			if all++; a.Gap > 0.005 {
				missed++
			}
			if a.Gap > 0.01 || care == Usual && a.Gap > 0.005 {
				t.Errorf("seed %d, %s: gap %.3f %%", seed, care, 100*a.Gap)
			}
			if a.Objective < least {
				t.Errorf("seed %d, %s: %.2f, less than is possible with less care, %.2f", seed, care, a.Objective, least)
			}
			least = max(least, a.Bound)
			g := a.Guard
			t.Logf("seed %d, %s: objective %.2f, gap %.3f %%, worst tenth %.2f (limit %.2f, usual %.2f, least %.2f over %.2f), care costs %.2f..%.2f, %d nodes, %v",
				seed, care, a.Objective, 100*a.Gap, a.WorstTenth, g.Limit, g.UsualTenth, g.Least, g.LeastFloor, g.CareCost.AtLeast, g.CareCost.AtMost, a.Nodes, took.Round(time.Millisecond))
		}
	}
	t.Logf("%d of %d above 0.5 %%", missed, all)
	if missed > 2 {
		t.Errorf("%d of %d above 0.5 %%", missed, all)
	}
}

func BenchmarkCare60(b *testing.B) {
	for _, care := range []Care{Usual, Careful, VeryCareful} {
		b.Run(string(care), func(b *testing.B) {
			c := withDraws(inventedNursery(1, 60), 1, 24, 0)
			c.Care = care
			m, err := Compile(c, Bounds{})
			if err != nil {
				b.Fatal(err)
			}
			var a Allocation
			for b.Loop() {
				a = m.Solve(Limits{Gap: 0.005})
			}
			b.ReportMetric(100*a.Gap, "gap_%")
		})
	}
}
