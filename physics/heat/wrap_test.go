package heat

import (
	"math"
	"testing"

	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/ground"
	"example.org/coldnight/physics/heat/exact"
)

// A stem of 3 cm in a wrap of 13 mm cools as a lumped body through the wrap and the film
// of air round it, in series: R = r/k ln(1+s/r) by the surface of the stem, the film on a
// surface 1+s/r times as large. In wind, so that the film hardly depends on its
// temperature; to 1 % of the difference.
func TestWrappedStemAgainstLumped(t *testing.T) {
	const r, s, k, airC, wind = 0.015, 0.013, 0.038, 4.0, 3.0
	x := tissueState{Tissue: Tissue{
		Shape: Stem, LengthM: 2 * r, Shells: 1, Eps: 0.96, Material: ground.Material{K: 0.5, KFrozen: 0.5, C: 3.8e6, CFrozen: 3.8e6},
		WrapR: r / k * math.Log(1+s/r), WrapRatio: 1 + s/r,
	}}
	x.shells()
	x.begin(6)
	f := Feel{AirC: airC, WindMS: wind, DownWM2: quartic(airC), UpWM2: quartic(airC)}
	rhoCp := 1290.0 // of air at 4 °C [J/m3K]
	film := air.Stem(2*(r+s), wind, 0.2) + x.Eps*4*stefanBoltzmann*cube(airC+273.15)
	u := 1 / (x.WrapR + 1/(film*x.WrapRatio))
	tau := exact.LumpedTau(3.8e6, r/2, 1, u)
	for i := 1; i <= 240; i++ {
		x.advance(&f, &f, 120, rhoCp)
		if want := exact.Lumped(120*float64(i), tau, 6, airC); math.Abs(x.t[0]-want) > 0.02 {
			t.Fatalf("after %d min: %.4f °C, lumped body %.4f (time constant %.0f min)", 2*i, x.t[0], want, tau/60)
		}
	}
}
