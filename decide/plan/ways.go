package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
)

// leaveWords are those of a space that is left alone.
const leaveWords = "leave it as it is"

// spreadTask begins the jobs that lay a cover.
const spreadTask = "spread and fix "

// way is one thing that can be done for a space, with what it takes.
type way struct {
	protection night.Protection
	cost       float64
	minutes    int
	needs      Needs
	tasks      []Task
	later      []Task // mornings, and evenings after the first
	lever      bool   // something is done to the space itself as well
	hung       bool   // its parked cover is let down, and nothing else
}

// ways lists what the shed allows for a space: its own covers left off or on, one or two
// layers of each cloth, cups, cups under one layer, what can be done to the space
// itself, snow included, and its parked cover.
func (f *Freeze) ways(sp *site.Space, dusks []time.Time) ([]way, error) {
	none := way{protection: night.Protection{Key: "as-it-is", Words: leaveWords, Covers: sp.Covers}}
	out := []way{none}
	cups := f.cupWays(sp, dusks[0])
	for i := range cups { // they stay on through the days
		f.everyMorning(&cups[i], morningOff+cups[i].protection.Words, sp.Name, 1, float64(cups[i].minutes)/2, dusks, true)
	}
	seen := map[string]bool{}
	for _, c := range f.Scene.Site.Shed.Cloths {
		name := clothName(c.Cloth, f.Scene.Site.Units)
		if seen[name] || c.Condition == site.Torn {
			continue
		}
		seen[name] = true
		if _, err := f.Scene.Material(c.Cloth); err != nil {
			return nil, fmt.Errorf("shed: %w", err)
		}
		for layers := 1; layers <= 2; layers++ {
			w := f.clothWay(sp, c.Cloth, name, layers, dusks)
			out = append(out, w)
			if low, cut := trimmed(sp, sp.HeightM); len(cut) > 0 && tooTall(sp) {
				out = append(out, f.trim(f.clothWay(low, c.Cloth, name, layers, dusks), sp, cut, dusks[0]))
			}
			if layers == 1 && len(cups) > 0 {
				out = append(out, join(cups[0], w))
			}
		}
	}
	return f.written(sp, f.bringWays(sp, f.heatWays(sp, f.parkedWays(sp, f.leverWays(sp, append(out, cups...), dusks), dusks), dusks), dusks), dusks), nil
}

// clothWay is layers of one cloth over a space: on its hoops where it has them,
// lying on the plants where not; on every evening, and off every morning.
func (f *Freeze) clothWay(sp *site.Space, cl site.Cloth, name string, layers int, dusks []time.Time) way {
	s := f.Scene.Site
	height, fit, words := laid(sp)
	c := site.Cover{Cloth: cl, Layers: layers, Fit: fit, HeightM: height, When: site.When{Kind: site.EveningMorning}}
	drape := math.Max(height, roughPlantM) + hemDrapeM
	if tooTall(sp) {
		drape = tallest(sp) + hemDrapeM // over what stands out above the hoops
	}
	length, width := sp.LengthM+2*drape, sp.WidthM+2*drape
	area := sp.AreaM2() * float64(layers)
	work, per := clothWork(&s.Labour, sp, fit == site.OnHoops, layers, sp.House == nil && f.windy(dusks[0]))
	spread := func(dusk time.Time) float64 {
		m := per * area / 100
		if sp.House == nil && f.windy(dusk) {
			m *= math.Max(s.Labour.WindyTimes, 1)
		}
		return m + s.Labour.WalkPerSpace
	}
	w := way{
		protection: night.Protection{
			Key:    fmt.Sprintf("%s-x%d", slug(name), layers),
			Words:  fmt.Sprintf("%s of %s %s", phrase.Count(layers, "layer"), name, words),
			Covers: append(slices.Clone(sp.Covers), c),
		},
		needs: Needs{Covers: []CoverArea{{LengthM: length, WidthM: width, Layers: layers, Cloth: name}}},
	}
	people := 1
	if width > 3 || area > 60 {
		people = 2
	}
	w.add(Task{What: spreadTask + w.protection.Words, Space: sp.Name, Earliest: dusks[0].Add(-sheetBefore), Labour: work}, people, spread(dusks[0]), dusks[0])
	w.cost += wearPerM2 * length * width * float64(layers)
	f.everyEvening(&w, dusks, spread)
	f.everyMorning(&w, morningOff+w.protection.Words, sp.Name, people, s.Labour.UncoverPer100M2*area/100+s.Labour.WalkPerSpace, dusks, false)
	return w
}

// laid says how cloth lies over a space: on its hoops where it has them, else on the
// plants.
func laid(sp *site.Space) (heightM float64, fit site.Fit, words string) {
	if sp.House == nil && sp.HeightM > 0 && !tooTall(sp) {
		return sp.HeightM, site.OnHoops, "on the hoops"
	}
	return 0, site.Touching, "on the plants"
}

// add books a task of so many person-minutes.
func (w *way) add(t Task, people int, personMinutes float64, dusk time.Time) {
	t.People = people
	t.Minutes = max(int(math.Ceil(personMinutes/float64(people))), 1)
	t.Deadline = dusk
	if t.Earliest.IsZero() {
		t.Earliest = dusk.Add(-workBefore)
	}
	w.minutes += t.Minutes * people
	w.cost += minuteCost * float64(t.Minutes*people)
	w.tasks = append(w.tasks, t)
}

// join is cups under a cloth.
func join(cups, cloth way) way {
	w := way{
		protection: night.Protection{
			Key: cups.protection.Key + "+" + cloth.protection.Key, Words: cups.protection.Words + ", under " + cloth.protection.Words,
			Covers: cloth.protection.Covers, Cup: cups.protection.Cup, Cups: cups.protection.Cups, Prepared: cups.protection.Prepared,
		},
		lever: cups.lever,
		cost:  cups.cost + cloth.cost, minutes: cups.minutes + cloth.minutes,
		needs: Needs{Covers: cloth.needs.Covers, Cups: cups.needs.Cups},
	}
	w.tasks = append(slices.Clone(cups.tasks), cloth.tasks...)
	w.later = append(slices.Clone(cups.later), cloth.later...)
	return w
}

// windy tells whether the hours before dusk have gusts that slow the work.
func (f *Freeze) windy(dusk time.Time) bool {
	n, all := 0, 0
	for _, m := range f.Members {
		for _, r := range m.Rows {
			if r.Time.After(dusk.Add(-workBefore)) && r.Time.Before(dusk) {
				all++
				if r.GustMS > windyMS {
					n++
				}
			}
		}
	}
	return all > 0 && 2*n > all
}

// stock is the shed as the choice needs it.
func (f *Freeze) shelf() Shelf {
	s := Shelf{Cups: map[string]int{}, Panels: map[string]int{}, Counted: f.countedShelf(), CupBox: cupBox}
	u := f.Scene.Site.Units
	stack := func(name string, c site.ShedCloth) {
		cond := Sound
		if c.Condition == site.Torn {
			cond = Torn
		}
		s.Cloth = append(s.Cloth, Piece{
			Label: u.Length(measure.Length(c.LengthM)) + " x " + u.Length(measure.Length(c.WidthM)),
			Cloth: name, LengthM: c.LengthM, WidthM: c.WidthM, Count: c.Pieces, Condition: cond,
		})
	}
	for _, c := range f.Scene.Site.Shed.Cloths {
		stack(clothName(c.Cloth, u), c)
	}
	for _, c := range f.Scene.Site.Shed.Curtains {
		stack(curtainName(c.Cloth, u), c)
	}
	for _, p := range f.Scene.Site.Shed.Panels {
		s.Panels[panelSize(p, u)] += p.Count
	}
	for _, c := range f.Scene.Site.Shed.Cups {
		s.Cups[c.Kind] += c.Count
	}
	return f.worn(s)
}

// shifts puts the crew's hours on the days of the work, the one after the last night
// included, and at least on two.
func (f *Freeze) shifts(from, to time.Time) []Shift {
	var out []Shift
	days := 2
	for from.AddDate(0, 0, days-1).Before(to) {
		days++
	}
	for day := range days {
		l := from.In(f.zone()).AddDate(0, 0, day)
		at := func(min int) time.Time {
			return time.Date(l.Year(), l.Month(), l.Day(), 0, min, 0, 0, f.zone())
		}
		for _, w := range f.Scene.Site.Crew {
			for p := range max(w.People, 1) {
				name := w.Name
				if w.People > 1 {
					name = fmt.Sprintf("%s %d", w.Name, p+1)
				}
				if from := at(w.FromMin); !f.missing(name, from) {
					out = append(out, Shift{Name: name, From: from, To: at(w.ToMin)})
				}
			}
		}
	}
	return out
}

// clothName is what the shed calls a cloth.
func clothName(c site.Cloth, u measure.Units) string {
	if c.Name != "" {
		return c.Name
	}
	return u.ArealMass(measure.ArealMass(c.WeightKgM2)) + " cloth"
}

// slug makes a short key of a name.
func slug(s string) string {
	return strings.Trim(strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '-'
	}, strings.NewReplacer("/", "", " cloth", "").Replace(s)), "-")
}
