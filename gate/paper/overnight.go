package paper

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

// mainsHour is the local hour of the mains failure that is printed, the one at which
// nobody wants to think.
const mainsHour = 2

// night lays out what is needed after dark: the rounds, the mains out, which backup
// where, each heater out.
func (s *Sheet) night(f *sheaf, all []errand) {
	a := s.Answer
	var rounds []errand
	for _, e := range all {
		if e.round {
			rounds = append(rounds, e)
		}
	}
	if len(a.Houses)+len(rounds) == 0 {
		return
	}
	f.page("In the night")
	f.say(26, true, "In the night")
	for i := range rounds {
		if i == 0 || rounds[i].block != rounds[i-1].block {
			f.headOver(s.title(rounds[i].block), cardMM)
		}
		s.card(f, "", &rounds[i])
	}
	if len(rounds) > 0 {
		f.say(least, false, "The hour is when one freeze in ten needs it: be there by then. Where no name stands nobody is on shift: write in before dark who gets up, and who is called when they do not answer.")
	}
	for _, h := range a.Houses {
		if h.Sleep.Say != "" {
			f.say(least, false, tie(phrase.Stop(h.Space.Name+": "+h.Sleep.Say)))
		}
	}
	s.mains(f)
	s.heatersOut(f)
	f.calls("Who gets up:", "When they do not answer:", "Gas or power trouble:")
	f.notes()
}

// atTwo is a house with the mains out at the hour that is printed, each in the night
// that decides for it.
type atTwo struct {
	space string
	drill *heating.Drill
}

// mainsOut are the houses that lose heat with the mains, the quickest at its limit
// first.
func (s *Sheet) mainsOut() []atTwo {
	gap := func(d *heating.Drill) time.Duration {
		l := d.At.In(s.zone())
		h := time.Duration(l.Hour())*time.Hour + time.Duration(l.Minute())*time.Minute
		x := (h - mainsHour*time.Hour).Abs()
		return min(x, 24*time.Hour-x)
	}
	var out []atTwo
	for _, h := range s.Answer.Houses {
		var best *heating.Drill
		for i := range h.Mains {
			if d := &h.Mains[i]; best == nil || gap(d) < gap(best) || gap(d) == gap(best) && d.More > best.More {
				best = d
			}
		}
		if best != nil {
			out = append(out, atTwo{h.Space.Name, best})
		}
	}
	slices.SortStableFunc(out, func(a, b atTwo) int {
		return cmp.Or(cmp.Compare(a.drill.Early, b.drill.Early), cmp.Compare(b.drill.More, a.drill.More))
	})
	return out
}

func (s *Sheet) mains(f *sheaf) {
	a, v := s.Answer, s.voice()
	if len(a.Houses) == 0 {
		return
	}
	out := s.mainsOut()
	if len(out) == 0 {
		f.head("If the mains fail")
		f.say(bodyPt, false, "Nothing of this plan's heat needs them.")
		return
	}
	f.headOver("If the mains fail at "+v.Clock(out[0].drill.At), 40)
	f.say(least, false, "In this order, to the morning, with nothing switched over, each in its hardest night:")
	f.y += 1
	s.holdHead(f)
	more := 0.0
	for i, x := range out {
		name := fmt.Sprintf("%d. %s", i+1, x.space)
		if !x.drill.At.Equal(out[0].drill.At) && v.Clock(x.drill.At) != v.Clock(out[0].drill.At) {
			name += " (from " + v.Clock(x.drill.At) + ")"
		}
		s.holdRow(f, name, x.drill)
		more += x.drill.More
	}
	f.y += 1
	text := fmt.Sprintf("About %s more lost than with the mains.", v.Amount(more))
	if len(a.Outages) > 0 {
		worst := slices.MaxFunc(a.Outages, func(x, y heating.Outage) int { return cmp.Compare(x.More, y.More) })
		text += " " + phrase.Stop("The worst hour is "+v.When(worst.At))
	}
	f.say(least, false, tie(text))
	s.byTheHour(f)
	for _, b := range a.Standbys {
		f.item(bodyPt, tie(phrase.Stop(phrase.Capital(b.Say))))
	}
}

// heatersOut is a row per heater that is out and not mended.
func (s *Sheet) heatersOut(f *sheaf) {
	said := false
	for _, h := range s.Answer.Houses {
		for _, d := range h.WorstOut() {
			if !said {
				f.headOver("If a heater goes out and is not mended", 26)
				s.holdHead(f)
				said = true
			}
			s.holdRow(f, h.Space.Name+", "+d.Heater, d)
		}
	}
	if !said {
		return
	}
	v := s.voice()
	d := s.Answer.Houses[0].Drills
	if len(d) > 0 {
		f.y += 1
		f.say(least, false, tie(phrase.Stop("Out from the evening on, "+v.Clock(d[0].At))+" \"Maybe\" is the quickest night in ten."))
	}
	f.say(least, true, "Go in pairs. "+phrase.Capital(s.airFirst()))
}

// airFirst says how a house with a flame and no flue is entered.
func (s *Sheet) airFirst() string {
	var names []string
	for _, h := range s.Answer.Houses {
		if h.Opening.NeedsIt {
			names = append(names, h.Space.Name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return phrase.List(names) + ": " + plan.DoorWords + "."
}

const (
	holdX1, holdX2, holdX3 = 66.0, 116.0, 146.0 // of the columns, from the margin
)

func (s *Sheet) holdHead(f *sheaf) {
	f.row(0, f.col(side+holdX1, holdX2-holdX1, least, false, "first at its limit"),
		f.col(side+holdX2, holdX3-holdX2, least, false, "maybe in"), f.col(side+holdX3, s.rest(f, side+holdX3), least, false, "usually in"))
	f.rule(0.1)
	f.y += 1
}

// holdRow is who is at its limit first, and in how long.
func (s *Sheet) holdRow(f *sheaf, name string, d *heating.Drill) {
	first, maybe, usual := "none in 9 nights of 10", "", ""
	if len(d.Groups) > 0 && !math.IsInf(d.Early, 1) {
		g := d.Groups[0]
		first, maybe, usual = g.Group, hold(g.Early), hold(g.Usual)
	}
	f.row(0, f.col(side, holdX1-3, bodyPt, true, name), f.col(side+holdX1, holdX2-holdX1-3, least, false, first),
		f.col(side+holdX2, holdX3-holdX2-2, 16, true, maybe), f.col(side+holdX3, s.rest(f, side+holdX3), bodyPt, false, usual))
	f.y += 1.5
}
