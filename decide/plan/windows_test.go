package plan

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// manyNights draws tasks of three evenings and mornings, and a crew; all invented.
func manyNights(t *rapid.T) ([]Task, []Shift) {
	at := func(day int, name string, from, to int) time.Time {
		return noon().AddDate(0, 0, day).Add(time.Duration(rapid.IntRange(from, to).Draw(t, name)) * time.Minute)
	}
	var crew []Shift
	for range rapid.IntRange(0, 7).Draw(t, "shifts") {
		day := rapid.IntRange(0, 3).Draw(t, "day")
		crew = append(crew, Shift{rapid.SampledFrom([]string{"Ana", "Ben", "Cy"}).Draw(t, "who"), at(day, "from", -360, 300), at(day, "to", -300, 400)})
	}
	var tasks []Task
	for i := range rapid.IntRange(0, 12).Draw(t, "tasks") {
		k := Task{ID: fmt.Sprint(i), People: rapid.IntRange(1, 2).Draw(t, "people"), Minutes: rapid.IntRange(1, 90).Draw(t, "min"), Loss: float64(rapid.IntRange(0, 50).Draw(t, "loss"))}
		night := rapid.IntRange(0, 2).Draw(t, "night")
		k.Night = noon().AddDate(0, 0, night).Format(time.DateOnly)
		if rapid.Bool().Draw(t, "morning") {
			k.Block, k.Window = InMorning, fmt.Sprint("morning ", night)
			k.Earliest, k.Deadline, k.Late = at(night+1, "earliest", -200, -150), at(night+1, "deadline", -60, 0), at(night+1, "late", 60, 120)
		} else {
			k.Block, k.Earliest, k.Deadline = BeforeDark, at(night, "earliest", 0, 200), at(night, "deadline", 200, 360)
			if night > 0 {
				k.Window = fmt.Sprint("evening ", night)
			}
		}
		tasks = append(tasks, k)
	}
	return tasks, crew
}

// Over all nights nobody is in two places, nothing begins before it may or ends too late,
// each window's work fits into its people's hours, and only a morning's work stands
// without a name.
func TestScheduleOfAllNights(t *testing.T) {
	unnamed := 0
	rapid.Check(t, func(t *rapid.T) {
		tasks, crew := manyNights(t)
		jobs, unfit := scheduleNights(tasks, crew, noon())
		if len(jobs)+len(unfit) != len(tasks) {
			t.Fatalf("%d jobs and %d unfit of %d", len(jobs), len(unfit), len(tasks))
		}
		spans, busy, used := people(crew), map[string][]Shift{}, map[string]int{}
		for _, j := range jobs {
			k := tasks[slices.IndexFunc(tasks, func(x Task) bool { return x.ID == j.ID })]
			end, by := j.Start.Add(time.Duration(j.Minutes)*time.Minute), latest(k.Deadline, k.Late)
			if j.Night != k.Night || j.Block != k.Block || j.Start.Before(k.Earliest) || j.Start.Before(noon()) || j.Start.After(j.Latest) {
				t.Fatalf("%+v of %+v", j, k)
			}
			if len(j.People) == 0 {
				if k.Block != InMorning || j.Note != nobodyFree {
					t.Fatalf("nobody does %+v", j)
				}
				unnamed++
				continue
			}
			if end.After(by) || len(j.People) != k.People {
				t.Fatalf("%+v of %+v", j, k)
			}
			used[k.Window] += k.People * k.Minutes
			for _, n := range j.People {
				if !slices.ContainsFunc(spans[n], func(s Shift) bool { return !s.From.After(j.Start) && !s.To.Before(end) }) {
					t.Fatalf("%s does not work then: %+v", n, j)
				}
				if slices.ContainsFunc(busy[n], func(b Shift) bool { return b.From.Before(end) && b.To.After(j.Start) }) {
					t.Fatalf("%s is busy then: %+v", n, j)
				}
				busy[n] = append(busy[n], Shift{n, j.Start, end})
			}
		}
		for _, group := range byWindow(tasks) {
			from, to := group[0].Earliest, latest(group[0].Deadline, group[0].Late)
			for _, k := range group {
				from, to = earliest(from, k.Earliest), latest(to, latest(k.Deadline, k.Late))
			}
			if have := CrewMinutes(crew, latest(from, noon()), to); used[group[0].Window] > have {
				t.Fatalf("%s: %d minutes of %d", group[0].Window, used[group[0].Window], have)
			}
		}
	})
	if !testing.Short() && unnamed == 0 { // a short run draws a fifth
		t.Error("nothing stood without a name: the test says little")
	}
}

// Work of one evening alone is put on the clock as ever.
func TestOneWindowIsScheduledAsEver(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tasks, crew := manyNights(t)
		tasks = slices.DeleteFunc(tasks, func(k Task) bool { return k.Window != "" })
		jobs, unfit := scheduleNights(tasks, crew, noon())
		was, not := Schedule(tasks, crew, noon())
		if fmt.Sprint(jobs, unfit) != fmt.Sprint(was, not) {
			t.Fatalf("%+v %+v\nwas %+v %+v", jobs, unfit, was, not)
		}
	})
}

// A second evening that its people cannot do takes the option out, though there is time
// enough on the first; with one more person the plan is never worse.
func TestEachEveningIsALimit(t *testing.T) {
	facts := func(second int, crew ...Shift) Facts {
		f := twoBeds()
		f.Crew = append(slices.Clone(f.Crew), crew...)
		f.Later = map[string]map[string][]Task{}
		f.Choices.Spaces = slices.Clone(f.Choices.Spaces)
		for s := range f.Choices.Spaces {
			c := &f.Choices.Spaces[s]
			c.Options = slices.Clone(c.Options)
			f.Later[c.Space] = map[string][]Task{}
			for o := 1; o < len(c.Options); o++ {
				day := noon().AddDate(0, 0, 1)
				tasks := []Task{{What: "again", People: 1, Minutes: second, Night: "2031-01-15", Window: "evening of Wed 15 Jan", Earliest: day, Deadline: day.Add(4 * time.Hour)}}
				f.Later[c.Space][c.Options[o].Key], c.Options[o].Later = tasks, minutesByWindow(tasks)
			}
		}
		return f
	}
	ana := []Shift{{"Ana", noon().AddDate(0, 0, 1), noon().AddDate(0, 0, 1).Add(time.Hour)}}
	ben := Shift{"Ben", noon().AddDate(0, 0, 1), noon().AddDate(0, 0, 1).Add(2 * time.Hour)}
	plan := func(f Facts) Plan {
		p, err := Build(f, Limits{}, Bounds{})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	covered := func(p Plan) (n int) {
		for _, j := range p.Jobs {
			if strings.HasPrefix(j.What, "again") {
				n++
			}
		}
		return n
	}
	if n := covered(plan(facts(60, ana...))); n != 1 {
		t.Errorf("%d beds with an hour on the second evening, want 1", n)
	}
	if n := covered(plan(facts(61, ana...))); n != 0 {
		t.Errorf("%d beds are covered, and nobody can do it again", n)
	}
	for _, second := range []int{10, 31, 60, 61, 121} {
		one, two := plan(facts(second, ana...)), plan(facts(second, append(slices.Clone(ana), ben)...))
		if two.Objective > one.Objective+1e-9 {
			t.Errorf("%d minutes: %.2f with one more person, %.2f without", second, two.Objective, one.Objective)
		}
	}
}

// In a freeze of one night the evening's jobs are those of the evening's work alone, by
// their old names, and the morning takes off what it put on.
func TestOneNightHasItsMorning(t *testing.T) {
	p := planOf(t, freezeOf(t, 2, 58*time.Hour)).Plan
	if len(p.Nights) != 1 {
		t.Fatalf("%d nights", len(p.Nights))
	}
	on, off := jobOf(t, &p, "Dear", spreadTask), jobOf(t, &p, "Dear", morningOff)
	if on.ID != "Dear/51-gm2-x1/1" || on.Block != BeforeDark || on.Night != "2026-07-12" {
		t.Errorf("the evening: %+v", on)
	}
	if off.Night != on.Night || off.Block != InMorning || len(off.People) == 0 || off.Start.Format("2006-01-02") != "2026-07-13" {
		t.Errorf("the morning: %+v", off)
	}
	if slices.ContainsFunc(p.Supplies, func(l SupplyLine) bool { return strings.HasPrefix(l.Item, personMinutes+",") }) {
		t.Errorf("the last morning limits the choice: %+v", p.Supplies)
	}
}

// The morning's work of a night that is over stays on the clock until it is ticked, and
// what was ticked on is off again then.
func TestMorningIsCarriedOver(t *testing.T) {
	f := freezeOf(t, 2, 58*time.Hour)
	first := planOf(t, f).Plan
	on, off := jobOf(t, &first, "Dear", spreadTask), jobOf(t, &first, "Dear", morningOff)
	g := freezeOf(t, 2, 82*time.Hour) // ten in the next forenoon
	p := follow(t, g, &first, ticked(&first, on))
	again := jobOf(t, p, "Dear", morningOff)
	if again.ID != off.ID || again.Night != off.Night || !again.Done.IsZero() || len(again.People) == 0 || again.Start.Before(g.Now) {
		t.Errorf("carried: %+v, was %+v", again, off)
	}
	if since := p.TicksSince(); since != off.Night {
		t.Errorf("ticks since %s, want %s", since, off.Night)
	}
	over := Done{JobID: off.ID, Space: off.Space, What: off.What, Night: off.Night, At: g.Now}
	p = follow(t, g, &first, ticked(&first, on), over)
	if j := jobOf(t, p, "Dear", morningOff); !j.Done.Equal(g.Now) {
		t.Errorf("ticked: %+v", j)
	}
	if j := jobOf(t, p, "Dear", spreadTask); j.Night != "2026-07-13" || !j.Done.IsZero() {
		t.Errorf("it goes on again: %+v", j)
	}
}

// Once the morning has taken a cover off, its tick of the evening no longer stands; work
// done since does.
func TestTakenOffInTheMorningIsOff(t *testing.T) {
	d := func(what string) Done { return Done{What: what, Space: "Bed"} }
	standing, gone := offSince([]Done{d(spreadTask + "cloth"), d("test gas"), d(morningOff + "cloth"), d(lightTask + "gas"), d(spreadTask + "cloth")})
	if len(gone) != 1 || len(standing) != 3 || gone[0].What != spreadTask+"cloth" {
		t.Errorf("standing %+v, gone %+v", standing, gone)
	}
}
