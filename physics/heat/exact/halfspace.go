package exact

import "math"

// Erfcx returns exp(x²)·erfc(x) without overflow; relative error below 1e-13
// for x >= 0 (continued fraction from 5 on).
func Erfcx(x float64) float64 {
	if x < 5 {
		return math.Exp(x*x) * math.Erfc(x)
	}
	// Abramowitz & Stegun 7.1.14: √π e^(x²) erfc x = 1/(x+ ½/(x+ 1/(x+ 3/2/(x+ ...
	f := x
	for k := 60; k >= 1; k-- {
		f = x + float64(k)/2/f
	}
	return 1 / (math.Sqrt(math.Pi) * f)
}

// PeriodicSurface returns the excess over the mean [K] at depth x [m] and time t
// [s] in a half-space of diffusivity kappa [m2/s] whose surface swings by swing
// [K] as sin(ωt) with a period [s], long after the start. Carslaw & Jaeger §2.6.
func PeriodicSurface(x, t, kappa, period, swing float64) float64 {
	w := 2 * math.Pi / period
	d := math.Sqrt(2 * kappa / w)
	return swing * math.Exp(-x/d) * math.Sin(w*t-x/d) // Carslaw & Jaeger §2.6 Eq 8
}

// PeriodicFlux returns the temperature excess [K] when the flux into the surface
// swings by q [W/m2] as sin(ωt): an eighth of a period later and by
// q/√(ωkC). Carslaw & Jaeger §2.9.
func PeriodicFlux(x, t, k, c, period, q float64) float64 {
	w := 2 * math.Pi / period
	d := math.Sqrt(2 * k / (c * w))
	return q / math.Sqrt(w*k*c) * math.Exp(-x/d) * math.Sin(w*t-x/d-math.Pi/4)
}

// StepSurface returns the temperature [°C] at depth x [m] and time t [s] in a
// half-space first at startC whose surface is held at surfaceC from t = 0.
func StepSurface(x, t, kappa, startC, surfaceC float64) float64 {
	if t <= 0 {
		return startC
	}
	// Carslaw & Jaeger §2.4: (T-Ts)/(Ti-Ts) = erf(x/2√(κt))
	return surfaceC + (startC-surfaceC)*math.Erf(x/(2*math.Sqrt(kappa*t)))
}

// StepDepth returns the depth [m] that has reached tC [°C] by time t in the same
// problem; tC must lie between surfaceC and startC.
func StepDepth(tC, t, kappa, startC, surfaceC float64) float64 {
	return 2 * math.Sqrt(kappa*t) * math.Erfinv((tC-surfaceC)/(startC-surfaceC))
}

// ConvectiveStep returns the share 0..1 of the way from its first temperature to
// the air's that depth x [m] has gone at time t [s] in a half-space of
// conductivity k [W/mK] and capacity c [J/m3K], cooled through h [W/m2K].
func ConvectiveStep(x, t, k, c, h float64) float64 {
	if t <= 0 {
		return 0
	}
	s := math.Sqrt(k / c * t)
	xi, eta := x/(2*s), h*s/k
	// Carslaw & Jaeger §2.7: erfc ξ - exp(hx/k+h²κt/k²) erfc(ξ+η), the product
	// written as exp(-ξ²)·erfcx(ξ+η)
	return math.Erfc(xi) - math.Exp(-xi*xi)*Erfcx(xi+eta)
}

// ConstantFlux returns the temperature change [K] at depth x [m] and time t [s]
// under a constant flux q [W/m2] taken from or given to the surface.
func ConstantFlux(x, t, k, c, q float64) float64 {
	if t <= 0 {
		return 0
	}
	a := k / c
	r := 2 * math.Sqrt(a*t)
	// Carslaw & Jaeger §2.9 Eq 7
	return 2*q/k*math.Sqrt(a*t/math.Pi)*math.Exp(-x*x/(r*r)) - q*x/k*math.Erfc(x/r)
}

// Brunt returns the fall of the surface [K] in a night of t [s] with constant
// net loss q [W/m2]. Brunt 1932, Q. J. R. Meteorol. Soc. 58. It has no limit:
// over dry peat the loss would stop long before.
func Brunt(t, k, c, q float64) float64 {
	return 2 * q * math.Sqrt(t/(math.Pi*k*c)) // Brunt 1932
}
