package plan

import (
	"cmp"
	"math"
	"slices"
)

// guarded solves with care and never-lose groups, in this order: the plan without
// either; the least loss of never-lose groups and the cheapest plan that keeps to it;
// the cheapest plan that also keeps the worst tenth under its limit.
func (m *Model) guarded(w whatIf, l Limits) Allocation {
	g := &Guard{Care: cmp.Or(m.c.Care, Usual), Asked: m.c.WorstTenth, Limit: inf}
	plain := m.solveOnce(w, l)
	if plain.from == nil {
		return plain
	}
	for _, p := range plain.Picks {
		g.without = append(g.without, p.Option)
	}
	held := *m
	held.guard = g
	a := plain
	a.in = &held
	if m.c.first() {
		a = held.firstThings(&plain, w, l)
	}
	g.UsualTenth = a.WorstTenth
	if g.Care != Usual || g.Asked > 0 {
		a = a.in.careful(a, w, l)
	}
	a.Guard = g
	return a
}

// firstThings finds the least loss of never-lose groups, whatever it costs, and then
// the cheapest plan that keeps to it within a small tolerance.
func (m *Model) firstThings(plain *Allocation, w whatIf, l Limits) Allocation {
	g := m.guard
	w.from, w.rows, w.price = plain.from, plain.rows, nil
	least := m.costing(func(o *Option) float64 { return o.FirstLoss }).solveOnce(w, l)
	bare := 0.0
	for _, s := range m.c.Spaces {
		bare += s.Options[0].FirstLoss
	}
	g.First, g.FirstLeast, g.FirstWithout = true, least.Bound, m.firstLoss(plain.Picks)
	g.FirstLoss = least.Objective + firstTolerance*bare
	w.from, w.rows = least.from, least.rows
	if g.FirstWithout <= g.FirstLoss {
		w.from = plain.from
	}
	a := m.with(lossRow{most: g.FirstLoss}).solveOnce(w, l)
	g.FirstCost = dearer(plain, &a)
	return a
}

// careful holds the worst tenth of usual under what care asks.
func (m *Model) careful(usual Allocation, w whatIf, l Limits) Allocation {
	g := m.guard
	w.from, w.rows, w.price = usual.from, usual.rows, nil
	keeps := func(limit float64) bool { return usual.WorstTenth <= limit*(1+tailNear)+tailNear }
	if g.Care == Usual {
		if g.Limit = g.Asked; keeps(g.Limit) {
			return usual
		}
		if a := m.hold(w, l, g.Limit); a.from != nil {
			g.CareCost = dearer(&usual, &a)
			return a
		}
	}
	r := m.leastTail(&usual, w, l)
	g.Least, g.LeastFloor = r.top, r.floor
	half := r.top + carefulWay*(usual.WorstTenth-r.top)
	switch g.Care {
	case Careful:
		g.Limit = half
	case VeryCareful:
		g.Limit = min(half, r.top*(1+veryNear))
	default:
		g.Limit, g.Unreachable = r.top, true
	}
	if g.Care != Usual && g.Asked > 0 && g.Asked < g.Limit {
		g.Unreachable = g.Asked < r.top
		g.Limit = max(g.Asked, r.top)
	}
	if keeps(g.Limit) {
		return usual
	}
	w.from = r.plan
	a := m.hold(w, l, g.Limit)
	if a.from == nil {
		// Stopped too early: the plan of the least worst tenth keeps every limit.
		a = m.writtenOut(r.plan, max(a.Bound, usual.Bound))
	}
	if a.Bound < usual.Bound { // every plan here is one of those there
		a.Bound = min(usual.Bound, a.Objective)
		a.Gap = gapOf(a.Objective, a.Bound)
	}
	g.CareCost = dearer(&usual, &a)
	return a
}

// writtenOut is the allocation of a plan found in another way, over a proven floor.
func (m *Model) writtenOut(plan []int32, floor float64) Allocation {
	a := Allocation{from: plan, in: m, price: make([]float64, len(m.res))}
	have := make([]int, len(m.res))
	for r := range have {
		have[r] = m.res[r].have
	}
	for _, i := range plan {
		a.Objective += m.here(int(m.alts[i].space), int(m.alts[i].option))
	}
	a.Bound = min(floor, a.Objective)
	a.Gap = gapOf(a.Objective, a.Bound)
	m.fill(&a, m.tidy(slices.Clone(plan), have), have)
	a.WorstTenth, _ = worstTenth(m.lossByDraw(a.Picks))
	return a
}

// reached is the least worst tenth: of a plan, and under every plan.
type reached struct {
	plan       []int32
	top, floor float64
}

// Bounds of the search for the least worst tenth.
const (
	leastNear   = 0.005 // of it, between plan and floor
	evenRounds  = 12
	evenNodes   = 50
	halveNodes  = 100
	halveGap    = 0.02
	halveRounds = 30
)

// leastTail looks for the plan with the least worst tenth. With any weights that a
// worst tenth may have, the least weighted loss is a floor under every plan's worst
// tenth; averaging the weights of the plans met raises it. What is left between floor
// and plan is halved: either a plan keeps the middle, or it is proven that none does.
func (m *Model) leastTail(start *Allocation, w whatIf, l Limits) reached {
	r := reached{plan: start.from, top: inf}
	var weights [][]float64
	meet := func(a *Allocation) {
		top, q := worstTenth(m.lossByDraw(a.Picks))
		weights = append(weights, q)
		if top < r.top {
			r.top, r.plan = top, a.from
		}
	}
	meet(start)
	even := slices.Clone(weights[0])
	loss := func(o *Option) float64 { return (&lossRow{weight: even}).of(o) }
	near := func() bool { return r.top-r.floor <= leastNear*r.top }
	w.price = nil
	for k := 1.0; k <= evenRounds && !near(); k++ {
		w.from = r.plan
		a := m.costing(loss).solveOnce(w, Limits{Nodes: min(l.orDefault().Nodes, evenNodes), Gap: leastNear / 2})
		if a.from == nil {
			break
		}
		r.floor = max(r.floor, a.Bound)
		meet(&a)
		for d, q := range weights[len(weights)-1] {
			even[d] += (q - even[d]) / (k + 1)
		}
	}
	for range halveRounds {
		if near() {
			break
		}
		mid := (r.top + r.floor) / 2
		rows := make([]lossRow, len(weights))
		for i, q := range weights {
			rows[i] = lossRow{q, mid}
		}
		w.from = r.plan
		c := m.costing(loss).with(rows...)
		a := c.hold(w, Limits{Nodes: min(l.orDefault().Nodes, halveNodes), Gap: halveGap}, mid)
		weights = weights[:0]
		for _, re := range a.in.res[a.in.supplies():] {
			if re.loss.weight != nil {
				weights = append(weights, re.loss.weight)
			}
		}
		switch {
		case a.from != nil:
			meet(&a)
		case a.Proven:
			r.floor = mid
		default:
			return r
		}
	}
	return r
}

// limited reports whether the worst tenth is held under a limit.
func (g *Guard) limited() bool { return g != nil && !math.IsInf(g.Limit, 1) }
