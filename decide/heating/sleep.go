package heating

import (
	"fmt"
	"math"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/burner"
)

// What a walk in the night takes of somebody who sleeps. Judgement.
const (
	bedHour    = 22   // from 22:00
	riseHour   = 6    // to 06:00 people sleep
	nightTimes = 2.0  // a minute then counts as so many of the day
	dressMin   = 10.0 // up, dressed and out, and back
	changeMin  = 10.0 // hang on another cylinder, or fill a tank once it is cool
	turnMin    = 3.0  // turn over to the next
	relightMin = 20.0 // air the house, light, watch the flame

	plannedOdds = 0.1 // a round that is needed as often as that is planned, and walked each time
)

// Sleep is what the rounds of a house cost those who walk them.
type Sleep struct {
	Wakes   float64   // times that somebody is got up between 22:00 and 06:00, expected
	EachH   float64   // hours awake in those hours, of each who goes [h]
	PersonH float64   // of all of them together [h]
	People  int       // who go together, at most
	Cost    float64   // of all rounds, night minutes counted twice [money]
	First   time.Time // usual moment of the first between 22:00 and 06:00; zero: none
	Say     string    // "" where nobody is got up
}

// SleepOf adds up the walks that a firing asks for: cylinders to change or to turn over
// to, and a flame that its low-oxygen device has shut. A walk that one freeze in ten
// needs is planned and walked; a rarer one counts by its odds. minuteCost is what a
// person-minute of the day counts [money].
func SleepOf(s *site.Site, lit []night.Lit, heat *night.HeatOutlook, minuteCost float64, v night.Voice) Sleep {
	var z Sleep
	if heat == nil {
		return z
	}
	add := func(m night.Moment, at time.Time, minutes float64, people int) {
		odds := m.Odds
		if odds <= 0 {
			return
		}
		if odds >= plannedOdds {
			odds = 1
		}
		each, times := minutes+s.Labour.WalkPerSpace, 1.0
		if asleep(s, at) {
			if _, on := shiftsAt(s, at); on < people { // who is on shift is up anyway
				each += dressMin
				z.Wakes += odds
			}
			times = nightTimes
			z.EachH += odds * each / 60
			z.PersonH += odds * each / 60 * float64(people)
			z.People = max(z.People, people)
			if usual := m.Usual; z.First.IsZero() || usual.Before(z.First) {
				z.First = usual
			}
		}
		z.Cost += odds * times * each * float64(people) * minuteCost
	}
	for l := range min(len(lit), len(heat.Lines)) {
		x, people := &heat.Lines[l], 1
		if lit[l].Heater.Unvented() {
			people = 2
		}
		for n, m := range x.Swap {
			minutes := changeMin
			if c := lit[l].Store; c != nil && turnsOver(c, n) {
				minutes = turnMin
			}
			add(m, m.Early.Add(-roundBefore), minutes, people)
		}
		add(x.Trip, x.Trip.Usual, relightMin, people)
	}
	z.Say = z.speak(v)
	return z
}

// turnsOver tells whether the n-th visit only turns over to a cylinder that is connected
// already.
func turnsOver(c *site.Cylinders, n int) bool {
	full := 0
	for _, kg := range c.LeftKg {
		if kg > 0.1*c.HoldsKg {
			full++
		}
	}
	f, _ := burner.Find(c.Fuel)
	return f.Vapour && !c.Together && n+1 < full
}

// asleep tells whether a moment lies between 22:00 and 06:00.
func asleep(s *site.Site, at time.Time) bool {
	if s.Zone != nil {
		at = at.In(s.Zone)
	}
	return at.Hour() >= bedHour || at.Hour() < riseHour
}

func (z *Sleep) speak(v night.Voice) string {
	if z.PersonH < 0.05 {
		return ""
	}
	who := "one person"
	if z.People > 1 {
		who = "each of two people"
	}
	times := "once"
	switch n := math.Round(z.Wakes); {
	case n > 1:
		times = fmt.Sprintf("%.0f times", n)
	case z.Wakes < 0.5:
		times = "once, " + night.Chance(z.Wakes, 2) + ","
	}
	up := "got up " + times
	if z.Wakes < 0.005 {
		up = "on shift"
	}
	return fmt.Sprintf("over the freeze %s is %s between %s and %s, usually first at %s, and at it for %s; counted as %s, a minute of the night as two of the day",
		who, up, clockAt(v, bedHour), clockAt(v, riseHour), v.Clock(z.First), awake(z.EachH), v.Amount(z.Cost))
}

// clockAt writes a full hour.
func clockAt(v night.Voice, hour int) string {
	if v.Units == measure.Customary {
		return fmt.Sprintf("%d %s", (hour+11)%12+1, map[bool]string{true: "p.m.", false: "a.m."}[hour >= 12])
	}
	return fmt.Sprintf("%02d:00", hour)
}

// awake writes hours: "35 min", "2.5 h".
func awake(h float64) string {
	if h < 0.995 {
		return fmt.Sprintf("%.0f min", 5*math.Ceil(h*12-1e-9))
	}
	return fmt.Sprintf("%.1f h", h)
}

// trade holds the opening against the house shut: what its draught costs, and what a
// trip costs in plants and in sleep. "" where nothing would trip.
func (h *House) trade(v night.Voice) string {
	var trip night.Moment
	if h.Sealed == nil {
		return ""
	}
	for _, l := range h.Sealed.Lines {
		if l.Trip.Odds > trip.Odds {
			trip = l.Trip
		}
	}
	if trip.Odds == 0 {
		return ""
	}
	return fmt.Sprintf("the openings cost %s of fuel; shut, the low-oxygen device trips %s, which costs %s in plants with nobody there, or gets two people up about %s to air and relight",
		v.Cents(h.OpeningCost), night.Chance(trip.Odds, nightsIn(h.Sealed)), v.Cents(math.Max(0, h.SealedLoss-h.Loss)), v.Clock(trip.Usual))
}

func nightsIn(h *night.HeatOutlook) int {
	if h == nil || len(h.Lines) == 0 {
		return 0
	}
	return len(h.Lines[0].Nights)
}
