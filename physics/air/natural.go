package air

import "math"

// SmoothK is the half width [K] over which |dT| is rounded in natural convection:
// |dT| becomes (dT²+SmoothK²)^½, so that its cube root is (dT²+SmoothK²)^(1/6). A
// bare cube root has an infinite slope at zero and breaks an implicit integrator.
// The price is a coefficient of about 0.8 W/m2K instead of 0 for faces within
// 0.2 K of the air, and 0.7 % more at 1 K.
const SmoothK = 0.2

// rounded is (dT²+SmoothK²)^(1/6).
func rounded(dT float64) float64 { return cbrt(math.Sqrt(dT*dT + SmoothK*SmoothK)) }

// unstable is 1 for dT well above zero, 0 well below, smooth between.
func unstable(dT float64) float64 { return 0.5 + 0.5*dT/math.Sqrt(dT*dT+SmoothK*SmoothK) }

// NaturalWall returns the natural convection coefficient [W/m2K] of a vertical face
// that differs by dT [K] from the air, either sign. WALT83; turbulent form, so for
// faces taller than about 0.3 m; about 10 % by the source's comparisons.
func NaturalWall(dT float64) float64 {
	return 1.31 * rounded(dT) // WALT83 vertical: 1.31|dT|^(1/3)
}

// NaturalPlate returns the natural convection coefficient [W/m2K] of a horizontal
// face, dT [K] the face minus air below it or above it such that dT > 0 is unstable:
// for a face looking up, face minus air; for a face looking down, air minus face. A
// cold floor or cover on a clear night is the stable, weaker branch. WALT83; the two
// branches are joined over SmoothK, which adds 1.7 % to the stable one at 1 K.
func NaturalPlate(dT float64) float64 { return NaturalTilted(dT, 1) }

// NaturalTilted is [NaturalPlate] for a face whose normal makes an angle with the
// vertical of cosine cosTilt, 0 (wall) to 1 (flat). WALT83 enhanced and reduced.
func NaturalTilted(dT, cosTilt float64) float64 {
	c := math.Abs(cosTilt)
	enhanced := 9.482 / (7.283 - c) // WALT83 enhanced: 9.482|dT|^(1/3)/(7.283-|cos|)
	reduced := 1.810 / (1.382 + c)  // WALT83 reduced: 1.810|dT|^(1/3)/(1.382+|cos|)
	return (reduced + (enhanced-reduced)*unstable(dT)) * rounded(dT)
}
