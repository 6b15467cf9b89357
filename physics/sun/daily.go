package sun

import "math"

// The daily relations of irrigation practice, for sources that give only a day's sum
// or hours of sunshine. Day of year 1-366, latitude in degrees.

// DeclinationDay returns the sun's declination [rad] on day of year doy. FAO56 Eq 24;
// 1.2° at most from [Position].
func DeclinationDay(doy float64) float64 {
	return 0.409 * math.Sin(2*math.Pi*doy/365-1.39) // FAO56 Eq 24
}

// DistanceDay returns the inverse relative distance to the sun, squared as radiation
// needs it [-]. FAO56 Eq 23.
func DistanceDay(doy float64) float64 {
	return 1 + 0.033*math.Cos(2*math.Pi*doy/365) // FAO56 Eq 23
}

// SunsetAngle returns the hour angle of sunset [rad] at latDeg for declination decl
// [rad]: 0 in polar night, π on a polar day. FAO56 Eq 25.
func SunsetAngle(latDeg, decl float64) float64 {
	x := -math.Tan(latDeg*rad) * math.Tan(decl)
	return math.Acos(math.Min(math.Max(x, -1), 1)) // FAO56 Eq 25
}

// DayLength returns the hours from sunrise to sunset of the sun's centre, without
// refraction [h]; some 8 minutes shorter than [RiseSet]. FAO56 Eq 34.
func DayLength(latDeg, doy float64) float64 {
	return 24 / math.Pi * SunsetAngle(latDeg, DeclinationDay(doy)) // FAO56 Eq 34
}

// ExtraterrestrialDay returns what falls outside the air on a horizontal square metre
// in one day [J/m2]. FAO56 Eq 21.
func ExtraterrestrialDay(latDeg, doy float64) float64 {
	decl := DeclinationDay(doy)
	w := SunsetAngle(latDeg, decl)
	sinLat, cosLat := math.Sincos(latDeg * rad)
	sinDec, cosDec := math.Sincos(decl)
	// FAO56 Eq 21: solar constant 0.0820 MJ/m2min
	return 24 * 60 / math.Pi * 0.0820e6 * DistanceDay(doy) * (w*sinLat*sinDec + cosLat*cosDec*math.Sin(w))
}

// ClearDay returns a clear day's sunshine [J/m2] from the extraterrestrial sum extraDay
// [J/m2] at height elevM [m]. FAO56 Eq 37; 10 % with haze.
func ClearDay(extraDay, elevM float64) float64 {
	return (0.75 + 2e-5*elevM) * extraDay // FAO56 Eq 37
}

// DayFromSunshine returns a day's sunshine [J/m2] from the hours the sun was seen, n,
// of dayLength possible. FAO56 Eq 35 with its standing coefficients.
func DayFromSunshine(n, dayLength, extraDay float64) float64 {
	return (0.25 + 0.50*n/dayLength) * extraDay // FAO56 Eq 35
}
