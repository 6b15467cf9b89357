package exact

// Plateau returns how long [s] a body of one temperature stays at its freezing point
// meltC in surroundings at aroundC below it: the heat of fusion latentJ [J] over
// conductance [W/K] times the difference.
func Plateau(latentJ, conductanceWK, meltC, aroundC float64) float64 {
	return latentJ / (conductanceWK * (meltC - aroundC))
}
