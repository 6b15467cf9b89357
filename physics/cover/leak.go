package cover

import "math"

const (
	airViscosity = 1.8e-5 // Pa s, at 10 °C rounded; 4 % less at -10 °C
	airDensity   = 1.25   // kg/m3
)

// FibreResistance returns the pressure drop per face velocity [Pa s/m] of a bed
// of fibres: arealKgM2 [kg/m2] of fibres of diameter fibreM [m] and density
// fibreKgM3 [kg/m3] in a thickness thickM [m]. Valid for a solid share of 0.006
// to 0.3 and flows below about 1 m/s. Davies 1952 (formula from memory); bond
// points and thin spots of cloth move it by ±50 %.
func FibreResistance(arealKgM2, fibreM, fibreKgM3, thickM float64) float64 {
	a := arealKgM2 / (fibreKgM3 * thickM)
	// Davies 1952: ΔP = 64 μ U t α^1.5 (1+56α³) / d²
	return 64 * airViscosity * thickM * math.Pow(a, 1.5) * (1 + 56*a*a*a) / (fibreM * fibreM)
}

// LeakVelocity returns the air velocity through a cloth [m/s], with the sign of
// the pressure difference dpPa [Pa], for its resistance [Pa s/m]. An infinite
// resistance passes nothing.
func LeakVelocity(resistance, dpPa float64) float64 {
	if math.IsInf(resistance, 1) {
		return 0
	}
	return dpPa / max(resistance, 0.1)
}

// WindPressure returns the stagnation pressure [Pa] of a wind [m/s].
func WindPressure(windMS float64) float64 { return 0.5 * airDensity * windMS * windMS }

// BuoyancyPressure returns the pressure [Pa] that an enclosure of height [m]
// builds at its top when its air is dT [K] warmer than outside: 0.04 Pa per
// metre and kelvin near 0 °C.
func BuoyancyPressure(heightM, dT float64) float64 {
	return airDensity * 9.81 * heightM * dT / 273.15
}

// Shape says how a cover stands in the wind.
type Shape int

// Shapes of covers.
const (
	Flat   Shape = iota // lying on the crop
	Tunnel              // on hoops, both sides to the ground
	Tent                // with corners and walls
)

// PressureCoefficient returns the pressure difference that drives air through
// the cloth of a cover, as a share of the wind's stagnation pressure at the
// cover's height, averaged without sign over the cover, and its spread (one
// standard deviation of the natural logarithm). Judgement: half the crown
// suction of an arch, -0.8 to -1.2, is balanced by the pressure inside; a sheet
// lying on a crop feels little. No measured value for cloth was found.
func PressureCoefficient(s Shape) (share, spread float64) {
	switch s {
	case Flat:
		return 0.15, 0.5
	case Tunnel:
		return 0.35, 0.4
	default:
		return 0.45, 0.4
	}
}

// ClothExchange returns the air exchanged through a cloth [m/s per m2 of cloth]
// in a wind at the cover's height [m/s]: air enters through one half of the
// cloth and leaves through the other.
func ClothExchange(resistance, windMS, share float64) float64 {
	return 0.5 * LeakVelocity(resistance, share*WindPressure(windMS))
}
