package air

import "math"

// StandardPressure is one atmosphere [Pa].
const StandardPressure = 101325.0

// PressureAt returns the pressure of the standard atmosphere [Pa] at elevation z [m],
// -500 to 10,000. The weather moves the true value by 3 %.
func PressureAt(z float64) float64 {
	return StandardPressure * math.Pow(1-2.25577e-5*z, 5.2559) // ASH17 Eq 3
}

// StandardTemperature returns the temperature of the standard atmosphere [°C] at
// elevation z [m].
func StandardTemperature(z float64) float64 { return 15 - 0.0065*z } // ASH17 Eq 4

// PressureFAO56 is the rival of [PressureAt] in evaporation work [Pa].
func PressureFAO56(z float64) float64 {
	return 101300 * math.Pow((293-0.0065*z)/293, 5.26) // FAO56 Eq 7
}
