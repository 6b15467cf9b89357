package heat

import (
	"fmt"
	"math"

	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/ground"
)

// Shape says how a tissue meets its surroundings.
type Shape int

// Shapes of tissue.
const (
	Leaf     Shape = iota // thin plate, both faces, upper face to the sky
	Touching              // a leaf that lies against the innermost skin
	Stem                  // vertical cylinder, in shells
	Apex                  // the top of a stem: a disc with the full sky above
	RootBall              // a pot standing in the open or at the edge of a block
	PotBlock              // a pot inside a block: exchanges through its top
	Cupped                // a leaf or tip under a cup of its own
)

// Tissue is one class of plant tissue, integrated as a passive body under the
// air, radiation and wind of the innermost zone: it feels the cell and does not
// change it.
type Tissue struct {
	Key       string
	Shape     Shape
	LengthM   float64         // leaf: along the air; stem, pot: diameter; cup: diameter [m]
	ThickM    float64         // leaf, pad: thickness; apex: thickness of the disc; pot: height [m]
	Shells    int             // stem, pot: 1..4
	Material  ground.Material // tissue or potting mix
	Eps       float64         // longwave emissivity
	Absorb    float64         // of sunlight
	WrapR     float64         // stem, apex: resistance of a wrap, by the surface under it [m2K/W]
	WrapRatio float64         // outer surface of the wrap / surface under it; 0 means 1
	Cup       Cup             // for Cupped
	OnGround  bool            // pot: stands on the floor (else on a bench)
	ContactWK float64         // touching: conductance to the skin [W/m2K]
}

// Cup is a small cover around one tip, standing on the floor.
type Cup struct {
	WallRatio float64 // outer area / floor area
	Eps       float64 // of the wall
	Tau       float64 // longwave the wall lets through
	WallWK    float64 // conductance through the wall [W/m2K]
	LeakMS    float64 // air exchange per floor area [m/s]
	SunTau    float64 // sunlight let through
}

// Feel is what the innermost zone offers a tissue at one moment.
type Feel struct {
	AirC, VapourKgM3, WindMS float64
	DownWM2, UpWM2           float64 // longwave from above and below
	SunWM2                   float64 // sunlight reaching the plants
	FloorC, SkinC            float64 // floor surface; innermost skin (air if none)
	Touches                  bool    // the innermost skin lies on the plants
	GroundC                  float64 // ground at 10 cm
}

const maxShells = 4

type tissueState struct {
	Tissue
	n      int
	t, h   [maxShells]float64 // outer first
	vol    [maxShells]float64 // volume per outer area [m]
	link   [maxShells]float64 // conductance inwards, per outer area, at unit conductivity [1/m]
	inside [2]float64         // cup: wall and air, kept as start values
}

func (s *Sim) addTissues(ts []Tissue) error {
	s.tissues = make([]tissueState, len(ts))
	for i, t := range ts {
		if !(t.LengthM > 0) {
			return fmt.Errorf("heat: tissue %q has no size", t.Key)
		}
		st := &s.tissues[i]
		st.Tissue = t
		st.shells()
		for k := range st.n {
			if !(st.vol[k] > 0) {
				return fmt.Errorf("heat: tissue %q has no volume", t.Key)
			}
		}
	}
	return nil
}

// shells divides the body; everything is per m2 of its outer surface.
func (x *tissueState) shells() {
	n := min(max(x.Shells, 1), maxShells)
	switch x.Shape {
	case Stem:
		// rings of equal thickness of an infinite cylinder
		r := x.LengthM / 2
		edge := func(k int) float64 { return r * (1 - float64(k)/float64(n)) }
		for k := range n {
			ro, ri := edge(k), edge(k+1)
			x.vol[k] = (ro*ro - ri*ri) / (2 * r)
			if k+1 < n {
				x.link[k] = ri / r / (r / float64(n))
			}
		}
	case RootBall:
		// a cylinder as high as wide shrinking towards its centre; the outer
		// surface is wall and top
		d, hgt := x.LengthM, x.ThickM
		area := math.Pi*d*hgt + math.Pi*d*d/4
		volume := math.Pi * d * d / 4 * hgt
		for k := range n {
			so, si := 1-float64(k)/float64(n), 1-float64(k+1)/float64(n)
			x.vol[k] = volume * (so*so*so - si*si*si) / area
			if k+1 < n {
				x.link[k] = si * si / (d / 2 / float64(n))
			}
		}
	case PotBlock:
		for k := range n {
			x.vol[k] = x.ThickM / float64(n)
			if k+1 < n {
				x.link[k] = float64(n) / x.ThickM
			}
		}
	default:
		n = 1
		x.vol[0] = x.ThickM
	}
	x.n = n
}

func (x *tissueState) begin(t float64) {
	for k := range x.n {
		x.t[k] = t
		x.h[k] = x.Material.Enthalpy(t)
	}
	x.inside = [2]float64{t, t}
}

// TakeTissue gives tissue k the state of tissue j of another run. The two must be alike
// in shape, size and shells.
func (s *Sim) TakeTissue(k int, from *Rest, j int) {
	s.tissues[k].t, s.tissues[k].h, s.tissues[k].inside = from.tissues[j].t, from.tissues[j].h, from.tissues[j].inside
}

// Feel returns what the plants feel now under weather d.
func (s *Sim) Feel(d *Sample) Feel {
	ix := &s.ix
	z := ix.inner
	f := Feel{
		AirC: s.t[z], VapourKgM3: s.q[z], WindMS: s.speed(z, d.WindMS, d.StirMS),
		DownWM2: s.opt.downSky * d.SkyWM2, UpWM2: s.opt.upSky * d.SkyWM2,
		SunWM2: s.opt.sunDown * d.SunWM2,
		FloorC: s.t[ix.soil], SkinC: s.t[z],
	}
	for i := range ix.thermal {
		if s.opt.down[i] != 0 || s.opt.up[i] != 0 {
			e := quartic(s.t[i])
			f.DownWM2 += s.opt.down[i] * e
			f.UpWM2 += s.opt.up[i] * e
		}
	}
	if len(s.cell.Heaters) > 0 {
		f.DownWM2 += s.shine(d)
	}
	if ix.ns > 0 {
		f.SkinC = s.t[ix.skins+ix.ns-1]
		f.Touches = s.cell.Skins[ix.ns-1].OnPlants
	}
	return f
}

// feel is [Sim.Feel] with the ground that cups stand on.
func (s *Sim) feel(d *Sample) Feel {
	f := s.Feel(d)
	f.GroundC = s.GroundC(0.1)
	return f
}

// stepTissues carries the tissues over an accepted step that ended under weather d.
func (s *Sim) stepTissues(d *Sample, tau float64) {
	if len(s.tissues) == 0 {
		return
	}
	end := s.feel(d)
	mid := s.felt.towards(&end, sdirkGamma)
	for k := range s.tissues {
		s.tissues[k].advance(&mid, &end, tau, s.fixed.rhoCp)
	}
	s.felt = end
}

// towards returns what is felt at share g of the way from f to end.
func (f *Feel) towards(end *Feel, g float64) Feel {
	mix := func(a, b float64) float64 { return a + g*(b-a) }
	return Feel{
		AirC: mix(f.AirC, end.AirC), VapourKgM3: mix(f.VapourKgM3, end.VapourKgM3), WindMS: mix(f.WindMS, end.WindMS),
		DownWM2: mix(f.DownWM2, end.DownWM2), UpWM2: mix(f.UpWM2, end.UpWM2), SunWM2: mix(f.SunWM2, end.SunWM2),
		FloorC: mix(f.FloorC, end.FloorC), SkinC: mix(f.SkinC, end.SkinC),
		Touches: end.Touches, GroundC: mix(f.GroundC, end.GroundC),
	}
}

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
		x.t[i], _ = x.Material.Temperature(x.h[i])
	}
	x.step(end, sdirkGamma*tau, rhoCp)
}

// Tissue returns the temperature of tissue k [°C]: the outermost shell, which
// is the coldest at night; a root ball gives its mean.
func (s *Sim) Tissue(k int) float64 {
	x := &s.tissues[k]
	if x.Shape == RootBall || x.Shape == PotBlock {
		sum, vol := 0.0, 0.0
		for i := range x.n {
			sum += x.vol[i] * x.t[i]
			vol += x.vol[i]
		}
		return sum / vol
	}
	return x.t[0]
}

func (x *tissueState) step(f *Feel, tau, rhoCp float64) {
	if x.Shape == Cupped {
		x.stepCup(f, tau, rhoCp)
		return
	}
	// two passes: the coefficients of the second are taken at the first result
	t0 := x.t[0]
	for pass := range 2 {
		at := t0
		if pass == 1 {
			at = x.t[0]
		}
		a, b := x.outerFlux(f, at, rhoCp)
		x.solve(a, b, f, tau, pass == 1)
	}
}

// outerFlux returns the heat flow into the outer surface as a - b·T [W/m2 of
// outer surface], linearised at temperature at.
func (x *tissueState) outerFlux(f *Feel, at, rhoCp float64) (a, b float64) {
	e := quartic(at)
	de := 4 * e / (at + 273.15)
	dt := at - f.AirC
	// longwave in, emitting faces; convection and the derivative of its flow, over faces
	var in, faces, h, g float64
	switch x.Shape {
	case Leaf, Touching:
		hl, gl := air.Leaf(x.LengthM, f.WindMS, dt)
		in, faces, h, g = x.Eps*(f.DownWM2+f.UpWM2), 2, 2*hl, 2*gl
	case Stem:
		h = air.Stem(x.LengthM*max(x.WrapRatio, 1), f.WindMS, dt)
		in, faces, g = x.Eps*0.5*(f.DownWM2+f.UpWM2), 1, h
	case Apex:
		h, g = air.Leaf(x.LengthM, f.WindMS, dt) // a small disc, not a bench
		in, faces = x.Eps*f.DownWM2, 1
	case RootBall:
		wall := math.Pi * x.LengthM * x.ThickM
		top := math.Pi * x.LengthM * x.LengthM / 4
		w := wall / (wall + top)
		h = air.Stem(x.LengthM, f.WindMS, dt)
		in, faces, g = x.Eps*(w*0.5*(f.DownWM2+f.UpWM2)+(1-w)*f.DownWM2), 1, h
	case PotBlock:
		// under leaves: half of the sky's flux, half from the canopy at air temperature
		h, g = plate(dt, f.WindMS)
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

// solve advances the shells implicitly with flux a - b·T on the outermost.
func (x *tissueState) solve(a, b float64, f *Feel, tau float64, keep bool) {
	var m, r, dg, lo [maxShells]float64
	n := x.n
	k := x.Material.Conductivity(x.h[0])
	for i := range n {
		_, sl := x.Material.Temperature(x.h[i])
		m[i] = x.vol[i] / sl / tau
	}
	t0 := x.start()
	for i := range n {
		dg[i] = m[i]
		r[i] = 0
	}
	dg[0] += b
	r[0] += a - b*t0[0]
	for i := 0; i+1 < n; i++ {
		g := x.link[i] * k
		lo[i] = g
		dg[i] += g
		dg[i+1] += g
		w := g * (t0[i] - t0[i+1])
		r[i] -= w
		r[i+1] += w
	}
	if x.Shape == PotBlock || (x.Shape == RootBall && x.OnGround) {
		g := k / (x.ThickM / 2 / float64(n))
		if x.Shape == RootBall {
			wall := 4 * x.ThickM / x.LengthM
			g = k / (x.ThickM / 2) / (wall + 1)
		}
		if x.OnGround {
			dg[n-1] += g
			r[n-1] += g * (f.FloorC - t0[n-1])
		} else {
			const u = 7 // underside over air: longwave and slow convection [W/m2K]
			g = g * u / (g + u)
			dg[n-1] += g
			r[n-1] += g * (f.AirC - t0[n-1])
		}
	}
	// Thomas algorithm for the increments
	for i := 1; i < n; i++ {
		w := lo[i-1] / dg[i-1]
		dg[i] -= w * lo[i-1]
		r[i] += w * r[i-1]
	}
	var z [maxShells]float64
	for i := n - 1; i >= 0; i-- {
		v := r[i]
		if i+1 < n {
			v += lo[i] * z[i+1]
		}
		z[i] = v / dg[i]
	}
	for i := range n {
		if keep {
			x.h[i] += z[i] * m[i] * tau / x.vol[i]
			x.t[i], _ = x.Material.Temperature(x.h[i])
		} else {
			x.t[i] = t0[i] + z[i]
		}
	}
}

// start returns the temperatures at the start of the step.
func (x *tissueState) start() [maxShells]float64 {
	var t [maxShells]float64
	for i := range x.n {
		t[i], _ = x.Material.Temperature(x.h[i])
	}
	return t
}
