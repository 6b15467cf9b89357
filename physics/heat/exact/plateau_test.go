package exact_test

import (
	"fmt"

	"example.org/coldnight/physics/heat/exact"
)

// 15 kg of water that lose 2 W per kelvin to air of -6 °C: 15·334000/(2·6) s.
func ExamplePlateau() {
	fmt.Printf("%.1f h\n", exact.Plateau(15*334e3, 2, 0, -6)/3600)
	// Output: 116.0 h
}
