package heat

import (
	"math"
	"testing"
)

func TestConv(t *testing.T) {
	for _, layers := range []int{0, 2} {
		for _, g := range []bool{false, true} {
			w := testWeek(1, g)[:49]
			c := testBed(layers)
			ref, _ := minima(t, c, w, 0, 2)
			for _, h := range []float64{400, 300, 150, 75, 37.5, 15, 7.5} {
				got, _ := minima(t, c, w, 0, h)
				e := [6]float64{}
				for n := range ref {
					for k := range e {
						e[k] = math.Max(e[k], math.Abs(got[n][k]-ref[n][k]))
					}
				}
				t.Logf("%d %v h=%g air %.5f canopy %.5f skin %.5f floor %.5f leaf %.4f stem %.4f", layers, g, h, e[0], e[1], e[2], e[3], e[4], e[5])
			}
		}
	}
}
