package weather

import (
	"math"
	"slices"
)

// CRPSNormal is the continuous ranked probability score of a normal forecast
// (same unit as y); y the outcome, mu and sigma (> 0) the forecast. Exact.
// Source: Gneiting, Raftery, Westveld & Goldman 2005, Eq. 5.
func CRPSNormal(y, mu, sigma float64) float64 {
	z := (y - mu) / sigma
	phi := math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
	cdf := math.Erfc(-z/math.Sqrt2) / 2
	// Gneiting et al. 2005 Eq 5
	return sigma * (z*(2*cdf-1) + 2*phi - 1/math.Sqrt(math.Pi))
}

// CRPSEnsemble is the continuous ranked probability score of an ensemble whose
// members count alike: mean |xi-y| - 1/2 mean |xi-xj|. NaN without members.
// Source: Gneiting & Raftery 2007, Eq. 21 with the empirical distribution.
func CRPSEnsemble(y float64, members []float64) float64 {
	n := float64(len(members))
	if n == 0 {
		return math.NaN()
	}
	x := slices.Clone(members)
	slices.Sort(x)
	near, pairs := 0.0, 0.0
	for i, v := range x {
		near += math.Abs(v - y)
		pairs += (2*float64(i) - n + 1) * v // sum over i<j of xj-xi
	}
	return near/n - pairs/(n*n)
}

// Brier is the squared error of a probability p [0..1] of an event that
// happened or did not. Source: Brier 1950.
func Brier(p float64, happened bool) float64 {
	if happened {
		return (p - 1) * (p - 1)
	}
	return p * p
}

// IntervalScore is the score of a central interval that should hold the outcome
// with probability 1-alpha: its width plus 2/alpha times the miss.
// Source: Gneiting & Raftery 2007, Eq. 43.
func IntervalScore(y, low, high, alpha float64) float64 {
	s := high - low
	if y < low {
		s += 2 / alpha * (low - y)
	}
	if y > high {
		s += 2 / alpha * (y - high)
	}
	return s
}

// Pinball is the score of a forecast q of the quantile alpha.
// Source: Koenker & Bassett 1978.
func Pinball(y, q, alpha float64) float64 {
	if y >= q {
		return alpha * (y - q)
	}
	return (1 - alpha) * (q - y)
}

// Quantile is the p-quantile [0..1] of values, straight lines between order
// statistics (Hyndman & Fan 1996, type 7). NaN without values.
func Quantile(values []float64, p float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	x := slices.Clone(values)
	slices.Sort(x)
	h := p * float64(len(x)-1)
	i := min(int(math.Floor(h)), len(x)-1)
	j := min(i+1, len(x)-1)
	return x[i] + (h-float64(i))*(x[j]-x[i])
}
