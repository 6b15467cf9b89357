package sun

const (
	// ParShare is the share of sunshine's energy between 400 and 700 nm [-]: 0.45
	// (Meek et al. 1984, Agron. J. 76, 939; from memory); 0.42 in dry clear air to 0.50
	// under cloud; a bright winter day measured at Penn State gave 0.40 (TestAgainstSURFRAD).
	ParShare = 0.45
	// PhotonsPerJoule is the photons in a joule of that light, sun and sky together
	// [µmol/J]. TH83 table 3.
	PhotonsPerJoule = 4.57
)

// PPFD returns the light plants can use [µmol/m2s] from sunshine ghi [W/m2], outdoors or
// behind a cover that dims all colours alike. TH83; 10 %, most of it [ParShare].
func PPFD(ghi float64) float64 { return ParShare * PhotonsPerJoule * ghi }

// DLI returns the light sum [mol/m2] from sunshine received sumJ [J/m2], usually a
// day's: 10 MJ/m2 are 20.6 mol/m2.
func DLI(sumJ float64) float64 { return PPFD(sumJ) / 1e6 }
