package plan

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// Change is what another space gets instead when a choice is forced, or when there
// is more of something.
type Change struct {
	Space    string
	From, To string  // options, in words
	More     float64 // how much worse for that space [money]; negative is better
}

// Refusal is an option that was not chosen, and its price: how much dearer the best
// whole plan is with it than without. The price lies between AtLeast and AtMost.
type Refusal struct {
	Option    int // index in the space's options
	Key       string
	CannotBe  string  // why it cannot be done at all; then there is no price
	AtLeast   float64 // proven floor of the price [money]
	AtMost    float64 // from a plan that has the option [money]
	Exact     bool    // solved again to the end with the option forced: AtLeast = AtMost
	Changes   []Change
	Reason    string
	HereWorse float64 // loss + cost here less that of what was chosen here [money]
	pick      Pick
}

// Worth is what one more of something in the shed would save.
type Worth struct {
	Item            string
	Add             int     // 1 piece, 1 cup, 60 person-minutes, or Counted.More steps
	AtLeast, AtMost float64 // the saving lies between these [money]
	Exact           bool    // solved again to the end: AtLeast = AtMost
	Changes         []Change
	Reason          string
	Saleable, Alive float64 // plants more that are expected to stay so
	phrase          string
}

// Reasons explains an allocation.
type Reasons struct {
	Why     []string    // per space: why this and not the next best
	Refused [][]Refusal // per space, in the order of its options
	Worth   []Worth     // in the order of Allocation.Supplies
	Guard   []string    // what care and never-lose groups ask, and what it costs
}

// bar is an option kept out for a reason from outside the model.
type bar struct {
	space, option int
	why           string
}

// Decide solves and explains. Every refused option is forced once and the plan
// solved again around it, Limits.PriceNodes deep; so is one more of everything.
// A better plan met on the way becomes the plan.
func (m *Model) Decide(l Limits) (Allocation, Reasons) {
	return m.decide(l, nil)
}

func (m *Model) decide(l Limits, bars []bar) (Allocation, Reasons) {
	l = l.orDefault()
	base := whatIf{}
	for _, b := range bars {
		base.barred = append(base.barred, [2]int{b.space, b.option})
	}
	a := m.solve(base, l)
	var r Reasons
	if a.from == nil {
		return a, r // nothing keeps every limit
	}
	// Each round starts from a better plan, so this ends; five are plenty.
	for range 5 {
		var better []int32
		if r, better = m.explain(&a, l, base, bars); better == nil {
			break
		}
		again := base
		again.from = better
		in := m
		if a.Guard != nil {
			in = a.in // the limits of loss stay what they were
		}
		a = in.solve(again, l)
	}
	for s := range r.Refused {
		m.tell(&a, s, &r)
	}
	return a, r
}

// explain prices all refusals and limits of a. better is a cheaper plan, if one was met.
func (m *Model) explain(a *Allocation, l Limits, base whatIf, bars []bar) (r Reasons, better []int32) {
	base.from, base.price, base.rows, base.against = a.from, a.price, a.rows, a.Objective
	r.Refused = make([][]Refusal, len(m.c.Spaces))
	r.Why = make([]string, len(m.c.Spaces))
	r.Worth = make([]Worth, m.supplies())
	r.Guard = m.guardWords(a)
	var asked []whatIf
	for s := range m.c.Spaces {
		options := m.c.Spaces[s].Options
		for o := range options {
			if o == a.Picks[s].Option || options[o].Wish {
				continue
			}
			f := Refusal{Option: o, Key: options[o].Key, CannotBe: m.cannot(s, o, bars)}
			f.HereWorse = m.here(s, o) - m.here(s, a.Picks[s].Option)
			r.Refused[s] = append(r.Refused[s], f)
			if f.CannotBe == "" {
				w := base
				w.forced, w.space, w.option = true, s, o
				asked = append(asked, w)
			}
		}
	}
	for i := range r.Worth {
		w := base
		w.resource, w.extra = i, 1
		if m.res[i].kind == minutes {
			w.extra = 60
		}
		if m.res[i].kind == cups {
			w.extra = max(1, m.c.Shelf.CupBox)
		}
		if more := m.res[i].counted.More; more > 0 {
			w.extra = more
		}
		asked = append(asked, w)
	}
	in := m
	if a.Guard != nil {
		in = a.in
	}
	answers := in.solveAll(asked, Limits{Nodes: l.PriceNodes})
	least := a.Objective - 1e-9*(1+a.Objective)
	for i, b := range answers {
		if asked[i].forced && b.Objective < least {
			least, better = b.Objective, b.from
		}
	}
	next := 0
	for s := range r.Refused {
		for i := range r.Refused[s] {
			if f := &r.Refused[s][i]; f.CannotBe == "" {
				m.setPrice(a, &answers[next], s, f)
				next++
			}
		}
	}
	for i := range r.Worth {
		m.setWorth(a, &answers[next+i], asked[next+i].extra, i, &r.Worth[i])
	}
	return r, better
}

// solveAll answers what-ifs on all processors; each answer depends on its question only.
func (m *Model) solveAll(asked []whatIf, l Limits) []Allocation {
	answers := make([]Allocation, len(asked))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(asked)) {
		wg.Go(func() {
			for i := next.Add(1) - 1; i < int64(len(asked)); i = next.Add(1) - 1 {
				answers[i] = m.solve(asked[i], l)
			}
		})
	}
	wg.Wait()
	return answers
}

// setPrice reads the price of refusing f off the plan b that has it.
func (m *Model) setPrice(a, b *Allocation, s int, f *Refusal) {
	if b.from == nil {
		f.CannotBe = m.wouldBreak(a, b, s, f.Option)
		return
	}
	f.AtLeast = max(0, b.Bound-a.Objective)
	f.AtMost = max(f.AtLeast, b.Objective-a.Bound)
	f.Exact = a.Proven && b.Proven
	f.Changes = m.changes(a, b, s)
	f.pick = b.Picks[s]
}

// setWorth reads the worth of extra of limit i off the plan b made with it.
func (m *Model) setWorth(a, b *Allocation, extra, i int, v *Worth) {
	v.Item, v.Add, v.phrase = m.res[i].name(), extra, m.res[i].morePhrase(extra)
	if b.from == nil {
		// Stopped before a plan was met; the plan there is stays one.
		v.AtMost = max(0, a.Objective-b.Bound)
		v.Reason = m.worthWords(v)
		return
	}
	v.AtLeast = max(0, a.Bound-b.Objective)
	v.AtMost = max(v.AtLeast, a.Objective-b.Bound)
	v.Exact = a.Proven && b.Proven
	if a.Objective-b.Objective > 0.005 {
		v.Changes = m.changes(a, b, -1)
		s, l := m.plants(a.Picks)
		v.Saleable, v.Alive = m.plants(b.Picks)
		v.Saleable, v.Alive = v.Saleable-s, v.Alive-l
	}
	v.Reason = m.worthWords(v)
}

// here is loss + cost of option o in space s.
func (m *Model) here(s, o int) float64 {
	op := &m.c.Spaces[s].Options[o]
	return op.ExpectedLoss + op.Cost
}

// changes lists the spaces other than skip that get something else in b than in a,
// most affected first.
func (m *Model) changes(a, b *Allocation, skip int) []Change {
	var out []Change
	for s := range a.Picks {
		from, to := a.Picks[s].Option, b.Picks[s].Option
		if s == skip || from == to {
			continue
		}
		o := m.c.Spaces[s].Options
		out = append(out, Change{m.c.Spaces[s].Space, o[from].Words, o[to].Words, m.here(s, to) - m.here(s, from)})
	}
	sortChanges(out)
	return out
}
