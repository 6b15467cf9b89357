package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
)

// What counts as another forecast, and how many changes are kept. Judgement.
const (
	otherForecastK = 0.5 // the usual coldest of a space, uncovered, moved by this [K]
	mostRevisions  = 30
)

// revise writes what this plan changes of the one before it, and why; what that one
// changed stays in the list behind it.
func (f *Facts) revise(p *Plan, m *Model, a *Allocation, bars []bar) {
	if f.past == nil {
		return
	}
	p.Assumed = append(p.Assumed, f.past.said...)
	old := f.past.plan
	if old == nil {
		return
	}
	add := func(r Revision) {
		r.At, r.Since = p.Now, old.Now
		p.Changes = append(p.Changes, r)
	}
	crew := f.crewChanges(old, p, add)
	shed := f.shedChanges(old, p, add)
	for s := range a.Picks {
		pick := &a.Picks[s]
		c := &m.c.Spaces[s]
		o := &c.Options[pick.Option]
		was, then := chosenOf(old, pick.Space)
		back := f.takenBack(p, pick.Space)
		if then && was.Option == o.Key && (was.Words == "" || was.Words == o.Words) && len(back) == 0 {
			continue
		}
		r := Revision{Space: pick.Space, Was: was.Words, Is: o.Words}
		if r.Was == "" {
			r.Was = was.Option
		}
		var why []string
		if len(back) > 0 {
			r.Undoes = true
			why = append(why, "what is done is taken back: "+phrase.List(back))
		}
		switch {
		case !then:
			r.Was = "not in the plan before"
			why = append(why, "the space is new in the site file")
		default:
			why = append(why, f.causes(p, m, a, s, was.Option, crew, shed, bars)...)
		}
		r.Why = strings.Join(why, "; ")
		add(r)
	}
	for _, n := range old.Nights {
		for _, s := range n.Spaces {
			gone := m.spaceOf(s.Space) < 0 && !slices.ContainsFunc(p.Changes, func(r Revision) bool { return r.Space == s.Space })
			if was, ok := chosenOf(old, s.Space); ok && gone {
				add(Revision{Space: s.Space, Was: was.Words, Is: "no longer in the plan", Why: "the site file no longer has the space"})
			}
		}
	}
	p.Changes = append(p.Changes, old.Changes...)
	p.Changes = p.Changes[:min(len(p.Changes), mostRevisions)]
}

// takenBack lists the jobs that take something back in a space.
func (f *Facts) takenBack(p *Plan, space string) []string {
	var out []string
	for _, j := range p.Jobs {
		if _, ok := f.past.undo[j.ID]; ok && j.Space == space && j.Done.IsZero() {
			out = append(out, j.What)
		}
	}
	return out
}

// chosenOf is what a plan chose for a space.
func chosenOf(p *Plan, space string) (Chosen, bool) {
	for _, n := range p.Nights {
		for _, s := range n.Spaces {
			if s.Space == space && len(s.Chosen) > 0 {
				return s.Chosen[0], true
			}
		}
	}
	return Chosen{}, false
}

// causes say why a space gets something else: what of the facts is no longer as it was
// for the plan before.
func (f *Facts) causes(p *Plan, m *Model, a *Allocation, s int, was string, crew, shed bool, bars []bar) []string {
	var out []string
	c := &m.c.Spaces[s]
	old := f.past.plan
	out = append(out, f.reportedOf(old, c.Space)...)
	k := slices.IndexFunc(c.Options, func(o Option) bool { return o.Key == was })
	if k >= 0 {
		if no := m.cannot(s, k, bars); no != "" {
			out = append(out, fmt.Sprintf("what was planned can no longer be done: %s; expected loss %s instead of %s", no,
				m.amount(c.Options[a.Picks[s].Option].ExpectedLoss), m.amount(c.Options[k].ExpectedLoss)))
		}
	}
	if byK, ok := colder(old, p, c.Space); ok && math.Abs(byK) >= otherForecastK {
		out = append(out, f.kelvinWords(byK))
	}
	if more := otherNights(old, p); more != "" {
		out = append(out, more)
	}
	if x, y := groupsOf(old, c.Space), groupsOf(p, c.Space); !slices.Equal(x, y) {
		out = append(out, "other plants stand here now")
	}
	if shed {
		out = append(out, "the shed has changed")
	}
	if crew {
		out = append(out, "the crew has changed")
	}
	if was, is := minutesLeft(old), minutesLeft(p); k >= 0 && is.Have < was.Have && int(is.Used)+c.Options[k].PersonMinutes-c.Options[a.Picks[s].Option].PersonMinutes > int(is.Have) {
		out = append(out, fmt.Sprintf("time ran out: %s are left instead of %.0f", phrase.Count(int(is.Have), "person-minute"), was.Have))
	}
	if len(out) == 0 && k < 0 {
		out = append(out, "what was planned is no longer on offer for this space")
	}
	if len(out) == 0 {
		out = append(out, "what it takes does more elsewhere now")
	}
	return out
}

// minutesLeft is the line of the people's time.
func minutesLeft(p *Plan) SupplyLine {
	for _, l := range p.Supplies {
		if l.Item == personMinutes {
			return l
		}
	}
	return SupplyLine{}
}

// kelvinWords says by how much the forecast moved.
func (f *Facts) kelvinWords(byK float64) string {
	word, unit, by := "warmer", "°C", math.Abs(byK)
	if byK < 0 {
		word = "colder"
	}
	if f.past.voice.Units == measure.Customary {
		unit, by = "°F", 1.8*by
	}
	return fmt.Sprintf("the forecast is %.0f %s %s here", math.Max(1, by), unit, word)
}

// colder is by how much the usual coldest of a space with nothing done moved, over the
// nights that both plans have [K]; below zero it got colder.
func colder(old, p *Plan, space string) (byK float64, ok bool) {
	was, is := inf, inf
	for _, n := range p.Nights {
		for _, o := range old.Nights {
			if x, y := lowOf(&o, space), lowOf(&n, space); o.Date == n.Date && x < inf && y < inf {
				was, is = min(was, x), min(is, y)
			}
		}
	}
	return is - was, was < inf
}

func lowOf(n *Night, space string) float64 {
	low := inf
	for _, s := range n.Spaces {
		for _, c := range s.Cells {
			if s.Space == space {
				low = min(low, c.BareMinC.P50)
			}
		}
	}
	return low
}

// otherNights says when the freeze became longer or shorter.
func otherNights(old, p *Plan) string {
	has := func(all []Night, date string) bool {
		return slices.ContainsFunc(all, func(n Night) bool { return n.Date == date })
	}
	for _, n := range p.Nights {
		if !has(old.Nights, n.Date) {
			return "the night of " + dayOf(n.Date) + " has come into the plan"
		}
	}
	for _, n := range old.Nights {
		if len(p.Nights) > 0 && n.Date > p.Nights[0].Date && !has(p.Nights, n.Date) {
			return "the night of " + dayOf(n.Date) + " is no longer cold"
		}
	}
	return ""
}

func dayOf(date string) string {
	if day, err := time.Parse(time.DateOnly, date); err == nil {
		return day.Format("Mon 2 Jan")
	}
	return date
}

func groupsOf(p *Plan, space string) []string {
	var out []string
	for _, n := range p.Nights[:min(1, len(p.Nights))] {
		for _, s := range n.Spaces {
			for _, g := range s.Groups {
				if s.Space == space {
					out = append(out, g.Group)
				}
			}
		}
	}
	return out
}

// shedChanges tells what the shed has more or less of.
func (f *Facts) shedChanges(old, p *Plan, add func(Revision)) bool {
	any := false
	for _, is := range p.Supplies {
		k := slices.IndexFunc(old.Supplies, func(o SupplyLine) bool { return o.Item == is.Item })
		switch {
		case strings.HasPrefix(is.Item, personMinutes), k >= 0 && old.Supplies[k].Have == is.Have, len(old.Supplies) == 0:
			continue
		case k < 0:
			add(Revision{Was: "no " + is.Item, Is: stockWords(&is, is.Item), Why: "the site file says so"})
		default:
			add(Revision{Was: stockWords(&old.Supplies[k], is.Item), Is: stockWords(&is, "it"), Why: f.source(is.Item)})
		}
		any = true
	}
	for _, was := range old.Supplies {
		if !strings.HasPrefix(was.Item, personMinutes) && was.Have > 0 && !slices.ContainsFunc(p.Supplies, func(l SupplyLine) bool { return l.Item == was.Item }) {
			add(Revision{Was: stockWords(&was, was.Item), Is: "none that can be used", Why: f.source(was.Item)})
			any = true
		}
	}
	return any
}

// stockWords writes what there is of an item.
func stockWords(l *SupplyLine, item string) string {
	return l.Amount(l.Have) + " of " + item
}

// crewChanges tells who is missing, who is there now, and whose hours are others.
func (f *Facts) crewChanges(old, p *Plan, add func(Revision)) bool {
	was, is := hoursOf(old.Crew, f.past.voice.Clock), hoursOf(p.Crew, f.past.voice.Clock)
	if len(old.Crew) == 0 {
		return false // a plan of before it was written
	}
	any := false
	for _, who := range sortedKeys(was) {
		if now := is[who]; now != was[who] {
			r := Revision{Was: who + " works " + was[who], Is: who + " works " + now, Why: f.source(who)}
			if now == "" {
				r.Is = who + " no longer works today"
			}
			add(r)
			any = true
		}
	}
	for i := range f.Reports {
		r := &f.Reports[i]
		if now := is[r.Person]; r.Kind == MissingOne && !r.At.Before(old.Now) && was[r.Person] != "" && now == was[r.Person] {
			add(Revision{Was: r.Person + " works " + now, Is: r.Person + " is not there today", Why: r.said(f.past.voice)})
			any = true
		}
	}
	for _, who := range sortedKeys(is) {
		if was[who] == "" {
			add(Revision{Was: who + " was not there", Is: who + " works " + is[who], Why: "the site file says so"})
			any = true
		}
	}
	return any
}

// hoursOf are the hours of each person's first shift, as said.
func hoursOf(crew []OnHand, clock func(time.Time) string) map[string]string {
	out := map[string]string{}
	for _, c := range crew {
		if out[c.Name] == "" {
			out[c.Name] = fmt.Sprintf("from %s to %s", clock(c.From), clock(c.To))
		}
	}
	return out
}
