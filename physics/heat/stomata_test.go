package heat

import (
	"math"
	"testing"
)

// TestStomata holds the law against hand values of STAN87's two factors (82 s/m in
// moist air at 24.5 °C): at 10 hPa 4/(1 + 255·exp(-5.427))^¼ = 3.3145; at 30 °C
// 1 + 0.022593·5.5² = 1.6834; in very dry air 4.
func TestStomata(t *testing.T) {
	const hPa = 461.5 * 298 / 100
	for _, c := range []struct{ t, hPa, want float64 }{
		{24.5, 10, 272},
		{30, 10, 272 * 1.6834},
		{24.5, 40, 272 * 4 / 3.3145},
		{24.5, 0, 272 / 3.3145}, // (1 + 255)^¼ = 4: open
		{4.5, 10, 272 * (1 + 0.022593*400)},
	} {
		r, byK, byDry := stomata(272, c.t, c.hPa/hPa)
		if math.Abs(r-c.want) > 0.001*c.want {
			t.Errorf("%g °C, %g hPa: %.1f s/m, want %.1f", c.t, c.hPa, r, c.want)
		}
		up, _, _ := stomata(272, c.t+1e-4, c.hPa/hPa)
		down, _, _ := stomata(272, c.t-1e-4, c.hPa/hPa)
		if d := (up - down) / 2e-4; math.Abs(d-byK) > 1e-3*math.Max(1, math.Abs(d)) {
			t.Errorf("%g °C, %g hPa: derivative by temperature %g, difference %g", c.t, c.hPa, byK, d)
		}
		up, _, _ = stomata(272, c.t, (c.hPa+1e-3)/hPa)
		down, _, _ = stomata(272, c.t, (c.hPa-1e-3)/hPa)
		if d := (up - down) / 2e-3 * hPa; math.Abs(d-byDry) > 1e-3*math.Max(1, math.Abs(d)) {
			t.Errorf("%g °C, %g hPa: derivative by dryness %g, difference %g", c.t, c.hPa, byDry, d)
		}
	}
}

// TestClosingStomataSteps halves the steps through two days of a house whose stomata
// close: the answer settles, and the steps of the control are near it.
func TestClosingStomataSteps(t *testing.T) {
	c := speedCases(t)[3].cell
	c.Canopy.Closes = true
	w := testWeek(1, false)[:49]
	noon := func(step float64) (worst []float64) {
		s := begun(t, c, &w[0])
		if step > 0 {
			s.err.FixedS = step
		}
		for i := 0; i+1 < len(w); i++ {
			if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
				t.Fatal(err)
			}
			worst = append(worst, s.State(&w[i+1]).AirC)
		}
		return worst
	}
	apart := func(a, b []float64) float64 {
		d := 0.0
		for i := range a {
			d = math.Max(d, math.Abs(a[i]-b[i]))
		}
		return d
	}
	fine := noon(30)
	coarse, half, control := apart(noon(240), fine), apart(noon(120), fine), apart(noon(0), fine)
	t.Logf("air against steps of 30 s: 240 s %.4f K, 120 s %.4f K, steps of the control %.4f K", coarse, half, control)
	if half > coarse/1.7 || control > 0.1 {
		t.Error("want half the steps to halve the error at least, and the control within 0.1 K")
	}
}
