package air

import "math"

// Still air at 0 °C and one atmosphere, for the coefficients of small bodies:
// conductivity [W/mK], viscosity [m2/s], Prandtl number (Çengel Table A-15).
const (
	coldK  = 0.02364
	coldNu = 1.338e-5
	coldPr = 0.7362
)

const (
	// leafForced is 0.664·k·Pr^(1/3)/ν^(1/2): Pohlhausen's laminar plate.
	leafForced = 3.8748
	// outdoor is the rise of a leaf's forced convection outdoors: 1.4 ± 0.1 measured for
	// single fluttering leaves, up to 2 for a leaf in a crop (SCHU72).
	outdoor = 1.4
	// leafNatural is (0.54+0.27)/2·k·(g·Pr/(273 K·ν²))^(1/4): one face of a leaf
	// colder or warmer than the air is unstable, the other stable (MCAD).
	leafNatural = 1.0555
)

// Leaf returns the convection coefficient [W/m2K], mean of both faces, of a leaf of
// length d [m] along the wind, 0.005 to 0.5, in air of u [m/s], 0 to 10, dT [K] the
// leaf minus the air; and the derivative of h·dT with respect to dT. Laminar plate
// with outdoor turbulence, and laminar natural convection (MCAD), joined as
// cubes; cold-air properties. About 20 %, the scatter of leaves among measurements.
func Leaf(d, u, dT float64) (h, slope float64) { return LeafWith(d, LeafForced(d, u), dT) }

// LeafForced returns the forced part [W/m2K] of [Leaf], for callers that meet one
// wind at several temperatures.
func LeafForced(d, u float64) float64 {
	return outdoor * leafForced * math.Sqrt(math.Sqrt(u*u+stillAir*stillAir)/d) // Pohlhausen: Nu = 0.664 Re^(1/2) Pr^(1/3)
}

// LeafWith is [Leaf] with its forced part [W/m2K] given.
func LeafWith(d, forced, dT float64) (h, slope float64) {
	s := dT*dT + SmoothK*SmoothK
	n := leafNatural * math.Sqrt(math.Sqrt(math.Sqrt(s)/d)) // MCAD: Nu = c Ra^(1/4)
	n3 := n * n * n
	h = cbrt(forced*forced*forced + n3)
	// dh/dT·dT = n³/h²·dT²/(4s)
	return h, h + n3/(h*h)*dT*dT/(4*s)
}

// LeafConductance is the coefficient of [Leaf] alone.
func LeafConductance(d, u, dT float64) float64 {
	h, _ := Leaf(d, u, dT)
	return h
}

// Stem returns the convection coefficient [W/m2K] of a stem, trunk or pot of diameter
// d [m], 0.002 to 1, in air of u [m/s], 0 to 10, dT [K] the stem minus the air.
// Cross-flow (CB77) and natural convection of a cylinder (CC75) joined as cubes;
// cold-air properties. The sources give 20 % and 10 %.
func Stem(d, u, dT float64) float64 { return StemWith(d, StemForced(d, u), dT) }

// StemForced returns the forced part [-] of [Stem], a Nusselt number, for callers that
// meet one wind at several temperatures.
func StemForced(d, u float64) float64 {
	re := math.Sqrt(u*u+stillAir*stillAir) * d / coldNu
	const prFactor = 0.49277 // 0.62 Pr^(1/3)/(1+(0.4/Pr)^(2/3))^(1/4), CB77
	r := math.Sqrt(re)
	// CB77: the last factor, (1+(Re/282000)^(5/8))^(4/5), by its bracket (Re/282000)^(5/8)
	x := math.Sqrt(re / 282000)
	b := 1 + x*math.Sqrt(math.Sqrt(x))
	return 0.3 + prFactor*r*b/fifthRoot(b)
}

// StemWith is [Stem] with its forced part [-] given.
func StemWith(d, forced, dT float64) float64 {
	// CC75: (0.60+0.387 Ra^(1/6)/(1+(0.559/Pr)^(9/16))^(8/27))²
	const c = 0.32218 // 0.387/(1+(0.559/Pr)^(9/16))^(8/27)
	const rayleigh = gravity / zeroC * coldPr / (coldNu * coldNu)
	sixth := math.Sqrt(d) * cbrt(math.Sqrt(rayleigh*math.Sqrt(dT*dT+SmoothK*SmoothK)))
	n := 0.60 + c*sixth
	n *= n
	return coldK / d * cbrt(forced*forced*forced+n*n*n)
}

// fifthRoot returns x^(1/5) for x in 1..8.
func fifthRoot(x float64) float64 { return math.Exp(0.2 * math.Log(x)) }
