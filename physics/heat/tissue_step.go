package heat

import (
	"math"

	"example.org/coldnight/physics/air"
)

// sdirkGamma is 1 - 1/√2.
const sdirkGamma = 0.2928932188134524

// advance carries the body over tau seconds by the L-stable method of order 2 of
// Alexander 1977: an implicit step to γτ, what it did carried on to 1-γ, and an
// implicit step of γτ to the end.
func (x *tissueState) advance(mid, end *Feel, tau, rhoCp float64) {
	before := x.h
	x.step(mid, sdirkGamma*tau, rhoCp)
	for i := range x.n {
		x.h[i] = before[i] + (1/sdirkGamma-1)*(x.h[i]-before[i])
	}
	x.step(end, sdirkGamma*tau, rhoCp)
	for i := range x.n {
		x.t[i], _ = x.Material.Temperature(x.h[i])
	}
}

// step carries the enthalpies over one implicit step. Two passes: the coefficients of
// the second are taken at the first result.
func (x *tissueState) step(f *Feel, tau, rhoCp float64) {
	if x.Shape == Cupped {
		x.stepCup(f, tau, rhoCp)
		return
	}
	var b body
	b.set(x, f, tau)
	forced := x.forced(f.WindMS)
	var z [maxShells]float64
	for range 2 {
		at := b.t[0] + z[0]
		flux, slope := x.outerFlux(f, at, forced, rhoCp)
		b.solve(x.n, flux-slope*b.t[0], slope, &z)
	}
	for i := range x.n {
		x.h[i] += z[i] * b.m[i] * tau / x.vol[i]
	}
}

// body is the chain of a tissue's shells in one implicit step.
type body struct {
	t      [maxShells]float64 // at the start [°C]
	m      [maxShells]float64 // heat capacity over the step's length [W/m2K]
	rate   [maxShells]float64 // heat that each gets at the start, but for the surface [W/m2]
	dg, lo [maxShells]float64 // the matrix, but for the surface [W/m2K]
}

// set works out what the passes of a step share.
func (c *body) set(x *tissueState, f *Feel, tau float64) {
	n := x.n
	for i := range n {
		var slope float64
		c.t[i], slope = x.Material.Temperature(x.h[i])
		c.m[i] = x.vol[i] / slope / tau
		c.dg[i] = c.m[i]
	}
	foot := x.Shape == PotBlock || (x.Shape == RootBall && x.OnGround)
	if n == 1 && !foot {
		return
	}
	k := x.Material.Conductivity(x.h[0])
	for i := 0; i+1 < n; i++ {
		g := x.link[i] * k
		c.lo[i] = g
		c.dg[i] += g
		c.dg[i+1] += g
		w := g * (c.t[i] - c.t[i+1])
		c.rate[i] -= w
		c.rate[i+1] += w
	}
	if foot {
		g, below := x.foot(f, k)
		c.dg[n-1] += g
		c.rate[n-1] += g * (below - c.t[n-1])
	}
}

// foot is the conductance of the underside of a pot [W/m2K] and what it stands on [°C].
func (x *tissueState) foot(f *Feel, k float64) (g, below float64) {
	g = k / (x.ThickM / 2 / float64(x.n))
	if x.Shape == RootBall {
		wall := 4 * x.ThickM / x.LengthM
		g = k / (x.ThickM / 2) / (wall + 1)
	}
	if x.OnGround {
		return g, f.FloorC
	}
	const u = 7 // underside over air: longwave and slow convection [W/m2K]
	return g * u / (g + u), f.AirC
}

// solve sets z to the increments of n shells [K] with the heat into the surface at the
// start [W/m2] and by how much it falls per kelvin: Thomas algorithm.
func (c *body) solve(n int, surface, slope float64, z *[maxShells]float64) {
	if n == 1 {
		z[0] = (c.rate[0] + surface) / (c.dg[0] + slope)
		return
	}
	dg, r := c.dg, c.rate
	dg[0] += slope
	r[0] += surface
	for i := 1; i < n; i++ {
		w := c.lo[i-1] / dg[i-1]
		dg[i] -= w * c.lo[i-1]
		r[i] += w * r[i-1]
	}
	z[n-1] = r[n-1] / dg[n-1]
	for i := n - 2; i >= 0; i-- {
		z[i] = (r[i] + c.lo[i]*z[i+1]) / dg[i]
	}
}

// forced is what the convection of the surface takes from the wind alone.
func (x *tissueState) forced(windMS float64) float64 {
	switch x.Shape {
	case Stem:
		return air.StemForced(x.LengthM*max(x.WrapRatio, 1), windMS)
	case RootBall:
		return air.StemForced(x.LengthM, windMS)
	case PotBlock:
		return cube(air.ForcedPlate(windMS))
	default:
		return air.LeafForced(x.LengthM, windMS)
	}
}

// outerFlux returns the heat flow into the outer surface as a - b·T [W/m2 of
// outer surface], linearised at temperature at,
// with what the wind alone does given.
func (x *tissueState) outerFlux(f *Feel, at, forced, rhoCp float64) (a, b float64) {
	e := quartic(at)
	de := 4 * e / (at + 273.15)
	dt := at - f.AirC
	// longwave in, emitting faces; convection and the derivative of its flow, over faces
	var in, faces, h, g float64
	switch x.Shape {
	case Leaf, Touching:
		hl, gl := air.LeafWith(x.LengthM, forced, dt)
		in, faces, h, g = x.Eps*(f.DownWM2+f.UpWM2), 2, 2*hl, 2*gl
	case Stem:
		h = air.StemWith(x.LengthM*max(x.WrapRatio, 1), forced, dt)
		in, faces, g = x.Eps*0.5*(f.DownWM2+f.UpWM2), 1, h
	case Apex:
		h, g = air.LeafWith(x.LengthM, forced, dt) // a small disc, not a bench
		in, faces = x.Eps*f.DownWM2, 1
	case RootBall:
		wall := math.Pi * x.LengthM * x.ThickM
		top := math.Pi * x.LengthM * x.LengthM / 4
		w := wall / (wall + top)
		h = air.StemWith(x.LengthM, forced, dt)
		in, faces, g = x.Eps*(w*0.5*(f.DownWM2+f.UpWM2)+(1-w)*f.DownWM2), 1, h
	case PotBlock:
		// under leaves: half of the sky's flux, half from the canopy at air temperature
		h, g = air.Plate(dt, forced)
		in, faces = x.Eps*0.5*(f.DownWM2+quartic(f.AirC)), 1
	}
	sun := x.Absorb * f.SunWM2
	if x.Shape == Stem || x.Shape == RootBall {
		sun *= 0.5
	}
	a = in - x.Eps*faces*(e-de*at) - h*dt + g*at + sun
	b = x.Eps*faces*de + g
	if x.Shape == Leaf || x.Shape == Touching || x.Shape == Apex {
		// dew or frost warms a face below the dew or frost point
		sat, slope := air.SaturationDensity(at)
		if dq := f.VapourKgM3 - sat; dq > 0 {
			m := h * lewis / rhoCp
			a += Latent * m * (dq + slope*at)
			b += Latent * m * slope
		}
	}
	if x.Shape == Touching && f.Touches {
		a += x.ContactWK * f.SkinC
		b += x.ContactWK
	}
	if x.WrapR > 0 {
		// the larger surface of a wrap, and the wrap in series with it:
		// flow = sb/(1+sbR)·(a/b - T), s its outer surface over the inner
		if x.WrapRatio > 0 {
			a, b = a*x.WrapRatio, b*x.WrapRatio
		}
		k := 1 / (1 + b*x.WrapR)
		a, b = a*k, b*k
	}
	return a, b
}
