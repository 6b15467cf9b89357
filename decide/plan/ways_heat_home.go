package plan

import (
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
)

// turnHome books the walk to the thermostats of a space on the morning after the last
// night, where that night leaves them otherwise than they run by themselves; g is nil
// where the heat is off. It takes the place of one that is booked already.
func (f *Freeze) turnHome(w *way, sp *site.Space, g *night.Firing, dusks []time.Time) {
	home := func(t Task) bool { return strings.HasPrefix(t.What, morningDial) }
	for _, t := range w.later {
		if home(t) {
			w.cost -= minuteCost * float64(t.Minutes*max(1, t.People))
		}
	}
	w.later = slices.DeleteFunc(slices.Clone(w.later), home)
	auto := f.Scene.Automatic(sp)
	if auto == nil || !slices.ContainsFunc(auto.Lit, hasDial) {
		return // lit by hand, and shut off in the morning
	}
	if g != nil && f.homeAt(auto, g, f.eveningOf(dusks[len(dusks)-1])) {
		return
	}
	f.everyMorning(w, morningDial+f.setWords(auto), sp.Name, 1, dialMinutes+f.Scene.Site.Labour.WalkPerSpace, dusks, true)
}

// homeAt tells whether what runs by itself is set in one night as it always is.
func (f *Freeze) homeAt(auto, g *night.Firing, date string) bool {
	for i := range auto.Lit {
		k := slices.IndexFunc(g.Lit, func(l night.Lit) bool { return l.Heater == auto.Lit[i].Heater })
		if k < 0 {
			return false
		}
		at := g.Lit[k].SetpointC
		if c, ok := g.Lit[k].Nights[date]; ok {
			at = c
		}
		if hasDial(auto.Lit[i]) && math.Abs(at-auto.Lit[i].SetpointC) > 1e-9 {
			return false
		}
	}
	return true
}
