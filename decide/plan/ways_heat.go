package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/burner"
)

// Work and choices of heating. Judgement.
const (
	openMinutes  = 20.0 // cut and wedge two openings, one person
	lightMinutes = 10.0 // light a heater and watch its flame, each of two people
	dialMinutes  = 3.0  // set a thermostat
	lightBefore  = 90 * time.Minute
)

// triedC are the set-points tried beside the heaters' own [°C]: frost-free, cool,
// tender, tropical.
var triedC = [...]float64{2, 5, 8, 12}

// fired is one way to run the heaters of a space.
type fired struct {
	key, words string
	firing     *night.Firing
	work       func(w *way)
	nowhere    bool // its openings would take too much of the wall: not offered
}

// heatWays gives every way the heat that runs by itself, and adds the ways to run
// the heaters otherwise: alone, with one layer of each cloth, and with the parked cover
// let down, which no flame without a flue burns under; not with levers pulled, which get
// the heat that runs by itself.
func (f *Freeze) heatWays(sp *site.Space, ways []way, dusks []time.Time) []way {
	lit := f.Scene.HeatersOf(sp)
	if len(lit) == 0 {
		return ways
	}
	auto := f.Scene.Automatic(sp)
	for i := range ways {
		ways[i].protection.Firing = auto
	}
	if auto != nil {
		ways[0].protection.Words = "leave it as it is, the heat at " + f.setWords(auto)
	}
	out := ways
	for _, h := range f.firings(sp, lit, auto, dusks) {
		if h.nowhere {
			continue
		}
		for k, w := range ways {
			if (w.hung || len(w.needs.Covers) > 0) && flames(h.firing) {
				continue // nothing is let down over a fire that breathes the house, and no cloth laid beside it
			}
			if k > 0 && !w.hung && (w.lever || len(w.needs.Covers) != 1 || w.needs.Covers[0].Layers != 1 || len(w.needs.Cups) > 0) {
				continue
			}
			out = append(out, h.with(w, k == 0))
		}
	}
	return out
}

// flames tells whether something in a firing burns without a flue.
func flames(g *night.Firing) bool {
	return g != nil && slices.ContainsFunc(g.Lit, func(l night.Lit) bool { return l.Heater.Unvented() })
}

// with is a way with its heaters run otherwise.
func (h *fired) with(w way, alone bool) way {
	w.protection.Firing = h.firing
	w.tasks, w.later = slices.Clone(w.tasks), slices.Clone(w.later)
	if alone {
		w.protection.Key, w.protection.Words = h.key, h.words
	} else {
		w.protection.Key += "+" + h.key
		w.protection.Words += ", " + h.words
	}
	h.work(&w)
	return w
}

// firings lists the ways to run the heaters of a space other than what runs by
// itself: other set-points, off, and what must be lit by hand.
func (f *Freeze) firings(sp *site.Space, lit []*site.Heater, auto *night.Firing, dusks []time.Time) []fired {
	var out []fired
	own := math.Inf(-1)
	if auto != nil {
		for i := range auto.Lit {
			own = math.Max(own, auto.Lit[i].SetpointC)
		}
		out = append(out, f.dial(sp, nil, "heat-off", "the heat turned off", offTask, dusks))
		for _, c := range triedC {
			if math.Abs(c-own) < 1 {
				continue
			}
			g := night.Firing{Lit: slices.Clone(auto.Lit)}
			for i := range g.Lit {
				g.Lit[i].SetpointC = c
			}
			out = append(out, f.dial(sp, &g, fmt.Sprintf("heat-at-%.0f", c), "the heat at "+f.voice().Degrees(c), f.dialWords(c), dusks))
		}
	}
	var byHand []*site.Heater
	for _, h := range lit {
		if auto == nil || !slices.ContainsFunc(auto.Lit, func(l night.Lit) bool { return l.Heater == h }) {
			byHand = append(byHand, h)
		}
	}
	if len(byHand) == 0 {
		return out
	}
	seen := map[float64]bool{}
	for _, c := range slices.Concat([]float64{math.NaN()}, triedC[:]) {
		g := night.Firing{}
		if auto != nil {
			g.Lit = slices.Clone(auto.Lit)
		}
		dials := false
		for _, h := range byHand {
			set := math.Inf(1)
			if h.SetpointC != nil {
				set = *h.SetpointC
				if !math.IsNaN(c) {
					set, dials = c, true
				}
				dials = dials || math.IsNaN(c)
			}
			g.Lit = append(g.Lit, f.Scene.Light(h, set))
		}
		at := g.Lit[len(g.Lit)-1].SetpointC
		if !math.IsNaN(c) && !dials || seen[math.Round(at)] {
			continue // no thermostat to set, or tried
		}
		seen[math.Round(at)] = true
		out = append(out, f.light(sp, g, byHand, at, dusks))
	}
	return out
}

// dial turns what runs by itself to another set-point.
func (f *Freeze) dial(sp *site.Space, g *night.Firing, key, words, what string, dusks []time.Time) fired {
	return fired{key: key, words: words, firing: g, work: func(w *way) {
		f.turn(w, sp.Name, what, dusks[0])
		f.turnHome(w, sp, g, dusks)
	}}
}

// turn books the walk to the thermostats of a space, in place of one that is booked
// already.
func (f *Freeze) turn(w *way, space, what string, dusk time.Time) {
	w.tasks = slices.DeleteFunc(w.tasks, func(t Task) bool {
		if !strings.HasPrefix(t.What, dialTask) && !strings.HasPrefix(t.What, offTask) {
			return false
		}
		w.minutes -= t.Minutes * t.People
		w.cost -= minuteCost * float64(t.Minutes*t.People)
		return true
	})
	w.add(Task{What: what, Space: space}, 1, dialMinutes+f.Scene.Site.Labour.WalkPerSpace, dusk)
}

// SeeOpenings is the job that looks at air openings, where the air openings are there already.
const SeeOpenings = "see that both air openings are open, and wedge them"

// dialTask and offTask begin the jobs at a thermostat.
const (
	dialTask = "set the thermostats to "
	offTask  = "turn the heat off"
)

func (f *Freeze) dialWords(c float64) string { return dialTask + f.voice().HalfDegrees(c) }

// light lights by hand what does not run by itself, with the opening that the flames
// need: no plan burns without a flue in a shut house.
func (f *Freeze) light(sp *site.Space, g night.Firing, byHand []*site.Heater, setC float64, dusks []time.Time) fired {
	v := f.voice()
	o := heating.OpeningFor(sp, g.Lit, f.Scene.Site.ElevationM, v)
	if o.NeedsIt {
		g.OpeningM2 = o.CutM2
	}
	var names []string
	people := 1
	for _, h := range byHand {
		names = append(names, h.Name)
		if h.Unvented() {
			people = 2
		}
	}
	key, words := "lit", phrase.List(names)+" lit"
	if !math.IsInf(setC, 1) {
		key, words = fmt.Sprintf("lit-at-%.0f", setC), words+" at "+v.Degrees(setC)
	}
	if o.NeedsIt {
		words += ", two air openings"
	}
	walk := f.Scene.Site.Labour.WalkPerSpace
	return fired{key: key, words: words, firing: &g, nowhere: o.TooLarge, work: func(w *way) {
		fire := Task{
			What: "light " + phrase.List(names) + ": steady blue flame, nothing near that burns, alarm for carbon monoxide on", Space: sp.Name,
			Earliest: dusks[0].Add(-lightBefore),
		}
		burn := float64(people) * (lightMinutes + walk)
		if o.CutM2 > 0 { // no flame before its air
			fire.After = o.Job(v)
			w.add(Task{What: o.Job(v), Space: sp.Name}, 1, openMinutes+walk, dusks[0].Add(-time.Duration(burn/float64(people)+1)*time.Minute))
		}
		if o.NeedsIt && o.CutM2 <= 0 {
			fire.After = SeeOpenings
			w.add(Task{What: SeeOpenings, Space: sp.Name}, 1, dialMinutes+walk, dusks[0].Add(-time.Duration(burn/float64(people)+1)*time.Minute))
		}
		w.add(fire, people, burn, dusks[0])
		f.lightAgain(w, fire, o.NeedsIt, people, burn, dusks)
		f.everyMorning(w, morningShut+phrase.List(names), sp.Name, 1, dialMinutes+walk, dusks, false)
		if o.CutM2 > 0 {
			n := len(w.later)
			f.everyMorning(w, closeOpening+", once the fire is out and the house is aired", sp.Name, 1, closeMinutes+walk, dusks, true)
			for k := range w.later[n:] { // no opening is closed on a flame
				w.later[n+k].After = morningShut + phrase.List(names)
			}
		}
	}}
}

// lightAgain lights it on the later evenings too, each time after somebody has seen that
// the openings are open still: doors are shut and wedges taken out by day.
func (f *Freeze) lightAgain(w *way, fire Task, openings bool, people int, burn float64, dusks []time.Time) {
	from := fire.Earliest.Sub(dusks[0])
	for k := 1; k < len(dusks); k++ {
		if openings {
			last := time.Duration(math.Ceil(tiredTimes*burn/float64(people))+1) * time.Minute
			f.onEvening(w, Task{What: SeeOpenings, Space: fire.Space}, dusks, k, from, -last, dialMinutes+f.Scene.Site.Labour.WalkPerSpace)
			fire.After = SeeOpenings
		}
		fire.People, fire.Deadline = people, dusks[0]
		f.onEvening(w, fire, dusks, k, from, 0, burn)
	}
}

func (f *Freeze) voice() night.Voice { return night.VoiceOf(f.Scene.Site) }

// setWords says at what the heat of a firing is set.
func (f *Freeze) setWords(g *night.Firing) string {
	var out []string
	for i := range g.Lit {
		if w := f.voice().Degrees(g.Lit[i].SetpointC); !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	return phrase.List(out)
}

// burnCost is what the fires of an option cost once they are lit: fuel, mean over the
// draws, and the rounds that keep them alight, those of the night counted as sleep.
func (f *Freeze) burnCost(p *night.Protection, h *night.HeatOutlook) float64 {
	if h == nil {
		return 0
	}
	sum := heating.SleepOf(f.Scene.Site, p.Firing.Lit, h, minuteCost, f.voice()).Cost
	for l := range h.Lines {
		price, _ := heating.Price(f.Scene.Site, p.Firing.Lit[l].Heater)
		sum += price * h.Lines[l].Mean
	}
	return sum
}

// heatAssumed says which heaters are not computed, and which cylinders give gas by
// another's table.
func heatAssumed(sc *night.Scene) []string {
	var out []string
	for _, c := range sc.Site.Cylinders {
		if _, how := burner.MaxDraw(c.HoldsKg, c.HoldsKg, 0); how&burner.Scaled != 0 {
			out = append(out, fmt.Sprintf("%s: what they give in the cold is scaled from the table of a 100-lb (45 kg) propane cylinder, by the wall the liquid wets", c.Name))
		}
	}
	for i := range sc.Site.Heaters {
		h := &sc.Site.Heaters[i]
		sp := sc.Site.Space(h.Space)
		switch {
		case sp == nil && (h.Vented || h.Kind == site.HotWater):
			out = append(out, fmt.Sprintf("heater %s has a flue or hangs on pipes and stands in no space: it is in no plan until a space is written for it", h.Name))
		case sp == nil: // see bringWays
		case sp.House == nil:
			out = append(out, fmt.Sprintf("heater %s stands in the open, in %s: what it warms there is not computed", h.Name, sp.Name))
		case h.Unvented() && heating.OpeningFor(sp, []night.Lit{sc.Light(h, math.Inf(1))}, sc.Site.ElevationM, night.VoiceOf(sc.Site)).TooLarge:
			out = append(out, fmt.Sprintf("heater %s: the openings that its flame wants would take more than a quarter of an end wall of %s: no plan lights it there; a smaller one, or one with a flue, belongs there", h.Name, sp.Name))
		case !slices.Contains(sc.HeatersOf(sp), h):
			out = append(out, fmt.Sprintf("heater %s: %s has more lines of heaters than are computed; join those with one thermostat", h.Name, sp.Name))
		}
	}
	return out
}
