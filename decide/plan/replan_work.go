package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// adjust makes an option cost what is still to do of it: what is in place is free, and
// what is in place and has no part in it is taken back. It returns the work.
func (p *past) adjust(space string, o *Option, tasks []Task, st []placed, here []Done, now time.Time, off handLabour, bare bool) []Task {
	if len(st) == 0 && len(here) == 0 {
		return tasks
	}
	needs := o.Needs
	needs.Covers = slices.Clone(needs.Covers)
	used := make([]bool, len(st))
	save := func(personMinutes int) {
		o.PersonMinutes = max(0, o.PersonMinutes-personMinutes)
		o.Cost = math.Max(0, o.Cost-minuteCost*float64(personMinutes))
	}
	var todo []Task
	for _, t := range tasks {
		if k := slices.IndexFunc(st, func(s placed) bool { return s.task.What == t.What || s.is(t, o) }); k >= 0 {
			save(t.People * t.Minutes)
			if !used[k] {
				o.Cost = math.Max(0, o.Cost-wornOut(st[k].covers))
				needs.lie(&st[k])
			}
			used[k] = true
			if strings.HasPrefix(t.What, lightTask) && !bare && p.dialOther(space, o.Key) && !slices.ContainsFunc(tasks, func(t Task) bool { return isDial(t.What) }) {
				todo = append(todo, Task{ID: t.ID + "/dial", Space: space, What: dialAnew + o.Words, People: 1, Minutes: dialMinutes, Earliest: now, Deadline: latest(t.Deadline, now.Add(lateWork))})
				o.PersonMinutes += dialMinutes
				o.Cost += minuteCost * dialMinutes
			}
			continue
		}
		if k := slices.IndexFunc(st, func(s placed) bool { return s.under(t, o) }); k >= 0 && !used[k] {
			used[k] = true
			n, lie := o.Needs.Covers[0].Layers, st[k].layers()
			less := t.Minutes * lie / n
			t.Minutes -= less
			t.Labour = share(t.Labour, 1-float64(lie)/float64(n))
			save(t.People * less)
			needs.lie(&st[k])
			t.What += fmt.Sprintf(", %d of them%s", lie, onAlready)
		}
		todo = append(todo, t)
	}
	o.Needs = needs
	var back []Task
	for k := range st {
		s := &st[k]
		has := func(same func(string) bool) bool {
			return slices.ContainsFunc(tasks, func(t Task) bool { return same(t.What) })
		}
		switch {
		case used[k], s.back() == "", s.dial() && has(isDial), s.opening() && has(func(w string) bool { return strings.HasPrefix(w, cutTask) }):
			continue // another set-point or a larger opening takes its place
		}
		t := Task{
			ID: fmt.Sprintf("%s/back/%s/%d", space, slug(s.task.What), len(back)), What: s.back(), Space: space, People: s.handsBack(), Minutes: s.task.Minutes,
			Earliest: now, Deadline: latest(s.task.Deadline, now.Add(lateWork)), Loss: 1 + o.ExpectedLoss,
		}
		if len(s.covers) > 0 && off != nil {
			t.Minutes = max(1, int(math.Ceil(off(space, s.layers())/float64(t.People))))
			t.Labour = s.uncovering()
		}
		if !bare {
			o.PersonMinutes += t.People * t.Minutes
		}
		o.Cost += minuteCost * float64(t.People*t.Minutes)
		if s.holds() {
			p.off[[2]string{space, o.Key}] = true
		}
		t = anew(t, here)
		p.undo[t.ID] = s.frees()
		back = append(back, t)
	}
	for i := range todo {
		todo[i] = anew(todo[i], here)
		if k := slices.IndexFunc(todo, func(t Task) bool { return t.ID == todo[i].After }); k < 0 {
			todo[i].After = "" // it is done
		}
	}
	return append(back, todo...)
}

// dialOther tells whether an option has what is lit by hand at another set-point than
// the plan before.
func (p *past) dialOther(space, key string) bool {
	lit := func(key string) string {
		if i := strings.Index(key, "lit"); i >= 0 {
			return key[i:]
		}
		return ""
	}
	return lit(p.was[space]) != "" && lit(key) != lit(p.was[space])
}

// lie takes what lies there already out of what an option needs: the pieces are those
// that lie. Where it is not known which, the option needs as many as ever.
func (n *Needs) lie(s *placed) {
	if len(s.covers) == 0 || s.takes == nil {
		return
	}
	n.Laid = append(slices.Clone(n.Laid), s.takes...)
	for _, c := range s.covers {
		k := slices.IndexFunc(n.Covers, func(a CoverArea) bool { return a.Cloth == c.Cloth && a.Layers >= c.Layers })
		if k < 0 {
			continue
		}
		if n.Covers[k].Layers -= c.Layers; n.Covers[k].Layers == 0 {
			n.Covers = slices.Delete(n.Covers, k, k+1)
		}
	}
}

// wornOut is the wear that laying the covers has cost already [money].
func wornOut(covers []CoverArea) float64 {
	sum := 0.0
	for _, c := range covers {
		sum += wearPerM2 * c.LengthM * c.WidthM * float64(c.Layers)
	}
	return sum
}

// anew gives a task that was ticked before, and has to be done once more, words and a
// name of its own: the old tick is not its tick.
func anew(t Task, here []Done) Task {
	for slices.ContainsFunc(here, func(d Done) bool { return d.What == t.What }) {
		t.What += again
	}
	for slices.ContainsFunc(here, func(d Done) bool { return d.JobID == t.ID }) {
		t.ID += "/again"
	}
	return t
}

// firstBars are the options that cannot be had from the start: where nothing can be
// taken back in time, what is on stays on.
func (f *Facts) firstBars(m *Model) []bar {
	if f.past == nil || !f.past.tight {
		return nil
	}
	var out []bar
	for s, c := range m.c.Spaces {
		for o := range c.Options {
			if f.past.off[[2]string{c.Space, c.Options[o].Key}] {
				out = append(out, bar{s, o, "no time is left to take off what is on"})
			}
		}
	}
	return out
}

// replanRounds is how often a plan that takes something back may fail to fit the clock
// before it is made without.
const replanRounds = 24

// stuck tells that a plan has to be made without taking anything back.
func (f *Facts) stuck(a *Allocation, round int) bool {
	return f.past != nil && (a.Picks == nil && len(f.Choices.Spaces) > 0 || round >= replanRounds && !f.past.tight)
}

// loosened are the facts for a plan that takes nothing back; failing that too, those
// without what is done.
func (f Facts) loosened() Facts {
	if f.past.tight {
		bare := f.past.bare
		bare.Assumed = append(slices.Clone(bare.Assumed), "what is ticked as done is not counted on: with it no plan fits")
		bare.Assumed = append(bare.Assumed, f.past.stillLit()...)
		return bare
	}
	p := *f.past
	p.tight = true
	p.said = append(slices.Clone(p.said), "no time is left to take back what is done: it stays")
	f.past = &p
	return f
}

// stillLit says of each flame that is ticked as lit that a plan which counts on no tick
// forgets it.
func (p *past) stillLit() []string {
	var out []string
	for i := range p.jobs {
		name, lit := strings.CutPrefix(plainWhat(p.jobs[i].What), lightTask)
		if !lit {
			continue
		}
		name, _, _ = strings.Cut(name, ":")
		line := p.jobs[i].Space + ": " + name + " is ticked as lit, and this plan does not know whether it burns; unless both its air openings are open, shut it off at the cylinder, from outside, and air the house before anybody goes in"
		if !slices.Contains(out, line) {
			out = append(out, line)
		}
	}
	return out
}

// takingBack puts the work of taking back into order: nothing is laid elsewhere before
// it is off where it lies. Without time for it there is none.
func (f *Facts) takingBack(m *Model, a *Allocation, tasks []Task) []Task {
	if f.past == nil || len(f.past.undo) == 0 {
		return tasks
	}
	isBack := func(t Task) bool { _, ok := f.past.undo[t.ID]; return ok }
	if f.past.tight { // but a flame that this plan does not count on is never left burning
		tasks = slices.DeleteFunc(tasks, func(t Task) bool { return isBack(t) && !strings.HasPrefix(t.What, shutAgain) })
	}
	last := map[string]string{} // by item: the last job that frees some
	inSpace := map[string]string{}
	chain, home := "", false
	for i := range tasks {
		if t := &tasks[i]; isBack(*t) {
			if chain != "" {
				t.After = chain
			}
			chain, home = t.ID, home || strings.HasPrefix(t.What, homeAgain)
			inSpace[t.Space] = t.ID
			for _, take := range f.past.undo[t.ID] {
				last[take.Item] = t.ID
			}
		}
	}
	for i := range tasks {
		t := &tasks[i]
		if isBack(*t) || t.After != "" {
			continue
		}
		s := m.spaceOf(t.Space)
		for _, take := range m.takesOf(a, s, t.What) {
			cloth, _, _ := strings.Cut(take.Item, ",")
			for _, item := range []string{take.Item, cloth} {
				if id := last[item]; id != "" {
					t.After = id
				}
			}
		}
		if home && strings.HasPrefix(t.What, carryTask) {
			t.After = chain // the bench may not be free before
		}
		if id := inSpace[t.Space]; id != "" && t.After == "" {
			t.After = id
		}
		if t.After != "" {
			t.After = chain // the last of all: the order among them does not matter then
		}
	}
	return tasks
}

// takesOf is what a task of the chosen option takes from the shed.
func (m *Model) takesOf(a *Allocation, s int, what string) []Take {
	o := &m.c.Spaces[s].Options[a.Picks[s].Option]
	var out []Take
	counted := func(kind resourceKind, n map[string]int) {
		for _, k := range sortedKeys(n) {
			out = append(out, Take{(&resource{kind: kind, cup: k}).name(), n[k]})
		}
	}
	switch {
	case strings.HasPrefix(what, spreadTask), strings.HasPrefix(what, hangTask), strings.HasPrefix(what, secondTask):
		for _, p := range a.Picks[s].Pieces {
			if !strings.Contains(what, p.Cloth) {
				continue
			}
			item := (&resource{kind: pieces, piece: Piece{Cloth: p.Cloth, Label: p.Label, Condition: p.Condition}}).name()
			n := p.Count
			for _, l := range o.Needs.Laid {
				if l.Item == item {
					n -= l.Count
				}
			}
			switch {
			case strings.HasPrefix(what, firstTask):
				n -= n / 2
			case strings.HasPrefix(what, secondTask) && len(o.Needs.Laid) == 0:
				n /= 2
			}
			if n > 0 {
				out = append(out, Take{item, n})
			}
		}
	case strings.HasPrefix(what, cupTask):
		counted(cups, o.Needs.Cups)
	case strings.HasPrefix(what, standTask):
		counted(panels, o.Needs.Panels)
	case strings.HasPrefix(what, bringTask):
		out = append(out, Take{heaterLimit(broughtName(what)), 1})
	}
	return out
}
