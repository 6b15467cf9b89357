package plan

import "slices"

// search is one solving of a model: its limits, the alternatives still in play and
// the working space of all steps, taken once so that the steps allocate nothing.
type search struct {
	m     *Model
	have  []int     // limits, perhaps changed by a what-if; rounded rows after the model's own
	scale []float64 // of have
	rows  []rounded // the rounded rows, see rounding.go

	// Alternatives in play, space by space; positions in here are what nodes keep.
	list  []int32 // index in m.alts
	start []int32 // list[start[s]:start[s+1]] belong to space s
	cost  []float64
	lo    []int32 // takes of list[p] are idx[lo[p]:lo[p+1]]
	idx   []int32
	qty   []int32
	qtyS  []float64 // qty times scale
	haveS []float64
	most  []int   // per limit: the largest take of one alternative
	than  float64 // cost of the plan this one is compared with; 0: none

	best     []int32 // alternatives (in m.alts) of the best plan, per space
	bestCost float64
	found    bool // best is a plan; else bestCost is infinite, or no plan can be dearer

	price []float64 // per scaled unit of each resource; the best found
	floor float64   // the bound at price

	// Scratch of one bound.
	act      []int32 // positions in play at this node
	actStart []int32
	red      []float64 // per position: cost plus priced takes
	low      []float64 // per space: least red
	pick     []int32   // per space: position of the least
	share    []float64 // per position: its share in the relaxed plan
	excess   []float64 // per limit: takes of pick less the limit, scaled
	trial    []float64
	leastOf  []int   // per space and limit: the least it must take
	times    []int32 // per limit: alternatives of a space that take it
	cor      corner

	// Scratch of repair and exchange.
	cur   []int32 // per space: position
	used  []int
	nodes int
}

// whatIf changes a question for one re-solve.
type whatIf struct {
	space, option int       // option forced in space when forced
	forced        bool      //
	resource      int       // extra of this resource ...
	extra         int       // ... by so many units
	barred        [][2]int  // (space, option) pairs that may not be chosen
	from          []int32   // a plan to start from (need not fit)
	price         []float64 // prices to start from ...
	rows          []rounded // ... of the model's limits and these rows
	against       float64   // cost of the plan it is compared with; 0: none
}

// newSearch sets up a solve: drops what cannot be or is never needed.
func (m *Model) newSearch(w whatIf) *search {
	s := &search{m: m, have: make([]int, len(m.res)), bestCost: inf}
	for r := range m.res {
		s.have[r] = m.res[r].have
	}
	if w.extra != 0 {
		s.have[w.resource] += w.extra
	}
	may := make([]bool, len(m.alts))
	for i := range m.alts {
		a := &m.alts[i]
		may[i] = !(w.forced && int(a.space) == w.space && int(a.option) != w.option)
		for k := a.lo; k < a.hi && may[i]; k++ {
			may[i] = int(m.qty[k]) <= s.have[m.idx[k]]
		}
		for _, b := range w.barred {
			if int(a.space) == b[0] && int(a.option) == b[1] {
				may[i] = false
			}
		}
	}
	list := make([]int32, 0, len(m.alts))
	for i := range m.alts {
		// What is better fits wherever this one fits, so only a bar or a force
		// can keep it out; then this one stays.
		if b := m.alts[i].better; may[i] && (b < 0 || !may[b]) {
			list = append(list, int32(i))
		}
	}
	n := len(m.c.Spaces)
	s.scale = slices.Clone(m.scale)
	s.low, s.pick, s.cur = make([]float64, n), make([]int32, n), make([]int32, n)
	s.best = make([]int32, n)
	s.actStart = make([]int32, n+1)
	s.list = list
	s.than = w.against
	s.addRows(w.rows)
	copy(s.price, w.price)
	return s
}

// load puts the alternatives of list (in order) in play.
func (s *search) load(list []int32) {
	m := s.m
	n := len(m.c.Spaces)
	s.list = list
	s.start = s.start[:0]
	s.cost, s.lo = s.cost[:0], s.lo[:0]
	s.idx, s.qty, s.qtyS = s.idx[:0], s.qty[:0], s.qtyS[:0]
	space := 0
	s.start = append(s.start, 0)
	for p, i := range list {
		a := &m.alts[i]
		for ; space < int(a.space); space++ {
			s.start = append(s.start, int32(p))
		}
		s.cost = append(s.cost, a.cost)
		s.lo = append(s.lo, int32(len(s.idx)))
		for k := a.lo; k < a.hi; k++ {
			s.idx = append(s.idx, m.idx[k])
			s.qty = append(s.qty, m.qty[k])
			s.qtyS = append(s.qtyS, float64(m.qty[k])*m.scale[m.idx[k]])
		}
		for r := range s.rows {
			if q := s.rows[r].takes(m, a); q > 0 {
				s.idx = append(s.idx, int32(len(m.res)+r))
				s.qty = append(s.qty, int32(q))
				s.qtyS = append(s.qtyS, float64(q))
			}
		}
	}
	s.lo = append(s.lo, int32(len(s.idx)))
	s.most = make([]int, len(s.have))
	for k, r := range s.idx {
		s.most[r] = max(s.most[r], int(s.qty[k]))
	}
	for ; space < n; space++ {
		s.start = append(s.start, int32(len(list)))
	}
	s.red = slices.Grow(s.red[:0], len(list))[:len(list)]
	s.share = slices.Grow(s.share[:0], len(list))[:len(list)]
	s.act = slices.Grow(s.act[:0], len(list))
	s.cor.stale = true
}

// all puts every loaded alternative in play at this node.
func (s *search) all() {
	s.act = s.act[:0]
	for p := range s.list {
		s.act = append(s.act, int32(p))
	}
	copy(s.actStart, s.start)
}

// possible reports whether every space has something in play.
func (s *search) possible() bool {
	for i := 0; i+1 < len(s.actStart); i++ {
		if s.actStart[i] == s.actStart[i+1] {
			return false
		}
	}
	return true
}

// take adds (sign 1) or removes (sign -1) position p's takes from used.
func (s *search) take(p int32, sign int) {
	for k := s.lo[p]; k < s.lo[p+1]; k++ {
		s.used[s.idx[k]] += sign * int(s.qty[k])
	}
}

// fits reports whether position p can be added to used.
func (s *search) fits(p int32) bool {
	for k := s.lo[p]; k < s.lo[p+1]; k++ {
		if r := s.idx[k]; s.used[r]+int(s.qty[k]) > s.have[r] {
			return false
		}
	}
	return true
}
