package plan

// try makes a plan that fits out of the choice in cur (positions, per space) and
// keeps it when it beats the best. pairs also changes two spaces at a time.
func (s *search) try(pairs bool) {
	clear(s.used)
	for _, p := range s.cur {
		s.take(p, 1)
	}
	if !s.repair() {
		return
	}
	s.fill()
	for pairs && s.exchange() {
		s.fill()
	}
	cost := 0.0
	for _, p := range s.cur {
		cost += s.cost[p]
	}
	if cost < s.bestCost {
		s.bestCost, s.found = cost, true
		for i, p := range s.cur {
			s.best[i] = s.list[p]
		}
	}
}

// set changes space i to position p.
func (s *search) set(i int, p int32) {
	s.take(s.cur[i], -1)
	s.take(p, 1)
	s.cur[i] = p
}

// excessNow is how far used passes the limits, in scaled units.
func (s *search) excessNow() float64 {
	sum := 0.0
	for r, u := range s.used {
		if u > s.have[r] {
			sum += float64(u-s.have[r]) * s.scale[r]
		}
	}
	return sum
}

// excessMore is how much position p would add to excessNow.
func (s *search) excessMore(p int32) float64 {
	sum := 0.0
	for k := s.lo[p]; k < s.lo[p+1]; k++ {
		r := s.idx[k]
		if more := min(int(s.qty[k]), s.used[r]+int(s.qty[k])-s.have[r]); more > 0 {
			sum += float64(more) * s.scale[r]
		}
	}
	return sum
}

// repair takes things back where a limit is passed: again and again the one change
// that gives up the least reduced cost per share of the excess it removes.
func (s *search) repair() bool {
	for {
		before := s.excessNow()
		if before == 0 {
			return true
		}
		bestRate, at, to := inf, -1, int32(-1)
		for i, c := range s.cur {
			if s.freed(c) == 0 {
				continue
			}
			s.take(c, -1)
			without := s.excessNow()
			for p := s.start[i]; p < s.start[i+1]; p++ {
				gain := before - without - s.excessMore(p)
				if p == c || gain <= 1e-12 {
					continue
				}
				if rate := (s.red[p] - s.red[c]) / gain; rate < bestRate {
					bestRate, at, to = rate, i, p
				}
			}
			s.take(c, 1)
		}
		if at < 0 {
			return false
		}
		s.set(at, to)
	}
}

// worthwhile is the least improvement counted as one.
func (s *search) worthwhile() float64 { return 1e-9 * (1 + s.bestCostOr0()) }

func (s *search) bestCostOr0() float64 {
	if s.bestCost < inf {
		return s.bestCost
	}
	return 0
}

// fill changes one space at a time for the better while any change fits.
func (s *search) fill() {
	for {
		gain, at, to := s.worthwhile(), -1, int32(-1)
		for i, c := range s.cur {
			s.take(c, -1)
			for p := s.start[i]; p < s.start[i+1]; p++ {
				if g := s.cost[c] - s.cost[p]; g > gain && s.fits(p) {
					gain, at, to = g, i, p
				}
			}
			s.take(c, 1)
		}
		if at < 0 {
			return
		}
		s.set(at, to)
	}
}

// exchange gives one space something better, of which there is not enough, and
// another space something else so that it fits again. It makes the best such pair
// of changes and reports whether there was one.
func (s *search) exchange() bool {
	gain := s.worthwhile()
	var ai, bi int
	var ap, bp int32
	for i, c := range s.cur {
		s.take(c, -1)
		for p := s.start[i]; p < s.start[i+1]; p++ {
			g := s.cost[c] - s.cost[p]
			if g <= gain {
				continue
			}
			s.take(p, 1)
			before := s.excessNow()
			for j, d := range s.cur {
				if j == i || s.freed(d) < before-1e-12 {
					continue
				}
				s.take(d, -1)
				for q := s.start[j]; q < s.start[j+1]; q++ {
					if h := g + s.cost[d] - s.cost[q]; h > gain && s.fits(q) && s.excessNow() == 0 {
						gain, ai, ap, bi, bp = h, i, p, j, q
					}
				}
				s.take(d, 1)
			}
			s.take(p, -1)
		}
		s.take(c, 1)
	}
	if ai == bi {
		return false
	}
	s.set(ai, ap)
	s.set(bi, bp)
	return true
}

// freed is the most that taking position d back could lower the excess.
func (s *search) freed(d int32) float64 {
	sum := 0.0
	for k := s.lo[d]; k < s.lo[d+1]; k++ {
		r := s.idx[k]
		if less := min(int(s.qty[k]), s.used[r]-s.have[r]); less > 0 {
			sum += float64(less) * s.scale[r]
		}
	}
	return sum
}
