package ground

import "math"

// NightDecay returns the temperature [°C] a time sinceSunset [h] after sunset:
// from sunsetC it falls exponentially toward minC in a night of nightH [h].
// Parton & Logan 1981, Agric. Meteorol. 23, with b = 2.2; made for screen and
// soil temperatures on clear nights, about 1.5 to 2.5 K (from memory).
func NightDecay(sunsetC, minC, sinceSunset, nightH float64) float64 {
	// Parton & Logan 1981: T = Tn + (Tss-Tn) exp(-b(t-tss)/(24-D))
	return minC + (sunsetC-minC)*math.Exp(-2.2*sinceSunset/nightH)
}
