package plan

import (
	"fmt"
	"math"
	"slices"
)

// A plan that follows another is not changed for nothing. Judgement: in a space
// something else must save more than five person-minutes; the whole must save more
// than one part in a hundred of loss and cost, but an hour of one person is enough.
const (
	changeMinutes = 5
	changeShare   = 0.01
	changeEnough  = 60 * minuteCost
)

// wasOption is the option of space s in the plan before, or -1.
func (f *Facts) wasOption(m *Model, s int) int {
	c := &m.c.Spaces[s]
	key, ok := f.past.was[c.Space]
	if !ok {
		return -1
	}
	for _, k := range []string{key, plainKey(key)} {
		if o := slices.IndexFunc(c.Options, func(o Option) bool { return o.Key == k }); o >= 0 {
			return o
		}
	}
	return -1
}

// settle looks for a plan that changes less than a: it returns one, with its jobs,
// where what a saves beyond it is not worth a change.
func (f *Facts) settle(m *Model, a *Allocation, bars []bar, l Limits) (Allocation, []Job, bool) {
	if f.past == nil || f.past.plan == nil || a.Picks == nil {
		return Allocation{}, nil, false
	}
	was := make([]int, len(a.Picks))
	same := true
	for s := range was {
		was[s] = f.wasOption(m, s)
		same = same && (was[s] < 0 || was[s] == a.Picks[s].Option)
	}
	if same {
		return Allocation{}, nil, false
	}
	// Whatever was, in every space that had something: if that can still be done.
	held := slices.Clone(bars)
	for s, c := range m.c.Spaces {
		for o := range c.Options {
			if was[s] >= 0 && o != was[s] {
				held = append(held, bar{space: s, option: o})
			}
		}
	}
	kept, jobs, ok := f.onClock(m, a, func(*Option, int, int) float64 { return 0 }, held, l)
	if gain := kept.Objective - a.Objective; ok && gain < leastChange(a.Objective) {
		f.past.kept = gain
		return kept, jobs, true
	}
	// Else in as many spaces as are not worth a change.
	some, jobs, ok := f.onClock(m, a, func(o *Option, s, k int) float64 {
		if was[s] >= 0 && k != was[s] {
			return changeMinutes * minuteCost
		}
		return 0
	}, bars, l)
	if ok = ok && !slices.EqualFunc(some.Picks, a.Picks, func(x, y Pick) bool { return x.Option == y.Option }); ok {
		f.past.kept = some.Objective - a.Objective
	}
	return some, jobs, ok
}

// keptWords say what is kept for the sake of keeping.
func (p *past) keptWords(m *Model) string {
	return fmt.Sprintf("the plan before is kept where another would not be worth a change: in all it would save %s, less than %d person-minutes in a space, or a hundredth of loss and cost, at most an hour of one person (judgement)", m.amount(p.kept), changeMinutes)
}

// leastChange is what a plan must save to be worth a change of the one before [money].
func leastChange(objective float64) float64 {
	return math.Max(changeMinutes*minuteCost, math.Min(changeShare*objective, changeEnough))
}

// onClock solves with something added to what options cost, and puts the plan on the
// clock; its objective is what it costs without that.
func (f *Facts) onClock(m *Model, a *Allocation, more func(o *Option, s, k int) float64, bars []bar, l Limits) (Allocation, []Job, bool) {
	in := m
	if a.Guard != nil {
		in = a.in // the limits of loss stay what they are
	}
	dear := *in
	dear.alts = slices.Clone(in.alts)
	for i := range dear.alts {
		al := &dear.alts[i]
		al.cost += more(&m.c.Spaces[al.space].Options[al.option], int(al.space), int(al.option))
		al.better = -1
	}
	dear.markWorse()
	bars = slices.Clone(bars)
	for range buildRounds {
		b := dear.solve(whatIf{barred: pairs(bars)}, l)
		if b.from == nil {
			return Allocation{}, nil, false
		}
		out := in.writtenOut(b.from, a.Bound)
		out.Guard, out.price, out.rows, out.Nodes = a.Guard, a.price, a.rows, b.Nodes
		jobs, unfit := scheduleNights(f.tasks(m, &out), f.Crew, f.Now)
		if len(unfit) == 0 {
			return out, jobs, true
		}
		bars = m.barOne(&out, unfit, bars)
	}
	return Allocation{}, nil, false
}
