package heat

import (
	"math"
	"testing"

	"example.org/coldnight/physics/ground"
)

// Ground that is watered keeps the temperature of every layer, frozen or not, though it
// holds another amount of heat; in the same ground the heat itself is kept.
func TestBecomeWateredGround(t *testing.T) {
	for _, top := range []float64{-3, -0.2, 0, 0.4, 6} {
		run := func(m ground.Moisture) *Sim {
			s, err := New(openBed(ground.Soil(ground.Loam, m), 1, 0.3))
			if err != nil {
				t.Fatal(err)
			}
			return s
		}
		dry, moist, again := run(ground.Dry), run(ground.Moist), run(ground.Dry)
		profile := make([]float64, len(dry.cell.Ground.Layers))
		for i := range profile {
			profile[i] = top + 0.5*float64(i)
		}
		dry.Begin(Start{AirC: top, VapourKgM3: 0.003, GroundC: profile})
		moist.Become(dry)
		again.Become(dry)
		for i, want := range dry.Profile() {
			if got := moist.Profile()[i]; math.Abs(got-want) > 1e-6 {
				t.Errorf("surface at %.1f °C: layer %d is %.4f °C after watering, was %.4f", top, i, got, want)
			}
			if again.soil[i] != dry.soil[i] {
				t.Errorf("surface at %.1f °C: layer %d lost heat", top, i)
			}
		}
		if math.Abs(moist.t[moist.ix.soil]-moist.Profile()[0]) > 1e-6 || moist.h[moist.ix.soil] != moist.soil[0] {
			t.Errorf("surface at %.1f °C: the surface node is not that of the top layer", top)
		}
	}
}
