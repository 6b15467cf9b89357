package plan

import (
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/night"
)

// leverKeys are the levers of a site's spaces.
func leverKeys(f *Freeze) map[string][]string {
	dusks := []time.Time{f.dusk()}
	out := map[string][]string{}
	for i := range f.Scene.Site.Spaces {
		sp := &f.Scene.Site.Spaces[i]
		for _, l := range f.levers(sp, dusks) {
			out[sp.Name] = append(out[sp.Name], l.key)
		}
	}
	return out
}

func (f *Freeze) dusk() time.Time {
	from, to, _, _ := f.span()
	return f.dusks(from, to)[0]
}

// Each lever is chosen where it is of use, by what the simulation makes of it. Panels for
// one bed go to one bed, for two beds to both.
func TestEveryLeverIsChosenWhereItHelps(t *testing.T) {
	if testing.Short() {
		t.Skip("long; not in short runs")
	}
	f := frontAt(t, everyLever, 10, 6, 32*time.Hour)
	a := planOf(t, f)
	stood := func(a *Answer) (beds int) {
		for _, s := range a.Spaces {
			if strings.Contains(s.Outlook.Options[s.Chosen].Protection.Key, "panels") {
				beds++
			}
		}
		for _, s := range a.Plan.Supplies {
			if s.Used > s.Have {
				t.Errorf("%s: %v used of %v", s.Item, s.Used, s.Have)
			}
		}
		return beds
	}
	got := map[string]string{}
	for _, s := range a.Spaces {
		o := s.Outlook
		got[o.Space.Name] = o.Options[s.Chosen].Protection.Key
		for k := range o.Options {
			t.Logf("%s: %-40s loss %6.0f", o.Space.Name, o.Options[k].Protection.Key, o.Options[k].Loss)
		}
	}
	t.Log(got)
	for space, key := range map[string]string{"Dry bed": "watered", "Film hoop": sealedKey, "Old house": "mended", "Film house": "curtain-hung"} {
		if !strings.Contains(got[space], key) {
			t.Errorf("%s: %q was chosen, want %q in it", space, got[space], key)
		}
	}
	if n := stood(a); n != 1 {
		t.Errorf("with panels for one bed %d beds have them", n)
	}
	if n := stood(planOf(t, changed(t, "count = 6", "count = 10"))); n != 2 {
		t.Errorf("with panels for two beds %d beds have them", n)
	}
	for _, j := range a.Plan.Jobs {
		if strings.HasPrefix(j.What, "water") && j.Start.Add(time.Duration(j.Minutes)*time.Minute).In(f.zone()).Hour() >= 12 {
			t.Errorf("the ground is watered until %s: after noon", j.Start)
		}
		if strings.HasPrefix(j.What, "close the hems") && !slices.ContainsFunc(a.Plan.Jobs, func(o Job) bool {
			return o.Space == j.Space && strings.HasPrefix(o.What, spreadTask) && !o.Start.Add(time.Duration(o.Minutes)*time.Minute).After(j.Start)
		}) {
			t.Errorf("hems of %s are closed before the cover is on", j.Space)
		}
	}
}

// A lever that cannot help, or must not be pulled, is not looked at.
func TestUselessLeversAreNotOffered(t *testing.T) {
	all := map[string]string{"Dry bed": "watered", "Windy bed": "panels", "Film hoop": sealedKey, "Old house": "mended", "Film house": "curtain-hung"}
	f := frontAt(t, everyLever, 10, 6, 32*time.Hour)
	for space, key := range all {
		if got := leverKeys(&f)[space]; !slices.Contains(got, key) {
			t.Errorf("%s: %q, want %q among them", space, got, key)
		}
	}
	// ticked as done, it stays in the plan after noon as well
	f = frontAt(t, everyLever, 10, 6, 37*time.Hour)
	at := f.Now.Add(-2 * time.Hour)
	f.Done = []Done{{Space: "Dry bed", What: waterTask + " until", At: at}}
	if l, ok := f.water(f.Scene.Site.Space("Dry bed"), []time.Time{f.dusk()}); ok {
		p := night.Prepared{}
		if l.prepare(&p); !p.Watered.Equal(at) {
			t.Errorf("watered at %s, done at %s", p.Watered, at)
		}
	} else {
		t.Error("ground that was watered is forgotten after noon")
	}
	heater := `
[[heater]]
name = "blower"
space = "Old house"
kind = "unvented gas"
count = 1
input = "5 kW"
fuel = "propane"
mains = false
`
	for name, c := range map[string]struct {
		space, key string
		make       func() Freeze
	}{
		"calm":           {"Windy bed", "panels", func() Freeze { return frontAt(t, everyLever, 10, 0.8, 32*time.Hour) }},
		"no panels":      {"Windy bed", "panels", func() Freeze { return changed(t, "count = 6", "count = 3") }},
		"panels too low": {"Windy bed", "panels", func() Freeze { return changed(t, `height = "0.8 m"`, `height = "0.3 m"`) }},
		"moist ground":   {"Dry bed", "watered", func() Freeze { return changed(t, `moisture = "dry"`, `moisture = "moist"`) }},
		"after noon":     {"Dry bed", "watered", func() Freeze { return frontAt(t, everyLever, 10, 6, 37*time.Hour) }},
		"frost by day":   {"Dry bed", "watered", func() Freeze { return freezeAt(t, everyLever, -3, 32*time.Hour, 6) }},
		"rain": {"Dry bed", "watered", func() Freeze {
			f := frontAt(t, everyLever, 10, 6, 32*time.Hour)
			for _, m := range f.Members {
				m.Rows[34].RainMM = 8 // 10:00
			}
			return f
		}},
		"closed hem":         {"Film hoop", sealedKey, func() Freeze { return changed(t, `hem = "loose"`, `hem = "sealed"`) }},
		"tight house":        {"Old house", "mended", func() Freeze { return changed(t, `leaks = "leaky"`, `leaks = "tight"`) }},
		"a flame breathes":   {"Old house", "mended", func() Freeze { return frontAt(t, everyLever+heater, 10, 6, 32*time.Hour) }},
		"a curtain is there": {"Film house", "curtain-hung", func() Freeze { return changed(t, `leaks = "usual"`, "leaks = \"usual\"\ncurtain = \"thermal screen\"") }},
		"too short a piece":  {"Film house", "curtain-hung", func() Freeze { return changed(t, `length = "11 m"`, `length = "7 m"`) }},
	} {
		f := c.make()
		if got := leverKeys(&f)[c.space]; slices.Contains(got, c.key) {
			t.Errorf("%s: %s offers %q", name, c.space, got)
		}
	}
}

func changed(t *testing.T, old, with string) Freeze {
	t.Helper()
	text := strings.Replace(everyLever, old, with, 1)
	if text == everyLever {
		t.Fatalf("%q is not in the site", old)
	}
	return frontAt(t, text, 10, 6, 32*time.Hour)
}

// Levers add at most leverWaysMost ways to a space, each with a key of its own, and no
// way with a lever is multiplied by the ways to heat.
func TestLeverWaysAreBounded(t *testing.T) {
	f := frontAt(t, everyLever, 10, 6, 32*time.Hour)
	f.Scene.Site.Crew[0].ToMin = 22 * 60
	from, to, _, err := f.span()
	if err != nil {
		t.Fatal(err)
	}
	dusks := f.dusks(from, to)
	most := 0
	for i := range f.Scene.Site.Spaces {
		sp := &f.Scene.Site.Spaces[i]
		ways, err := f.ways(sp, dusks)
		if err != nil {
			t.Fatal(err)
		}
		n, keys := 0, map[string]bool{}
		for _, w := range ways {
			if keys[w.protection.Key] {
				t.Errorf("%s: key %q twice", sp.Name, w.protection.Key)
			}
			keys[w.protection.Key] = true
			if w.lever {
				n++
			}
			minutes := 0
			for _, task := range w.tasks {
				minutes += task.Minutes * task.People
			}
			if minutes != w.minutes || w.cost < minuteCost*float64(minutes)-1e-9 {
				t.Errorf("%s, %s: %d minutes in the tasks, %d booked at %.2f", sp.Name, w.protection.Key, minutes, w.minutes, w.cost)
			}
		}
		most = max(most, n)
		t.Logf("%s: %d ways, %d of them by levers", sp.Name, len(ways), n)
	}
	if most == 0 || most > leverWaysMost {
		t.Errorf("levers add up to %d ways to a space, want 1 to %d", most, leverWaysMost)
	}
}
