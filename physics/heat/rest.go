package heat

// Rest is the state a cell has reached, small enough to be kept by the thousand: what
// [Sim.Wake] needs of a run, without its work space.
type Rest struct {
	ix      index
	skins   []Skin
	layers  []Layer
	t, h    [maxThermal]float64
	q       [MaxZones]float64
	soil    [MaxSoil]float64
	film    [maxFilms]float64
	drips   drips
	tissues []tissueRest
}

type tissueRest struct {
	t, h   [maxShells]float64
	inside [2]float64
}

// Rest returns the state now. The run may go on; the copy stays.
func (s *Sim) Rest() *Rest {
	r := &Rest{tissues: make([]tissueRest, 0, len(s.tissues))}
	s.put(r)
	return r
}

// put writes the state into a copy.
func (s *Sim) put(r *Rest) {
	r.ix, r.skins, r.layers = s.ix, s.cell.Skins, s.cell.Ground.Layers
	r.t, r.h, r.q, r.soil, r.film, r.drips = s.t, s.h, s.q, s.soil, s.film, s.drips
	r.tissues = r.tissues[:0]
	for k := range s.tissues {
		r.tissues = append(r.tissues, tissueRest{s.tissues[k].t, s.tissues[k].h, s.tissues[k].inside})
	}
}

// Become carries the state of another run of the same place into this cell, as
// [Sim.Wake] does from a kept one. It is how covers go on and off.
func (s *Sim) Become(from *Sim) {
	from.put(&s.before)
	s.Wake(&s.before)
}

// Wake starts this cell from the state another cell of the same place has reached: the
// ground, canopy, bench and masses keep their heat; skins and zones that did not exist
// start from the air they appear in.
func (s *Sim) Wake(from *Rest) {
	a, b := &s.ix, &from.ix
	airC := from.t[b.zones+b.inner]
	s.Begin(Start{AirC: airC, VapourKgM3: from.q[b.inner]})
	s.t[0] = from.t[0]
	s.q[0] = from.q[0]
	s.drips = from.drips
	if a.canopy >= 0 && b.canopy >= 0 {
		s.t[a.canopy] = from.t[b.canopy]
		s.film[a.filmCanopy] = from.film[b.filmCanopy]
	}
	s.takeMasses(from)
	for k := range min(a.nb, b.nb) {
		s.takeNode(a.bench+k, from, b.bench+k)
	}
	s.takeGround(from)
	for k := range min(len(s.tissues), len(from.tissues)) {
		s.tissues[k].t = from.tissues[k].t
		s.tissues[k].h = from.tissues[k].h
	}
	// skins of the same name keep temperature and water
	for j := range a.ns {
		for i := range b.ns {
			if s.cell.Skins[j].Name == from.skins[i].Name && s.cell.Skins[j].Name != "" {
				s.t[a.skins+j] = from.t[b.skins+i]
				s.film[a.filmTop+j] = from.film[b.filmTop+i]
				s.film[a.filmUnder+j] = from.film[b.filmUnder+i]
			}
		}
	}
	s.opt.dirty = true
	s.refreshOptics(0)
}

// takeGround carries the floor column over. A layer of another material, ground that
// has been watered, keeps its temperature: what wets it is taken to come as warm.
func (s *Sim) takeGround(from *Rest) {
	s.soil = from.soil
	s.takeNode(s.ix.soil, from, from.ix.soil)
	old, now := from.layers, s.cell.Ground.Layers
	for i := range min(len(old), len(now)) {
		if old[i].Material != now[i].Material {
			t, _ := old[i].Material.Temperature(from.soil[i])
			s.soil[i] = now[i].Material.Enthalpy(t)
		}
	}
	s.h[s.ix.soil] = s.soil[0]
}

func (s *Sim) takeNode(i int, from *Rest, j int) { s.t[i], s.h[i] = from.t[j], from.h[j] }
