package air

// Circulation fans.
const (
	// carried is how much more air goes round than passes the fans, which drag it along: fitted
	// so that 2 ft3/min for each ft2 in a house of 30 by 100 ft, 10 ft high in the mean, give
	// the middle of the 50 to 100 ft/min that HAF names for it.
	carried = 1.9

	// across is the speed at which moving air mixes sideways, as a share of its own: judgement,
	// after the 0.06 to 0.1 of a free jet's entrainment (from memory).
	across = 0.08
)

// Circulated returns the mean air speed [m/s] that fans moving flowM3S [m3/s] in all keep up
// in a house of cross-section sectionM2 [m2]: down one side and back up the other, so half the
// section each. HAF.
func Circulated(flowM3S, sectionM2 float64) float64 {
	if !(flowM3S > 0) || !(sectionM2 > 0) {
		return 0
	}
	return carried * flowM3S / (0.5 * sectionM2)
}

// Sideways returns the velocity [m/s] at which air moving at u [m/s] along a house changes
// places with the air beside it.
func Sideways(u float64) float64 { return across * u }
