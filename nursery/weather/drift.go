package weather

import (
	"math"
	"math/rand/v2"
	"time"
)

// drift is a smooth random course in time with mean 0 and variance 1: a
// Gaussian process whose correlation at a distance h is (1+h/l) exp(-h/l)
// (Matérn 3/2), stepped exactly. Smooth, because the error of a forecast at
// 2 a.m. is still there at 5 a.m.; a rough course would also let the minimum of
// the night pick its dips and make every night too cold.
type drift struct {
	scaleH float64 // l [h]
	x, v   float64 // value, and slope times l
	ready  bool
}

// scaleFor gives l such that the correlation is r at a distance of h hours.
func scaleFor(h, r float64) float64 {
	low, high := 0.0, 50.0
	for range 60 {
		mid := (low + high) / 2
		if (1+mid)*math.Exp(-mid) > r {
			low = mid
		} else {
			high = mid
		}
	}
	return h / low
}

// next moves dt on and gives the value there.
func (d *drift) next(dt time.Duration, rng *rand.Rand) float64 {
	a, b := rng.NormFloat64(), rng.NormFloat64()
	if !d.ready {
		d.x, d.v, d.ready = a, b, true
		return d.x
	}
	// State (x, l·dx/dt) of the damped second-order process with stationary
	// covariance the identity; transition F, noise I - F·Fᵀ. Rasmussen &
	// Williams 2006, Appendix B.2 (Matérn 3/2), in units of l.
	h := dt.Hours() / d.scaleH
	e := math.Exp(-h)
	f11, f12, f21, f22 := e*(1+h), e*h, -e*h, e*(1-h)
	q11 := max(1-f11*f11-f12*f12, 0)
	q12 := -f11*f21 - f12*f22
	q22 := max(1-f21*f21-f22*f22, 0)
	// Cholesky factor of the noise
	l11 := math.Sqrt(q11)
	l21 := 0.0
	if l11 > 0 {
		l21 = q12 / l11
	}
	l22 := math.Sqrt(max(q22-l21*l21, 0))
	x := f11*d.x + f12*d.v + l11*a
	d.v = f21*d.x + f22*d.v + l21*a + l22*b
	d.x = x
	return d.x
}
