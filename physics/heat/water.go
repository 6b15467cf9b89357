package heat

// filmIncrements computes what each face gains in a step by the scheme itself,
// so that the water books close with the heat books. The result waits in
// sys.wet until the step is accepted.
func (s *Sim) filmIncrements(tau float64) {
	y, w := &s.sys, &s.work
	for k := range s.ix.nf {
		if y.wz[k] == 0 {
			continue // no face there
		}
		sum := 0.0
		for st := range rosStages {
			u := &w.u[st]
			sum += w.tab.b[st] * (w.wet[st][k] + w.tab.gammaSum[st]*w.dwet[k] + y.wq[k]*u[y.wz[k]] + y.wt[k]*u[y.wi[k]])
		}
		y.wet[k] = tau * sum
	}
}

// finishWater books the water of an accepted step: rain on, drip off.
func (s *Sim) finishWater(d0, d1 *Sample, tau float64) {
	y, ix, c := &s.sys, &s.ix, &s.cell
	for k := range ix.nf {
		if y.wz[k] == 0 {
			continue
		}
		before := s.film[k]
		s.film[k] = max(0, before+y.wet[k])
		s.filmRate[k] = (s.film[k] - before) / tau
	}
	if rain := 0.5 * (d0.RainKgM2S + d1.RainKgM2S) * tau; rain > 0 {
		if ix.ns > 0 {
			s.film[ix.filmTop] += rain
		} else if ix.canopy >= 0 {
			s.film[ix.filmCanopy] += rain * c.Canopy.Cover
		}
	}
	for j := range ix.ns {
		limit := c.Skins[j].FilmCap * c.Skins[j].AreaRatio
		s.film[ix.filmTop+j] = min(s.film[ix.filmTop+j], limit)
		s.film[ix.filmUnder+j] = min(s.film[ix.filmUnder+j], limit)
	}
	if ix.canopy >= 0 {
		s.film[ix.filmCanopy] = min(s.film[ix.filmCanopy], c.Canopy.FilmCap)
	}
	if s.audit {
		s.bookNonlinear(d1, tau)
	}
}
