package heat

import (
	"math"

	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/cover"
)

// flows writes every flow of the cell at the present state and weather d into
// the system.
func (s *Sim) flows(d *Sample, wantJ bool) {
	s.sys.clear(s.ix.n, wantJ)
	s.held = d.HoldLocal && s.ix.ns > 0
	if s.held {
		s.t[0], s.q[0] = d.LocalC, d.localVapour()
	}
	if d.WindMS != s.wind.of || d.StirMS != s.wind.stir {
		s.blow(d.WindMS, d.StirMS)
	}
	s.longwave(d)
	s.outdoors(d)
	s.convection(d)
	s.airExchange(d)
	s.moved(d)
	s.moisture(d)
	s.columns(d)
	s.sources(d)
	if s.held {
		s.hold()
	}
}

// hold makes zone 0 a boundary: what it would gain leaves the cell.
func (s *Sim) hold() {
	y, k := &s.sys, s.ix.thermal
	y.b[FlowAir] -= y.r[0] + Latent*y.r[k]
	y.r[0], y.r[k] = 0, 0
	if !y.wantJ {
		return
	}
	for i := range s.ix.n {
		if y.audit {
			y.jb[FlowAir][i] -= y.j[0][i] + Latent*y.j[k][i]
		}
		y.j[0][i], y.j[k][i] = 0, 0
	}
}

// longwave: net exchange through the stack with the sky, and what slanting
// outer faces see beside it.
func (s *Sim) longwave(d *Sample) {
	y, ix := &s.sys, &s.ix
	var e, de [maxThermal]float64
	for i := range ix.thermal {
		k := s.t[i] + 273.15
		k3 := stefanBoltzmann * k * k * k
		e[i], de[i] = k3*k, 4*k3
	}
	for k := range s.radiating {
		p := &s.pairs[k]
		g := p.g + s.share*p.dg
		switch p.i {
		case skyNode:
			y.gain(FlowSky, p.j, g*(d.SkyWM2-e[p.j]), g*de[p.j])
		case surroundNode:
			y.gain(FlowSky, p.j, g*(quartic(d.SurroundC)-e[p.j]), g*de[p.j])
		default:
			y.exchange(p.i, p.j, g*(e[p.i]-e[p.j]), g*de[p.i], g*de[p.j])
		}
	}
}

// winds holds what the flows need of one wind.
type winds struct {
	of     float64           // the wind it was made for [m/s]; NaN for none
	stir   float64           // and the air speed of fans [m/s]
	cell   float64           // wind at cover height [m/s]
	plate3 [MaxZones]float64 // cube of the forced coefficient of flat faces in each zone
	outer  float64           // forced coefficient of the outermost face [W/m2K]
	leaf   float64           // of the canopy's leaves [W/m2K]
}

// blow prepares the flows for wind u [m/s] and fans that keep up stir [m/s]: the
// powers of the wind do not depend on the state.
func (s *Sim) blow(u, stir float64) {
	w, ix := &s.wind, &s.ix
	w.of, w.stir, w.cell = u, stir, u*s.fixed.windAtCell
	for z := range ix.nz {
		w.plate3[z] = cube(air.ForcedPlate(s.speed(z, u, stir)))
	}
	if ix.ns > 0 {
		law := s.cell.Laws.OuterForced
		switch {
		case law != nil:
		case s.cell.Outside.LowSheet:
			law = air.ForcedSheet
		default:
			law = air.MoWiTTForced
		}
		w.outer = law(s.speed(0, u, stir))
	}
	if ix.canopy >= 0 {
		w.leaf = air.LeafForced(s.cell.Canopy.LeafM, s.speed(ix.inner, u, stir))
	}
}

// speed returns the air speed [m/s] in zone z under wind and fans; the two join as
// squares, judgement.
func (s *Sim) speed(z int, wind, stir float64) float64 {
	u := wind * s.fixed.windAtCell
	if z == 0 {
		return math.Sqrt(u*u + 0.01) // 0.1 m/s drift in calm air
	}
	zo := &s.cell.Zones[z]
	still := zo.StillMS + zo.WindShare*u
	if stir > 0 && zo.Stir > 0 {
		return math.Hypot(still, zo.Stir*stir)
	}
	return still
}

// convection between faces and air.
func (s *Sim) convection(d *Sample) {
	y, c, ix, f := &s.sys, &s.cell, &s.ix, &s.fixed
	w := &s.wind
	for j := range ix.ns {
		sk, n := &c.Skins[j], ix.skins+j
		if z := f.above[j]; z == 0 {
			dt := s.t[n] - s.t[0]
			h, g := air.MoWiTTWith(dt, w.outer)
			s.conv.top[j] = rising(h, g, dt)
			y.exchange(n, 0, sk.AreaRatio*h*dt, sk.AreaRatio*g, sk.AreaRatio*g)
		} else if z > 0 {
			dt := s.t[n] - s.t[z]
			h, g := air.Plate(dt, w.plate3[z])
			s.conv.top[j] = rising(h, g, dt)
			y.exchange(n, z, sk.AreaRatio*h*dt, sk.AreaRatio*g, sk.AreaRatio*g)
		}
		if z := f.below[j]; z >= 0 {
			dt := s.t[z] - s.t[n] // warm air under a cold skin is unstable
			h, g := air.Plate(dt, w.plate3[z])
			s.conv.under[j] = rising(h, g, -dt)
			y.exchange(z, n, sk.AreaRatio*h*dt, sk.AreaRatio*g, sk.AreaRatio*g)
		} else if sk.Below == GapBelow {
			h := cover.GapConductance(sk.gap(d.Slack), s.t[n], s.t[n+1])
			a := 0.5 * (sk.AreaRatio + c.Skins[j+1].AreaRatio)
			y.exchange(n+1, n, a*h*(s.t[n+1]-s.t[n]), a*h, a*h)
		} else if sk.Below == ContactBelow {
			y.exchange(n+1, n, sk.ContactW*(s.t[n+1]-s.t[n]), sk.ContactW, sk.ContactW)
		}
	}
	z := ix.inner
	forced3 := w.plate3[z]
	// floor and bench top
	dt := s.t[ix.soil] - s.t[z]
	h, g := s.floor(d, dt, forced3)
	s.conv.floor = rising(h, g, dt)
	y.exchange(ix.soil, z, f.soilOpen*h*dt, f.soilOpen*g, f.soilOpen*g)
	if ix.nb > 0 {
		s.benchConvection(z, forced3)
	}
	if ix.canopy >= 0 {
		dt := s.t[ix.canopy] - s.t[z]
		h, g := air.LeafWith(c.Canopy.LeafM, w.leaf, dt)
		s.conv.canopy = rising(h, g, dt)
		a := f.leafArea
		y.exchange(ix.canopy, z, a*h*dt, a*g, a*g)
	}
	s.massFlows(z, forced3)
}

func cube(x float64) float64 { return x * x * x }

// floor returns the convection coefficient of the floor [W/m2K] and the
// derivative of its flow: similarity in the open, plate formulas under covers.
func (s *Sim) floor(d *Sample, dt, forced3 float64) (h, g float64) {
	if law := s.cell.Laws.Floor; law != nil {
		return law(dt, s.speed(s.ix.inner, d.WindMS, d.StirMS))
	}
	if s.ix.ns > 0 {
		return air.Plate(dt, forced3)
	}
	o, f := &s.cell.Outside, &s.fixed
	v, slope := s.layerExchange(&f.toFloor, d.WindMS*o.WindShare, -dt)
	return f.rhoCp * v, f.rhoCp * math.Max(0, v-slope*dt)
}

// plate is [air.Plate] in air of speed u [m/s].
func plate(dt, u float64) (h, g float64) { return air.Plate(dt, cube(air.ForcedPlate(u))) }

func (s *Sim) benchConvection(z int, forced3 float64) {
	y, ix, f, b := &s.sys, &s.ix, &s.fixed, &s.cell.Bench
	top, low := ix.bench, ix.bench+ix.nb-1
	dt := s.t[top] - s.t[z]
	h, g := air.Plate(dt, forced3)
	s.conv.bench = rising(h, g, dt)
	y.exchange(top, z, f.fp*h*dt, f.fp*g, f.fp*g)
	// underside: warm side down is stable
	dt = s.t[low] - s.t[z]
	h, g = air.Plate(-dt, forced3)
	y.exchange(low, z, f.fp*h*dt, f.fp*g, f.fp*g)
	// underside and the floor below it see each other
	e1, e2 := quartic(s.t[low]), quartic(s.t[ix.soil])
	r := 0.9 * f.fp
	y.exchange(low, ix.soil, r*(e1-e2), r*4*e1/(s.t[low]+273.15), r*4*e2/(s.t[ix.soil]+273.15))
	if b.WallM2 > 0 {
		for k := range ix.nb {
			dt := s.t[top+k] - s.t[z]
			h, g := air.Wall(dt, forced3)
			hr := 0.95 * 4 * stefanBoltzmann * cube(s.t[z]+273.15)
			a := f.fp * b.WallM2 / float64(ix.nb)
			y.exchange(top+k, z, a*(h+hr)*dt, a*(g+hr), a*(g+hr))
		}
	}
}

func quartic(t float64) float64 {
	k := t + 273.15
	return stefanBoltzmann * k * k * k * k
}

// columns: conduction in bench and floor, and to what lies beside and below.
func (s *Sim) columns(d *Sample) {
	y, ix, f := &s.sys, &s.ix, &s.fixed
	for k := 0; k+1 < ix.nb; k++ {
		i := ix.bench + k
		g := f.benchG[k]
		y.exchange(i, i+1, g*(s.t[i]-s.t[i+1]), g, g)
	}
	if f.sideG[0] > 0 {
		y.gain(FlowGround, ix.soil, f.sideG[0]*(d.SideGroundC-s.t[ix.soil]), f.sideG[0])
	}
}

// sources: sunlight and heaters.
func (s *Sim) sources(d *Sample) {
	y, ix := &s.sys, &s.ix
	if d.SunWM2 > 0 {
		for i := range ix.thermal {
			a := s.opt.sun[i]
			if s.varies {
				a += s.share * (s.next.sun[i] - a)
			}
			if a > 0 {
				y.gain(FlowSun, i, a*d.SunWM2, 0)
			}
		}
	}
	if d.HeatAirWM2 != 0 {
		y.gain(FlowHeat, ix.inner, d.HeatAirWM2, 0)
	}
	if d.FanWM2 != 0 && s.cell.FanZone > 0 {
		y.gain(FlowHeat, s.cell.FanZone, d.FanWM2, 0)
	}
	if d.HeatFloorWM2 != 0 {
		share := 1.0
		if ix.canopy >= 0 {
			y.gain(FlowHeat, ix.canopy, s.cell.Canopy.Cover*d.HeatFloorWM2, 0)
			share = 1 - s.cell.Canopy.Cover
		}
		y.gain(FlowHeat, ix.soil, share*d.HeatFloorWM2, 0)
	}
	if len(s.cell.Heaters) > 0 {
		s.heaters(d)
	}
}
