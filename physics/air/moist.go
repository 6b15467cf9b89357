package air

// VapourPressureRH returns the vapour pressure [Pa] of air at tC [°C] and relative
// humidity rh [%]. Relative humidity counts over water at every temperature, as
// weather services and capacitive sensors report it (WMO-No. 8), so that saturation
// over ice is reached at 91 % at -10 °C.
func VapourPressureRH(tC, rh float64) float64 {
	return rh / 100 * SaturationPressureWater(tC)
}

// VapourPressureDew returns the vapour pressure [Pa] of air whose dew point (over
// water, as weather reports give it) is dewC [°C].
func VapourPressureDew(dewC float64) float64 { return SaturationPressureWater(dewC) }

// RelativeHumidity returns the relative humidity over water [%] of air at tC [°C]
// with vapour pressure e [Pa].
func RelativeHumidity(tC, e float64) float64 {
	return 100 * e / SaturationPressureWater(tC)
}

// VapourDensity returns the mass of vapour per volume [kg/m3] at vapour pressure e
// [Pa] and tC [°C]. Ideal gas.
func VapourDensity(e, tC float64) float64 { return e / (GasVapour * (tC + zeroC)) }

// VapourPressureDensity returns the vapour pressure [Pa] of q [kg/m3] vapour at tC
// [°C]. Ideal gas.
func VapourPressureDensity(q, tC float64) float64 { return q * GasVapour * (tC + zeroC) }

// Density returns the density of moist air [kg/m3] at tC [°C], total pressure p [Pa]
// and vapour pressure e [Pa]. Ideal gases, within 0.1 % at ordinary pressure.
func Density(tC, p, e float64) float64 {
	t := tC + zeroC
	return (p-e)/(GasDry*t) + e/(GasVapour*t)
}

// HumidityRatio returns the mass of vapour per mass of dry air [kg/kg] at vapour
// pressure e [Pa] and total pressure p [Pa]; e < p.
func HumidityRatio(e, p float64) float64 {
	return MassRatio * e / (p - e) // ASH17 Eq 20
}

// VapourPressureRatio returns the vapour pressure [Pa] of humidity ratio w [kg/kg]
// at total pressure p [Pa]. The inverse of [HumidityRatio].
func VapourPressureRatio(w, p float64) float64 {
	return p * w / (MassRatio + w) // ASH17 Eq 20 turned round
}

// Enthalpy returns the enthalpy of moist air per mass of dry air [J/kg], zero for
// dry air and liquid water at 0 °C, at tC [°C] and humidity ratio w [kg/kg].
// Within 1 % of the source's tables from -50 to 85 °C.
func Enthalpy(tC, w float64) float64 {
	return 1000 * (1.006*tC + w*(2501+1.86*tC)) // ASH17 Eq 30
}

// Volume returns the volume of moist air per mass of dry air [m3/kg] at tC [°C],
// humidity ratio w [kg/kg] and total pressure p [Pa].
func Volume(tC, w, p float64) float64 {
	return GasDry * (tC + zeroC) * (1 + 1.607858*w) / p // ASH17 Eq 26
}
