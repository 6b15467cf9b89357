package heat

import (
	"math"

	"example.org/coldnight/physics/cover"
)

// optics caches what depends on the water on the skins.
type optics struct {
	dirty   bool
	film    [MaxSkins]float64 // film the cache was made for
	pairs   [96]radPair
	n       int
	downSky float64             // share of sky longwave in the flux on the plants
	down    [maxThermal]float64 // share of each node's σT⁴ in it
	up      [maxThermal]float64 // the same for the flux from below
	upSky   float64
	sun     [maxThermal]float64 // share of sunlight absorbed by each node
	sunDown float64             // sunlight reaching the plants / above the cell
}

// radPair is a net longwave exchange g·(σTi⁴ - σTj⁴); i = skyNode is the sky.
type radPair struct {
	i, j int
	g    float64
}

const (
	skyNode      = -1
	surroundNode = -2
)

// refreshOptics rebuilds the exchange factors when a film has changed enough to
// matter, in fixed steps always. The films are taken as they will be in the middle of
// a step of tau seconds, by the rate of the last one.
func (s *Sim) refreshOptics(tau float64) {
	ix := &s.ix
	for k := range ix.nf {
		s.filmMid[k] = max(0, s.film[k]+0.5*tau*s.filmRate[k])
	}
	stale := s.opt.dirty || s.err.FixedS > 0
	var now [MaxSkins]float64
	for j := range ix.ns {
		top, under := &s.filmMid[ix.filmTop+j], &s.filmMid[ix.filmUnder+j]
		limit := s.cell.Skins[j].FilmCap * s.cell.Skins[j].AreaRatio
		*top, *under = min(*top, limit), min(*under, limit)
		now[j] = *top + *under
		if math.Abs(now[j]-s.opt.film[j]) > 1e-4+0.01*s.opt.film[j] {
			stale = true
		}
	}
	if ix.canopy >= 0 {
		s.filmMid[ix.filmCanopy] = min(s.filmMid[ix.filmCanopy], s.cell.Canopy.FilmCap)
	}
	if !stale {
		return
	}
	s.opt.dirty = false
	s.opt.film = now
	s.buildOptics()
}

// canopyOptic is the canopy as one layer: gaps pass, leaves absorb.
func (s *Sim) canopyOptic() cover.Optic {
	c := &s.cell.Canopy
	return cover.Optic{Tau: 1 - c.Cover, Rho: c.Cover * (1 - c.Eps), Eps: c.Cover * c.Eps}
}

// buildOptics computes the exchange factors between sky, skins, canopy, bench
// and floor, the longwave on the plants, and who absorbs the sunlight.
func (s *Sim) buildOptics() {
	o, c, ix := &s.opt, &s.cell, &s.ix
	o.n = 0
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
			s.slantingFaces(op.Eps)
		}
		nodes[0], nodes[k+1] = top, ix.skins+j
		if c.Skins[j].Below == ContactBelow {
			// nothing passes a body in contact: it closes this stack, and the
			// next skin is the sky of what lies below
			layers[k] = cover.Optic{Eps: op.Eps, Rho: 1 - op.Eps}
			cover.Longwave(layers[:k+1], &ex)
			s.addPairs(&ex, nodes[:k+2])
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
	s.addPairs(&ex, nodes[:k+2])

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
	s.buildSun()
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
func (s *Sim) addPairs(ex *cover.Exchange, nodes []int) {
	for i := range nodes {
		for k := i + 1; k < len(nodes); k++ {
			g := ex.G[i][k]
			if g <= 0 || nodes[i] == nodes[k] {
				continue
			}
			if nodes[k] == s.ix.soil && s.ix.nb > 0 {
				s.addPair(nodes[i], s.ix.bench, g*s.fixed.fp)
				s.addPair(nodes[i], s.ix.soil, g*(1-s.fixed.fp))
				continue
			}
			s.addPair(nodes[i], nodes[k], g)
		}
	}
}

func (s *Sim) addPair(i, j int, g float64) {
	if i >= 0 || j >= 0 {
		s.opt.pairs[s.opt.n] = radPair{i, j, g}
		s.opt.n++
	}
}

// slantingFaces adds what the outermost skin's outer face sees beyond one m2 of
// horizontal: A·view m2 of sky instead of 1, and A·(1 - view) m2 of surroundings.
func (s *Sim) slantingFaces(eps float64) {
	sk := &s.cell.Skins[0]
	s.addPair(skyNode, s.ix.skins, eps*(sk.AreaRatio*sk.OuterView-1))
	s.addPair(surroundNode, s.ix.skins, eps*sk.AreaRatio*(1-sk.OuterView))
}

// buildSun shares the sunlight on the horizontal above the cell among skins,
// canopy and floor, with multiple reflection.
func (s *Sim) buildSun() {
	o, c, ix := &s.opt, &s.cell, &s.ix
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
