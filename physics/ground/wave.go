package ground

import "math"

// Year is the length of the mean year [s].
const Year = 365.2425 * 86400

// AnnualWave is the yearly course of the ground's surface.
type AnnualWave struct {
	MeanC      float64 // yearly mean [°C]
	SwingK     float64 // half the range of the yearly course [K]
	WarmestDay float64 // day of year on which the surface is warmest
}

// At returns the temperature [°C] at depth z [m] on day of year (with
// fraction), for ground of diffusivity kappa [m2/s] alike at all depths. The
// sine and uniform ground leave out about 1 K at 1 m.
func (w AnnualWave) At(z, day, kappa float64) float64 {
	d := DampingDepth(kappa, Year)
	phase := 2 * math.Pi * (day - w.WarmestDay) * 86400 / Year
	// van Wijk & de Vries 1963: T = Tm + A e^(-z/D) cos(ω(t-t0) - z/D)
	return w.MeanC + w.SwingK*math.Exp(-z/d)*math.Cos(phase-z/d)
}

// FitWave returns the wave closest (least squares) to surface temperatures tC
// [°C] on days of year, and false when they cannot tell it: fewer than 30, or
// all in one part of the year.
func FitWave(days, tC []float64) (AnnualWave, bool) {
	if len(days) != len(tC) || len(days) < 30 {
		return AnnualWave{}, false
	}
	var a [3][4]float64 // normal equations for 1, cos, sin
	for i, d := range days {
		p := 2 * math.Pi * d * 86400 / Year
		x := [3]float64{1, math.Cos(p), math.Sin(p)}
		for r := range 3 {
			for c := range 3 {
				a[r][c] += x[r] * x[c]
			}
			a[r][3] += x[r] * tC[i]
		}
	}
	n := float64(len(days))
	for k := range 3 {
		// no row exchange is needed: the matrix is symmetric and positive
		if a[k][k] < 0.01*n {
			return AnnualWave{}, false
		}
		for r := range 3 {
			if r == k {
				continue
			}
			f := a[r][k] / a[k][k]
			for c := k; c < 4; c++ {
				a[r][c] -= f * a[k][c]
			}
		}
	}
	mean, p, q := a[0][3]/a[0][0], a[1][3]/a[1][1], a[2][3]/a[2][2]
	warm := math.Atan2(q, p) / (2 * math.Pi) * Year / 86400
	if warm < 0 {
		warm += Year / 86400
	}
	return AnnualWave{mean, math.Hypot(p, q), warm}, true
}
