package air

import "math"

// Saturation is a published formula for the saturation pressure over water.
type Saturation struct {
	Key, Source string
	Pressure    func(tC float64) float64 // Pa
}

// Saturations returns the formulas side by side, the one this program uses first.
func Saturations() []Saturation {
	return []Saturation{
		{"HW83", "Hyland and Wexler 1983, as in ASHRAE Fundamentals 2017 ch. 1 Eq 6", SaturationPressureWater},
		{"FAO56", "Allen et al. 1998, FAO Irrigation and Drainage Paper 56, Eq 11 (Tetens 1930 form)", SaturationFAO56},
		{"BOLT80", "Bolton 1980, Mon. Wea. Rev. 108, Eq 10", SaturationBolton},
	}
}

// SaturationFAO56 returns the saturation pressure over water [Pa] at tC [°C], the
// Tetens form of FAO56. Within 0.3 % of HW83 from 0 to 50 °C.
func SaturationFAO56(tC float64) float64 {
	return 610.8 * math.Exp(17.27*tC/(tC+237.3)) // FAO56 Eq 11
}

// SlopeFAO56 returns the derivative of [SaturationFAO56] [Pa/K].
func SlopeFAO56(tC float64) float64 {
	return 4098 * SaturationFAO56(tC) / ((tC + 237.3) * (tC + 237.3)) // FAO56 Eq 13
}

// SaturationBolton returns the saturation pressure over water [Pa] at tC [°C]; the
// source gives 0.1 % from -30 to 35 °C against the tables of its day.
func SaturationBolton(tC float64) float64 {
	return 611.2 * math.Exp(17.67*tC/(tC+243.5)) // BOLT80 Eq 10
}

// RelativeHumidityBolton returns the relative humidity [%] of air at tC with dew point
// dewC, both °C.
func RelativeHumidityBolton(tC, dewC float64) float64 {
	return 100 * SaturationBolton(dewC) / SaturationBolton(tC) // BOLT80 Eq 10 twice
}

// DewPointBolton returns the dew point [°C] of vapour pressure e [Pa].
func DewPointBolton(e float64) float64 {
	x := math.Log(e / 611.2)
	return 243.5 * x / (17.67 - x) // BOLT80 Eq 11
}
