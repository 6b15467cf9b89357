package plan

import (
	"math"
	"slices"
)

var inf = math.Inf(1)

// maxPivots ends one bound; the floor holds whenever it ends.
const maxPivots = 2000

// bound searches for prices of the scarce things under which the spaces, each
// choosing alone among its alternatives in play, cost the most: a floor under
// every plan that keeps the limits, whatever the prices are.
//
//	floor(price) = sum over spaces of min (cost + price*takes) - price*limits
//
// The best prices are those of the linear relaxation (Geoffrion 1974), so they are
// found by walking its corners from the one in s.cor; share is left holding
// the corner's shares, which say where to branch. Rounding in the walk cannot harm
// the floor: it is worked out anew by relax for every set of prices.
//
// price receives the best prices. The walk ends early when the floor reaches
// target, above which it is not needed. Returned: the floor [money].
func (s *search) bound(price []float64, target float64) float64 {
	c := &s.cor
	c.size(s)
	clear(c.inAct)
	for _, p := range s.act {
		c.inAct[p] = true
	}
	c.dear = 1
	for _, v := range s.cost {
		c.dear = max(c.dear, v)
	}
	c.dear *= 20 * float64(len(s.pick)+1)
	best := s.relax(price)
	if c.stale || !s.factor() {
		c.crash(s)
		s.factor()
	}
	still := 0
	for it := 0; it < maxPivots && best < target; it++ {
		if it%100 == 99 && !s.factor() {
			break
		}
		s.prices(s.trial)
		least := -1e-9 * (1 + math.Abs(best))
		enter := s.enterLimit(least)
		if enter == none {
			if floor := s.relax(s.trial); floor > best {
				best = floor
				copy(price, s.trial)
			}
			enter = s.enterPick(least)
		}
		if enter == none {
			break
		}
		step := s.enter(enter)
		if step < 0 {
			break
		}
		// A walk that stands still for long may be going round; the floor stands.
		if still++; step > 1e-9 {
			still = 0
		}
		if still > 200 {
			break
		}
	}
	s.shares()
	// The reduced costs left behind belong to the best prices.
	return s.relax(price)
}

// none is no column.
const none = int32(math.MinInt32)

// enterLimit picks what is left or short of a limit to enter the basis: the one
// whose price passes below zero, or above what being short costs, the furthest. If
// there is none, the prices in trial are fit for relax.
func (s *search) enterLimit(least float64) int32 {
	enter, dear := none, s.cor.dear
	for r, v := range s.trial {
		if v < least {
			enter, least = int32(-1-r), v
		}
		if d := dear - v; d < -1e-9*dear && d < least {
			enter, least = int32(-1-r-len(s.have)), d
		}
		if enter == none {
			s.trial[r] = max(0, v)
		}
	}
	return enter
}

// enterPick picks the lone choice that would cheapen its space most.
func (s *search) enterPick(least float64) int32 {
	enter := none
	for i, p := range s.pick {
		key := s.cor.key[i]
		d := s.low[i] - s.value(key)
		for k := s.lo[key]; k < s.lo[key+1]; k++ {
			d -= s.trial[s.idx[k]] * s.qtyS[k]
		}
		if d < least && p != key {
			enter, least = p, d
		}
	}
	return enter
}

// shares writes the corner's values into share.
func (s *search) shares() {
	for _, p := range s.act {
		s.share[p] = 0
	}
	for i, p := range s.cor.key {
		s.share[p] = max(0, s.cor.rest[i])
	}
	for j, p := range s.cor.slot {
		if p >= 0 {
			s.share[p] = max(0, s.cor.x[j])
		}
	}
}

// relax lets every space choose alone at the given prices and returns the floor.
// It leaves the choices in pick, their cost in low, the reduced costs in red, and
// the scaled takes less the limits in excess.
func (s *search) relax(price []float64) float64 {
	floor := 0.0
	for r, h := range s.haveS {
		s.excess[r] = -h
		floor -= price[r] * h
	}
	for i := range s.pick {
		low, at := inf, int32(-1)
		for _, p := range s.act[s.actStart[i]:s.actStart[i+1]] {
			v := s.cost[p]
			for k := s.lo[p]; k < s.lo[p+1]; k++ {
				v += price[s.idx[k]] * s.qtyS[k]
			}
			s.red[p] = v
			if v < low {
				low, at = v, p
			}
		}
		s.low[i], s.pick[i] = low, at
		floor += low
		for k := s.lo[at]; k < s.lo[at+1]; k++ {
			s.excess[s.idx[k]] += s.qtyS[k]
		}
	}
	return floor
}

// narrow drops from play what cannot be in a plan cheaper than limit: alternatives
// whose reduced cost lifts the floor to it, and those that do not fit beside the
// least the other spaces must take. It reports false when a space is left with
// nothing. It uses the reduced costs of the last relax.
func (s *search) narrow(floor, limit float64) bool {
	out := s.act[:0]
	for i := range s.pick {
		from, to := s.actStart[i], s.actStart[i+1]
		s.actStart[i] = int32(len(out))
		for _, p := range s.act[from:to] {
			if floor+s.red[p]-s.low[i] < limit {
				out = append(out, p)
			}
		}
	}
	s.act = out
	s.actStart[len(s.pick)] = int32(len(out))
	return s.possible() && s.propagate()
}

// propagate drops what does not fit beside the least takes of all other spaces.
func (s *search) propagate() bool {
	s.leasts()
	nr := len(s.have)
	for r := range s.have {
		least := 0
		for i := range s.pick {
			least += s.leastOf[i*nr+r]
		}
		room := s.have[r] - least
		if room < 0 {
			return false
		}
		if room < s.most[r] {
			s.trim(int32(r), room)
		}
	}
	// The leasts are from before trimming, so what was trimmed may have been all.
	return s.possible()
}

// leasts works out the least of each limit that each space must take.
func (s *search) leasts() {
	nr := len(s.have)
	s.leastOf = slices.Grow(s.leastOf[:0], nr*len(s.pick))[:nr*len(s.pick)]
	s.times = slices.Grow(s.times[:0], nr)[:nr]
	for i := range s.pick {
		low := s.leastOf[i*nr : (i+1)*nr]
		clear(low)
		clear(s.times)
		act := s.act[s.actStart[i]:s.actStart[i+1]]
		for _, p := range act {
			for k := s.lo[p]; k < s.lo[p+1]; k++ {
				r, q := s.idx[k], int(s.qty[k])
				if s.times[r] == 0 || q < low[r] {
					low[r] = q
				}
				s.times[r]++
			}
		}
		for r, n := range s.times {
			if int(n) < len(act) {
				low[r] = 0
			}
		}
	}
}

func (s *search) takes(p, r int32) int {
	for k := s.lo[p]; k < s.lo[p+1]; k++ {
		if s.idx[k] == r {
			return int(s.qty[k])
		}
	}
	return 0
}

// trim drops alternatives that take over room more of r than their space must.
func (s *search) trim(r int32, room int) {
	out := s.act[:0]
	for i := range s.pick {
		from, to := s.actStart[i], s.actStart[i+1]
		most := s.leastOf[i*len(s.have)+int(r)] + room
		s.actStart[i] = int32(len(out))
		for _, p := range s.act[from:to] {
			if s.takes(p, r) <= most {
				out = append(out, p)
			}
		}
	}
	s.act = out
	s.actStart[len(s.pick)] = int32(len(out))
}
