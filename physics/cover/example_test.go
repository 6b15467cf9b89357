package cover_test

import (
	"fmt"

	"example.org/coldnight/physics/cover"
)

// Kon et al. 1985, J. Agric. Met. 41:115: ε0 = 0.25, dew of 1, 2, 3 and 5
// mg/cm2 gives ε 0.26, 0.53, 0.73 and 0.89.
func ExampleWet() {
	film := cover.Material{Dry: cover.Optic{Tau: 0.75, Eps: 0.25}, Wet: cover.Optic{Eps: 1}, Drops: true}
	for _, kgM2 := range []float64{0.01, 0.02, 0.03, 0.05} {
		fmt.Printf("%.2f ", cover.Wet(film, kgM2).Eps)
	}
	// Output: 0.26 0.53 0.73 0.89
}

// Two black plates and one black sheet between them: the sheet halves the
// exchange (grey enclosure theory).
func ExampleLongwave() {
	black := cover.Optic{Eps: 1}
	var bare, covered cover.Exchange
	cover.Longwave([]cover.Optic{black}, &bare)
	cover.Longwave([]cover.Optic{black, black}, &covered)
	fmt.Println(bare.G[0][1], covered.G[0][2], covered.G[1][2])
	// Output: 1 0 1
}
