package heat

import (
	"math"

	"example.org/coldnight/physics/air"
)

// massFlows adds what the masses give to the innermost zone z: convection of upright
// walls, and longwave, half of it with the floor and half with the innermost skin, or
// with leaves at the air's temperature where there is none:
//
//	Q = A h ΔT + A ε σ (½ (T⁴ - T_floor⁴) + ½ (T⁴ - T_skin⁴))
//
// A mass is one temperature: water stirs itself while it is liquid, but ice grows on the
// wall and insulates it, which is left out (freezing water gives its heat too fast). The
// sky it sees through a film, and sunlight on it, are left out.
func (s *Sim) massFlows(z int, forced3 float64) {
	y, ix := &s.sys, &s.ix
	over := z
	if ix.ns > 0 {
		over = ix.skins + ix.ns - 1
	}
	for m := range ix.nm {
		n, c := ix.masses+m, &s.cell.Masses[m]
		dt := s.t[n] - s.t[z]
		h, g := air.Wall(dt, forced3)
		y.exchange(n, z, c.AreaM2*h*dt, c.AreaM2*g, c.AreaM2*g)
		for _, k := range [2]int{ix.soil, over} {
			a := 0.5 * c.AreaM2 * c.Eps
			w := a * (quartic(s.t[n]) - quartic(s.t[k]))
			y.exchange(n, k, w, a*4*stefanBoltzmann*cube(s.t[n]+273.15), a*4*stefanBoltzmann*cube(s.t[k]+273.15))
		}
	}
}

// takeMasses carries the masses over. One that was not there comes with its own
// temperature.
func (s *Sim) takeMasses(from *Rest) {
	for m := range s.ix.nm {
		if m < from.ix.nm {
			s.takeNode(s.ix.masses+m, from, from.ix.masses+m)
		} else {
			s.setT(s.ix.masses+m, s.cell.Masses[m].StartC)
		}
	}
}

// massState returns the mean temperature of the masses by volume [°C], NaN without, and
// the heat they hold, from all liquid at 0 °C [J/m2 of floor].
func (s *Sim) massState() (tC, heldJM2 float64) {
	volume := 0.0
	for m := range s.ix.nm {
		n, v := s.ix.masses+m, s.cell.Masses[m].VolumeM3
		volume += v
		tC += v * s.t[n]
		heldJM2 += v * s.h[n]
	}
	if volume == 0 {
		return math.NaN(), 0
	}
	return tC / volume, heldJM2
}
