package air

import "math"

// Roughness of a face as building codes class it, the factor Rf of SPAR79.
const (
	VeryRough    = 2.17 // stucco
	Rough        = 1.67 // brick
	MediumRough  = 1.52 // concrete
	MediumSmooth = 1.13 // clear pine
	Smooth       = 1.11 // smooth plaster
	VerySmooth   = 1.00 // glass, film
)

// ForcedFace returns the forced convection coefficient [W/m2K] of one outer face:
// perimeter p [m], area a [m2], wind u [m/s], roughness factor (e.g. [VerySmooth]),
// leeward or windward. SPAR79 as used by Walton 1981.
func ForcedFace(u, p, a, roughness float64, leeward bool) float64 {
	w := 1.0
	if leeward {
		w = 0.5
	}
	return 2.537 * w * roughness * math.Sqrt(p*math.Abs(u)/a) // SPAR79: 2.537 Wf Rf (PV/A)^(1/2)
}

// stillAir is the air speed [m/s] added in squares to forced convection so that its
// slope is finite in calm air.
const stillAir = 0.02

// plateLength is the length [m] of the plate of [ForcedPlate]: a bench, a bay of cloth.
const plateLength = 1.0

// ForcedPlate returns the forced convection coefficient [W/m2K] of a flat face in
// moving air of u [m/s], 0 to 10: SPAR79 for a very smooth square of 1 m side,
// 5.07·u^½, rounded below 0.02 m/s.
func ForcedPlate(u float64) float64 {
	// SPAR79 with P/A = 4/plateLength, Wf = Rf = 1
	return 2.537 * math.Sqrt(4/plateLength*math.Sqrt(u*u+stillAir*stillAir))
}

// MoWiTT returns the convection coefficient [W/m2K] of a smooth outer face (film,
// glass) dT [K] from the air in wind u [m/s] at the building, and the derivative of
// h·dT with respect to dT. Natural and forced parts add in squares; the mean of
// windward and leeward constants is used, for a house has both. YK94 with the
// constants of Booten et al. 2012; smooth surfaces, low-rise.
func MoWiTT(dT, u float64) (h, slope float64) { return MoWiTTWith(dT, MoWiTTForced(u)) }

// MoWiTTForced returns the forced part [W/m2K] of [MoWiTT] in wind u [m/s], for
// callers that meet one wind with many faces.
func MoWiTTForced(u float64) float64 {
	// YK94: a V^b, mean of 3.26 V^0.89 and 3.55 V^0.617
	l := 0.5 * math.Log(u*u+stillAir*stillAir)
	return 0.5 * (3.26*math.Exp(0.89*l) + 3.55*math.Exp(0.617*l))
}

// bayM is the length [m] of the plate of [ForcedSheet]: hoops stand 0.9 to 1.5 m apart
// (common practice, doc/SOURCES.md, facts 1.3); rows of plants and folds part a sheet
// without hoops as finely.
const bayM = 1.2

// ForcedSheet returns the forced convection coefficient [W/m2K] of the outer face of
// cloth or film lying or hooped low in the open, in wind u [m/s] at its height, 0 to
// 10: each bay is a plate in the turbulence of outdoor air, as a leaf is ([LeafForced],
// SCHU72 and POHL21). [MoWiTTForced] was fitted to windows in the wall of a building; it
// gives half of that at 0.3 m/s and as much at 4, and the greater of the two holds.
// Other laws for such a sheet spread by a factor of two around it (SPAR79, MCAD).
func ForcedSheet(u float64) float64 { return math.Max(LeafForced(bayM, u), MoWiTTForced(u)) }

// MoWiTTWindward is [MoWiTT] of a windward face.
func MoWiTTWindward(dT, u float64) (h, slope float64) {
	return MoWiTTWith(dT, 3.26*math.Pow(math.Sqrt(u*u+stillAir*stillAir), 0.89)) // YK94 windward
}

// MoWiTTLeeward is [MoWiTT] of a leeward face.
func MoWiTTLeeward(dT, u float64) (h, slope float64) {
	return MoWiTTWith(dT, 3.55*math.Pow(math.Sqrt(u*u+stillAir*stillAir), 0.617)) // YK94 leeward
}

// MoWiTTWith is [MoWiTT] with its forced part [W/m2K] given.
func MoWiTTWith(dT, forced float64) (h, slope float64) {
	s := dT*dT + SmoothK*SmoothK
	n := 0.84 * cbrt(math.Sqrt(s)) // YK94: Ct dT^(1/3), Ct = 0.84
	h = math.Sqrt(n*n + forced*forced)
	// dh/dT·dT = (n²/h)·dT²/(3s)
	return h, h + n*n/h*dT*dT/(3*s)
}

// CombinedSurface returns the combined convection and radiation coefficient [W/m2K]
// of an outer face in wind u [m/s]: ASHRAE 1989 p. 22.4, D + E·u + F·u². A rival for
// comparisons; never use it beside a separate longwave balance.
func CombinedSurface(u float64, veryRough bool) float64 {
	if veryRough {
		return 11.58 + 5.894*u
	}
	return 8.23 + u*(3.33-0.036*u)
}

// McAdamsFlat returns the coefficient [W/m2K] of a flat outer face in wind u [m/s]
// below 5 m/s: McAdams 1954. A rival; its 5.7 at calm holds some radiation.
func McAdamsFlat(u float64) float64 { return 5.7 + 3.8*u }
