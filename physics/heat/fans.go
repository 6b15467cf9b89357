package heat

import (
	"fmt"
	"math"

	"example.org/coldnight/physics/burner"
)

func (c *Cell) checkFans() error {
	if c.FanZone < 0 || c.FanZone >= len(c.Zones) {
		return fmt.Errorf("heat: fans move the air of zone %d; give a zone under the skins, 1 to %d, or 0 for none", c.FanZone, len(c.Zones)-1)
	}
	return nil
}

// fresh is the outdoor air that reaches zone z by itself, per m2 of floor [m/s], and
// its derivative by how much warmer zone i is than the one above it [m/s K].
func (s *Sim) fresh(z int, d *Sample) (v float64, by [MaxZones]float64) {
	sum := 0.0
	for i := 1; i <= z; i++ {
		v, slope, _ := s.through(i, d)
		v = math.Max(v, 1e-9)
		sum += 1 / v
		by[i] = slope / (v * v)
	}
	v = 1 / sum
	for i := 1; i <= z; i++ {
		by[i] *= v * v
	}
	return v, by
}

// moved: the air that fans and flues drive beyond what comes by itself. It is booked
// between their zone and the air outdoors: what it took on its way from a zone above, a
// curtain between, it need not take from this one, and the sum is the same.
func (s *Sim) moved(d *Sample) {
	z := s.cell.FanZone
	if z == 0 || d.InMS <= 0 && d.OutMS <= 0 {
		return
	}
	natural, by := s.fresh(z, d)
	all, slope := burner.DrivenFlow(natural, d.InMS, d.OutMS)
	v, y, k, rhoCp := all-natural, &s.sys, s.ix.thermal, s.fixed.rhoCp
	dt, dq := s.t[z]-s.t[0], s.q[z]-s.q[0]
	y.exchange(z, 0, rhoCp*v*dt, rhoCp*v, rhoCp*v)
	y.exchange(k+z, k, v*dq, v, v)
	for i := 1; i <= z; i++ {
		g := (slope - 1) * by[i]
		y.carry(z, 0, i, i-1, rhoCp*g*dt)
		y.carry(k+z, k, i, i-1, g*dq)
	}
}

// gap is the width of the air below a skin [m] when it has fallen together by slack.
func (k *Skin) gap(slack float64) float64 {
	if slack > 0 && k.SlackM > 0 {
		return k.GapM + min(slack, 1)*(k.SlackM-k.GapM)
	}
	return k.GapM
}
