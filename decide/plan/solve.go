package plan

import "slices"

// Limits ends the search. The zero value takes the defaults.
type Limits struct {
	Nodes      int     // most parts of the search looked at; default 5 000
	Gap        float64 // good enough: stop when (objective-bound)/objective is this small; default 0, the optimum
	PriceNodes int     // most parts looked at per price of a refusal or worth; default 40
}

func (l Limits) orDefault() Limits {
	if l.Nodes <= 0 {
		l.Nodes = 5_000
	}
	if l.PriceNodes <= 0 {
		l.PriceNodes = 40
	}
	return l
}

// PieceUse is pieces of one shelf.
type PieceUse struct {
	Cloth, Label string
	Condition    Condition
	Count        int
}

// Pick is what one space gets.
type Pick struct {
	Space  string
	Option int // index in the space's options
	Key    string
	Pieces []PieceUse // every layer together
	alt    int32
}

// Supply is a limit and how much of it the plan takes.
type Supply struct {
	Item       string
	Have, Used int
	Unit       string  // of a counted limit; empty for things
	Each       float64 // of Unit in one of Have and Used
}

// Allocation is a plan and how good it is known to be.
type Allocation struct {
	Picks     []Pick   // in the order of Choices.Spaces
	Supplies  []Supply // cloth by shelf, cups by kind, person-minutes
	Objective float64  // expected loss + cost of the plan [money]
	Bound     float64  // no plan can be cheaper than this [money]
	Gap       float64  // (Objective-Bound)/Objective, 0 when Objective is 0
	Proven    bool     // the search ended by itself: nothing is cheaper by more than 1e-9 of the objective; without picks: no plan keeps the limits
	Nodes     int      // parts of the search looked at

	WorstTenth float64 // mean loss of the worst tenth of draws [money]; 0 where no draws are given
	Guard      *Guard  // what care and never-lose groups asked, and cost; nil: nothing was asked

	in    *Model  // the model it was found in, with the limits of loss
	from  []int32 // the plan as found, and the prices and rows it was found with
	price []float64
	rows  []rounded
}

// Solve finds the cheapest plan. The same model and limits always give the same
// answer. Price for a whole nursery (60 spaces, 8 options): see BenchmarkSolve60.
func (m *Model) Solve(l Limits) Allocation {
	return m.solve(whatIf{}, l)
}

// solve answers a question, with care and never-lose groups where they are asked for.
func (m *Model) solve(w whatIf, l Limits) Allocation {
	switch {
	case m.guard != nil:
		return m.solveHeld(w, l)
	case m.c.guards():
		return m.guarded(w, l)
	}
	return m.solveOnce(w, l)
}

// solveOnce solves under the limits of the model, of loss too, as they stand.
func (m *Model) solveOnce(w whatIf, l Limits) Allocation {
	l = l.orDefault()
	s := m.newSearch(w)
	floor := s.run(w, l.Nodes, l.Gap)
	a := Allocation{Bound: floor, Objective: s.bestCost, Nodes: s.nodes, price: s.price, rows: s.rows, from: slices.Clone(s.best), in: m}
	if !s.found {
		a.Objective, a.from = inf, nil
		a.Proven = floor >= s.bestCost-s.worthwhile()
		return a
	}
	a.Proven = s.bestCost-floor <= s.worthwhile()
	if a.Proven {
		a.Bound = a.Objective
	} else if a.Objective > 0 {
		a.Gap = gapOf(a.Objective, a.Bound)
	}
	m.fill(&a, m.tidy(s.best, s.have), s.have)
	a.WorstTenth, _ = worstTenth(m.lossByDraw(a.Picks))
	return a
}

// tidy swaps sets of pieces for ones of the same option that take less cloth, where
// they are free; the money stays the same.
func (m *Model) tidy(best []int32, have []int) []int32 {
	used := make([]int, len(m.res))
	add := func(i int32, sign int) {
		for k := m.alts[i].lo; k < m.alts[i].hi; k++ {
			used[m.idx[k]] += sign * int(m.qty[k])
		}
	}
	for _, i := range best {
		add(i, 1)
	}
	for again := true; again; {
		again = false
		for s, i := range best {
			add(i, -1)
			to := i
			for j := m.start[s]; j < m.start[s+1]; j++ {
				if m.alts[j].option != m.alts[i].option || m.alts[j].area >= m.alts[to].area-1e-9 {
					continue
				}
				add(j, 1)
				if !slices.ContainsFunc(m.idx[m.alts[j].lo:m.alts[j].hi], func(r int32) bool { return used[r] > have[r] }) {
					to, again = j, true
				}
				add(j, -1)
			}
			best[s] = to
			add(to, 1)
		}
	}
	return best
}

// fill writes out picks and supplies of the plan best.
func (m *Model) fill(a *Allocation, best []int32, have []int) {
	used := make([]int, len(m.res))
	for s, i := range best {
		al := &m.alts[i]
		p := Pick{Space: m.c.Spaces[s].Space, Option: int(al.option), alt: i}
		p.Key = m.c.Spaces[s].Options[al.option].Key
		for k := al.lo; k < al.hi; k++ {
			used[m.idx[k]] += int(m.qty[k])
			if r := &m.res[m.idx[k]]; r.kind == pieces {
				p.Pieces = append(p.Pieces, PieceUse{r.piece.Cloth, r.piece.Label, r.piece.Condition, int(m.qty[k])})
			}
		}
		a.Picks = append(a.Picks, p)
	}
	for r := range m.supplies() {
		a.Supplies = append(a.Supplies, Supply{m.res[r].name(), have[r], used[r], m.res[r].counted.Unit, m.res[r].counted.each()})
	}
}
