package heating

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
)

// failing is one run with something out.
type failing struct {
	heater  string // "" for the mains
	at      time.Time
	night   *Night
	option  int
	running int // the same night with everything running
}

// Drill is one failure played through.
type Drill struct {
	Night   string // local date of its evening
	Decides bool   // that night comes closest to harm
	What    string // "the big gas heater out"
	At      time.Time
	Heater  string // "" for the mains
	Loss    float64
	More    float64 // expected loss beyond that with everything running
	Groups  []Hold  // the quickest first
	// Early is the least of the groups' hold times [min]: one night in ten is quicker;
	// +Inf when none gets to its limit.
	Early float64
	Who   string // who can be there
	Say   string
}

// Hold is how long one group holds.
type Hold struct {
	Group        string
	Odds         float64 // that it gets to its limit before the night is over
	Early, Usual float64 // minutes; +Inf: does not get there
	MinC         night.Band
	Unsaleable   float64 // odds of harm
}

// drill reads one run.
func (a *Ask) drill(o *night.Outlook, x failing) Drill {
	r, running := &o.Options[x.option], &o.Options[x.running]
	d := Drill{Night: x.night.Date, Decides: x.night.Decides, At: x.at, Heater: x.heater, Loss: r.Loss, More: math.Max(0, r.Loss-running.Loss), Early: math.Inf(1)}
	d.What = "the mains out"
	if x.heater != "" {
		d.What = x.heater + " out"
	}
	for g := range o.Stocks {
		q := r.Reach[g]
		d.Groups = append(d.Groups, Hold{
			Group: o.Stocks[g].Name, Odds: q.Odds, Early: q.Early, Usual: q.Usual, MinC: q.MinC, Unsaleable: r.Odds[g].Unsaleable,
		})
		d.Early = math.Min(d.Early, q.Early)
	}
	slices.SortStableFunc(d.Groups, func(p, q Hold) int {
		return cmp.Or(cmp.Compare(p.Early, q.Early), cmp.Compare(p.Usual, q.Usual), cmp.Compare(q.Odds, p.Odds))
	})
	d.Who = onDuty(a.Scene.Site, x.at, a.Voice)
	if slices.ContainsFunc(a.Chosen.Firing.Lit, func(l night.Lit) bool { return l.Heater.Unvented() }) {
		d.Who += inTwos
	}
	d.Say = a.speak(&d)
	return d
}

// speak says a drill: what, how long it holds, what is lost, who.
func (a *Ask) speak(d *Drill) string {
	s := fmt.Sprintf("%s from %s: ", d.What, a.Voice.Clock(d.At))
	if math.IsInf(d.Early, 1) {
		return s + "nothing reaches its limit that night, in nine nights of ten"
	}
	first := d.Groups[0]
	s += fmt.Sprintf("%s may be at its limit in %s", first.Group, Minutes(first.Early))
	if !math.IsInf(first.Usual, 1) {
		s += ", usually in " + Minutes(first.Usual)
	}
	return s + fmt.Sprintf("; costs about %s more. %s", a.Voice.Amount(d.More), d.Who)
}

// Minutes says a hold time, rounded down: "35 min", "4 h".
func Minutes(m float64) string {
	switch {
	case math.IsInf(m, 1):
		return "no time that night"
	case m < 10:
		return "a few minutes"
	case m < 120:
		return fmt.Sprintf("%.0f min", 5*math.Floor(m/5))
	}
	return fmt.Sprintf("%.0f h", math.Floor(m/60))
}

// inTwos is what a drill adds where a flame burns without a flue.
const inTwos = " Two go, never one alone, and air the house first."

// onDuty says who works at a moment, or that nobody does.
func onDuty(s *site.Site, at time.Time, v night.Voice) string {
	if w := working(s, at, v); w != "" {
		return w
	}
	return "Nobody is on shift then: whoever sleeps nearest has that long, the way included."
}

// working says who is on at a moment and until when; "" for nobody.
func working(s *site.Site, at time.Time, v night.Voice) string {
	if s.Zone != nil {
		at = at.In(s.Zone)
	}
	minute := at.Hour()*60 + at.Minute()
	for _, w := range s.Crew {
		if minute >= w.FromMin && minute < w.ToMin || minute+24*60 < w.ToMin {
			until := v.Clock(at.Add(time.Duration((w.ToMin-minute)%(24*60)) * time.Minute))
			return fmt.Sprintf("%s: on until %s", w.Name, strings.TrimSuffix(until, ".")) + "."
		}
	}
	return ""
}
