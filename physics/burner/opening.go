package burner

import "math"

const (
	gravity   = 9.80665
	discharge = 0.6 // of a sharp-edged opening, ASHRAE Fundamentals
	calmK     = 0.1 // below it the square root is rounded off [K]

	// windEffect is the share of the wind's speed in an opening: ASHRAE gives 0.5 to 0.6
	// across the wind and 0.25 to 0.35 aslant; a leak's worked example has 277 of 880 ft/min.
	windEffect = 0.315
)

// StackFlow returns the air [m3/s] that warmth drives through one low and one high opening
// of lowM2 and highM2 [m2], heightM [m] apart middle to middle, with the inside dT [K]
// warmer than outside and of tC [°C]; and its slope by dT [m3/s per K].
//
//	Q = Cd A √(2 g h dT/T),  1/A² = 1/low² + 1/high²   ASH97 ch. 25 Eq 37, both sides of the neutral level
//
// The same both ways: warm air in at the top when the inside is colder. Smooth at dT = 0,
// where the square root is rounded off: 0.7 % low at 1 K, 3 % at 0.5 K. Screens, louvres and
// bends take off up to half of it; count the free area only.
func StackFlow(lowM2, highM2, heightM, dT, tC float64) (m3s, slope float64) {
	area := series(lowM2, highM2)
	if !(area > 0) || !(heightM > 0) {
		return 0, 0
	}
	k := discharge * area * math.Sqrt(2*gravity*heightM/(tC+zeroC))
	// √|dT| as dT² (dT² + c²)^(-3/4)
	d2 := dT * dT
	r := d2 + calmK*calmK
	q := math.Sqrt(math.Sqrt(r)) // r^(1/4)
	f := d2 / (q * q * q)
	return k * f, k * dT * (2 - 1.5*d2/r) / (q * q * q)
}

// series is the area of one opening that passes as much as two in a row.
func series(a, b float64) float64 {
	if !(a > 0) || !(b > 0) {
		return 0
	}
	return a * b / math.Hypot(a, b)
}

// WindFlow returns the air [m3/s] that wind [m/s, at the opening's height in the open]
// drives in through areaM2 [m2] with as much to leave by: Q = Cv A U, Cv 0.315, an aslant
// wind. ASH97 ch. 25.
func WindFlow(areaM2, wind float64) float64 {
	return windEffect * math.Max(areaM2, 0) * math.Abs(wind)
}

// JoinFlows returns the flow [m3/s] of warmth and wind together: pressures add, flows as
// squares. ASH97 ch. 25.
func JoinFlows(stack, wind float64) float64 { return math.Hypot(stack, wind) }

// AreaFor returns the free area [m2] of each of two equal openings, low and high, through
// which warmth drives flowM3S [m3/s]; as [StackFlow]. +Inf where nothing drives it.
func AreaFor(flowM3S, heightM, dT, tC float64) float64 {
	if !(flowM3S > 0) {
		return 0
	}
	one, _ := StackFlow(1, 1, heightM, dT, tC)
	if one == 0 {
		return math.Inf(1)
	}
	return flowM3S / one
}
