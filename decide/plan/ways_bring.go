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
	"example.org/coldnight/physics/heat"
)

// Carrying heaters. Judgement.
const (
	bringTask    = "bring "
	bringMinutes = 8.0    // fetch it, set it level and clear of what burns, each of those who carry
	heavyW       = 3000.0 // above this, and every one with a cylinder, two carry it [W]
	standingM    = 1.8    // a flame is carried only into a house in which people stand [m]
)

// bringWays adds to the ways of a house the heaters that can be carried there, one of
// each kind at a time, beside the heat that runs by itself. A flame gets the openings
// that [heating.OpeningFor] asks, as jobs before it is lit, and never a cloth: it is
// looked at alone. What has a flue, or hangs on pipes, stays where it is.
func (f *Freeze) bringWays(sp *site.Space, ways []way, dusks []time.Time) []way {
	auto := f.Scene.Automatic(sp)
	for i := range f.Scene.Site.Heaters {
		h := &f.Scene.Site.Heaters[i]
		if !f.mayBring(h, sp) || auto != nil && len(auto.Lit) >= heat.MaxHeaters {
			continue
		}
		one := *h
		one.Count, one.Space = 1, sp.Name
		if w, ok := f.brought(sp, &ways[0], &one, auto, dusks); ok {
			ways = append(ways, w)
		}
	}
	return ways
}

// mayBring tells whether a heater may be carried into a space.
func (f *Freeze) mayBring(h *site.Heater, sp *site.Space) bool {
	switch {
	case !h.Portable || sp.House == nil || f.Scene.Site.Space(h.Space) == sp || h.InputW <= 0:
		return false
	case h.Vented || h.Kind == site.HotWater:
		return false
	case h.Burns():
		return sp.HeightM >= standingM
	}
	return true
}

// brought is the way that carries one heater into a house and runs it there.
func (f *Freeze) brought(sp *site.Space, bare *way, h *site.Heater, auto *night.Firing, dusks []time.Time) (way, bool) {
	g := night.Firing{}
	if auto != nil {
		g.Lit = slices.Clone(auto.Lit)
	}
	set := math.Inf(1)
	if h.SetpointC != nil {
		set = *h.SetpointC
	}
	g.Lit = append(g.Lit, f.Scene.Light(h, set))
	walk := f.Scene.Site.Labour.WalkPerSpace
	people := 1
	if h.Burns() || h.InputW > heavyW {
		people = 2
	}
	move := Task{What: bringTask + h.Name + " here", Space: sp.Name}
	if h.Burns() {
		move.What += ", set it level, nothing that burns within reach of its heat"
		run := f.light(sp, g, []*site.Heater{h}, set, dusks)
		if run.nowhere {
			return way{}, false
		}
		run.key, run.words = "carry-"+slug(h.Name), h.Name+" carried here, "+run.words
		w := run.with(*bare, true)
		burn := 0
		for _, t := range w.tasks {
			burn = max(burn, t.Minutes)
		}
		// It stands there before the openings are seen to and it is lit.
		w.add(move, people, float64(people)*(bringMinutes+walk), dusks[0].Add(-time.Duration(burn+1)*time.Minute))
		for k := range w.tasks {
			t := &w.tasks[k]
			if t.After == "" && (strings.HasPrefix(t.What, lightTask) || strings.HasPrefix(t.What, cutTask) || t.What == SeeOpenings) {
				t.After = move.What
			}
		}
		return w, true
	}
	words := h.Name + " carried here"
	if !math.IsInf(set, 1) {
		words += " at " + f.voice().Degrees(set)
	}
	move.What += " and plug it in: dry, off the ground, nothing hung over it"
	run := fired{key: "carry-" + slug(h.Name), words: words, firing: &g, work: func(w *way) {
		w.add(move, people, float64(people)*(bringMinutes+walk), dusks[0])
		if h.SetpointC == nil { // switched off by day and on again
			w.cost += minuteCost * (dialMinutes + walk) * float64(2*len(dusks)-1)
		}
	}}
	return run.with(*bare, true), true
}

// broughtName is the heater that a job carries, or "".
func broughtName(what string) string {
	rest, ok := strings.CutPrefix(what, bringTask)
	if !ok {
		return ""
	}
	name, _, _ := strings.Cut(rest, " here")
	return name
}

// bringAssumed says what carrying rests on, where anything can be carried.
func bringAssumed(s *site.Site) []string {
	var names []string
	for i := range s.Heaters {
		if h := &s.Heaters[i]; h.Portable {
			if h.Vented || h.Kind == site.HotWater {
				continue
			}
			names = append(names, h.Name)
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("%s: carried by hand to houses only, a flame only into one at least %s high and never together with cloth laid inside; what is plugged in there is taken to hang on the circuit written for it (judgement)",
		phrase.List(names), meters(standingM)+" m")}
}
