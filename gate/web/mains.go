package web

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

// mainsPart is what happens when the mains fail. All hours stand on the page itself:
// what sends pages to the phones stops with the mains too.
type mainsPart struct {
	Line     string // the worst hour, for the top of the page
	Hours    []outageLine
	Apart    string // heated, and not on the mains
	Backups  []string
	Circuits []string
}

type outageLine struct {
	Night  string // named before its first hour
	When   string
	Sum    string
	Worst  bool
	Who    string
	Spaces []hurtLine
	Order  []string // groups of all spaces, the first few
	Later  []string // the other groups

	at time.Time
}

// hurtLine is one space in an outage, or one heater out.
type hurtLine struct {
	Space string
	Say   string
	Door  string // how to go in
}

type drillLine struct {
	Space, What, When string
	Say, Who, Door    string
}

// outageStays is how long an hour at which the mains may fail stays on the page.
const outageStays = time.Hour

func (w voice) mains(v View) *mainsPart {
	a := v.Answer
	if len(a.Houses) == 0 {
		return nil
	}
	m := &mainsPart{}
	var hit, apart []string
	night := ""
	var worst *heating.Outage
	for i := range a.Outages {
		o := &a.Outages[i]
		if o.At.Add(outageStays).Before(v.Now) || len(o.Spaces) == 0 {
			continue
		}
		first := o.Spaces[0].Drill
		l := outageLine{at: o.At, When: w.clock(o.At), Who: phrase.Stop(phrase.Capital(tie(first.Who)))}
		if date := w.Evening(o.At); date != night {
			night = date
			if day, err := time.ParseInLocation(time.DateOnly, date, w.Zone); err == nil {
				l.Night = "In the night of " + day.Format("Monday 2 January")
			}
		}
		l.Sum = fmt.Sprintf("%s first, %s; about %s lost", o.Spaces[0].Space, soonest(first.Early), w.Amount(o.More))
		for _, s := range o.Spaces {
			hit = add(hit, s.Space)
			l.Spaces = append(l.Spaces, hurtLine{s.Space, w.holds(s.Drill), inTwos(a, s.Space)})
		}
		l.Order, l.Later = order(o)
		m.Hours = append(m.Hours, l)
		if worst == nil || o.More > worst.More {
			worst = o
		}
	}
	for _, h := range a.Houses {
		if !slices.Contains(hit, h.Space.Name) {
			apart = append(apart, h.Space.Name)
		}
	}
	if len(apart) > 0 {
		m.Apart = fmt.Sprintf("Heat that does not need the mains: %s.", list(apart, 6))
	}
	m.Line = "Nothing of this plan's heat needs the mains."
	if worst != nil {
		when := w.when(worst.At)
		for i := range m.Hours {
			m.Hours[i].Worst = m.Hours[i].at.Equal(worst.At)
		}
		m.Line = fmt.Sprintf("If the mains fail, %s is the worst hour: about %s lost. %s is hurt first, %s.",
			when, w.Amount(worst.More), worst.Spaces[0].Space, soonest(worst.Spaces[0].Drill.Early))
	}
	for _, b := range a.Standbys {
		m.Backups = append(m.Backups, phrase.Stop(phrase.Capital(b.Say)))
	}
	for _, c := range a.Circuits {
		if len(c.Heaters) > 0 {
			m.Circuits = append(m.Circuits, fmt.Sprintf("%s: %s of %s A, %s.", phrase.Capital(c.Name), amps(c.Amps), amps(c.Limit), list(c.Heaters, 6)))
		}
	}
	return m
}

func amps(x float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", x), ".0") }

// soonest says in how long the first group may be at its limit.
func soonest(minutes float64) string {
	if math.IsInf(minutes, 1) {
		return "none that night in nine cases of ten"
	}
	return "maybe in " + strings.Replace(heating.Minutes(minutes), " ", nbsp, 1)
}

// holds says how long the first group of a space holds, and what it costs.
func (w voice) holds(d *heating.Drill) string {
	if math.IsInf(d.Early, 1) || len(d.Groups) == 0 {
		return "Nothing reaches its limit that night, in nine cases of ten."
	}
	g := d.Groups[0]
	s := fmt.Sprintf("%s may be at its limit in %s", g.Group, heating.Minutes(g.Early))
	if math.IsInf(g.Usual, 1) {
		s += ", usually not that night"
	} else {
		s += ", usually in " + heating.Minutes(g.Usual)
	}
	return fmt.Sprintf("%s. About %s more lost.", s, w.Amount(d.More))
}

// inTwos says how a house is entered when its fire is out or in doubt.
func inTwos(a *plan.Answer, space string) string {
	for _, h := range a.Houses {
		if h.Space.Name == space && h.Opening.NeedsIt {
			return "Two people, air it first. Nobody goes in alone to relight."
		}
	}
	return ""
}

func (w voice) drills(v View) []drillLine {
	var out []drillLine
	for _, h := range v.Answer.Houses {
		for _, d := range h.WorstOut() {
			out = append(out, drillLine{
				Space: h.Space.Name, What: d.What, When: w.when(d.At), Say: w.holds(d), Who: phrase.Stop(phrase.Capital(tie(d.Who))), Door: inTwos(v.Answer, h.Space.Name),
			})
		}
	}
	return out
}

// orderFolded is how many groups of an outage stand unfolded.
const orderFolded = 4

// order names the groups of all spaces, the first at its limit first.
func order(o *heating.Outage) (first, later []string) {
	for i, h := range o.Ranked() {
		line := fmt.Sprintf("%s, %s: %s", h.Space, h.Group, soonest(h.Early))
		if math.IsInf(h.Usual, 1) {
			line += ", usually not that night"
		} else {
			line += ", usually in " + strings.Replace(heating.Minutes(h.Usual), " ", nbsp, 1)
		}
		if i < orderFolded {
			first = append(first, line)
		} else {
			later = append(later, line)
		}
	}
	return first, later
}

// hands are the names of those who may tick: the crew of the plan's jobs.
func (v View) hands() []string {
	var out []string
	for _, j := range v.Answer.Plan.Jobs {
		for _, p := range j.People {
			out = add(out, p)
		}
	}
	slices.Sort(out)
	return out[:min(len(out), 12)]
}
