package heat

import (
	"math"
	"testing"
)

// TestJacobian holds every derivative that the flows bring against central
// differences of the rates, hour by hour through two days. The method is of order 3
// only with the exact Jacobian; one that lacked how the exchange with the air above
// depends on temperature took twice the steps in the open. Vapour counts as the heat
// it carries; 3e-4 kg/m3 as a kelvin, the slope of saturation near 0 °C.
func TestJacobian(t *testing.T) {
	const perK = 3e-4
	for _, c := range append(speedCases(t), speedCase{"barrels", withBarrels(speedCases(t)[3].cell, 8)}) {
		for _, gusty := range []bool{false, true} {
			w := speedWeek(1, gusty)
			s := begun(t, c.cell, &w[0])
			worst := 0.0
			for i := range 72 {
				if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
					t.Fatal(err)
				}
				if i < 24 {
					continue
				}
				d := &w[i+1]
				rates := func() [maxNodes]float64 {
					s.flows(d, false)
					return s.sys.r
				}
				s.flows(d, true)
				j := s.sys.j
				for k := range s.ix.n {
					x, e, scale := &s.t[k], 1e-4, 1.0
					if k >= s.ix.thermal {
						x, e, scale = &s.q[k-s.ix.thermal], 1e-4*perK, perK
					}
					keep := *x
					*x = keep + e
					up := rates()
					*x = keep - e
					down := rates()
					*x = keep
					for m := range s.ix.n {
						unit := scale
						if m >= s.ix.thermal {
							unit *= Latent
						}
						want, got := (up[m]-down[m])/(2*e)*unit, j[m][k]*unit
						worst = max(worst, math.Abs(got-want))
						// what is left out: how still air in a narrow gap conducts, and stomata
						if math.Abs(got-want) > 0.5+0.01*math.Abs(want) {
							t.Errorf("%s, gusty %v, hour %d: rate %d by unknown %d: %.3g W/m2K, difference %.3g", c.name, gusty, i, m, k, got, want)
						}
					}
				}
			}
			t.Logf("%s, gusty %v: worst %.2g W/m2K", c.name, gusty, worst)
		}
	}
}
