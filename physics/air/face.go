package air

import "math"

// WALT83 for a flat face, see [NaturalTilted] with cosine 1.
const (
	enhancedFlat = 9.482 / (7.283 - 1)
	reducedFlat  = 1.810 / (1.382 + 1)
	turbulent    = 1.31 // WALT83 vertical
)

// Plate returns the convection coefficient [W/m2K] of a flat face of a bench, a floor
// or a cover and the derivative of h·dT with respect to dT. dT [K] is positive when
// the air at the face is unstable, as in [NaturalPlate]; forced3 is the cube of the
// forced part, as of [ForcedPlate]. The parts join as cubes, h³ = hn³ + hf³, the form
// of Churchill and Usagi 1972 for flows that assist each other. The cube of natural
// convection needs no cube root, so the whole takes one.
func Plate(dT, forced3 float64) (h, slope float64) {
	const rise = 0.5 * (enhancedFlat - reducedFlat)
	r := math.Sqrt(dT*dT + SmoothK*SmoothK) // rounded |dT|
	inv := 1 / r
	x := dT * inv
	c := (reducedFlat + rise) + rise*x // WALT83, branches joined by unstable(dT)
	n3 := c * c * c * r
	h = cbrt(n3 + forced3)
	// d(n³)/dT·dT = n³·x² + 3c²·r·dT·dc/dT, dc/dT = rise·SmoothK²/r³
	d := n3*x*x + 3*c*c*rise*SmoothK*SmoothK*inv*x
	return h, h + d/(3*h*h)
}

// Wall is [Plate] for a vertical face, dT [K] of either sign, with the natural part of
// [NaturalWall].
func Wall(dT, forced3 float64) (h, slope float64) {
	s := dT*dT + SmoothK*SmoothK
	n3 := turbulent * turbulent * turbulent * math.Sqrt(s)
	h = cbrt(n3 + forced3)
	return h, h + n3*dT*dT/(3*s*h*h)
}

func cube(x float64) float64 { return x * x * x }
