package plan

import (
	"math"
	"slices"
)

// lossRow is a limit on a weighted sum of losses over all spaces: one cut of the
// worst tenth, or the loss of never-lose groups.
//
// The worst tenth is the largest of all weighted sums of the draws' losses whose
// weights sum to one and are nowhere above 1/(0.1 n) (see worstTenth). It keeps a
// limit exactly where each of these sums does, and each is a sum over spaces, like
// a count of pieces. So a plan is made under the few found so far; where its worst
// tenth still passes the limit, its own weights are the next row. No row ever rules
// out a plan that keeps the limit, so every floor found on the way holds.
//
// Source: Kuenzi-Bay & Mayer 2006 (cutting planes for conditional value at risk).
type lossRow struct {
	weight []float64 // of the draws; nil: the loss of never-lose groups
	most   float64   // limit [money]
}

func (r *lossRow) of(o *Option) float64 {
	if r.weight == nil {
		return o.FirstLoss
	}
	sum := 0.0
	for d, w := range r.weight {
		if w > 0 {
			sum += w * o.LossByDraw[d]
		}
	}
	return sum
}

// Losses are counted in whole parts of a limit, rounded down, so that the search
// stays exact: a plan that keeps the limit keeps it in parts, and a plan that keeps
// it in parts passes it by less than a part per space.
const (
	lossParts   = 1e8
	mostParts   = 2e9  // of one alternative; more is as good as too much
	heldRounds  = 200  // rows added in one solving
	leastNodes  = 100  // of the search for each, however many went before
	mixedRounds = 60   // of them before splitting
	mixedNear   = 1e-4 // of the limit: closer is not worth a row there
)

// supplies is the number of limits that are things of the shed.
func (m *Model) supplies() int {
	n := len(m.res)
	for n > 0 && m.res[n-1].kind >= ties {
		n--
	}
	return n
}

func (m *Model) limitsLoss() bool { return m.limits() < len(m.res) }

// with is the model under more limits of loss.
func (m *Model) with(rows ...lossRow) *Model {
	d := *m
	d.res = slices.Clip(m.res)
	d.alts = slices.Clone(m.alts)
	d.idx, d.qty = make([]int32, 0, len(m.idx)+len(m.alts)*len(rows)), make([]int32, 0, len(m.idx)+len(m.alts)*len(rows))
	takes := make([][][]int32, len(rows))
	for i := range rows {
		have, t := m.parts(&rows[i])
		takes[i] = t
		d.res = append(d.res, resource{kind: losses, loss: rows[i], have: have})
	}
	for i := range d.alts {
		a := &d.alts[i]
		lo, hi := a.lo, a.hi
		a.lo = int32(len(d.idx))
		d.idx = append(d.idx, m.idx[lo:hi]...)
		d.qty = append(d.qty, m.qty[lo:hi]...)
		for r := range rows {
			if q := takes[r][a.space][a.option]; q > 0 {
				d.idx = append(d.idx, int32(len(m.res)+r))
				d.qty = append(d.qty, q)
			}
		}
		a.hi, a.better = int32(len(d.idx)), -1
	}
	d.markWorse()
	d.rescale()
	return &d
}

// parts counts a row in whole parts: its limit, and what each option takes.
func (m *Model) parts(r *lossRow) (have int, takes [][]int32) {
	loss := make([][]float64, len(m.c.Spaces))
	most := 0.0
	for s := range m.c.Spaces {
		o := m.c.Spaces[s].Options
		loss[s] = make([]float64, len(o))
		for k := range o {
			loss[s][k] = r.of(&o[k])
			most = max(most, loss[s][k])
		}
	}
	part := max(r.most/lossParts, most/mostParts)
	takes = make([][]int32, len(loss))
	for s := range loss {
		takes[s] = make([]int32, len(loss[s]))
		for k, v := range loss[s] {
			if part > 0 {
				takes[s][k] = int32(v / part)
			}
		}
	}
	if part == 0 {
		return 0, takes
	}
	return int(math.Ceil(r.most / part)), takes
}

// costing is the model with another measure of what is dear.
func (m *Model) costing(cost func(*Option) float64) *Model {
	d := *m
	d.alts = slices.Clone(m.alts)
	for i := range d.alts {
		a := &d.alts[i]
		a.cost, a.better = cost(&m.c.Spaces[a.space].Options[a.option]), -1
	}
	d.markWorse()
	return &d
}

// solveHeld solves a model with a guard: under the limits of loss it has, adding
// rows until the worst tenth keeps the guard's limit. An answer without picks that
// is proven says that no plan keeps it.
func (m *Model) solveHeld(w whatIf, l Limits) Allocation {
	return m.hold(w, l, m.guard.Limit)
}

// hold solves with the worst tenth held under limit, which may be infinite.
func (m *Model) hold(w whatIf, l Limits, limit float64) Allocation {
	floor, nodes, most := -inf, 0, l.orDefault().Nodes
	if !math.IsInf(limit, 1) {
		m, w = m.holdMixed(w, limit)
	}
	for range heldRounds {
		l.Nodes = max(most-nodes, min(most, leastNodes))
		a := m.solveOnce(w, l)
		nodes += a.Nodes
		floor = max(floor, a.Bound)
		a.Nodes = nodes
		if a.from == nil {
			a.Guard = m.guard
			return a
		}
		mean, weight := worstTenth(m.lossByDraw(a.Picks))
		if mean <= limit*(1+tailNear)+tailNear {
			a.Guard = m.guard
			if !a.Proven {
				a.Bound = max(a.Bound, min(floor, a.Objective))
				a.Gap = gapOf(a.Objective, a.Bound)
			}
			return a
		}
		n := len(m.res)
		m = m.with(lossRow{weight, limit})
		// Prices stand in the order of limits and then rounded rows.
		w.price = slices.Insert(slices.Clone(a.price), n, 0)
		w.rows, w.from = a.rows, a.from
	}
	return Allocation{Objective: inf, Bound: floor, Nodes: nodes, Guard: m.guard, in: m}
}

// holdMixed adds rows for plans in which a space may mix options, as the floor does:
// they are quick to find and lift the floor before any splitting. It returns the
// model and question to go on with.
func (m *Model) holdMixed(w whatIf, limit float64) (*Model, whatIf) {
	for range mixedRounds {
		s := m.newSearch(w)
		s.all()
		if !s.possible() {
			break
		}
		if s.bound(s.price, s.dearest()) >= s.dearest() {
			break // not even mixed
		}
		loss := make([]float64, m.c.draws())
		for p, i := range s.list {
			a := &m.alts[i]
			if s.share[p] <= 0 {
				continue
			}
			for d, v := range m.c.Spaces[a.space].Options[a.option].LossByDraw {
				loss[d] += s.share[p] * v
			}
		}
		mean, weight := worstTenth(loss)
		if mean <= limit*(1+mixedNear) {
			break
		}
		n := len(m.res)
		m = m.with(lossRow{weight, limit})
		w.price = slices.Insert(slices.Clone(s.price), n, 0)
	}
	return m, w
}

func gapOf(objective, bound float64) float64 {
	if objective > 0 {
		return max(0, (objective-bound)/objective)
	}
	return 0
}
