package ground

import (
	"fmt"
	"math"
)

// Layer is one slice of a column.
type Layer struct {
	ThickM   float64
	Material Material
}

// Boundary is what happens at an end of a column: a given flux into the column
// and an exchange with something outside, q = FluxWM2 + ConductWM2K·(OutsideC -
// face). An infinite conductance holds the face at OutsideC.
type Boundary struct {
	FluxWM2     float64 // [W/m2]
	ConductWM2K float64 // [W/m2K]
	OutsideC    float64 // [°C]
}

// Held keeps a face at a temperature [°C].
func Held(tC float64) Boundary { return Boundary{ConductWM2K: math.Inf(1), OutsideC: tC} }

// Flux puts heat into a face [W/m2]; Flux(0) insulates it.
func Flux(wm2 float64) Boundary { return Boundary{FluxWM2: wm2} }

// Convective couples a face to air at airC [°C] by h [W/m2K].
func Convective(h, airC float64) Boundary { return Boundary{ConductWM2K: h, OutsideC: airC} }

// Column is a stack of layers, top first, solved by itself: for starting the
// ground from past weather and for problems with known answers. Not for
// concurrent use.
//
// Scheme: finite volumes with the enthalpy as the state; SDIRK2 in time
// (Alexander 1977, SIAM J. Numer. Anal. 14: γ = 1-1/√2, L-stable, stiffly
// accurate, order 2), Newton on the tridiagonal system of each stage. The new
// enthalpies are computed from the fluxes, so that stored heat and flows agree
// to rounding whatever the step.
type Column struct {
	layers []Layer
	h      []float64 // enthalpy [J/m3]
	inJM2  float64   // heat put in through both ends since the start [J/m2]
	// The heat through the top alone, and the sum of its size.
	topJM2, grossJM2 float64
	rejected         int // steps that had to be halved

	// work space
	start, base, try, t, slope, g, lower, diag, upper, rhs, flux []float64
}

// NewColumn makes a column at one temperature [°C]. A thickness or a heat
// capacity that is not above 0 is refused.
func NewColumn(layers []Layer, tC float64) (*Column, error) {
	if len(layers) < 1 {
		return nil, fmt.Errorf("ground: a column needs at least one layer")
	}
	for i, l := range layers {
		if !(l.ThickM > 0) || !(l.Material.C > 0) || !(l.Material.CFrozen > 0) || !(l.Material.K > 0) || !(l.Material.KFrozen > 0) {
			return nil, fmt.Errorf("ground: layer %d needs thickness, conductivities and heat capacities above 0", i)
		}
	}
	n := len(layers)
	c := &Column{layers: append([]Layer(nil), layers...), h: make([]float64, n)}
	for _, p := range []*[]float64{&c.start, &c.base, &c.try, &c.t, &c.slope, &c.lower, &c.diag, &c.upper, &c.rhs} {
		*p = make([]float64, n)
	}
	c.g, c.flux = make([]float64, n+1), make([]float64, n+1)
	for i := range c.h {
		c.h[i] = layers[i].Material.Enthalpy(tC)
	}
	return c, nil
}

// Set gives layer i a temperature [°C] and starts the ledger again.
func (c *Column) Set(i int, tC float64) {
	c.h[i] = c.layers[i].Material.Enthalpy(tC)
	c.inJM2, c.topJM2, c.grossJM2 = 0, 0, 0
}

// Len returns the number of layers.
func (c *Column) Len() int { return len(c.layers) }

// T returns the temperature of layer i [°C].
func (c *Column) T(i int) float64 {
	t, _ := c.layers[i].Material.Temperature(c.h[i])
	return t
}

// Profile writes all temperatures [°C] to out (made when nil) and returns it.
func (c *Column) Profile(out []float64) []float64 {
	if out == nil {
		out = make([]float64, len(c.layers))
	}
	for i := range c.layers {
		out[i] = c.T(i)
	}
	return out
}

// Face returns the temperature of the top face [°C] under a boundary.
func (c *Column) Face(b Boundary) float64 {
	if math.IsInf(b.ConductWM2K, 1) {
		return b.OutsideC
	}
	l := c.layers[0]
	g := 2 * l.Material.Conductivity(c.h[0]) / l.ThickM
	return (b.FluxWM2 + b.ConductWM2K*b.OutsideC + g*c.T(0)) / (b.ConductWM2K + g)
}

// StoredJM2 returns the heat in the column [J/m2], 0 at 0 °C all liquid.
func (c *Column) StoredJM2() float64 {
	s := 0.0
	for i, l := range c.layers {
		s += l.ThickM * c.h[i]
	}
	return s
}

// InJM2 returns the heat that entered through both ends [J/m2]; the change of
// StoredJM2 since the start equals it.
func (c *Column) InJM2() float64 { return c.inJM2 }

// TopJM2 returns the heat that entered through the top [J/m2].
func (c *Column) TopJM2() float64 { return c.topJM2 }

// GrossJM2 returns the sum of the sizes of the heat through both ends [J/m2].
func (c *Column) GrossJM2() float64 { return c.grossJM2 }

// Halved returns how many steps had to be halved for Newton to converge.
func (c *Column) Halved() int { return c.rejected }

// FrozenM returns how much of the column is frozen [m]: the sum of thickness
// times frozen share.
func (c *Column) FrozenM() float64 {
	s := 0.0
	for i, l := range c.layers {
		s += l.ThickM * l.Material.Ice(c.h[i])
	}
	return s
}

// Step advances by dt [s] with constant boundaries, bottom flux counted into
// the column too. Steps that do not converge are halved, down to dt/4096; then
// it fails and the state is that of the last good part.
func (c *Column) Step(dt float64, top, bottom Boundary) error {
	if !(dt > 0) {
		return fmt.Errorf("ground: a step of %g s; give one above 0", dt)
	}
	return c.step(dt, top, bottom, 0)
}

func (c *Column) step(dt float64, top, bottom Boundary, depth int) error {
	if c.attempt(dt, top, bottom) {
		return nil
	}
	if depth == 12 {
		return fmt.Errorf("ground: a step of %g s does not converge; check conductivities and boundaries", dt)
	}
	c.rejected++
	if err := c.step(dt/2, top, bottom, depth+1); err != nil {
		return err
	}
	return c.step(dt/2, top, bottom, depth+1)
}

// attempt tries one step; on false nothing has changed.
func (c *Column) attempt(dt float64, top, bottom Boundary) bool {
	const gamma = 1 - math.Sqrt2/2 // Alexander 1977
	n := len(c.h)
	copy(c.start, c.h)
	copy(c.base, c.h)
	copy(c.try, c.h)
	// stage 1: h1 = h0 + γ dt F(h1)
	if !c.solve(gamma*dt, top, bottom) {
		return false
	}
	top1, bottom1 := c.flux[0], -c.flux[n]
	// stage 2: h2 = h0 + (1-γ) dt F(h1) + γ dt F(h2)
	for i, l := range c.layers {
		c.base[i] = c.start[i] + (1-gamma)*dt*(c.flux[i]-c.flux[i+1])/l.ThickM
	}
	if !c.solve(gamma*dt, top, bottom) {
		return false
	}
	topJ := dt * ((1-gamma)*top1 + gamma*c.flux[0])
	bottomJ := dt * ((1-gamma)*bottom1 - gamma*c.flux[n])
	for i, l := range c.layers {
		c.h[i] = c.base[i] + gamma*dt*(c.flux[i]-c.flux[i+1])/l.ThickM
	}
	c.topJM2 += topJ
	c.inJM2 += topJ + bottomJ
	c.grossJM2 += math.Abs(topJ) + math.Abs(bottomJ)
	return true
}

// solve finds try = base + a·F(try), leaving the downward fluxes in c.flux
// (flux[0] into the top, flux[n] out of the bottom).
func (c *Column) solve(a float64, top, bottom Boundary) bool {
	n := len(c.h)
	for iter := range 60 {
		gTop, tTop, fTop := c.end(0, top)
		gBot, tBot, fBot := c.end(n-1, bottom)
		for i, l := range c.layers {
			c.t[i], c.slope[i] = l.Material.Temperature(c.try[i])
		}
		c.flux[0] = gTop*(tTop-c.t[0]) + fTop
		c.flux[n] = gBot*(c.t[n-1]-tBot) - fBot
		c.g[0], c.g[n] = gTop, gBot
		for i := 1; i < n; i++ {
			p, q := c.layers[i-1], c.layers[i]
			// series of two half layers
			c.g[i] = 2 / (p.ThickM/p.Material.Conductivity(c.try[i-1]) + q.ThickM/q.Material.Conductivity(c.try[i]))
			c.flux[i] = c.g[i] * (c.t[i-1] - c.t[i])
		}
		worst := 0.0
		for i, l := range c.layers {
			res := l.ThickM*(c.try[i]-c.base[i]) - a*(c.flux[i]-c.flux[i+1])
			c.rhs[i] = -res
			c.diag[i] = l.ThickM + a*(c.g[i]+c.g[i+1])*c.slope[i]
			c.lower[i], c.upper[i] = 0, 0
			if i > 0 {
				c.lower[i] = -a * c.g[i] * c.slope[i-1]
			}
			if i < n-1 {
				c.upper[i] = -a * c.g[i+1] * c.slope[i+1]
			}
			// residual as the kelvin it is worth at the least heat capacity
			worst = math.Max(worst, math.Abs(res)/(l.ThickM*math.Min(l.Material.C, l.Material.CFrozen)))
		}
		if worst < 1e-9 {
			return true
		}
		c.thomas()
		damp := 1.0
		if iter > 15 {
			damp = 0.5 // a cell hopping over a corner of its curve settles
		}
		for i := range c.try {
			c.try[i] += damp * c.rhs[i]
		}
	}
	return false
}

// end returns conductance [W/m2K], temperature [°C] and flux [W/m2] of the path
// from the middle of layer i through its face to a boundary: q = g·(t-T) + f.
func (c *Column) end(i int, b Boundary) (g, t, f float64) {
	half := 2 * c.layers[i].Material.Conductivity(c.try[i]) / c.layers[i].ThickM
	if math.IsInf(b.ConductWM2K, 1) {
		return half, b.OutsideC, 0
	}
	if b.ConductWM2K == 0 {
		return 0, 0, b.FluxWM2
	}
	// the face itself stores nothing
	s := half + b.ConductWM2K
	return half * b.ConductWM2K / s, b.OutsideC, b.FluxWM2 * half / s
}

// thomas solves the tridiagonal system into c.rhs.
func (c *Column) thomas() {
	n := len(c.rhs)
	for i := 1; i < n; i++ {
		w := c.lower[i] / c.diag[i-1]
		c.diag[i] -= w * c.upper[i-1]
		c.rhs[i] -= w * c.rhs[i-1]
	}
	c.rhs[n-1] /= c.diag[n-1]
	for i := n - 2; i >= 0; i-- {
		c.rhs[i] = (c.rhs[i] - c.upper[i]*c.rhs[i+1]) / c.diag[i]
	}
}
