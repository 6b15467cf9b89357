package heat

import "math"

// A film is an unknown of the scheme like a temperature: its rate is what the face
// gains from the air beside it, and a nearly dry face dries within seconds. It meets
// only the vapour it takes from, the face and the air's temperature, so it is
// eliminated from their rows and found afterwards:
//
//	(1 - γτ w_F) U_F = γτ (w + γ_i τ ∂w/∂t + w_q U_q + w_T U_T + w_a U_a) + γ Σ c_ij U_Fj

// eliminateFilms takes the films out of the dense block: what they do to a flow is
// to slow it down.
func (s *Sim) eliminateFilms(gt float64) {
	ix, y, k := &s.ix, &s.sys, &s.work
	for f := range ix.nf {
		if y.wz[f] == 0 {
			continue // no face there
		}
		z, i, a := y.wz[f], y.wi[f], y.wn[f]
		k.slow[f] = 1 / (1 - gt*k.wf[f])
		x := gt * (k.slow[f] - 1)
		face := &y.lu[i]
		face[z] -= Latent * x * y.wq[f]
		face[i] -= Latent * x * y.wt[f]
		face[a] -= Latent * x * y.wa[f]
		if s.held && z == ix.thermal {
			continue // a boundary
		}
		vapour := &y.lu[z]
		vapour[z] += x * y.wq[f]
		vapour[i] += x * y.wt[f]
		vapour[a] += x * y.wa[f]
	}
}

// reduceFilms leaves the films' right-hand sides in the increments of stage st and
// adds what they carry to those of the dense block.
func (s *Sim) reduceFilms(st int, gt, g float64) {
	ix, y, k := &s.ix, &s.sys, &s.work
	u, c := &k.u[st], &k.tab.c[st]
	for f := range ix.nf {
		if y.wz[f] == 0 {
			continue
		}
		r := gt * (k.wet[st][f] + g*k.dwet[f])
		for j := range st {
			r += rosGamma * c[j] * k.uf[j][f]
		}
		k.uf[st][f] = r
		x := gt * k.wf[f] * k.slow[f] * r
		u[y.wi[f]] += Latent * x
		if !s.held || y.wz[f] != ix.thermal {
			u[y.wz[f]] -= x
		}
	}
}

// expandFilms completes the films' increments of stage st once the others are known.
func (s *Sim) expandFilms(st int, gt float64) {
	y, k := &s.sys, &s.work
	u := &k.u[st]
	for f := range s.ix.nf {
		if y.wz[f] != 0 {
			by := y.wq[f]*u[y.wz[f]] + y.wt[f]*u[y.wi[f]] + y.wa[f]*u[y.wn[f]]
			k.uf[st][f] = k.slow[f] * (k.uf[st][f] + gt*by)
		}
	}
}

// filmOff is by how much the water on a skin [kg/m2] may come out different from what
// a step was worked out for: as drops it moves the emissivity by up to 0.04, the skin by
// 0.2 K.
const filmOff = 2e-3

// foreseen reports whether the skins' films came out as the step's optics took them
// to. Where not, the rates are set to what came out, so that the next try knows better.
func (s *Sim) foreseen(before *snapshot, tau float64) bool {
	ix := &s.ix
	off := 0.0
	for k := range 2 * ix.ns {
		to := min(max(0, s.film[k]), s.fixed.filmCap[k])
		off = max(off, math.Abs(to-s.filmFrom[k]-s.filmGain[k]))
	}
	if off <= filmOff {
		return true
	}
	for k := range ix.nf {
		s.filmRate[k], s.filmSlope[k] = (s.film[k]-before.film[k])/tau, 0
	}
	return false
}

// finishWater books the water of an accepted step: rain on, drip off.
func (s *Sim) finishWater(d0, d1 *Sample, tau float64) {
	ix, c := &s.ix, &s.cell
	s.filmRate, s.filmSlope = s.work.wet[rosStages-1], s.sys.wf
	if rain := 0.5 * (d0.RainKgM2S + d1.RainKgM2S) * tau; rain > 0 {
		if ix.ns > 0 {
			s.film[ix.filmTop] += rain
		} else if ix.canopy >= 0 {
			s.film[ix.filmCanopy] += rain * c.Canopy.Cover
		}
	}
	s.drip(tau)
	for k := range ix.nf {
		s.film[k] = min(max(0, s.film[k]), s.fixed.filmCap[k])
	}
	if s.audit {
		s.bookNonlinear(d1, tau)
	}
}
