package cover

import "math"

// Touching is the mean width of the air between two layers that lie on each
// other [m]: cloth on cloth or on leaves touches at points only. Judgement,
// 0.5 to 3 mm.
const Touching = 0.001

// GapConductance returns the convective and conductive conductance [W/m2K] of a
// closed horizontal layer of air of width gapM [m] (held to at least 0.2 mm)
// between an upper face at tUpC and a lower face at tLowC [°C]. Longwave across
// it is not included. When the lower face is not warmer the air lies still and
// conducts.
//
// Hollands, Unny, Raithby & Konicek 1976, J. Heat Transfer 98 (formula seen in
// ISO 15099 codes); valid to Ra = 1e8, ±5 %. The sign of the difference and the
// two brackets are rounded off (over 0.02 K and 0.1) so that an implicit solver
// sees no kink. The rounding moves the conductance by at most 0.2 W/m2K; gaps
// above 20 cm keep up to that much at rest, where the sharp form has 0.05.
func GapConductance(gapM, tUpC, tLowC float64) float64 {
	gap := max(gapM, 2e-4)
	tm := 0.5 * (tUpC + tLowC)
	k := 0.0241 + 7.2e-5*tm                  // of air, straight line through 0 and 20 °C
	nu := 1.33e-5 + 9.0e-8*tm                // m2/s
	dT := plus(tLowC-tUpC, 0.02)             // K
	beta := 1 / (tm + 273.15)                // 1/K
	ra := 9.81 * beta * dT * gap * gap * gap // × Pr/ν²
	ra *= 0.71 / (nu * nu)
	// Hollands et al. 1976 Eq 15 at no tilt: Nu = 1 + 1.44[1-1708/Ra]+ + [(Ra/5830)^⅓-1]+
	onset := plus((ra-1708)/(ra+1), 0.1)
	turb := plus(math.Cbrt((ra+1)/5830)-1, 0.1)
	return k / gap * (1 + 1.44*onset + turb)
}

// plus is x where x is above 0 and 0 below, rounded off over about d.
func plus(x, d float64) float64 {
	if x < 0 {
		// the same value without the cancellation of x + √(x²+d²)
		return 0.5 * d * d / (math.Sqrt(x*x+d*d) - x)
	}
	return 0.5 * (x + math.Sqrt(x*x+d*d))
}
