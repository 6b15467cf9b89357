package ground

import "math"

// Grid returns n layer thicknesses [m], growing downward by a constant factor
// from first [m] and summing to depth [m]. With n*first >= depth all are equal.
// It panics when n < 1 or a length is not above 0.
func Grid(n int, first, depth float64) []float64 {
	if n < 1 || !(first > 0) || !(depth > 0) {
		panic("ground: Grid needs at least one layer and lengths above 0")
	}
	out := make([]float64, n)
	if n == 1 || float64(n)*first >= depth {
		for i := range out {
			out[i] = depth / float64(n)
		}
		return out
	}
	sum := func(r float64) float64 {
		s, d := 0.0, first
		for range n {
			s += d
			d *= r
		}
		return s
	}
	lo, hi := 1.0, 2.0
	for sum(hi) < depth {
		hi *= 2
	}
	for range 200 {
		r := 0.5 * (lo + hi)
		if r == lo || r == hi {
			break
		}
		if sum(r) < depth {
			lo = r
		} else {
			hi = r
		}
	}
	d, total := first, 0.0
	for i := range out {
		out[i] = d
		total += d
		d *= lo
	}
	for i := range out {
		out[i] *= depth / total // the last bit of the bisection
	}
	return out
}

// Centres returns the depth of the middle of each layer [m].
func Centres(thick []float64) []float64 {
	out := make([]float64, len(thick))
	z := 0.0
	for i, d := range thick {
		out[i] = z + d/2
		z += d
	}
	return out
}

// At returns the value at depth z [m] of a profile given at the layers' middles,
// linear between them and flat beyond the first and the last.
func At(thick, profile []float64, z float64) float64 {
	below, top := 0.0, 0.0
	for i, d := range thick {
		mid := top + d/2
		if z <= mid {
			if i == 0 {
				return profile[0]
			}
			f := (z - below) / (mid - below)
			return (1-f)*profile[i-1] + f*profile[i]
		}
		below, top = mid, top+d
	}
	return profile[len(thick)-1]
}

// DampingDepth returns the depth [m] at which a wave of period [s] is damped to
// 1/e in a medium of diffusivity kappa [m2/s].
func DampingDepth(kappa, period float64) float64 {
	// van Wijk & de Vries 1963: D = √(2κ/ω)
	return math.Sqrt(kappa * period / math.Pi)
}
