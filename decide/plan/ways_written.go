package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/site"
)

// Covers that the site file writes for a space, to be put on and taken off at hours.
const (
	ownTask    = "cover with its own " // begins the job of putting one on
	leftOff    = "left-off"
	asWritten  = "as-written"
	offWords   = "leave its own covers off"
	ownWords   = "its own covers on at their hours"
	onItNow    = "what is on it now"
	ownBefore  = 3 * time.Hour // one is put on at most this long before its hour. Judgement.
	ownNothing = "nobody is free to put its own covers on at their hours"
)

// handled tells whether a cover of the site file is put on and taken off: neither one that
// always lies there, nor one put on for some days that has begun.
func (f *Freeze) handled(c *site.Cover) bool {
	return c.When.Kind != site.Always && (c.When.Kind != site.Dates || c.When.From.After(f.Now))
}

// fixed are the covers of a space that lie there whatever is done.
func (f *Freeze) fixed(sp *site.Space) []site.Cover {
	return slices.DeleteFunc(slices.Clone(sp.Covers), func(c site.Cover) bool { return f.handled(&c) })
}

// written turns the ways of a space, all of them with its own covers on, into ways that
// pay for those: the first is with them off, the second with them on and nothing else.
func (f *Freeze) written(sp *site.Space, ways []way, dusks []time.Time) []way {
	fixed := f.fixed(sp)
	if len(fixed) == len(sp.Covers) {
		return ways
	}
	off := ways[0]
	off.protection.Key, off.protection.Words, off.protection.Covers = leftOff, offWords, fixed
	if g := off.protection.Firing; g != nil {
		off.protection.Words += ", the heat at " + f.setWords(g)
	}
	out := append(make([]way, 0, len(ways)+1), off)
	for i, w := range ways {
		if i == 0 {
			w.protection.Key = asWritten
			w.protection.Words = strings.Replace(w.protection.Words, leaveWords, ownWords, 1)
		}
		w.protection.Words = strings.Replace(w.protection.Words, onItNow, ownWords, 1)
		out = append(out, f.withOwn(sp, w, dusks))
	}
	return out
}

// withOwn adds to a way the work of a space's own covers, which lie under all that the way
// lays itself.
func (f *Freeze) withOwn(sp *site.Space, w way, dusks []time.Time) way {
	all, later := w.tasks, w.later
	w.tasks, w.later = nil, slices.Clone(later)
	for i := range sp.Covers {
		if c := &sp.Covers[i]; f.handled(c) {
			f.ownWork(&w, sp, c, dusks)
		}
	}
	under := ""
	if n := len(w.tasks); n > 0 {
		under = w.tasks[n-1].What
	}
	for _, t := range all {
		if t.After == "" && under != "" && isOn(t.What) {
			t.After = under
			for _, u := range w.tasks {
				if u.What == under && t.Deadline.Before(u.Deadline) { // what it lies on comes later than the rest
					t.Deadline = u.Deadline.Add(minutesOf(&t))
				}
			}
		}
		w.tasks = append(w.tasks, t)
	}
	return w
}

// ownWork books putting one cover on and taking it off, in every night of the freeze.
func (f *Freeze) ownWork(w *way, sp *site.Space, c *site.Cover, dusks []time.Time) {
	s := f.Scene.Site
	layers := max(c.Layers, 1)
	area := sp.AreaM2() * float64(layers)
	fit := "on the plants"
	if c.HeightM > 0 {
		fit = "on the hoops"
	}
	words := fmt.Sprintf("%s of %s %s", phrase.Count(layers, "layer"), clothName(c.Cloth, s.Units), fit)
	people := 1
	if sp.WidthM > 3 || area > 60 {
		people = 2
	}
	work, per := clothWork(&s.Labour, sp, c.HeightM > 0, layers, sp.House == nil && f.windy(dusks[0]))
	for k, dusk := range dusks {
		on, off, ok := f.ownHours(c, dusk)
		if !ok {
			continue
		}
		m := per * area / 100
		if sp.House == nil && f.windy(on) {
			m *= math.Max(s.Labour.WindyTimes, 1)
		}
		m += s.Labour.WalkPerSpace
		need := time.Duration(math.Ceil(m/float64(people))) * time.Minute
		t := Task{What: ownTask + words, Space: sp.Name, Earliest: on.Add(-ownBefore), Labour: work}
		switch {
		case k == 0:
			by := on
			if by.Before(latest(f.Now, t.Earliest).Add(need)) {
				by = latest(dusk, on) // its hour is past, or too near
			}
			w.add(t, people, m, by)
		default:
			f.onEvening(w, withPeople(t, people), dusks, k, on.Add(-ownBefore).Sub(dusk), on.Sub(dusk), m)
		}
		f.ownOff(w, Task{What: morningOff + "its own " + words, Space: sp.Name}, people, s.Labour.UncoverPer100M2*area/100+s.Labour.WalkPerSpace, dusk, off)
	}
}

func withPeople(t Task, n int) Task {
	t.People = n
	return t
}

// ownOff books taking a cover off at its hour.
func (f *Freeze) ownOff(w *way, t Task, people int, personMinutes float64, dusk, off time.Time) {
	_, on, ok := f.morningAfter(dusk)
	if !ok {
		on = off.Add(2 * offBy)
	}
	t.Night, t.Block, t.Window = f.eveningOf(dusk), InMorning, "morning of "+off.In(f.zone()).Format("Mon 2 Jan")
	t.Earliest = off
	t.Deadline = off.Add(offBy)
	if on.After(off) {
		t.Deadline = earliest(t.Deadline, on)
	}
	t.Late = latest(on, t.Deadline)
	w.book(t, people, personMinutes)
}

// ownHours are when a cover goes on for the night of an evening and comes off after it;
// false where it is not put on for that night.
func (f *Freeze) ownHours(c *site.Cover, dusk time.Time) (on, off time.Time, ok bool) {
	date, err := time.ParseInLocation(time.DateOnly, f.eveningOf(dusk), f.zone())
	if err != nil {
		return on, off, false
	}
	noon := time.Date(date.Year(), date.Month(), date.Day(), 12, 0, 0, 0, f.zone())
	at := func(min int) time.Time { // by the clock, from that noon on
		t := time.Date(date.Year(), date.Month(), date.Day(), 0, min, 0, 0, f.zone())
		if t.Before(noon) {
			t = time.Date(date.Year(), date.Month(), date.Day()+1, 0, min, 0, 0, f.zone())
		}
		return t
	}
	switch c.When.Kind {
	case site.Daily:
		on, off = at(c.When.OnMin), at(c.When.OffMin)
		if !off.After(on) {
			off = off.AddDate(0, 0, 1)
		}
		return on, off, true
	case site.Dates:
		return c.When.From, c.When.To, f.eveningOf(c.When.From) == f.eveningOf(dusk)
	}
	off, _, ok = f.morningAfter(dusk)
	return dusk, off, ok // by dark, as the covers of the shed
}

// ownLost says, where a space's own covers cannot be put on, what that loses.
func (f *Freeze) ownLost(a *Answer, facts *Facts) []string {
	var out []string
	for i := range a.Spaces {
		o := a.Spaces[i].Outlook
		k := slices.IndexFunc(o.Options, func(r night.Result) bool { return r.Protection.Key == asWritten })
		if k < 0 || o.Options[a.Spaces[i].Chosen].Protection.Key != leftOff || refusedAs(&a.Plan, o.Space.Name, asWritten) == "" {
			continue
		}
		options := facts.Choices.Spaces[i].Options
		v := f.voice()
		out = append(out, fmt.Sprintf("%s: %s. Left off, it is expected to lose %s; with them on it would be %s", o.Space.Name, ownNothing,
			v.Amount(options[0].ExpectedLoss), v.Amount(options[k].ExpectedLoss)))
	}
	return out
}

// refusedAs is why an option of a space cannot be done, or "".
func refusedAs(p *Plan, space, key string) string {
	for _, n := range p.Nights {
		for _, s := range n.Spaces {
			if k := slices.IndexFunc(s.Refused, func(r Refused) bool { return r.Option == key }); s.Space == space && k >= 0 && s.Refused[k].Price == nil {
				return s.Refused[k].Reason
			}
		}
	}
	return ""
}

// writtenAssumed says how covers of the site file are taken.
func (f *Freeze) writtenAssumed() []string {
	var some, lie []string
	for i := range f.Scene.Site.Spaces {
		sp := &f.Scene.Site.Spaces[i]
		fixed := f.fixed(sp)
		if len(fixed) < len(sp.Covers) {
			some = append(some, sp.Name)
		}
		if slices.ContainsFunc(fixed, func(c site.Cover) bool { return c.When.Kind == site.Dates }) {
			lie = append(lie, sp.Name)
		}
	}
	var out []string
	if some != nil {
		out = append(out, fmt.Sprintf("covers written in the site file for %s are work like any other: a job puts them on for each night and one takes them off; with nothing done they are off", phrase.List(some)))
	}
	if lie != nil {
		out = append(out, fmt.Sprintf("covers written in the site file for %s with a date that has begun are taken to lie there already", phrase.List(lie)))
	}
	return out
}
