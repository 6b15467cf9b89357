package weather

import (
	"math"
	"testing"
)

func near(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.10g, want %.10g ± %g", name, got, want, tol)
	}
}

func TestScores(t *testing.T) {
	// Gneiting et al. 2005, value of the R package scoringRules' own test; scale .9 gives .9 times.
	near(t, "CRPS normal -3", CRPSNormal(-3, 0, 1), 2.43657473, 1e-8)
	near(t, "CRPS normal -3, scale .9", CRPSNormal(-2.7, 0, 0.9), 0.9*2.43657473, 1e-8)
	// computed by quadrature
	for _, c := range [][4]float64{{0, 0, 1, 0.2336949773}, {1, 0, 1, 0.6024413576}, {2, 0, 1, 1.4527918217}, {-2, -1, 1.5, 0.6070745662}} {
		near(t, "CRPS normal", CRPSNormal(c[0], c[1], c[2]), c[3], 1e-9)
	}
	// scoringrules' test
	near(t, "CRPS ensemble", CRPSEnsemble(-0.6042506, []float64{1.7812118, 0.5863797, 0.7038174, -0.7743998, -0.2751647, 1.1863249, 1.2990966, -0.3242982, -0.5968781, 0.9064937}), 0.6126602, 1e-7)
	// properscoring's toy cases
	for _, c := range []struct {
		y    float64
		ens  []float64
		want float64
	}{
		{0, []float64{0, 1}, 0.25},
		{2, []float64{0, 1}, 1.25},
		{0, []float64{-1, 1}, 0.5},
		{0, []float64{0, 0, 1}, 0.1111111111},
		{1, []float64{0, 0, 1}, 0.4444444444},
		{0, []float64{-1, 0, 0, 1}, 0.125},
	} {
		near(t, "CRPS toy", CRPSEnsemble(c.y, c.ens), c.want, 1e-9)
	}
	near(t, "Brier", Brier(0.271, false), 0.073441, 1e-9)                 // scoringrules' test
	near(t, "interval score", IntervalScore(0.1, 0, 0.4, 0.5), 0.4, 1e-9) // scoringrules' test
	near(t, "pinball", Pinball(0.3, 0.5, 0.2), 0.16, 1e-9)                // scoringrules' test
	near(t, "pinball", Pinball(0.3, 0.1, 0.2), 0.04, 1e-9)                // scoringrules' test
	near(t, "quantile", Quantile([]float64{4, 1, 3, 2}, 0.5), 2.5, 1e-12) // invented
	if !math.IsNaN(CRPSEnsemble(0, nil)) || !math.IsNaN(Quantile(nil, 0.5)) {
		t.Error("no members must give NaN")
	}
}
