package plan

import (
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/nursery/site"
)

// flameWays are the ways of an invented house that burn without a flue, over two evenings.
func flameWays(t *testing.T) (*Freeze, []way, []time.Time) {
	t.Helper()
	f := freezeAt(t, middling("[[heater]]\nname = \"gas\"\nspace = \"House\"\nkind = \"unvented gas\"\ninput = \"5 kW\"\nfuel = \"propane\"\nmains = false\nsetpoint = \"5 °C\"\n").text(), 1, 34*time.Hour, 1)
	sp := &f.Scene.Site.Spaces[0]
	dusks := f.dusks(f.Now, f.Now.Add(54*time.Hour))
	ways, err := f.ways(sp, dusks)
	if err != nil {
		t.Fatal(err)
	}
	ways = slices.DeleteFunc(ways, func(w way) bool {
		return w.protection.Firing == nil || !heating.OpeningFor(sp, w.protection.Firing.Lit, 300, f.voice()).NeedsIt
	})
	if len(dusks) != 2 || len(ways) == 0 {
		t.Fatalf("%d evenings, %d ways with a flame", len(dusks), len(ways))
	}
	return &f, ways, dusks
}

// No opening is closed on a flame: it is shut off first, with hands, too few, or none. On
// every evening somebody sees that they are open before it is lit again.
func TestOpeningsAreOpenWhileItBurns(t *testing.T) {
	f, ways, dusks := flameWays(t)
	closed, again := 0, 0
	end := func(j Job) time.Time { return j.Start.Add(time.Duration(j.Minutes) * time.Minute) }
	for _, w := range ways {
		for hands := range 3 {
			var crew []Shift
			for p := range 2 {
				for d := range 2 {
					crew = append(crew, Shift{string(rune('A' + p)), dusks[d].Add(-6 * time.Hour), dusks[d].Add(time.Hour)})
				}
				if p < hands {
					crew = append(crew, Shift{string(rune('A' + p)), dusks[1].Add(time.Hour), dusks[1].Add(40 * time.Hour)})
				}
			}
			tasks := slices.Concat(named("House", w.protection.Key, w.tasks), namedLater("House", w.protection.Key, w.later))
			jobs, unfit := scheduleNights(tasks, crew, f.Now)
			if len(unfit) > 0 {
				t.Fatalf("%s with %d hands: %+v", w.protection.Key, hands, unfit)
			}
			for _, j := range jobs {
				first := func(of string) {
					k := slices.IndexFunc(jobs, func(o Job) bool {
						return o.Night == j.Night && o.Block == j.Block && strings.HasPrefix(o.What, of)
					})
					if k < 0 || end(jobs[k]).After(j.Start) {
						t.Errorf("%s with %d hands, night of %s: %q begins before %q is done", w.protection.Key, hands, j.Night, j.What, of)
					}
				}
				switch {
				case strings.HasPrefix(j.What, closeOpening):
					closed++
					first(morningShut)
				case strings.HasPrefix(j.What, lightTask) && j.Night == f.eveningOf(dusks[1]):
					again++
					first(SeeOpenings)
				}
			}
		}
	}
	if closed < 3 || again < 3 {
		t.Errorf("openings closed %d times, lit again %d times", closed, again)
	}
}

// A morning's work that is carried over keeps its order: the flame first, then its air.
func TestCarriedOverTheFlameGoesFirst(t *testing.T) {
	f := freezeOf(t, 2, 82*time.Hour) // ten in the forenoon
	job := func(id, what string, minutes int) Job {
		return Job{ID: id, What: what, Space: "Dear", Minutes: minutes, Night: "2026-07-12", Block: InMorning}
	}
	f.Before = &Plan{Now: f.Now.Add(-20 * time.Hour), Jobs: []Job{job("a", closeOpening+", once the fire is out", 11), job("b", morningShut+"gas", 4)}}
	tasks, _ := f.morningsLeft(f.Now.Add(8 * time.Hour))
	if len(tasks) != 2 || tasks[0].ID != "b" || tasks[1].After != "b" {
		t.Fatalf("%+v", tasks)
	}
	for _, crew := range [][]Shift{nil, {{"Ana", f.Now, f.Now.Add(2 * time.Hour)}}} {
		jobs, _ := scheduleNights(tasks, crew, f.Now)
		if len(jobs) != 2 || jobs[0].ID != "b" || jobs[1].Start.Before(jobs[0].Start.Add(4*time.Minute)) {
			t.Errorf("%d on the crew: %+v", len(crew), jobs)
		}
	}
}

// Where no time is left to take back what is done, a flame that the plan does not count
// on is shut off all the same; and a plan that counts on no tick says that it may burn.
func TestNoFlameIsForgotten(t *testing.T) {
	shut, cloth := Task{ID: "x/back/gas/0", What: shutAgain + "gas", Space: "House"}, Task{ID: "x/back/cloth/1", What: offAgain + "cloth", Space: "House"}
	p := &past{
		tight: true, undo: map[string][]Take{shut.ID: nil, cloth.ID: nil},
		jobs: []Job{{Space: "House", What: lightTask + "gas: steady blue flame"}},
	}
	f := Facts{past: p}
	m, err := Compile(Choices{}, Bounds{})
	if err != nil {
		t.Fatal(err)
	}
	if got := f.takingBack(m, &Allocation{}, []Task{shut, cloth}); len(got) != 1 || got[0].What != shut.What {
		t.Errorf("without time to take back: %+v", got)
	}
	if said := strings.Join(f.loosened().Assumed, "\n"); !strings.Contains(said, "gas is ticked as lit") || !strings.Contains(said, "from outside") {
		t.Errorf("said: %q", said)
	}
}

// What feeds a heater that stands in no space is weighed in the shed, not nowhere.
func TestCylinderOfACarriedHeaterIsInTheShed(t *testing.T) {
	s := &site.Site{Heaters: []site.Heater{{Name: "top"}, {Name: "gas", Space: "House"}}}
	for feeds, want := range map[string]string{"top": shedName, "gas": "House"} {
		if got := spaceOfStore(s, &site.Cylinders{Feeds: []string{feeds}}); got != want {
			t.Errorf("%s: %q, want %q", feeds, got, want)
		}
	}
}

// No way lets a parked cover down over a flame without a flue.
func TestNothingIsLetDownOverAFlame(t *testing.T) {
	text := strings.Replace(middling("[[heater]]\nname = \"gas\"\nspace = \"House\"\nkind = \"unvented gas\"\ninput = \"5 kW\"\nfuel = \"propane\"\nmains = false\nsetpoint = \"5 °C\"\n").text(),
		"[[space.group]]", "[space.parked]\ncloth = \"30 g/m2\"\nheight = \"1.2 m\"\ndown = 6\nup = 8\n[[space.group]]", 1)
	f := freezeAt(t, text, 1, 34*time.Hour, 1)
	sp := &f.Scene.Site.Spaces[0]
	ways, err := f.ways(sp, f.dusks(f.Now, f.Now.Add(24*time.Hour)))
	if err != nil {
		t.Fatal(err)
	}
	down, lit := 0, 0
	for _, w := range ways {
		hangs := strings.Contains(w.protection.Key, letDownKey)
		switch burns := flames(w.protection.Firing); {
		case hangs && burns:
			t.Errorf("%s: %s", w.protection.Key, w.protection.Words)
		case hangs:
			down++
		case burns:
			lit++
		}
	}
	if down == 0 || lit == 0 {
		t.Errorf("%d ways with the cover let down, %d with a flame", down, lit)
	}
}
