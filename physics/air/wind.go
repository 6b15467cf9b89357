package air

import "math"

// LogProfile returns the wind [m/s] at height z [m] from u [m/s] at zRef [m] over
// ground of roughness length z0 [m], neutral air: zero at or below z0.
func LogProfile(u, zRef, z, z0 float64) float64 {
	if z <= z0 {
		return 0
	}
	return u * math.Log(z/z0) / math.Log(zRef/z0) // log law
}

// LogProfileDisplaced is [LogProfile] above a canopy whose wind profile starts at
// displacement height d [m] (about 2/3 of the plants' height).
func LogProfileDisplaced(u, zRef, z, z0, d float64) float64 {
	return LogProfile(u, zRef-d, z-d, z0)
}

// GrassWind returns the wind [m/s] at 2 m from u [m/s] at z [m] over clipped grass.
// FAO56 Eq 47: a log law with displacement 0.08 m and roughness 0.0148 m built in.
func GrassWind(u, z float64) float64 {
	return u * 4.87 / math.Log(67.8*z-5.42) // FAO56 Eq 47
}

// Terrain is a class of surroundings for [PowerProfile].
type Terrain struct {
	Exponent float64 // power of the profile
	LayerM   float64 // thickness of the boundary layer [m]
}

// OpenTerrain is flat ground with scattered obstacles, as at an airport.
func OpenTerrain() Terrain { return Terrain{0.14, 270} }

// WoodedTerrain is woods, suburbs, rolling ground.
func WoodedTerrain() Terrain { return Terrain{0.22, 370} }

// CityTerrain is the middle of a town.
func CityTerrain() Terrain { return Terrain{0.33, 460} }

// PowerProfile returns the wind [m/s] at z [m] in terrain at from u [m/s] measured at
// zRef [m] in terrain from. ASHRAE 2005 ch. 16; made for heights above roofs, rough
// below 2 m.
func PowerProfile(u, zRef float64, from Terrain, z float64, at Terrain) float64 {
	// ASHRAE 2005 ch.16 Eq 4: Vmet (dm/zm)^am (z/d)^a
	return u * math.Pow(from.LayerM/zRef, from.Exponent) * math.Pow(z/at.LayerM, at.Exponent)
}
