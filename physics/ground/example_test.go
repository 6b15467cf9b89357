package ground_test

import (
	"fmt"

	"example.org/coldnight/physics/ground"
)

// Parton & Logan 1981: 8 °C at sunset, minimum 0 °C, six hours into a night of
// twelve: 2.66 °C.
func ExampleNightDecay() {
	fmt.Printf("%.2f °C\n", ground.NightDecay(8, 0, 6, 12))
	// Output: 2.66 °C
}

// Calonne et al. 2011: 0.0994 W/mK at 200 kg/m3.
func ExampleCalonne() {
	fmt.Printf("%.4f W/mK\n", ground.Calonne(200))
	// Output: 0.0994 W/mK
}

// A wet bed top of 1 cm gives off as much heat freezing as cooling
// from above 60 °C would (invented example): that is why it sits at 0 °C for hours.
func ExampleMaterial_Enthalpy() {
	m := ground.Soil(ground.PottingMix, ground.Wet)
	fmt.Printf("%.2f kWh/m2\n", 0.01*(m.Enthalpy(0)-m.Enthalpy(-m.Range))/3.6e6)
	// Output: 0.54 kWh/m2
}
