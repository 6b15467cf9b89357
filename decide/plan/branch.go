package plan

import "math"

// run solves: floor, plan, narrowing, then splitting in two until the floor meets
// the best plan within gap (a share of its cost) or limit nodes were looked at.
// The returned floor is proven in either case.
func (s *search) run(w whatIf, limit int, gap float64) (floor float64) {
	s.all()
	if !s.possible() {
		return inf
	}
	if s.m.limitsLoss() || s.m.takesAtFirst() {
		// Doing nothing may not be allowed, so there may be no plan at all.
		s.bestCost = s.dearest()
	}
	s.seed(w)
	floor = s.bound(s.price, s.bestCost)
	s.usePick(true)
	for range roundedRounds {
		rows := s.separate()
		if len(rows) == 0 || s.done(floor, gap) {
			break
		}
		s.addRows(rows)
		if f := s.bound(s.price, s.bestCost); f > floor {
			floor = f
		}
		s.usePick(false)
	}
	for s.shrink() {
		if f := s.bound(s.price, s.bestCost); f > floor {
			floor = f
		}
		s.usePick(true)
	}
	s.nodes = 1
	if s.done(floor, gap) {
		return min(max(floor, s.floor), s.bestCost)
	}
	return s.split(floor, limit, gap)
}

// seed makes a first plan from a given one, or from doing nothing.
func (s *search) seed(w whatIf) {
	s.relax(s.price)
	for i := range s.cur {
		s.cur[i] = s.start[i]
		for p := s.start[i]; p < s.start[i+1]; p++ {
			if w.from != nil && s.list[p] == w.from[i] {
				s.cur[i] = p
			}
		}
	}
	s.try(w.from != nil)
}

// dearest is a cost that no plan reaches.
func (s *search) dearest() float64 {
	sum := 0.0
	for i := range s.pick {
		most := 0.0
		for p := s.start[i]; p < s.start[i+1]; p++ {
			most = max(most, s.cost[p])
		}
		sum += most
	}
	return 1.001*sum + 1
}

// usePick turns the lone choices into a plan, and the relaxed plan too, giving
// every space what it has the largest share of.
func (s *search) usePick(pairs bool) {
	copy(s.cur, s.pick)
	s.try(pairs)
	for i := range s.cur {
		s.cur[i] = s.likely(i)
	}
	s.try(pairs)
}

// At all of the first nodes, and then at some, plans that do not fit are mended.
const (
	mendNodes = 12
	mendEvery = 8
)

// useFitting is usePick for plans that fit as they are.
func (s *search) useFitting() {
	copy(s.cur, s.pick)
	if s.fitting() {
		s.try(false)
	}
	for i := range s.cur {
		s.cur[i] = s.likely(i)
	}
	if s.fitting() {
		s.try(false)
	}
}

// fitting reports whether the choice in cur keeps every limit.
func (s *search) fitting() bool {
	clear(s.used)
	for _, p := range s.cur {
		s.take(p, 1)
	}
	return s.excessNow() == 0
}

// likely is the position with the largest share in space i.
func (s *search) likely(i int) int32 {
	most, at := -1.0, int32(-1)
	for _, p := range s.act[s.actStart[i]:s.actStart[i+1]] {
		if s.share[p] > most {
			most, at = s.share[p], p
		}
	}
	return at
}

// shrink keeps in play only what may be part of a better plan, and reports whether
// that was worth another round: a fifth or more went.
func (s *search) shrink() bool {
	before := len(s.list)
	if !s.narrow(s.relax(s.price), s.bestCost-s.worthwhile()) {
		// Nothing left: no plan is better than the best. done sees it by the floor.
		s.floor = s.bestCost
		return false
	}
	list := make([]int32, 0, len(s.act))
	for _, p := range s.act {
		list = append(list, s.list[p])
	}
	s.load(list)
	s.all()
	s.relax(s.price)
	return len(list) < before && len(list)*5 <= before*4
}

// A difference between two plans need not be known finer than this.
const (
	nearDifference = 0.01 // of the difference ...
	nearWhole      = 1e-4 // ... or of the whole
)

// done reports whether floor is close enough to the best plan.
func (s *search) done(floor, gap float64) bool {
	if !s.found {
		return max(floor, s.floor) >= s.bestCost-s.worthwhile()
	}
	near := max(s.worthwhile(), gap*s.bestCostOr0())
	if s.than > 0 {
		near = max(near, nearDifference*math.Abs(s.bestCost-s.than), nearWhole*s.than)
	}
	return max(floor, s.floor) >= s.bestCost-near
}

// split is the branch and bound, least floor first.
func (s *search) split(floor float64, limit int, gap float64) float64 {
	words := (len(s.list) + 63) / 64
	var open heap
	root := s.newNode(words)
	root.floor = floor
	s.save(&root)
	open.push(root)
	seq := 0
	var spare []node // taken nodes, for their memory
	for len(open) > 0 {
		top := open[0]
		floor = max(floor, min(top.floor, s.bestCost))
		if s.done(floor, gap) || s.nodes >= limit {
			return floor
		}
		open.pop()
		a, b := s.divide(&top)
		for _, side := range [2]func(int32) bool{a, b} {
			if side == nil {
				continue
			}
			s.nodes++
			s.expand(top.keep, side)
			if !s.possible() || !s.propagate() {
				continue
			}
			s.restore(&top)
			f := s.bound(s.price, s.bestCost)
			if s.nodes <= mendNodes || s.nodes%mendEvery == 0 {
				s.usePick(false)
			} else {
				s.useFitting()
			}
			if !s.narrow(f, s.bestCost-s.worthwhile()) {
				continue
			}
			f = max(f, top.floor)
			if f >= s.bestCost-s.worthwhile() {
				continue
			}
			seq++
			var child node
			if k := len(spare); k > 0 {
				child, spare = spare[k-1], spare[:k-1]
			} else {
				child = s.newNode(words)
			}
			child.floor, child.seq = f, seq
			s.save(&child)
			open.push(child)
		}
		spare = append(spare, top)
	}
	return s.bestCost
}

// divide looks at a node again and says how to split it: by whether the space of
// the dearest doubt takes its most likely option, or else that one way of doing it.
func (s *search) divide(n *node) (a, b func(int32) bool) {
	s.expand(n.keep, nil)
	s.restore(n)
	s.bound(s.price, inf)
	s.save(n)
	doubt, at, top := -1.0, -1, int32(-1)
	for i := range s.pick {
		if s.actStart[i+1]-s.actStart[i] < 2 {
			continue
		}
		p := s.likely(i)
		d := 1e-9 * (1 - s.share[p]) // where nothing is apart, by shares alone
		for _, q := range s.act[s.actStart[i]:s.actStart[i+1]] {
			if s.share[q] > 0 {
				d += s.share[q] * s.apart(p, q)
			}
		}
		if d > doubt {
			doubt, at, top = d, i, p
		}
	}
	if at < 0 {
		// One plan is left, and its floor was below the best: it does not fit.
		return nil, nil
	}
	from, to := s.start[at], s.start[at+1]
	same := func(p int32) bool { return p == top }
	opt, mixed, weight := s.option(top), false, 0.0
	for _, q := range s.act[s.actStart[at]:s.actStart[at+1]] {
		if s.option(q) != opt {
			mixed = true
		} else {
			weight += s.share[q]
		}
	}
	if mixed && weight < 0.95 {
		same = func(p int32) bool { return s.option(p) == opt }
	}
	other := func(p int32) bool { return p < from || p >= to }
	return func(p int32) bool { return other(p) || same(p) },
		func(p int32) bool { return other(p) || !same(p) }
}

// apart is how much positions p and q of a space differ: in cost, and in what they
// take at its price. Doubt between two that are far apart is settled first; that
// lifts the floor the most.
func (s *search) apart(p, q int32) float64 {
	sum := math.Abs(s.cost[p] - s.cost[q])
	a, ea := s.lo[p], s.lo[p+1]
	b, eb := s.lo[q], s.lo[q+1]
	for a < ea || b < eb {
		switch {
		case b >= eb || a < ea && s.idx[a] < s.idx[b]:
			sum += s.price[s.idx[a]] * s.qtyS[a]
			a++
		case a >= ea || s.idx[b] < s.idx[a]:
			sum += s.price[s.idx[b]] * s.qtyS[b]
			b++
		default:
			sum += s.price[s.idx[a]] * math.Abs(s.qtyS[a]-s.qtyS[b])
			a++
			b++
		}
	}
	return sum
}

func (s *search) option(p int32) int32 { return s.m.alts[s.list[p]].option }
