package heat

import (
	"math"

	"example.org/coldnight/physics/cover"
)

// optics is what depends on the water on the skins.
type optics struct {
	dirty   bool
	film    [MaxSkins]float64 // film it was made for
	pairs   [96]radPair
	n       int
	downSky float64             // share of sky longwave in the flux on the plants
	down    [maxThermal]float64 // share of each node's σT⁴ in it
	up      [maxThermal]float64 // the same for the flux from below
	upSky   float64
	sun     [maxThermal]float64 // share of sunlight absorbed by each node
	sunDown float64             // sunlight reaching the plants / above the cell
}

// radPair is a net longwave exchange g·(σTi⁴ - σTj⁴); i = skyNode is the sky. Over a
// step g changes by dg.
type radPair struct {
	i, j  int
	g, dg float64
}

const (
	skyNode      = -1
	surroundNode = -2
)

// refreshOptics takes the films at the start of a step of tau seconds and as they
// will be at its end by the rate that the last one ended with, and the exchange
// factors for both; between, these run linearly like the weather. Factors are rebuilt
// when a film has changed enough to matter, in fixed steps always.
func (s *Sim) refreshOptics(tau float64) {
	ix := &s.ix
	for k := range ix.nf {
		s.filmFrom[k] = s.film[k]
		gain := tau * s.filmRate[k] / (1 - tau*s.filmSlope[k])
		s.filmGain[k] = min(max(0, s.film[k]+gain), s.fixed.filmCap[k]) - s.film[k]
	}
	var from, to [MaxSkins]float64
	for j := range ix.ns {
		top, under := ix.filmTop+j, ix.filmUnder+j
		from[j] = s.filmFrom[top] + s.filmFrom[under]
		to[j] = from[j] + s.filmGain[top] + s.filmGain[under]
	}
	s.share = 0
	fixed, n := s.err.FixedS > 0, ix.ns
	changed := s.varies
	if fixed || !s.opt.serves(&from, n) {
		s.buildOptics(s.opt, &from)
		s.buildHeat()
		changed = true
	}
	s.varies = fixed || !s.opt.serves(&to, n)
	if s.varies && (fixed || !s.next.serves(&to, n)) {
		s.buildOptics(s.next, &to)
	}
	if changed || s.varies {
		s.pairUp()
	}
}

// serves reports whether the factors are good enough for the films of the first n
// skins.
func (o *optics) serves(film *[MaxSkins]float64, n int) bool {
	for j := range n {
		if math.Abs(film[j]-o.film[j]) > 1e-4+0.01*o.film[j] {
			return false
		}
	}
	return !o.dirty
}

// pairUp lists the exchanges that are there at the start or the end of the step.
func (s *Sim) pairUp() {
	s.radiating = 0
	for k := range s.opt.n {
		p := s.opt.pairs[k]
		if s.varies {
			p.dg = s.next.pairs[k].g - p.g
		}
		if p.g != 0 || p.dg != 0 {
			s.pairs[s.radiating] = p
			s.radiating++
		}
	}
}

// arrive makes the end of an accepted step the present.
func (s *Sim) arrive() {
	if s.varies {
		s.opt, s.next, s.varies = s.next, s.opt, false
		s.buildHeat()
	}
}

// canopyOptic is the canopy as one layer: gaps pass, leaves absorb.
func (s *Sim) canopyOptic() cover.Optic {
	c := &s.cell.Canopy
	return cover.Optic{Tau: 1 - c.Cover, Rho: c.Cover * (1 - c.Eps), Eps: c.Cover * c.Eps}
}

// buildOptics computes the exchange factors between sky, skins, canopy, bench
// and floor, the longwave on the plants, and who absorbs the sunlight.
func (s *Sim) buildOptics(o *optics, film *[MaxSkins]float64) {
	c, ix := &s.cell, &s.ix
	o.dirty, o.film, o.n = false, *film, 0
	o.down, o.up, o.sun = [maxThermal]float64{}, [maxThermal]float64{}, [maxThermal]float64{}
	o.downSky, o.upSky = 1, 0

	var layers [cover.MaxN]cover.Optic
	var nodes [cover.MaxN + 1]int // node of each layer; nodes[0] is what lies above
	var ex cover.Exchange
	top := skyNode
	k := 0
	for j := range ix.ns {
		film := o.film[j] / c.Skins[j].AreaRatio
		op := c.Skins[j].Optics(film)
		if j == 0 {
			s.slantingFaces(o, op.Eps)
		}
		nodes[0], nodes[k+1] = top, ix.skins+j
		if c.Skins[j].Below == ContactBelow {
			// nothing passes a body in contact: it closes this stack, and the
			// next skin is the sky of what lies below
			layers[k] = cover.Optic{Eps: op.Eps, Rho: 1 - op.Eps}
			cover.Longwave(layers[:k+1], &ex)
			s.addPairs(o, &ex, nodes[:k+2])
			top, k = ix.skins+j+1, 0
			continue
		}
		layers[k] = op
		k++
	}
	if ix.canopy >= 0 {
		layers[k], nodes[k+1] = s.canopyOptic(), ix.canopy
		k++
	}
	layers[k] = cover.Optic{Eps: c.Ground.Eps, Rho: 1 - c.Ground.Eps}
	nodes[0], nodes[k+1] = top, ix.soil
	cover.Longwave(layers[:k+1], &ex)
	s.addPairs(o, &ex, nodes[:k+2])

	if top != skyNode {
		o.downSky = 0 // a body in contact closes the stack: no sky below it
	}
	// the flux on the plants: below the innermost skin, above canopy and floor
	below := 0
	for i := 1; i <= k+1; i++ {
		if n := nodes[i]; n >= ix.skins && n < ix.skins+ix.ns {
			below = i
		}
	}
	for i := 0; i <= k+1; i++ {
		dn, up := ex.DownBelow[below][i], ex.UpAbove[below+1][i]
		if nodes[i] == skyNode {
			o.downSky, o.upSky = dn, up
			continue
		}
		s.shareBottom(nodes[i], dn, &o.down)
		s.shareBottom(nodes[i], up, &o.up)
	}
	s.buildSun(o)
}

// shareBottom books v for a node; the bottom of the stack is floor and bench in
// their shares.
func (s *Sim) shareBottom(node int, v float64, to *[maxThermal]float64) {
	ix := &s.ix
	if node == ix.soil && ix.nb > 0 {
		to[ix.bench] += s.fixed.fp * v
		to[ix.soil] += (1 - s.fixed.fp) * v
		return
	}
	to[node] += v
}

// addPairs turns a stack's factors into exchanges between nodes.
func (s *Sim) addPairs(o *optics, ex *cover.Exchange, nodes []int) {
	for i := range nodes {
		for k := i + 1; k < len(nodes); k++ {
			g := ex.G[i][k]
			if nodes[i] == nodes[k] {
				continue
			}
			if nodes[k] == s.ix.soil && s.ix.nb > 0 {
				o.addPair(nodes[i], s.ix.bench, g*s.fixed.fp)
				o.addPair(nodes[i], s.ix.soil, g*(1-s.fixed.fp))
				continue
			}
			o.addPair(nodes[i], nodes[k], g)
		}
	}
}

func (o *optics) addPair(i, j int, g float64) {
	if i >= 0 || j >= 0 {
		o.pairs[o.n] = radPair{i: i, j: j, g: g}
		o.n++
	}
}

// slantingFaces adds what the outermost skin's outer face sees beyond one m2 of
// horizontal: A·view m2 of sky instead of 1, and A·(1 - view) m2 of surroundings.
func (s *Sim) slantingFaces(o *optics, eps float64) {
	sk := &s.cell.Skins[0]
	o.addPair(skyNode, s.ix.skins, eps*(sk.AreaRatio*sk.OuterView-1))
	o.addPair(surroundNode, s.ix.skins, eps*sk.AreaRatio*(1-sk.OuterView))
}

// buildSun shares the sunlight on the horizontal above the cell among skins,
// canopy and floor, with multiple reflection.
func (s *Sim) buildSun(o *optics) {
	c, ix := &s.cell, &s.ix
	var layers [cover.MaxN]cover.SolarOptic
	var nodes [cover.MaxN]int
	var ab cover.Absorbed
	k := 0
	for j := range ix.ns {
		sk := &c.Skins[j]
		film := o.film[j] / sk.AreaRatio
		w := 0.0
		if sk.WetKgM2 > 0 {
			w = math.Min(1, film/sk.WetKgM2)
		}
		dry, wet := sk.SolarDry, sk.SolarWet
		layers[k] = cover.SolarOptic{
			Tau: dry.Tau + w*(wet.Tau-dry.Tau),
			Rho: dry.Rho + w*(wet.Rho-dry.Rho),
			Abs: dry.Abs + w*(wet.Abs-dry.Abs),
		}
		nodes[k] = ix.skins + j
		k++
	}
	skins := k
	if ix.canopy >= 0 {
		layers[k] = cover.SolarOptic{Tau: 1 - c.Canopy.Cover, Rho: c.Canopy.Cover * c.Canopy.Albedo, Abs: c.Canopy.Cover * (1 - c.Canopy.Albedo)}
		nodes[k] = ix.canopy
		k++
	}
	layers[k] = cover.SolarOptic{Rho: c.Ground.Albedo, Abs: 1 - c.Ground.Albedo}
	nodes[k] = ix.soil
	cover.Shortwave(layers[:k+1], &ab)
	for i := range k + 1 {
		s.shareBottom(nodes[i], ab.Layer[i], &o.sun)
	}
	o.sunDown = ab.Down[skins]
}
