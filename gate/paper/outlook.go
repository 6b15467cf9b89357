package paper

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

// coldestHours is a row per night: how cold the air outside gets, when, and how long
// it is below freezing.
func (s *Sheet) coldestHours(f *sheaf) {
	lines := s.outside()
	if len(lines) == 0 {
		return
	}
	f.head("How cold it gets outside")
	x := []float64{side, side + 44, side + 82, side + 116}
	for _, l := range lines {
		f.row(0, f.col(x[0], 43, bodyPt, false, l.night), f.col(x[1], 37, bodyPt, true, tie(l.least)),
			f.col(x[2], 33, bodyPt, true, tie(l.near)), f.col(x[3], s.rest(f, x[3]), bodyPt, false, tie(l.freezing)))
		f.y += 1
	}
}

// outsideLine is the outdoor air of a night, in words.
type outsideLine struct{ night, least, near, freezing string }

// outside is the weather of each night, as the first space has it: the air is the
// same over all of them.
func (s *Sheet) outside() []outsideLine {
	if len(s.Answer.Spaces) == 0 || s.Answer.Spaces[0].Outlook == nil {
		return nil
	}
	o := s.Answer.Spaces[0].Outlook
	v := s.voice()
	var out []outsideLine
	if len(o.Options) == 0 || len(o.Options[0].Cells) == 0 {
		return nil
	}
	c := &o.Options[0].Cells[0]
	for _, n := range c.Nights {
		day, err := time.Parse(time.DateOnly, n.Date)
		if err != nil {
			continue
		}
		l := outsideLine{night: "Night of " + day.Format("Mon 2 Jan"), least: v.Degrees(n.Screen.P50), freezing: "stays above freezing"}
		if low := v.Whole(n.Screen.P10); low != v.Whole(n.Screen.P50) {
			l.least += ", maybe " + low
		}
		var coldest, first, last night.HourBand
		for _, h := range c.Hours {
			if v.Evening(h.Time) != n.Date {
				continue
			}
			if coldest.Time.IsZero() || h.Screen < coldest.Screen {
				coldest = h
			}
			if h.Screen < 0 {
				if first.Time.IsZero() {
					first = h
				}
				last = h
			}
		}
		if coldest.Time.IsZero() {
			continue
		}
		l.near = "near " + v.Near(coldest.Time)
		if !first.Time.IsZero() {
			l.freezing = fmt.Sprintf("freezing %s to %s", v.Near(first.Time), v.Near(last.Time.Add(o.Step)))
		}
		out = append(out, l)
	}
	return out
}

// risksNamed are how many spaces at risk the first pages name with a sentence.
const risksNamed = 6

// risks names the spaces at risk and those that hold.
func (s *Sheet) risks(f *sheaf, harmed, held []*plan.SpaceAnswer) {
	v := s.voice()
	if len(harmed) > 0 {
		f.head("At risk, even so")
		for i, x := range harmed {
			if i == risksNamed {
				var names []string
				for _, y := range harmed[i:] {
					names = append(names, y.Outlook.Space.Name)
				}
				f.item(least, phrase.Stop("Also "+phrase.List(names)))
				break
			}
			f.item(least, tie(v.Sentence(x.Outlook, x.Chosen)))
		}
	}
	if len(held) > 0 {
		var names []string
		for _, x := range held {
			names = append(names, x.Outlook.Space.Name)
		}
		f.head("Expected to hold")
		f.say(least, false, phrase.Stop(phrase.List(names)))
	}
}

// gets names what each space gets, with the set-points of each night.
func (s *Sheet) gets(f *sheaf) {
	said := false
	for i := range s.Answer.Spaces {
		x := &s.Answer.Spaces[i]
		if x.Outlook == nil || x.Chosen <= 0 || x.Chosen >= len(x.Outlook.Options) {
			continue
		}
		if !said {
			f.head("What each space gets")
			said = true
		}
		f.item(least, tie(phrase.Stop(x.Outlook.Space.Name+": "+x.Outlook.Options[x.Chosen].Protection.Words)))
	}
}

// sorted parts the spaces at risk from those that hold, each the most harmed first.
func (s *Sheet) sorted() (harmed, held []*plan.SpaceAnswer) {
	for i := range s.Answer.Spaces {
		x := &s.Answer.Spaces[i]
		switch {
		case x.Outlook == nil || x.Chosen < 0 || x.Chosen >= len(x.Outlook.Options):
		case x.Outlook.Harm(x.Chosen) > night.Holds:
			harmed = append(harmed, x)
		default:
			held = append(held, x)
		}
	}
	worse := func(a, b *plan.SpaceAnswer) int {
		ha, hb := a.Outlook.Harm(a.Chosen), b.Outlook.Harm(b.Chosen)
		la, lb := a.Outlook.Options[a.Chosen].Loss, b.Outlook.Options[b.Chosen].Loss
		switch {
		case ha != hb:
			return int(hb) - int(ha)
		case la > lb:
			return -1
		case la < lb:
			return 1
		}
		return strings.Compare(a.Outlook.Space.Name, b.Outlook.Space.Name)
	}
	slices.SortStableFunc(harmed, worse)
	slices.SortStableFunc(held, worse)
	return harmed, held
}
