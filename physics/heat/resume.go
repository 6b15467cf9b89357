package heat

// Resume goes on exactly where another run of the same cell has got to: all of its state,
// what it learned about its steps included. Where the cells are not built alike it is
// [Sim.Become]. The other run is not touched, and the tissues must be the same.
func (s *Sim) Resume(from *Sim) {
	s.Become(from)
	if s.ix != from.ix || len(s.tissues) != len(from.tissues) {
		return
	}
	s.t, s.h, s.q, s.soil, s.film = from.t, from.h, from.q, from.soil, from.film
	s.filmRate, s.filmFrom, s.filmGain, s.filmSlope = from.filmRate, from.filmFrom, from.filmGain, from.filmSlope
	s.soilRate, s.benchRate = from.soilRate, from.benchRate
	*s.opt, *s.next, s.varies = *from.opt, *from.next, from.varies
	s.pairs, s.radiating = from.pairs, from.radiating
	s.conv, s.wind, s.share, s.held = from.conv, from.wind, from.share, from.held
	s.step, s.ceiling, s.felt = from.step, from.ceiling, from.felt
	s.drips = from.drips
	copy(s.tissues, from.tissues)
}
