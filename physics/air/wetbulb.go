package air

import "math"

// RatioFromWetBulb returns the humidity ratio [kg/kg] of air at tC [°C] whose
// thermodynamic wet bulb is wetC [°C] at pressure p [Pa]. Below zero the bulb is
// iced. ASH17 Eq 33 and 35; exact for ideal gases with the source's constants.
func RatioFromWetBulb(tC, wetC, p float64) float64 {
	if wetC < 0 {
		w := HumidityRatio(SaturationPressureIce(wetC), p)
		return ((2830-0.24*wetC)*w - 1.006*(tC-wetC)) / (2830 + 1.86*tC - 2.1*wetC) // ASH17 Eq 35
	}
	return ratioFromWaterBulb(tC, wetC, p)
}

func ratioFromWaterBulb(tC, wetC, p float64) float64 {
	w := HumidityRatio(SaturationPressureWater(wetC), p)
	return ((2501-2.326*wetC)*w - 1.006*(tC-wetC)) / (2501 + 1.86*tC - 4.186*wetC) // ASH17 Eq 33
}

// WetBulb returns the thermodynamic wet bulb [°C] of air at tC [°C], -60 to 60, with
// vapour pressure e [Pa] at pressure p [Pa]. Where both a wet bulb at or above zero
// and an ice bulb below it satisfy the air (a band of a few hundredths of a kelvin)
// the water bulb is given. Inverts [RatioFromWetBulb] to 1e-9 K; saturated air gives
// tC, also over ice.
func WetBulb(tC, e, p float64) float64 {
	w := HumidityRatio(e, p)
	if tC >= 0 && w >= ratioFromWaterBulb(tC, 0, p) {
		return bulb(w, 0, tC, func(x float64) float64 { return ratioFromWaterBulb(tC, x, p) })
	}
	return bulb(w, -110, math.Min(tC, 0), func(x float64) float64 {
		return RatioFromWetBulb(tC, math.Min(x, -1e-12), p)
	})
}

// WaterBulb is [WetBulb] for a bulb whose water has not frozen: sprinkled leaves
// before ice forms; a fresh wick below zero.
func WaterBulb(tC, e, p float64) float64 {
	return bulb(HumidityRatio(e, p), -60, tC, func(x float64) float64 { return ratioFromWaterBulb(tC, x, p) })
}

// bulb bisects for ratio(x) = w, ratio rising.
func bulb(w, lo, hi float64, ratio func(float64) float64) float64 {
	if w >= ratio(hi) {
		return hi
	}
	for range 80 {
		m := 0.5 * (lo + hi)
		if m <= lo || m >= hi {
			break
		}
		if ratio(m) < w {
			lo = m
		} else {
			hi = m
		}
	}
	return 0.5 * (lo + hi)
}

// WetBulbStull returns the wet bulb [°C] of air at tC [°C] and relative humidity rh [%]
// near sea level. STULL11; the source gives -1.0 to +0.65 K for 5 to 99 % and -20 to
// 50 °C. A rival: it knows neither pressure nor ice.
func WetBulbStull(tC, rh float64) float64 {
	// STULL11 Eq 1
	return tC*math.Atan(0.151977*math.Sqrt(rh+8.313659)) + math.Atan(tC+rh) - math.Atan(rh-1.676331) +
		0.00391838*rh*math.Sqrt(rh)*math.Atan(0.023101*rh) - 4.686035
}

// Psychrometer coefficients [1/K], multiplied by the pressure.
const (
	FerrelA       = 0.000660 // FAO10 appendix: Ferrel 1886, with 1+0.00115 tw
	VentilatedA   = 0.000662 // FAO56 Eq 16, Asmann type, about 5 m/s
	NaturallyAirA = 0.000800 // FAO56 Eq 16, naturally ventilated, about 1 m/s
	IndoorA       = 0.001200 // FAO56 Eq 16, indoors, unventilated
)

// VapourPressurePsychrometer returns the vapour pressure [Pa] from dry bulb tC and wet
// bulb wetC [°C] of a whirled psychrometer at pressure p [Pa]; below zero the bulb is
// iced. FAO10 appendix.
func VapourPressurePsychrometer(tC, wetC, p float64) float64 {
	// FAO10 appendix: e = es(tw) - 0.000660 (1+0.00115 tw) P (t-tw)
	return SaturationPressure(wetC) - FerrelA*(1+0.00115*wetC)*p*(tC-wetC)
}

// VapourPressureFAO56 is the rival of [VapourPressurePsychrometer] with coefficient a
// by the bulb's ventilation; water bulb.
func VapourPressureFAO56(tC, wetC, p, a float64) float64 {
	return SaturationFAO56(wetC) - a*p*(tC-wetC) // FAO56 Eq 15, 16
}
