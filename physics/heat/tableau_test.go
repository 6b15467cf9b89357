package heat

import (
	"math"
	"testing"
)

// TestTableau undoes the transformation of the table and checks the method it stands
// for: order 3 (Hairer and Wanner 1996, "Solving Ordinary Differential Equations II",
// IV.7: four conditions with β = α + γ), an embedded solution of order 2, stiff
// accuracy of both and L-stability; and the printed γ and weights of Sandu et al. 1997.
func TestTableau(t *testing.T) {
	const n = rosStages
	type matrix [n][n]float64
	mul := func(a, b matrix) (c matrix) {
		for i := range n {
			for j := range n {
				for k := range n {
					c[i][j] += a[i][k] * b[k][j]
				}
			}
		}
		return c
	}
	tab := rosTableau()
	// Γ from Γ⁻¹ = 1/γ - c by forward substitution, a lower triangle
	var gamma matrix
	for j := range n {
		for i := j; i < n; i++ {
			sum := 0.0
			if i == j {
				sum = 1
			}
			for k := j; k < i; k++ {
				sum += tab.c[i][k] * gamma[k][j]
			}
			gamma[i][j] = sum * rosGamma
		}
	}
	// the second stage starts where the first does, the others where those before left
	var a matrix
	for i := 2; i < n; i++ {
		copy(a[i][:i], tab.m[:i])
	}
	alpha := mul(a, gamma)
	dot := func(b, v [n]float64) (s float64) {
		for i := range n {
			s += b[i] * v[i]
		}
		return s
	}
	times := func(m matrix, v [n]float64) (o [n]float64) {
		for i := range n {
			o[i] = dot(m[i], v)
		}
		return o
	}
	one := [n]float64{1, 1, 1, 1}
	weights := func(m [n]float64) (b [n]float64) {
		for j := range n {
			for i := range n {
				b[j] += m[i] * gamma[i][j]
			}
		}
		return b
	}
	mHat := tab.m
	mHat[n-1] = 0
	b, bHat := weights(tab.m), weights(mHat)
	as, gs := times(alpha, one), times(gamma, one)
	var as2, bs [n]float64
	for i := range n {
		as2[i] = as[i] * as[i]
		bs[i] = as[i] + gs[i]
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-13 {
				t.Errorf("%s %d: table has %.16g, the method %.16g", what, i, got, want)
			}
		}
		near("alpha", []float64{0, 0, 1, 1}[i], as[i])
		near("gammaSum", tab.gammaSum[i], gs[i])
		near("b", tab.b[i], b[i])
		near("stiffly accurate", alpha[n-1][i]+gamma[n-1][i], b[i])
		near("embedded stiffly accurate", alpha[n-2][i]+gamma[n-2][i], bHat[i])
	}
	beta := alpha
	for i := range n {
		for j := range n {
			beta[i][j] += gamma[i][j]
		}
	}
	for _, c := range []struct {
		name string
		got  float64
		want float64
	}{
		{"Σb", dot(b, one), 1},
		{"Σbβ", dot(b, bs), 1.0 / 2},
		{"Σbα²", dot(b, as2), 1.0 / 3},
		{"Σbββ", dot(b, times(beta, bs)), 1.0 / 6},
		{"embedded Σb", dot(bHat, one), 1},
		{"embedded Σbβ", dot(bHat, bs), 1.0 / 2},
	} {
		if math.Abs(c.got-c.want) > 1e-12 {
			t.Errorf("condition %s: %.15g, want %.15g", c.name, c.got, c.want)
		}
	}
	// R(∞) = 1 - bᵀ(A+Γ)⁻¹1 vanishes with stiff accuracy; on the imaginary axis |R| <= 1
	for y := 0.01; y < 1e6; y *= 1.1 {
		if r := stability(alpha, gamma, b, complex(0, y)); r > 1+1e-12 {
			t.Fatalf("|R| %g at %g i", r, y)
		}
	}
	if r := stability(alpha, gamma, b, -1e12); r > 1e-9 {
		t.Errorf("|R| %g far out", r)
	}
}

// stability is |R(z)| = |1 + z bᵀ(1 - z(A+Γ))⁻¹1|, by forward substitution.
func stability(alpha, gamma [rosStages][rosStages]float64, b [rosStages]float64, z complex128) float64 {
	var k [rosStages]complex128
	r := complex(1, 0)
	for i := range rosStages {
		sum := complex(1, 0)
		for j := range i {
			sum += z * complex(alpha[i][j]+gamma[i][j], 0) * k[j]
		}
		k[i] = sum / (1 - z*complex(gamma[i][i], 0))
		r += z * complex(b[i], 0) * k[i]
	}
	return math.Hypot(real(r), imag(r))
}
