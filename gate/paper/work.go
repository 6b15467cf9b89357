package paper

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/sun"
)

// errand is a job or a round: what makes somebody put shoes on.
type errand struct {
	start, latest time.Time
	minutes       int // 0 for a round: nobody has said
	space, what   string
	carry         string
	who           []string // nil: nobody is on shift
	why           string
	round         bool
	cover         bool // covers or a curtain on or off: the plan counts on it, and no job has been made of it
	block         block
	done          time.Time // when it was ticked; the zero time: it is not
	by            string    // who ticked it; may be empty
	moves         bool      // a job that puts covers on or takes them off
}

// part is a third of the round of a day.
type part int

// The parts, in the order of a night.
const (
	beforeDark part = iota
	overnight
	morning
)

// block is the part of one night, named by the local date of its evening.
type block struct {
	date string
	part part
}

// errands are the jobs and rounds of a plan, by block and hour.
func (s *Sheet) errands() []errand {
	var out []errand
	for _, j := range s.Answer.Plan.Jobs {
		out = append(out, errand{
			start: j.Start, latest: j.Latest, minutes: j.Minutes, space: j.Space, what: j.What, carry: s.withHolders(j, carry(j)),
			who: j.People, why: j.Why, block: s.blockOfJob(&j), moves: plan.MovesCover(j.What), done: j.Done, by: j.By,
		})
	}
	for _, h := range s.Answer.Houses {
		for _, r := range h.Rounds {
			e := errand{
				start: r.At, latest: r.At, space: h.Space.Name, what: strings.TrimPrefix(r.What, h.Space.Name+": "), carry: r.Carry,
				who: s.walkers(&r), why: r.Why, round: true, block: s.blockOf(r.At, r.At),
			}
			if r.Alone != "" {
				e.why = r.Alone + " " + phrase.Capital(e.why)
			}
			e.why = fmt.Sprintf("%s; needed %s", e.why, night.Chance(r.Odds, len(s.Answer.Plan.Nights)))
			out = append(out, e)
		}
	}
	out = append(out, s.coverWalks(out)...)
	slices.SortStableFunc(out, func(a, b errand) int {
		return cmp.Or(strings.Compare(a.block.date, b.block.date), cmp.Compare(a.block.part, b.block.part),
			a.start.Compare(b.start), a.latest.Compare(b.latest))
	})
	return out
}

// coverWalks are the hours at which the plan has covers and curtains go on and off, where
// none of its jobs does that: spaces of the same hour together.
func (s *Sheet) coverWalks(jobs []errand) []errand {
	var out []errand
	for i := range s.Answer.Spaces {
		x := &s.Answer.Spaces[i]
		if x.Outlook == nil || x.Chosen < 0 || x.Chosen >= len(x.Outlook.Options) || len(x.Outlook.Options[x.Chosen].Cells) == 0 {
			continue
		}
		hours, name := x.Outlook.Options[x.Chosen].Cells[0].Hours, x.Outlook.Space.Name
		for k := 1; k < len(hours); k++ {
			if hours[k].Covered == hours[k-1].Covered {
				continue
			}
			at, what := hours[k].Time.In(s.zone()), "covers off"
			if hours[k].Covered {
				what = "covers on"
			}
			if sp := x.Outlook.Space; len(x.Outlook.Options[x.Chosen].Protection.Covers) == 0 && sp.House != nil && sp.House.Curtain != "" {
				what = "curtain open"
				if hours[k].Covered {
					what = "curtain drawn"
				}
			}
			b := s.blockOf(at, at)
			if hours[k].Covered && b.part != morning {
				b.part = beforeDark
			}
			done := func(e errand) bool { return e.space == name && e.block == b && !e.round && e.moves }
			if slices.ContainsFunc(jobs, done) {
				continue
			}
			same := func(e errand) bool { return e.start.Equal(at) && e.what == what }
			if n := slices.IndexFunc(out, same); n >= 0 {
				out[n].space += ", " + name
				continue
			}
			out = append(out, errand{start: at, latest: at, space: name, what: what, cover: true, block: b})
		}
	}
	return out
}

// onShift are the names of those whom a round names: a round says "Ana: on until
// 6 p.m.", or that nobody is on shift.
func onShift(s *site.Site, who string) []string {
	var best *site.Worker
	for i := range s.Crew {
		w := &s.Crew[i]
		if strings.HasPrefix(who, w.Name+": ") && (best == nil || len(w.Name) > len(best.Name)) {
			best = w
		}
	}
	if best == nil {
		return nil
	}
	return inLine(best)
}

// withHolders adds what a cover is held down with.
func (s *Sheet) withHolders(j plan.Job, carried string) string {
	if j.Note == "" || !strings.HasPrefix(j.What, "spread and fix ") { // not a job that lays a cover
		return carried
	}
	for _, h := range s.Answer.Holds {
		if h.Space.Name != j.Space {
			continue
		}
		for _, x := range []struct {
			n    int
			word string
		}{{h.Total.Pins, "pins"}, {h.Total.Clamps, "clamps"}, {h.Total.Weights, "weights"}} {
			if x.n > 0 {
				carried += fmt.Sprintf(", %d %s", x.n, x.word)
			}
		}
	}
	return carried
}

// carry is what is taken along to a job. What covers is named by the job itself; the
// tools for an opening and a flame are judgement.
func carry(j plan.Job) string {
	for _, p := range [...]string{"spread and fix ", "put "} {
		if rest, ok := strings.CutPrefix(j.What, p); ok {
			return strings.NewReplacer(" on the plants", "", " on the hoops", "").Replace(rest)
		}
	}
	switch {
	case strings.HasPrefix(j.What, "cut "):
		return "what cuts and wedges it, tape measure"
	case strings.HasPrefix(j.What, "light "):
		return "lamp, alarm for carbon monoxide"
	}
	return ""
}

// does tells whether a person is among those who do it.
func (e *errand) does(person string) bool { return slices.Contains(e.who, person) }

// with are those who do it beside a person.
func (e *errand) with(person string) []string {
	return slices.DeleteFunc(slices.Clone(e.who), func(p string) bool { return p == person })
}

// evening is the local date of the evening that a moment belongs to.
func (s *Sheet) evening(t time.Time) string { return s.voice().Evening(t) }

// blockOf sorts a moment into its block. Work in the forenoon that may wait until
// the afternoon is for the night that comes.
func (s *Sheet) blockOf(start, latest time.Time) block {
	date := s.evening(start)
	if later := s.evening(latest); later > date {
		return block{later, beforeDark}
	}
	set, rise := s.dark(date)
	switch {
	case start.Before(set):
		return block{date, beforeDark}
	case start.Before(rise):
		return block{date, overnight}
	}
	return block{date, morning}
}

// blockOfJob is the block a job belongs to; a plan that does not say it is read by the
// clock.
func (s *Sheet) blockOfJob(j *plan.Job) block {
	parts := map[string]part{plan.BeforeDark: beforeDark, plan.Overnight: overnight, plan.InMorning: morning}
	p, ok := parts[j.Block]
	if !ok || j.Night == "" {
		return s.blockOf(j.Start, j.Latest)
	}
	return block{j.Night, p}
}

// dark is from when to when the night of an evening is dark. Where the sun does not
// rise or set it is 6 p.m. to 6 a.m.
func (s *Sheet) dark(date string) (set, rise time.Time) {
	zone := s.zone()
	day, err := time.ParseInLocation(time.DateOnly, date, zone)
	if err != nil {
		return time.Time{}, time.Time{}
	}
	at := func(days, hour int) time.Time {
		return time.Date(day.Year(), day.Month(), day.Day()+days, hour, 0, 0, 0, zone)
	}
	p := sun.Place{LatDeg: s.Site.LatDeg, LonDeg: s.Site.LonDeg, ElevM: s.Site.ElevationM}
	_, _, set, a := sun.RiseSet(at(0, 12), p)
	rise, _, _, b := sun.RiseSet(at(1, 12), p)
	if a != sun.Normal || b != sun.Normal {
		return at(0, 18), at(1, 6)
	}
	return set.Round(time.Minute), rise.Round(time.Minute)
}

func (s *Sheet) zone() *time.Location {
	if z := s.Site.Zone; z != nil {
		return z
	}
	return time.UTC
}

// title names a block: "Overnight, from Mon 11 Jan".
func (s *Sheet) title(b block) string {
	day, err := time.ParseInLocation(time.DateOnly, b.date, s.zone())
	if err != nil {
		return b.date
	}
	switch b.part {
	case beforeDark:
		return "Before dark, " + day.Format("Monday 2 January")
	case overnight:
		return "Overnight, " + day.Format("Monday 2 to ") + day.AddDate(0, 0, 1).Format("Monday 2 January")
	}
	return "Morning, " + day.AddDate(0, 0, 1).Format("Monday 2 January")
}

// moment is the clock, with the day when it is not of the block's own day: "Tue 2 a.m.".
func (s *Sheet) moment(b block, t time.Time) string {
	v := s.voice()
	l := t.In(s.zone())
	own := l.Format(time.DateOnly) == b.date
	if b.part != beforeDark {
		own = s.evening(t) == b.date
	}
	if own {
		return v.Clock(t)
	}
	return l.Format("Mon ") + v.Clock(t)
}
