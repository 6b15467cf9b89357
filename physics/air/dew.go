package air

import "math"

const noVapour = 1e-3 // Pa; drier air than this has no dew point worth naming

// DewPoint returns the temperature [°C] at which vapour of pressure e [Pa] saturates
// over water, also below freezing (the "dew point" of weather reports). Inverts HW83
// to better than 1e-6 K between -80 and 150 °C; e below 0.001 Pa counts as 0.001 Pa.
func DewPoint(e float64) float64 {
	return invert(e, false)
}

// FrostPoint returns the temperature [°C] at which vapour of pressure e [Pa] saturates
// over ice. Meaningful at or below [TriplePoint]; above it ice does not exist and the
// formula is merely continued. Inverts HW83 to better than 1e-6 K.
func FrostPoint(e float64) float64 {
	return invert(e, true)
}

// DepositPoint returns the temperature [°C] at which a cooling surface begins to
// gather dew or frost from vapour of pressure e [Pa]: the dew point above freezing,
// the frost point below. It is what slows the cooling of leaf and cover at night.
func DepositPoint(e float64) float64 {
	if e < SaturationPressureIce(TriplePoint) {
		return FrostPoint(e)
	}
	return DewPoint(e)
}

// invert solves ln e(t) = ln e by Newton's method. ln e is nearly linear in 1/T, so
// the start from the Magnus form is close and the iteration converges from any side.
func invert(e float64, ice bool) float64 {
	if !(e > noVapour) {
		e = noVapour
	}
	target := math.Log(e)
	// start: Magnus form with the constants of FAO56 Eq 11
	x := (target - math.Log(610.8)) / 17.27
	t := 237.3 * x / (1 - x)
	t = math.Min(math.Max(t, -95), 190)
	for range 12 {
		var p float64
		if ice {
			p = SaturationPressureIce(t)
		} else {
			p = SaturationPressureWater(t)
		}
		step := (target - math.Log(p)) / saturationSlope(t, ice)
		t += math.Min(math.Max(step, -30), 30)
		if math.Abs(step) < 1e-9 {
			break
		}
	}
	return t
}
