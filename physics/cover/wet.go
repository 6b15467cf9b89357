package cover

import "math"

// Kon's constant: the areal mass of dew at which drops have closed 1/e of the
// gap between dry and wet emissivity [kg/m2]. Kon et al. 1985, J. Agric. Met.
// 41:115: C3 = 2.0e-3 g/cm2.
const konC3 = 0.020

// filmMass is the areal mass at which a closed film of water has closed 3/4 of
// that gap [kg/m2], fitted to computed films of 5 to 50 µm on 150 µm
// polyethylene (τ met within 0.02).
const filmMass = 0.010

// WetShare returns how far a layer has gone from dry to wet, 0..1, with water
// of kgM2 [kg/m2] on both faces together. Drops (most films, cloth) follow Kon
// et al. 1985, a closed film (anti-drip film, glass) goes faster. Smooth, and
// flat at 0 for drops.
func WetShare(drops bool, kgM2 float64) float64 {
	if !(kgM2 > 0) {
		return 0
	}
	if drops {
		// Kon et al. 1985: ε = ε0 + (1-ε0)·exp{-(C3/W)²}
		x := konC3 / kgM2
		return math.Exp(-x * x)
	}
	x := 1 + kgM2/filmMass
	return 1 - 1/(x*x)
}

// Wet returns the longwave optics of a material with water of filmKgM2 [kg/m2]
// on both faces together. It runs from m.Dry to m.Wet by [WetShare]; Kon's
// limit of 1 is replaced by the wet value of the row, below 1 by what a water
// face throws back.
func Wet(m Material, filmKgM2 float64) Optic {
	return mix(m.Dry, m.Wet, WetShare(m.Drops, filmKgM2))
}

// WetSolar returns the sunlight optics with water of filmKgM2 [kg/m2]. Drops
// throw light back, a closed film does not; the wet row is reached by the same
// share.
func WetSolar(m Material, filmKgM2 float64) SolarOptic {
	f := WetShare(m.Drops, filmKgM2)
	a, b := m.SolarDry, m.SolarWet
	return SolarOptic{a.Tau + f*(b.Tau-a.Tau), a.Rho + f*(b.Rho-a.Rho), a.Abs + f*(b.Abs-a.Abs)}
}

func mix(a, b Optic, f float64) Optic {
	return Optic{a.Tau + f*(b.Tau-a.Tau), a.Rho + f*(b.Rho-a.Rho), a.Eps + f*(b.Eps-a.Eps)}
}
