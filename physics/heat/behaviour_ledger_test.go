package heat

import (
	"slices"
	"testing"

	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/ground"
)

// TestLedgersFall: the two ledgers of a night, at the steps the control takes and at
// fixed steps halved three times, each from the same settled state an hour after
// sunset: (a) to rounding at any step; (b), flows recomputed from the formulas at the
// ends of the steps, at most 0.5 % of the night's gross exchange and falling. A cell
// whose outdoor air is held misses the 0.5 % at the steps of the control and falls with
// the first order of the step only: the recomputed flow goes through the holding.
func TestLedgersFall(t *testing.T) {
	moist := openBed(ground.Soil(ground.Loam, ground.Moist), 0.35, 0.3)
	moist.Canopy = lowPlants()
	pp := findCover(t, "pp30")
	house := heatedHouse(0.35, 0.1, findCover(t, "pe150"), findCover(t, "pe150"))
	house.Ground.Layers = slices.Clone(moist.Ground.Layers)
	for _, c := range []struct {
		name string
		cell Cell
		held bool // the outdoor air of the open ground beside it
	}{
		{"open bed", moist, false},
		{"one cloth", under(moist, 0.3, tightHem(), pp), false},
		{"one cloth, air held", under(moist, 0.3, tightHem(), pp), true},
		{"two cloths", under(moist, 0.3, looseHem(), []cover.Material{pp, pp}...), false},
		{"double film house", house, false},
	} {
		day := firstFrost()
		w := day.days(3)
		if c.held {
			w = washed(t, moist, w, 11)
		}
		settled := func() *Sim {
			s := behave(t, c.cell, w[:43], 11, nil) // to 18 h of the second day
			s.Audit(true)
			return s
		}
		run := func(s *Sim) (Ledger, bool) {
			for i := 42; i < 55; i++ {
				if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
					t.Errorf("%s: hour %d: %v", c.name, i, err)
					return Ledger{}, false
				}
			}
			return s.Ledger(), true
		}
		free := settled()
		l, _ := run(free)
		t.Logf("%-19s steps of the control: (a) %.1e (b) %.1e", c.name, l.SchemeGap(), l.NonlinearGap())
		limit := 0.005
		if c.held {
			limit = ledgerLimit
		}
		if l.SchemeGap() > 1e-9 || l.NonlinearGap() > limit {
			t.Errorf("%s: ledgers open by %.1e and %.1e", c.name, l.SchemeGap(), l.NonlinearGap())
		}
		var gaps []float64
		for _, step := range []float64{400, 200, 100, 50} {
			s := settled()
			s.Control(0, 3600, step)
			l, ok := run(s)
			if !ok {
				break
			}
			if l.SchemeGap() > 1e-9 {
				t.Errorf("%s: ledger (a) open by %.1e at %g s", c.name, l.SchemeGap(), step)
			}
			gaps = append(gaps, l.NonlinearGap())
		}
		t.Logf("%-19s (b) at 400, 200, 100, 50 s: %.1e", c.name, gaps)
		if n := len(gaps); n == 4 && (gaps[3] > gaps[0]/4 || gaps[3] > 0.005) {
			t.Errorf("%s: ledger (b) does not fall with the step: %.1e", c.name, gaps)
		}
	}
}
