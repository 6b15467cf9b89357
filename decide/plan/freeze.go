package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/fasten"
	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/morning"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/sun"
)

// Freeze is a coming freeze of one site: what [Make] plans for.
type Freeze struct {
	Scene   *night.Scene
	Members []weather.Series // complete, as [weather.Ensemble] gives them
	Issued  time.Time
	Now     time.Time
	Seed    uint64
	Draws   int // default 24
	Limits  Limits
	Bounds  Bounds
	Assumed []string // what the readers and the site file assumed, passed through

	// Full looks at every way under every draw; else only what may win
	Full bool
	Kept *night.Kept // what plans before have worked out; nil: nothing

	Before *Plan  // the plan before, of the same freeze; nil: none
	Done   []Done // jobs that are ticked as done

	Reports []Report // what else is said of the work

	carried *carrying     // ways with groups carried away
	around  *night.Around // open ground under each draw
	few     []int         // draws that stand for all; nil: all do
}

// Answer is a plan with what it was made from, for pages and checks.
type Answer struct {
	Plan   Plan
	Spaces []SpaceAnswer
	From   time.Time // the span looked at
	To     time.Time
	Freeze bool  // false: no night of the span comes near freezing
	First  int   // > 0: only a first look, made from so many draws
	Facts  Facts // what the choice was made from, for checking it with another solver

	SetPoints []SetPoints // of heated houses, by the odds of their groups

	Houses   []*heating.House // heated ones, as chosen
	Outages  []heating.Outage // the mains out, hour by hour of the night that decides
	Standbys []heating.Standby
	Circuits []heating.CircuitLoad
	Holds    []fasten.Hold // what holds the covers of this plan down
	Cautions []string      // each once, the deadliest first
}

// SpaceAnswer is one space: everything looked at, and what was chosen.
type SpaceAnswer struct {
	Outlook *night.Outlook
	Chosen  int            // index in Outlook.Options
	House   *heating.House // when it is heated
	Morning *morning.Space // the coming day, when it lies under something

	SetPoints *SetPoints // when it has a thermostat
}

// Horizon and thresholds of a freeze. Judgement.
const (
	longestFreeze = 4                // nights planned at once
	lookAhead     = 6 * 24           // hours searched for the first cold night
	nearFreezingC = 2.0              // a night counts when one draw in ten has the screen below this
	defaultDraws  = 24               // draws of weather and space together
	minuteCost    = 0.25             // one person-minute, in the site's money
	wearPerM2     = 0.01             // wear of 1 m2 of cloth for one freeze, in the site's money
	hemDrapeM     = 0.3              // cloth lying on the ground each side [m]
	windyMS       = 8.0              // gust that makes covering slow [m/s]
	workBefore    = 6 * time.Hour    // work starts at most this long before dark
	sheetBefore   = 3 * time.Hour    // sheets go on at most this long before dark: the sun's heat comes first
	lateWork      = 90 * time.Minute // after dark, work not done by then comes too late to help
	roughPlantM   = 0.3              // plants under a touching cloth stand about this high [m]
)

// build makes the plan from the facts and notes what was chosen.
func (a *Answer) build(f Freeze, facts Facts) error {
	before, done := f.followed()
	facts = facts.after(before, done, f.voice(), f.uncover)
	p, err := Build(facts, f.Limits, f.Bounds)
	if err != nil {
		return err
	}
	a.Plan, a.Facts = p, facts
	for i := range a.Spaces {
		a.Spaces[i].Chosen = chosen(&p, a.Spaces[i].Outlook)
	}
	return nil
}

// chosen finds the option the plan took for a space.
func chosen(p *Plan, o *night.Outlook) int {
	for _, n := range p.Nights {
		for _, s := range n.Spaces {
			if s.Space != o.Space.Name || len(s.Chosen) == 0 {
				continue
			}
			for k := range o.Options {
				if o.Options[k].Protection.Key == s.Chosen[0].Option {
					return k
				}
			}
		}
	}
	return 0
}

// span finds the freeze: from now to the noon after the last of the cold nights
// that follow each other, at most four; the next night when none is cold.
func (f *Freeze) span() (from, to time.Time, cold bool, err error) {
	zone := f.zone()
	last := f.Members[0].Rows[len(f.Members[0].Rows)-1].Time
	from = f.Now.Truncate(time.Hour)
	if h := from.In(zone).Hour(); h >= 9 && h < 12 {
		from = noonAfter(from, zone) // the tail of the night that is over is none of this plan's
	}
	if first := f.Members[0].Rows[0].Time; from.Before(first) {
		from = first
	}
	if !last.After(from.Add(6 * time.Hour)) {
		return from, last, false, fmt.Errorf("the forecast ends %s, before the next night is over; fetch a newer one", last.In(zone).Format("Mon 2 Jan 15:04"))
	}
	noon := noonAfter(from, zone)
	to = noon
	started, nights := false, 0
	for k := 0; k < lookAhead/24 && noon.Before(last.Add(12*time.Hour)); k++ {
		begin := noon.AddDate(0, 0, -1)
		c := f.coldNight(begin, noon)
		switch {
		case c && !started:
			started, cold, to = true, true, noon
		case c:
			to = noon
		case started:
			return from, earliest(to, last), cold, nil
		}
		if c {
			nights++
			if nights == longestFreeze {
				break
			}
		}
		noon = noon.AddDate(0, 0, 1)
	}
	return from, earliest(to, last), cold, nil
}

// coldNight tells whether one member in ten has the screen near freezing.
func (f *Freeze) coldNight(from, to time.Time) bool {
	n := 0
	for _, m := range f.Members {
		for _, r := range m.Rows {
			if !r.Time.Before(from) && r.Time.Before(to) && r.AirC < nearFreezingC {
				n++
				break
			}
		}
	}
	return float64(n) >= 0.1*float64(len(f.Members)) && n > 0
}

func (f *Freeze) zone() *time.Location {
	if z := f.Scene.Site.Zone; z != nil {
		return z
	}
	return time.UTC
}

func noonAfter(t time.Time, zone *time.Location) time.Time {
	l := t.In(zone)
	noon := time.Date(l.Year(), l.Month(), l.Day(), 12, 0, 0, 0, zone)
	if !noon.After(l) {
		noon = noon.AddDate(0, 0, 1)
	}
	return noon
}

// dusks are the sunsets of the evenings still ahead in the span, at least one.
func (f *Freeze) dusks(from, to time.Time) []time.Time {
	s := f.Scene.Site
	p := sun.Place{LatDeg: s.LatDeg, LonDeg: s.LonDeg, ElevM: s.ElevationM}
	var out []time.Time
	if f.dark(p) {
		out = append(out, f.Now.Add(lateWork)) // the night has begun: what can still be done, now
	}
	for d := range lookAhead / 24 {
		day := from.In(f.zone()).AddDate(0, 0, d)
		_, _, set, kind := sun.RiseSet(day, p)
		if kind != sun.Normal || !set.After(f.Now.Add(30*time.Minute)) {
			continue
		}
		if len(out) > 0 && set.After(to) {
			break
		}
		out = append(out, set.Truncate(time.Minute))
	}
	if len(out) == 0 {
		out = append(out, from.Add(4*time.Hour)) // no sunset at this latitude
	}
	return out
}

// dark tells whether the sun is down now.
func (f *Freeze) dark(p sun.Place) bool {
	rise, _, set, kind := sun.RiseSet(f.Now.In(f.zone()), p)
	return kind == sun.Normal && (f.Now.Before(rise) || !f.Now.Before(set))
}

// addNights sorts a space's outcomes into the nights of the document.
func addNights(all []NightFacts, space string, o *night.Outlook, dusk time.Time) []NightFacts {
	for k := range o.Options {
		r := &o.Options[k]
		if len(r.Cells) == 0 {
			continue
		}
		for n := range r.Cells[0].Nights {
			date := r.Cells[0].Nights[n].Date
			i := slices.IndexFunc(all, func(f NightFacts) bool { return f.Date == date })
			if i < 0 {
				all = append(all, NightFacts{Date: date, Outcomes: map[string]map[string]Outcome{}})
				i = len(all) - 1
			}
			if all[i].Outcomes[space] == nil {
				all[i].Outcomes[space] = map[string]Outcome{}
			}
			all[i].Outcomes[space][r.Protection.Key] = outcome(o, r, n, dusk)
		}
	}
	slices.SortFunc(all, func(a, b NightFacts) int { return strings.Compare(a.Date, b.Date) })
	return all
}

func outcome(o *night.Outlook, r *night.Result, n int, dusk time.Time) Outcome {
	out := Outcome{From: dusk, To: o.To}
	for _, c := range r.Cells {
		if n >= len(c.Nights) {
			continue
		}
		for t, class := range night.Classes() {
			b := c.Nights[n].Min[t]
			if math.IsNaN(b.P50) || math.IsInf(b.P50, 0) {
				continue // nobody in this space has that tissue
			}
			out.Cells = append(out.Cells, CellNight{Cell: c.Shape.Name, Class: string(class), MinC: Band(b), At: c.Nights[n].At[t]})
		}
	}
	for g := range o.Stocks {
		d := r.Odds[g]
		out.Groups = append(out.Groups, GroupOdds{Group: o.Stocks[g].Name, PUnsaleable: d.Unsaleable, PDead: d.Dead, ExpectedLoss: d.Loss})
	}
	return out
}

// limitsAssumed says for which groups the limits are a guess.
func limitsAssumed(spaces []SpaceAnswer) []string {
	var out []string
	for _, s := range spaces {
		for _, g := range s.Outlook.Stocks {
			for _, w := range g.Limits.Assumed {
				line := fmt.Sprintf("%s, %s: %s", s.Outlook.Space.Name, g.Name, w)
				if !slices.Contains(out, line) {
					out = append(out, line)
				}
			}
		}
	}
	return out
}

func currency(word string) string {
	switch strings.ToLower(word) {
	case "dollar", "dollars":
		return "$"
	case "euro", "euros":
		return "€"
	case "pound", "pounds":
		return "£"
	}
	return ""
}
