package heat

import (
	"math"

	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/burner"
)

// outdoors: zone 0 and the air above and beside it; in the open also floor and
// canopy stand in zone 0.
func (s *Sim) outdoors(d *Sample) {
	y, f := &s.sys, &s.fixed
	if !s.held {
		dTheta := d.AirC - s.t[0]
		g, slope := s.localExchange(d, dTheta)
		y.gain(FlowAir, 0, f.rhoCp*g*dTheta, f.rhoCp*math.Max(0, g+slope*dTheta))
		y.gainVapour(s.ix.thermal, g*(d.VapourKgM3-s.q[0]), g)
		y.carryIn(s.ix.thermal, 0, -slope*(d.VapourKgM3-s.q[0]))
		if v := d.LocalMS; d.HoldLocal && v > 0 {
			y.gain(FlowAir, 0, f.rhoCp*v*(d.LocalC-s.t[0]), f.rhoCp*v)
			y.gainVapour(s.ix.thermal, v*(d.localVapour()-s.q[0]), v)
		}
	}
	if d.BesideMS > 0 {
		z := s.ix.inner
		y.gain(FlowAir, z, f.rhoCp*d.BesideMS*(d.BesideC-s.t[z]), f.rhoCp*d.BesideMS)
		y.gainVapour(s.ix.thermal+z, d.BesideMS*(d.BesideKgM3-s.q[z]), d.BesideMS)
	}
}

// localExchange returns the exchange velocity [m/s] between screen height and
// the local air, by stable-layer similarity, dTheta = screen - local [K], and its
// derivative by dTheta.
func (s *Sim) localExchange(d *Sample, dTheta float64) (v, slope float64) {
	o := &s.cell.Outside
	if o.LocalM >= 0.9*o.ScreenM {
		return 0.05 + 0.02*d.WindMS, 0 // the screen's own air, turned over in a minute
	}
	return s.layerExchange(&s.fixed.toScreen, d.WindMS*o.WindShare, dTheta)
}

// layerExchange is the exchange velocity [m/s] through a layer of outdoor air by
// the cell's law, and its derivative by dTheta.
func (s *Sim) layerExchange(l *air.Layer, u, dTheta float64) (v, slope float64) {
	calm := s.cell.Outside.CalmMS
	law := s.cell.Laws.Stability
	if law == nil {
		return l.VelocitySlope(u, dTheta, calm)
	}
	const e = 0.02
	v = l.VelocityBy(law, u, dTheta, calm)
	return v, (l.VelocityBy(law, u, dTheta+e, calm) - v) / e
}

// airExchange: leaks, stack and wind through the skins between zones.
func (s *Sim) airExchange(d *Sample) {
	y, ix, f := &s.sys, &s.ix, &s.fixed
	for z := 1; z < ix.nz; z++ {
		v, slope, dt := s.through(z, d)
		g := f.rhoCp * (v + slope*dt)
		y.exchange(z, z-1, f.rhoCp*v*dt, g, g)
		k, dq := ix.thermal+z, s.q[z]-s.q[z-1]
		y.exchange(k, k-1, v*dq, v, v)
		y.carry(k, k-1, z, z-1, slope*dq)
	}
}

// through is the air that passes the skins above zone z per m2 of floor [m/s], how
// much warmer the zone is than the one above it [K], and the derivative of the one by
// the other [m/s K].
func (s *Sim) through(z int, d *Sample) (v, slope, dt float64) {
	c, f := &s.cell, &s.fixed
	u := s.wind.cell
	dt = s.t[z] - s.t[z-1]
	l := &f.leak[z]
	round := dt*dt + 0.01
	stack := l.Stack * math.Sqrt(math.Sqrt(round))
	v, slope = l.Still+stack, 0.5*stack*dt/round
	dp := buoyancy(c.Zones[z].DepthM, dt, s.t[z-1], f.rhoCp)
	rise := dp * dt / (dt*dt + 1e-4) // of the pressure with dt
	if l.OpenStack > 0 || l.OpenWind > 0 {
		o, ds := s.opened(z, round, dt)
		v += o
		slope += ds
	}
	if z == 1 { // only the outermost barrier feels the wind
		v += l.PerWind*u + l.PerHemWind*d.HemWindMS
		dp += f.pressure * 0.5 * f.rhoCp / 1006 * u * u
	}
	if r := f.resistance[z]; !math.IsInf(r, 1) {
		// in through one half of the cloth, out through the other
		pressed := 0.5 * f.area[z] * dp / r
		// an open net lets no more through than the air beside it brings
		most := 0.05 + 0.1*u
		share := 1 / (1 + pressed/most)
		v += pressed * share
		slope += 0.5 * f.area[z] * rise / r * share * share
	}
	return v, slope, dt
}

// opened is the air through the openings above zone z [m/s] and its derivative by dt
// [m/s K], round being dt² rounded off; only the outermost barrier feels the wind.
func (s *Sim) opened(z int, round, dt float64) (v, slope float64) {
	l := &s.fixed.leak[z]
	stack, wind := l.OpenStack*math.Sqrt(math.Sqrt(round)), 0.0
	if z == 1 {
		wind = l.OpenWind * s.wind.cell
	}
	if v = burner.JoinFlows(stack, wind); v == 0 {
		return 0, 0
	}
	return v, stack / v * 0.5 * stack * dt / round
}

// windPressure is the usual share of the wind's dynamic pressure that works
// across a cloth lying or standing low: judgement, 0.15 for a sheet on a crop to
// 0.35 over hoops (cover.PressureCoefficient).
const windPressure = 0.3

// buoyancy returns the mean pressure difference [Pa] that a column of height
// [m] warmer by dt [K] puts on a permeable cover: ρ g H |ΔT|/T, half of it on
// each half of the height.
func buoyancy(height, dt, tC, rhoCp float64) float64 {
	return 0.5 * rhoCp / 1006 * 9.81 * height * math.Sqrt(dt*dt+1e-4) / (tC + 273.15)
}
