package exact

import "math"

// OnePhase returns the root λ of √π λ e^(λ²) erf λ = Ste, the constant of a
// front X = 2λ√(κt) that moves into material already at its freezing point.
// Ste = c·ΔT/L, above 0. Neumann; Carslaw & Jaeger §11.2.
func OnePhase(ste float64) float64 {
	return bisect(0, 6, func(l float64) float64 {
		return math.SqrtPi*l*math.Exp(l*l)*math.Erf(l) - ste
	})
}

// Stefan is a half-space that freezes from its surface inward.
type Stefan struct {
	KFrozen, CFrozen float64 // [W/mK] [J/m3K]
	K, C             float64 // liquid
	LatentJM3        float64
	StartC           float64 // first temperature, at or above MeltC
	SurfaceC         float64 // held from t = 0, below MeltC
	MeltC            float64
}

// Lambda returns the constant of the front, X = 2λ√(κs t), with both phases.
// Carslaw & Jaeger §11.2 Eq 14 (Neumann's solution).
func (s Stefan) Lambda() float64 {
	as, al := s.KFrozen/s.CFrozen, s.K/s.C
	nu := math.Sqrt(as / al)
	return bisect(1e-9, 5, func(l float64) float64 {
		frozen := s.KFrozen * (s.MeltC - s.SurfaceC) / math.Sqrt(as) * math.Exp(-l*l) / math.Erf(l)
		// e^(-ν²λ²)/erfc(νλ) = 1/erfcx(νλ)
		liquid := s.K * (s.StartC - s.MeltC) / math.Sqrt(al) / Erfcx(nu*l)
		return frozen - liquid - s.LatentJM3*l*math.Sqrt(math.Pi*as)
	})
}

// Front returns the depth [m] frozen by time t [s].
func (s Stefan) Front(t float64) float64 {
	return 2 * s.Lambda() * math.Sqrt(s.KFrozen/s.CFrozen*t)
}

// At returns the temperature [°C] at depth x [m] and time t [s].
func (s Stefan) At(x, t float64) float64 {
	if t <= 0 {
		return s.StartC
	}
	l := s.Lambda()
	as, al := s.KFrozen/s.CFrozen, s.K/s.C
	if x <= 2*l*math.Sqrt(as*t) {
		return s.SurfaceC + (s.MeltC-s.SurfaceC)*math.Erf(x/(2*math.Sqrt(as*t)))/math.Erf(l)
	}
	return s.StartC - (s.StartC-s.MeltC)*math.Erfc(x/(2*math.Sqrt(al*t)))/math.Erfc(l*math.Sqrt(as/al))
}

// Body is the shape of a thing that freezes through.
type Body int

// Shapes of Plank's formula.
const (
	Plate Body = iota
	Cylinder
	Sphere
)

// Plank returns the time [s] to freeze a body through that is at its freezing
// point: latentJM3 [J/m3], dT [K] between freezing point and air, d thickness or
// diameter [m], h [W/m2K], k of the frozen body [W/mK]. Sensible heat is left
// out, so it is a lower bound. Plank 1913.
func Plank(b Body, latentJM3, dT, d, h, k float64) float64 {
	p, r := 1.0/2, 1.0/8
	switch b {
	case Cylinder:
		p, r = 1.0/4, 1.0/16
	case Sphere:
		p, r = 1.0/6, 1.0/24
	}
	return latentJM3 / dT * (p*d/h + r*d*d/k) // Plank 1913
}
