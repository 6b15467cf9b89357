package air

import "math"

const (
	zeroC = 273.15 // 0 °C [K]

	// TriplePoint is the temperature [°C] at which ice, water and vapour meet; the
	// curves over ice and over water cross there.
	TriplePoint = 0.01

	// GasVapour is the gas constant of water vapour [J/kgK] (ASH17 Eq 2:
	// 8314.472/18.015268).
	GasVapour = 461.524
	// GasDry is the gas constant of dry air [J/kgK] (ASH17 Eq 1).
	GasDry = 287.042
	// MassRatio is the molar mass of water over that of dry air (ASH17 Eq 20).
	MassRatio = 0.621945
	// LatentVapour is the latent heat of vaporisation at 0 °C [J/kg] (ASH17 Eq 30;
	// FAO10 ch.3 prints the same 2.501 MJ/kg).
	LatentVapour = 2.501e6
	// LatentFusion is the latent heat of fusion at 0 °C [J/kg] (textbook value,
	// 334 kJ/kg; FAO10 ch.3 prints the ratio 7.5 to LatentVapour).
	LatentFusion = 3.34e5
)

// SaturationPressure returns the vapour pressure [Pa] that air holds in contact
// with ice below [TriplePoint] and with water above it, at tC [°C], -100 to 200.
// HW83 (ASH17 Eq 5 and 6); the source gives 0.01 % for its tables. The two
// branches meet at 0.01 °C within 4e-9, so the function is continuous; its slope
// is not.
func SaturationPressure(tC float64) float64 {
	if tC < TriplePoint {
		return SaturationPressureIce(tC)
	}
	return SaturationPressureWater(tC)
}

// SaturationPressureIce returns the saturation pressure over ice [Pa] at tC [°C],
// -100 to 0.01. HW83 (ASH17 Eq 5).
func SaturationPressureIce(tC float64) float64 {
	t := tC + zeroC
	// ASH17 Eq 5
	return math.Exp(-5.6745359e3/t + 6.3925247 + t*(-9.677843e-3+t*(6.2215701e-7+t*(2.0747825e-9-9.484024e-13*t))) +
		4.1635019*math.Log(t))
}

// SaturationPressureWater returns the saturation pressure over water [Pa] at tC
// [°C]. Source range 0 to 200; below 0 it is the extrapolation over supercooled
// water by which relative humidity and dew point are defined in weather work.
// HW83 (ASH17 Eq 6).
func SaturationPressureWater(tC float64) float64 {
	t := tC + zeroC
	// ASH17 Eq 6
	return math.Exp(-5.8002206e3/t + 1.3914993 + t*(-4.8640239e-2+t*(4.1764768e-5-1.4452093e-8*t)) +
		6.5459673*math.Log(t))
}

// saturationSlope returns d(ln e)/dT [1/K], the derivative of ASH17 Eq 5 or 6.
func saturationSlope(tC float64, ice bool) float64 {
	t := tC + zeroC
	if ice {
		return 5.6745359e3/(t*t) - 9.677843e-3 + t*(2*6.2215701e-7+t*(3*2.0747825e-9-4*9.484024e-13*t)) + 4.1635019/t
	}
	return 5.8002206e3/(t*t) - 4.8640239e-2 + t*(2*4.1764768e-5-3*1.4452093e-8*t) + 6.5459673/t
}

// SaturationSlope returns the derivative of [SaturationPressure] [Pa/K] at tC [°C].
// It jumps from 50.3 to 44.4 Pa/K where ice turns to water.
func SaturationSlope(tC float64) float64 {
	return SaturationPressure(tC) * saturationSlope(tC, tC < TriplePoint)
}

// The eighth root of the saturation density [(kg/m3)^(1/8)] is a polynomial of degree
// four over ice and another over water with the same value at 0 °C, fitted to HW83
// and the gas law at Chebyshev points of -60..0 and 0..70 °C. An eighth root needs no
// logarithm to bend it straight and no exponential to undo it, only three squarings.
const (
	root0  = 0.513685126175395
	ice1   = 0.005054038975441449
	ice2   = 5.85264254557124e-06
	ice3   = -3.5073706505733805e-08
	ice4   = 6.821458911109079e-11
	water1 = 0.004430989295618257
	water2 = 2.436021795601672e-07
	water3 = -3.1592351795304935e-08
	water4 = 8.350398177946566e-11

	fitLow, fitHigh = -60.0, 70.0 // outside, q goes on as an exponential
	joinK           = 0.2         // half width of the joint between ice and water [K]
)

// SaturationDensity returns the vapour density of saturated air q [kg/m3] and its
// derivative dqdT [kg/m3K] at tC [°C], any finite value: over ice below zero, over
// water above, with a smooth joint of ±0.2 K around 0 °C so that an implicit
// integrator can cross freezing. Within 3e-4 of HW83 from -60 to 70 °C (tested);
// outside, exponential growth and decay continue. Made for inner loops.
func SaturationDensity(tC float64) (q, dqdT float64) {
	var r, d float64
	switch {
	case tC >= joinK && tC <= fitHigh:
		r, d = rootWater(tC)
	case tC <= -joinK && tC >= fitLow:
		r, d = rootIce(tC)
	case tC > fitHigh:
		return beyond(tC, fitHigh)
	case tC < fitLow:
		return beyond(tC, fitLow)
	default:
		ri, di := rootIce(tC)
		rw, dw := rootWater(tC)
		u := (tC + joinK) / (2 * joinK)
		s := u * u * (3 - 2*u)
		ds := 6 * u * (1 - u) / (2 * joinK)
		r, d = ri+(rw-ri)*s, di+(dw-di)*s+(rw-ri)*ds
	}
	r2 := r * r
	r4 := r2 * r2
	return r4 * r4, 8 * r4 * r2 * r * d
}

// beyond continues the density from the fit's end as an exponential.
func beyond(tC, end float64) (q, dqdT float64) {
	q, dqdT = SaturationDensity(end)
	f := math.Exp(dqdT / q * (tC - end))
	return q * f, dqdT * f
}

func rootWater(t float64) (r, d float64) {
	r = root0 + t*(water1+t*(water2+t*(water3+t*water4)))
	d = water1 + t*(2*water2+t*(3*water3+t*(4*water4)))
	return r, d
}

func rootIce(t float64) (r, d float64) {
	r = root0 + t*(ice1+t*(ice2+t*(ice3+t*ice4)))
	d = ice1 + t*(2*ice2+t*(3*ice3+t*(4*ice4)))
	return r, d
}
