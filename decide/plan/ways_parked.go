package plan

import (
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/heat"
)

// letDownTask begins the job that lets a parked cover down.
const letDownTask = "let down the parked cover"

// letDownKey is the key of a parked cover let down.
const letDownKey = "let-down"

// parkedWays adds to the ways of a space its parked cover let down: alone, and above one
// layer of the warmest and of the most plentiful cloth left on the plants. It is let down
// before dark and rolled back every morning.
func (f *Freeze) parkedWays(sp *site.Space, ways []way, dusks []time.Time) []way {
	p := sp.Parked
	if p == nil {
		return ways
	}
	out := ways
	warm, plenty := f.best(sp, ways, 1, f.warmth), f.best(sp, ways, 1, f.stock)
	under := []*way{&ways[0], warm}
	if plenty != warm {
		under = append(under, plenty)
	}
	for _, w := range under {
		if w == nil {
			continue
		}
		if x, ok := f.letDown(sp, w, dusks); ok {
			out = append(out, x)
		}
	}
	return out
}

// letDown is a way with the parked cover let down over it; false where so many sheets
// cannot be computed.
func (f *Freeze) letDown(sp *site.Space, w *way, dusks []time.Time) (way, bool) {
	p, labour := sp.Parked, f.Scene.Site.Labour
	out := *w
	out.protection.Covers = append(slices.Clone(w.protection.Covers), p.Cover())
	if f.sheets(sp, out.protection.Covers) > heat.MaxSkins {
		return way{}, false
	}
	name := clothName(p.Cloth, f.Scene.Site.Units)
	what := "the parked " + name + " let down"
	if len(w.tasks) == 0 {
		out.protection.Key, out.protection.Words = letDownKey, what
		if len(w.protection.Covers) > 0 {
			out.protection.Words = onItNow + ", " + what
		}
	} else {
		out.protection.Key += "+" + letDownKey
		out.protection.Words += ", " + what + " above"
	}
	out.lever, out.hung = true, len(w.tasks) == 0
	out.tasks, out.later = slices.Clone(w.tasks), slices.Clone(w.later)
	down := func(dusk time.Time) float64 {
		m := p.DownMin
		if f.soaked(sp, dusk) || sp.House == nil && f.windy(dusk) {
			m *= math.Max(labour.WindyTimes, 1)
		}
		return m + labour.WalkPerSpace
	}
	t := Task{What: letDownTask + " of " + name, Space: sp.Name, Earliest: dusks[0].Add(-sheetBefore)}
	if len(w.tasks) > 0 {
		t.After = w.tasks[len(w.tasks)-1].What
	}
	people := 1
	if p.DownMin > 20 || f.soaked(sp, dusks[0]) && p.DownMin > 10 {
		people = 2
	}
	out.add(t, people, down(dusks[0]), dusks[0])
	out.cost += wearPerM2 * sp.AreaM2() * float64(max(p.Layers, 1))
	f.everyEvening(&out, dusks, down)
	f.everyMorning(&out, morningRoll+"the parked "+name, sp.Name, people, p.UpMin+labour.WalkPerSpace, dusks, false)
	return out, true
}

// sheets is how many walls and sheets lie over one another in a space.
func (f *Freeze) sheets(sp *site.Space, covers []site.Cover) int {
	walls := func(name site.Cloth, layers int) int {
		m, err := f.Scene.Material(name)
		if err != nil {
			return layers
		}
		return max(m.Walls, 1) * max(layers, 1)
	}
	n := 0
	if h := sp.House; h != nil {
		n += walls(site.Cloth{Name: h.Glazing}, h.Layers)
		if h.Curtain != "" {
			n += walls(site.Cloth{Name: h.Curtain}, 1)
		}
	}
	for _, c := range covers {
		n += walls(c.Cloth, c.Layers)
	}
	return n
}

// soaked tells whether, in half of the members or more, the parked cover of a space is
// let down holding half of what its cloth can hold.
func (f *Freeze) soaked(sp *site.Space, dusk time.Time) bool {
	n := 0
	for _, m := range f.Members {
		kg, most := f.Scene.Soaked(sp, m.Rows, dusk, func(int) bool { return true })
		if most > 0 && kg >= most/2 {
			n++
		}
	}
	return n > 0 && 2*n >= len(f.Members)
}

// parkedAssumed says what parked covers rest on, where there are any.
func (f *Freeze) parkedAssumed() []string {
	var out []string
	for i := range f.Scene.Site.Spaces {
		sp := &f.Scene.Site.Spaces[i]
		if p := sp.Parked; p != nil {
			line := sp.Name + ": the parked " + clothName(p.Cloth, f.Scene.Site.Units) + " hangs " +
				f.Scene.Site.Units.Length(measure.Length(p.HeightM)) + " above the plants' floor when it is let down, and is rolled back two hours after sunrise"
			if f.Scene.Soaks(sp) {
				line += "; rain of two days stays in its roll"
			}
			out = append(out, line)
		}
	}
	return out
}

// parkedNotes says with the jobs that let parked covers down what a soaked one and a high
// one ask for.
func (f *Freeze) parkedNotes(a *Answer) {
	dusks := f.dusks(a.From, a.To)
	for i := range a.Plan.Jobs {
		j := &a.Plan.Jobs[i]
		sp := f.Scene.Site.Space(j.Space)
		if !strings.HasPrefix(j.What, letDownTask) || sp == nil || sp.Parked == nil {
			continue
		}
		dusk := dusks[0]
		for _, d := range dusks {
			if f.eveningOf(d) == j.Night {
				dusk = d
			}
		}
		note := ""
		if f.soaked(sp, dusk) {
			note = "Rain has gathered in the roll: it is heavy. Let the water run out first, keep from under it, and bring it down before it freezes stiff."
		}
		if sp.HeightM > standM {
			note += " No ladder on ice."
		}
		j.Note = strings.TrimSpace(j.Note + " " + strings.TrimSpace(note))
	}
}
