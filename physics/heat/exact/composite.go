package exact

import "math"

// Slab is one layer of a composite wall or ground.
type Slab struct {
	ThickM float64 // [m]
	K      float64 // [W/mK]
	C      float64 // [J/m3K]
}

// CompositeFlux returns the steady flux [W/m2] from top to bottom through slabs
// in series between outside temperatures [°C], with conductances hTop and
// hBottom [W/m2K] at the faces (+Inf holds the face).
func CompositeFlux(slabs []Slab, hTop, topC, hBottom, bottomC float64) float64 {
	r := 1/hTop + 1/hBottom
	for _, s := range slabs {
		r += s.ThickM / s.K
	}
	return (topC - bottomC) / r
}

// CompositeSteady returns the steady temperature [°C] at depth x [m].
func CompositeSteady(x float64, slabs []Slab, hTop, topC, hBottom, bottomC float64) float64 {
	q := CompositeFlux(slabs, hTop, topC, hBottom, bottomC)
	t := topC - q/hTop
	for _, s := range slabs {
		if x <= s.ThickM {
			return t - q*x/s.K
		}
		t -= q * s.ThickM / s.K
		x -= s.ThickM
	}
	return t
}

// TwoLayers returns the temperature [°C] at depth x [m] and time t [s] of two
// layers in perfect contact, first at startC, with both outer faces held at
// faceC from t = 0. Eigenfunctions of the composite (method of Carslaw & Jaeger
// §12.8; Mikhailov & Özişik 1984): the roots β of
//
//	k1 γ1 cos(γ1 a) sin(γ2 b) + k2 γ2 sin(γ1 a) cos(γ2 b) = 0,  γ = β/√κ.
//
// It uses 400 terms: good to 1e-9 K from a hundredth of the diffusion time on.
func TwoLayers(x, t float64, one, two Slab, startC, faceC float64) float64 {
	k1, k2 := one.K, two.K
	s1, s2 := math.Sqrt(one.C/one.K), math.Sqrt(two.C/two.K)
	a, b := one.ThickM, two.ThickM
	f := func(beta float64) float64 {
		g1, g2 := beta*s1, beta*s2
		return k1*g1*math.Cos(g1*a)*math.Sin(g2*b) + k2*g2*math.Sin(g1*a)*math.Cos(g2*b)
	}
	// Between two neighbouring roots lies at least a small part of the mean
	// distance π/(s1 a + s2 b); 60 samples per distance separate them.
	step := math.Pi / (s1*a + s2*b) / 60
	sum, found := 0.0, 0
	last := step * 1e-3
	for beta := last + step; found < 400; beta += step {
		if (f(last) > 0) == (f(beta) > 0) {
			last = beta
			continue
		}
		root := bisect(last, beta, f)
		last = beta
		found++
		g1, g2 := root*s1, root*s2
		// X1 = sin(γ1 x), X2 = A sin(γ2 (a+b-x)), equal at the contact
		var amp float64
		if math.Abs(math.Sin(g2*b)) > 1e-9 {
			amp = math.Sin(g1*a) / math.Sin(g2*b)
		} else {
			// both sines vanish: the fluxes tell the amplitude
			amp = -k1 * g1 * math.Cos(g1*a) / (k2 * g2 * math.Cos(g2*b))
		}
		norm := one.C*(a/2-math.Sin(2*g1*a)/(4*g1)) + amp*amp*two.C*(b/2-math.Sin(2*g2*b)/(4*g2))
		proj := one.C*(1-math.Cos(g1*a))/g1 + amp*two.C*(1-math.Cos(g2*b))/g2
		shape := math.Sin(g1 * x)
		if x > a {
			shape = amp * math.Sin(g2*(a+b-x))
		}
		decay := math.Exp(-root * root * t)
		sum += proj / norm * shape * decay
		if decay < 1e-17 {
			break
		}
	}
	return faceC + (startC-faceC)*sum
}
