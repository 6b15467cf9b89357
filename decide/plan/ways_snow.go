package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// Work on snow. Judgement.
const (
	clearPer100M2 = 40.0 // draw snow off a roof with brooms and ropes from the ground, by its floor [person-min]
	brushPer100M2 = 15.0 // brush snow off 100 m2 of plants [person-min]
	snowWorthM    = 0.02 // less is a dusting [m]
	loadSaidKgM2  = 10.0 // load on a house from which it is spoken of [kg/m2]: 10 cm of bound fresh snow
)

const (
	clearTask = "clear the snow from the roof"
	brushTask = "brush the snow off the plants"
	clearKey  = "snow-cleared"
	brushKey  = "snow-brushed"
)

// brush takes snow off bare plants: what is left on them keeps them warm and dark, and
// presses them down. Both are looked at; leaving it is doing nothing.
func (f *Freeze) brush(sp *site.Space, dusks []time.Time) (lever, bool) {
	if sp.House != nil {
		return lever{}, false
	}
	at, ok := f.snowBy(sp, dusks, func(l night.SnowLies) float64 { return l.OverM })
	if !ok {
		return lever{}, false
	}
	return lever{
		key: brushKey, words: "the snow brushed off the plants", under: bareOnly,
		prepare: func(p *night.Prepared) { p.Brushed = at },
		work: func(w *way) {
			w.add(Task{What: brushTask + " with a soft broom, from below upward; leave what is frozen on", Space: sp.Name, Earliest: at.Add(-workBefore)}, 1,
				brushPer100M2*sp.AreaM2()/100+f.Scene.Site.Labour.WalkPerSpace, at)
		},
	}, true
}

// clearRoof takes snow off a house before dark: left on it, it keeps the house warmer
// and dark, and weighs on it.
func (f *Freeze) clearRoof(sp *site.Space, dusks []time.Time) (lever, bool) {
	if sp.House == nil {
		return lever{}, false
	}
	at, ok := f.snowBy(sp, dusks, func(l night.SnowLies) float64 { return l.RoofM })
	if !ok {
		return lever{}, false
	}
	if over, ok := f.overloaded(sp); ok && over.Before(at) && over.After(f.Now) {
		at = over // before the load passes what the house was built for
	}
	return lever{
		key: clearKey, words: "the snow cleared from the roof",
		prepare: func(p *night.Prepared) { p.Cleared = at },
		work: func(w *way) {
			w.add(f.clearing(sp, at), 2, clearPer100M2*sp.AreaM2()/100+f.Scene.Site.Labour.WalkPerSpace, at)
		},
	}, true
}

// clearing is the job of clearing a roof.
func (f *Freeze) clearing(sp *site.Space, by time.Time) Task {
	return Task{What: clearTask + " with soft brooms and ropes, two people, from outside and from the ground, both sides in turn", Space: sp.Name, Earliest: by.Add(-workBefore)}
}

// snowBy is the first of the evenings of the next two days by which half of the members
// or more have snow worth working on, of those whose dark is ahead.
func (f *Freeze) snowBy(sp *site.Space, dusks []time.Time, of func(night.SnowLies) float64) (time.Time, bool) {
	middle := f.snowQuantile(sp, 0.5, of)
	if middle == nil {
		return time.Time{}, false
	}
	for _, d := range dusks[:min(len(dusks), 2)] {
		for i := len(middle) - 1; i >= 0; i-- {
			if middle[i].at.After(d) {
				continue
			}
			if middle[i].v >= snowWorthM {
				return d, true
			}
			break
		}
	}
	return time.Time{}, false
}

// moment is a value at a time.
type moment struct {
	at time.Time
	v  float64
}

// snowQuantile is a quantile over the members of a quantity of the snow in a space, by
// the hour; nil where no member has snow.
func (f *Freeze) snowQuantile(sp *site.Space, p float64, of func(night.SnowLies) float64) []moment {
	var all [][]night.SnowLies
	rows := math.MaxInt
	for _, m := range f.Members {
		if m.Step > time.Hour {
			m = m.Hourly(f.Scene.Site.LatDeg, f.Scene.Site.LonDeg, f.Scene.Site.ElevationM)
		}
		rows = min(rows, len(m.Rows))
		if l := f.Scene.SnowIn(sp, m); l != nil {
			all = append(all, l)
		}
	}
	if all == nil {
		return nil
	}
	out, v := make([]moment, rows), make([]float64, len(f.Members))
	for i := range out {
		clear(v)
		for k := range all {
			v[k] = of(all[k][i])
		}
		sorted := slices.Sorted(slices.Values(v))
		out[i] = moment{all[0][i].At, night.Quantile(sorted, p)}
	}
	return out
}

func roofKg(l night.SnowLies) float64 { return l.RoofKg }

// overloaded is when the load of snow on a house passes what it was built for, in one
// member of ten; false where it does not, or where no limit is known.
func (f *Freeze) overloaded(sp *site.Space) (time.Time, bool) {
	if sp.House == nil || sp.House.SnowLimitKgM2 <= 0 {
		return time.Time{}, false
	}
	for _, m := range f.snowQuantile(sp, 0.9, roofKg) {
		if m.v >= sp.House.SnowLimitKgM2 {
			return m.at, true
		}
	}
	return time.Time{}, false
}

// roofsToClear is the standing work where a load passes a limit: it is done whatever
// the plan chooses, before the load is there, and before dark.
func (f *Freeze) roofsToClear(dusk time.Time) []Task {
	var out []Task
	for i := range f.Scene.Site.Spaces {
		sp := &f.Scene.Site.Spaces[i]
		over, ok := f.overloaded(sp)
		if !ok {
			continue
		}
		by := dusk
		if over.After(f.Now) && over.Before(dusk) {
			by = over
		}
		t := f.clearing(sp, by)
		t.ID, t.Earliest, t.Deadline = standingKey+"roof "+slug(sp.Name), f.Now, by
		t.People = 2
		t.Minutes = max(int(math.Ceil((clearPer100M2*sp.AreaM2()/100+f.Scene.Site.Labour.WalkPerSpace)/2)), 1)
		t.Why = fmt.Sprintf("one forecast in ten brings more snow than the %s its roof was built for, by %s",
			f.Scene.Site.Units.ArealMass(measure.ArealMass(sp.House.SnowLimitKgM2)), over.In(f.zone()).Format("Mon 15:04"))
		out = append(out, t)
	}
	return out
}

// snowCautions says what snow may lie on each house by the end of the span, never that it
// holds.
func (f *Freeze) snowCautions(a *Answer) []string {
	var out []string
	u := f.Scene.Site.Units
	for i := range f.Scene.Site.Spaces {
		sp := &f.Scene.Site.Spaces[i]
		if sp.House == nil {
			continue
		}
		most := moment{}
		for _, m := range f.snowQuantile(sp, 0.9, roofKg) {
			if !m.at.Before(a.From) && !m.at.After(a.To) && m.v > most.v {
				most = m
			}
		}
		if most.v < loadSaidKgM2 {
			continue
		}
		line := fmt.Sprintf("Snow on %s may weigh %s by %s, more when it gets wet.", sp.Name, u.ArealMass(measure.ArealMass(most.v)), most.at.In(f.zone()).Format("Mon 15:04"))
		switch limit := sp.House.SnowLimitKgM2; {
		case limit > 0 && most.v >= limit:
			line += fmt.Sprintf(" That passes the %s it was built for: nobody goes in, and nobody goes in to prop it.", u.ArealMass(measure.ArealMass(limit)))
		case limit > 0:
			line += fmt.Sprintf(" It was built for %s; wind heaps snow on one side, and a house can fall below that.", u.ArealMass(measure.ArealMass(limit)))
		default:
			line += " What it was built for is not written; its maker or the local code says."
		}
		out = append(out, line+" Clear it from outside and from the ground, never from on the roof or under it, no ladders on ice. Heat inside melts it from below where that is safe for the house.")
	}
	return out
}

// snowAssumed says what the snow in a plan rests on; nothing without snow.
func (f *Freeze) snowAssumed() []string {
	if !slices.ContainsFunc(f.Members, func(m weather.Series) bool { return hasSnow(m) }) {
		return nil
	}
	return []string{
		"precipitation in air up to 1 °C falls as snow; snow on plants closes over them from half their height, a cover goes over plants that are brushed free, and snow on a roof stays until it melts or is cleared: it neither slides nor drifts",
		fmt.Sprintf("work on snow is taken as %.0f person-minutes to clear 100 m2 of house and %.0f to brush 100 m2 of plants (judgement)", clearPer100M2, brushPer100M2),
	}
}

// hasSnow tells whether snow lies or falls in a series.
func hasSnow(m weather.Series) bool {
	return slices.ContainsFunc(m.Rows, func(r weather.Row) bool { return r.SnowCM > 0 || r.AirC <= 1 && r.RainMM > 0 })
}

func isClearing(t Task) bool { return strings.HasPrefix(t.What, clearTask) }
