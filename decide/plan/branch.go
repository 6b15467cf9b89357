package plan

import "math"

// node is one part of the plans not yet ruled out.
type node struct {
	floor float64
	seq   int      // order of making, to break ties
	keep  []uint64 // positions in play
	price []float64
	basis basis
}

// run solves: floor, plan, narrowing, then splitting in two until the floor meets
// the best plan within gap (a share of its cost) or limit nodes were looked at.
// The returned floor is proven in either case.
func (s *search) run(w whatIf, limit int, gap float64) (floor float64) {
	s.all()
	if !s.possible() {
		return inf
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
			s.usePick(false)
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

func (s *search) newNode(words int) node {
	return node{
		keep: make([]uint64, words), price: make([]float64, len(s.price)),
		basis: basis{make([]int32, len(s.pick)), make([]int32, len(s.have))},
	}
}

// save keeps in n what is in play, the prices and the corner.
func (s *search) save(n *node) {
	clear(n.keep)
	for _, p := range s.act {
		n.keep[p/64] |= 1 << (p % 64)
	}
	copy(n.price, s.price)
	copy(n.basis.key, s.cor.key)
	copy(n.basis.slot, s.cor.slot)
}

// restore goes back to the prices and the corner of n.
func (s *search) restore(n *node) {
	copy(s.price, n.price)
	copy(s.cor.key, n.basis.key)
	copy(s.cor.slot, n.basis.slot)
}

// expand puts in play the kept positions that side allows.
func (s *search) expand(keep []uint64, side func(int32) bool) {
	s.act = s.act[:0]
	for i := range s.pick {
		s.actStart[i] = int32(len(s.act))
		for p := s.start[i]; p < s.start[i+1]; p++ {
			if keep[p/64]&(1<<(p%64)) != 0 && (side == nil || side(p)) {
				s.act = append(s.act, p)
			}
		}
	}
	s.actStart[len(s.pick)] = int32(len(s.act))
}

// divide looks at a node again and says how to split it: by whether the most
// doubtful space takes its most likely option, or else that one way of doing it.
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
		most := s.share[p]
		if 1-most > doubt {
			doubt, at, top = 1-most, i, p
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

func (s *search) option(p int32) int32 { return s.m.alts[s.list[p]].option }

// heap is a binary heap of nodes, least floor first, older first among equals.
type heap []node

func (h heap) less(i, j int) bool {
	if h[i].floor != h[j].floor {
		return h[i].floor < h[j].floor
	}
	return h[i].seq < h[j].seq
}

func (h *heap) push(n node) {
	*h = append(*h, n)
	for i := len(*h) - 1; i > 0; {
		up := (i - 1) / 2
		if !h.less(i, up) {
			return
		}
		(*h)[i], (*h)[up] = (*h)[up], (*h)[i]
		i = up
	}
}

func (h *heap) pop() {
	old := *h
	last := len(old) - 1
	old[0], old[last] = old[last], node{}
	*h = old[:last]
	for i := 0; ; {
		c := 2*i + 1
		if c >= last {
			return
		}
		if c+1 < last && h.less(c+1, c) {
			c++
		}
		if !h.less(c, i) {
			return
		}
		(*h)[i], (*h)[c] = (*h)[c], (*h)[i]
		i = c
	}
}
