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
	if d.WindMS != s.wind.of {
		s.blow(d.WindMS)
	}
	s.longwave(d)
	s.outdoors(d)
	s.convection(d)
	s.airExchange(d)
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
	for k := range s.opt.n {
		p := &s.opt.pairs[k]
		if p.i == skyNode {
			y.gain(FlowSky, p.j, p.g*(d.SkyWM2-e[p.j]), p.g*de[p.j])
		} else if p.i == surroundNode {
			k := d.SurroundC + 273.15
			y.gain(FlowSky, p.j, p.g*(stefanBoltzmann*k*k*k*k-e[p.j]), p.g*de[p.j])
		} else {
			y.exchange(p.i, p.j, p.g*(e[p.i]-e[p.j]), p.g*de[p.i], p.g*de[p.j])
		}
	}
}

// outdoors: zone 0 and the air above and beside it; in the open also floor and
// canopy stand in zone 0.
func (s *Sim) outdoors(d *Sample) {
	y, f := &s.sys, &s.fixed
	if !s.held {
		dTheta := d.AirC - s.t[0]
		g, slope := s.localExchange(d, dTheta)
		y.gain(FlowAir, 0, f.rhoCp*g*dTheta, f.rhoCp*math.Max(0, g+slope*dTheta))
		y.gainVapour(s.ix.thermal, g*(d.VapourKgM3-s.q[0]), g)
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

// winds holds what the flows need of one wind.
type winds struct {
	of     float64           // the wind it was made for [m/s]; NaN for none
	cell   float64           // wind at cover height [m/s]
	plate3 [MaxZones]float64 // cube of the forced coefficient of flat faces in each zone
	outer  float64           // forced coefficient of the outermost face [W/m2K]
	leaf   float64           // of the canopy's leaves [W/m2K]
}

// blow prepares the flows for wind u [m/s]: the powers of the wind do not depend
// on the state.
func (s *Sim) blow(u float64) {
	w, ix := &s.wind, &s.ix
	w.of, w.cell = u, u*s.fixed.windAtCell
	for z := range ix.nz {
		w.plate3[z] = cube(air.ForcedPlate(s.speed(z, u)))
	}
	if ix.ns > 0 {
		w.outer = air.MoWiTTForced(s.speed(0, u))
		if law := s.cell.Laws.OuterForced; law != nil {
			w.outer = law(s.speed(0, u))
		}
	}
	if ix.canopy >= 0 {
		w.leaf = air.LeafForced(s.cell.Canopy.LeafM, s.speed(ix.inner, u))
	}
}

// speed returns the air speed [m/s] in zone z under wind.
func (s *Sim) speed(z int, wind float64) float64 {
	u := wind * s.fixed.windAtCell
	if z == 0 {
		return math.Sqrt(u*u + 0.01) // 0.1 m/s drift in calm air
	}
	zo := &s.cell.Zones[z]
	return zo.StillMS + zo.WindShare*u
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
			s.conv.top[j] = h
			y.exchange(n, 0, sk.AreaRatio*h*dt, sk.AreaRatio*g, sk.AreaRatio*g)
		} else if z > 0 {
			dt := s.t[n] - s.t[z]
			h, g := air.Plate(dt, w.plate3[z])
			s.conv.top[j] = h
			y.exchange(n, z, sk.AreaRatio*h*dt, sk.AreaRatio*g, sk.AreaRatio*g)
		}
		if z := f.below[j]; z >= 0 {
			dt := s.t[z] - s.t[n] // warm air under a cold skin is unstable
			h, g := air.Plate(dt, w.plate3[z])
			s.conv.under[j] = h
			y.exchange(z, n, sk.AreaRatio*h*dt, sk.AreaRatio*g, sk.AreaRatio*g)
		} else if sk.Below == GapBelow {
			h := cover.GapConductance(sk.GapM, s.t[n], s.t[n+1])
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
	s.conv.floor = h
	y.exchange(ix.soil, z, f.soilOpen*h*dt, f.soilOpen*g, f.soilOpen*g)
	if ix.nb > 0 {
		s.benchConvection(z, forced3)
	}
	if ix.canopy >= 0 {
		dt := s.t[ix.canopy] - s.t[z]
		h, g := air.LeafWith(c.Canopy.LeafM, w.leaf, dt)
		s.conv.canopy = h
		a := f.leafArea
		y.exchange(ix.canopy, z, a*h*dt, a*g, a*g)
	}
	for m := range ix.nm {
		n := ix.masses + m
		dt := s.t[n] - s.t[z]
		h, g := air.Wall(dt, forced3)
		// longwave of a body among leaves and skin at about the air's temperature
		hr := c.Masses[m].Eps * 4 * stefanBoltzmann * cube(0.5*(s.t[n]+s.t[z])+273.15)
		a := c.Masses[m].AreaM2
		y.exchange(n, z, a*(h+hr)*dt, a*(g+hr), a*(g+hr))
	}
}

func cube(x float64) float64 { return x * x * x }

// floor returns the convection coefficient of the floor [W/m2K] and the
// derivative of its flow: similarity in the open, plate formulas under covers.
func (s *Sim) floor(d *Sample, dt, forced3 float64) (h, g float64) {
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
	s.conv.bench = h
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

// airExchange: leaks, stack and wind through the skins between zones.
func (s *Sim) airExchange(d *Sample) {
	y, c, ix, f := &s.sys, &s.cell, &s.ix, &s.fixed
	u := s.wind.cell
	for z := 1; z < ix.nz; z++ {
		dt := s.t[z] - s.t[z-1]
		l := &f.leak[z]
		stack := l.Stack * math.Sqrt(math.Sqrt(dt*dt+0.01))
		v := l.Still + stack
		dp := buoyancy(c.Zones[z].DepthM, dt, s.t[z-1], f.rhoCp)
		if z == 1 { // only the outermost barrier feels the wind
			v += l.PerWind*u + l.PerHemWind*d.HemWindMS
			dp += f.pressure * 0.5 * f.rhoCp / 1006 * u * u
		}
		pressed := 0.0
		if r := f.resistance[z]; !math.IsInf(r, 1) {
			// in through one half of the cloth, out through the other
			pressed = 0.5 * f.area[z] * dp / r
			// an open net lets no more through than the air beside it brings
			most := 0.05 + 0.1*u
			pressed /= 1 + pressed/most
			v += pressed
		}
		w := f.rhoCp * v * dt
		g := f.rhoCp * (v + 0.5*stack)
		y.exchange(z, z-1, w, g, g)
		m := v * (s.q[z] - s.q[z-1])
		k := ix.thermal + z
		y.exchange(k, k-1, m, v, v)
	}
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

// moisture: dew, frost and evaporation on floor, canopy and skins.
func (s *Sim) moisture(d *Sample) {
	c, ix, f, hc := &s.cell, &s.ix, &s.fixed, &s.conv
	z := ix.inner
	vz := ix.thermal + z
	// Lewis: g = h/(ρ cp)·Le^(-2/3), Le = 0.87 (vapour in air); h as convection found it
	toMass := lewis / f.rhoCp
	s.deposit(vz, z, ix.soil, -1, f.soilOpen*hc.floor*toMass, c.Ground.Moisture)
	if ix.nb > 0 {
		s.deposit(vz, z, ix.bench, -1, f.fp*hc.bench*toMass, 0.5*c.Ground.Moisture)
	}
	if ix.canopy >= 0 {
		wet := wetShare(s.filmMid[ix.filmCanopy])
		open := 0.0
		if !math.IsInf(c.Canopy.Stomata, 1) && d.SunWM2 > 0 {
			// stomata open with light: half at 50 W/m2, judgement
			open = d.SunWM2 / (d.SunWM2 + 50) / (1 + hc.canopy*toMass*c.Canopy.Stomata)
		}
		s.deposit(vz, z, ix.canopy, ix.filmCanopy, f.leafArea*hc.canopy*toMass, wet+(1-wet)*open)
	}
	for j := range ix.ns {
		a, n := c.Skins[j].AreaRatio, ix.skins+j
		if zb := f.below[j]; zb >= 0 {
			k := ix.filmUnder + j
			s.deposit(ix.thermal+zb, zb, n, k, a*hc.under[j]*toMass, wetShare(s.filmMid[k]/a))
		}
		if za := f.above[j]; za >= 0 {
			k := ix.filmTop + j
			s.deposit(ix.thermal+za, za, n, k, a*hc.top[j]*toMass, wetShare(s.filmMid[k]/a))
		}
	}
}

// coefficients keeps the convection coefficients of one evaluation [W/m2K] for
// the vapour that travels with the heat.
type coefficients struct {
	top, under           [MaxSkins]float64
	floor, bench, canopy float64
}

const lewis = 1.097 // 0.87^(-2/3)

// wetShare is the share of a face that evaporates as water: half at 5 g/m2.
func wetShare(film float64) float64 { return film / (film + 0.005) }

// deposit: vapour goes to a face when the air is above its saturation, and
// leaves it as far as there is water: m = g·(D + available·(dq - D)), D the
// positive part of dq rounded off over 0.02 g/m3 (0.06 K).
func (s *Sim) deposit(vz, z, i, film int, g, available float64) {
	sat, slope := air.SaturationDensity(s.t[i])
	dq := s.q[z] - sat
	const w = 2e-5
	root := math.Sqrt(dq*dq + w*w)
	down := 0.5 * (dq + root)
	side := down / root // dD/d(dq)
	s.sys.deposit(vz, i, film, g*(down+available*(dq-down)), g*(side+available*(1-side)), slope)
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
			if a := s.opt.sun[i]; a > 0 {
				y.gain(FlowSun, i, a*d.SunWM2, 0)
			}
		}
	}
	if d.HeatAirWM2 != 0 {
		y.gain(FlowHeat, ix.inner, d.HeatAirWM2, 0)
	}
	if d.HeatFloorWM2 != 0 {
		share := 1.0
		if ix.canopy >= 0 {
			y.gain(FlowHeat, ix.canopy, s.cell.Canopy.Cover*d.HeatFloorWM2, 0)
			share = 1 - s.cell.Canopy.Cover
		}
		y.gain(FlowHeat, ix.soil, share*d.HeatFloorWM2, 0)
	}
}
