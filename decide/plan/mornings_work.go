package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/morning"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/physics/sun"
)

// Jobs of a day under cover.
const (
	morningAir   = "air in the morning: "
	morningShade = "shade in the morning: "
	eveningShut  = "close for the night: "
	airMinutes   = 5.0           // open or close vents, doors or ends, one person. Judgement.
	visitLate    = 2 * time.Hour // a visit that no heat hurries may be late by so much. Judgement.
)

// plannedDays is what the plan does with the covers of a space on the days of the freeze:
// those it takes off and puts on by jobs, or leaves on. None where it moves no cover.
func (f *Freeze) plannedDays(a *Answer, s *SpaceAnswer) []morning.Planned {
	p := &s.Outlook.Options[s.Chosen].Protection
	if len(p.Covers) == len(f.fixed(s.Outlook.Space)) {
		return nil
	}
	zone := f.zone()
	var out []morning.Planned
	for _, n := range a.Plan.Nights {
		day, err := time.ParseInLocation(time.DateOnly, n.Date, zone)
		if err != nil {
			continue
		}
		noon := time.Date(day.Year(), day.Month(), day.Day()+1, 12, 0, 0, 0, zone)
		x := morning.Planned{Date: noon.Format(time.DateOnly), Off: true}
		x.Again = slices.ContainsFunc(a.Plan.Nights, func(o Night) bool { return o.Date == x.Date })
		if p.Days != nil {
			in := func(spells []night.Spell, t time.Time) bool {
				return slices.ContainsFunc(spells, func(d night.Spell) bool { return !t.Before(d.From) && t.Before(d.To) })
			}
			x.Off = !in(p.Days.Stay, noon)
			x.Again = x.Again && !in(p.Days.Bare, noon.Add(12*time.Hour))
		}
		out = append(out, x)
	}
	return out
}

// morningWork puts what the days under cover ask for on the clock: to open, shade and close
// again, each at its hours, and the plan's own uncovering by when it gets too hot. It takes
// what the rest of the plan leaves of people's time; where nobody is free, the job says how
// hot it gets.
func (f *Freeze) morningWork(a *Answer) {
	jobs := slices.Clone(a.Plan.Jobs)
	var tasks []Task
	hot := map[string]string{}
	for i := range a.Spaces {
		m := a.Spaces[i].Morning
		if m == nil {
			continue
		}
		for k := range m.Days {
			d := &m.Days[k]
			before := f.eveningOf(d.Rise)
			more := f.visits(m, d, before)
			if at := slices.IndexFunc(jobs, func(j Job) bool { return j.Space == m.Space.Name && j.Night == before && uncovers(&j) }); at >= 0 && d.Open.Needed {
				more = append(more, sooner(jobs[at], d))
				jobs = slices.Delete(jobs, at, at+1)
			}
			for _, t := range more {
				hot[t.ID] = alone(d)
			}
			tasks = append(tasks, more...)
		}
	}
	if len(tasks) == 0 {
		return
	}
	done, _ := scheduleNights(tasks, less(a.Facts.Crew, jobs), f.Now)
	for _, j := range done {
		t := &tasks[slices.IndexFunc(tasks, func(t Task) bool { return t.ID == j.ID })]
		j.Why, j.Takes = t.Why, []Take{}
		if len(j.People) == 0 {
			j.People = []string{}
			if !strings.HasPrefix(j.What, eveningShut) {
				j.Note = strings.TrimSpace(nobodyFree + " " + hot[j.ID])
			}
		}
		j.Start, j.Latest = j.Start.Truncate(time.Second), j.Latest.Truncate(time.Second)
		jobs = append(jobs, j)
	}
	slices.SortStableFunc(jobs, func(a, b Job) int {
		return cmp.Or(a.Start.Compare(b.Start), a.Latest.Compare(b.Latest), cmp.Compare(a.ID, b.ID))
	})
	a.Plan.Jobs = jobs
}

// uncovers tells whether a job takes covers off in a morning and is still to do.
func uncovers(j *Job) bool {
	return j.Done.IsZero() && (strings.HasPrefix(j.What, morningOff) || strings.HasPrefix(j.What, morningRoll))
}

// visits are the jobs of one day beside the plan's own covers.
func (f *Freeze) visits(m *morning.Space, d *morning.Day, before string) []Task {
	var out []Task
	walk := f.Scene.Site.Labour.WalkPerSpace
	add := func(what, night, block string, v *morning.Visit, minutes float64) {
		t := Task{
			ID: fmt.Sprintf("%s/day/%s/%d", m.Space.Name, d.Date, len(out)+1), What: what, Space: m.Space.Name, People: 1,
			Minutes: int(math.Ceil(minutes + walk)), Night: night, Block: block, Window: "day of " + d.Date, Why: v.Why,
		}
		t.between(v)
		out = append(out, t)
	}
	if !d.Open.Needed {
		return nil
	}
	area := m.Space.AreaM2() / 100
	labour := &f.Scene.Site.Labour
	opens, off := d.Share > 0, d.Roll.Up && !d.Roll.Planned
	if opens || off {
		minutes := 0.0
		if opens {
			minutes += airMinutes
		}
		if off {
			minutes += labour.UncoverPer100M2 * area
		}
		what := d.Open.Do
		if opens && d.Roll.Planned {
			what = m.Part(d)
		}
		add(morningAir+what, before, InMorning, &d.Open, minutes)
	}
	if d.Shade {
		add(morningShade+"shade cloth or whitewash, wide open is not enough", before, InMorning, &d.Open, labour.UsualPer100M2*area)
	}
	if d.Close.Needed && (opens || off) {
		minutes := airMinutes
		if off {
			minutes += labour.UsualPer100M2 * area
		}
		what := d.Close.Do
		if d.Roll.Planned {
			what = "close again"
		}
		add(eveningShut+what, f.eveningOf(d.Set), BeforeDark, &d.Close, minutes)
	}
	return out
}

// between sets the hours of a visit on a task.
func (t *Task) between(v *morning.Visit) {
	need := minutesOf(t)
	t.Earliest = v.From
	t.Deadline = latest(v.To, v.From.Add(need))
	t.Late = t.Deadline.Add(visitLate)
	if !v.Late.IsZero() {
		t.Late = latest(v.Late, t.Deadline)
	}
}

// sooner is the plan's own uncovering at the hours its day asks for.
func sooner(j Job, d *morning.Day) Task {
	t := Task{
		ID: j.ID, What: j.What, Space: j.Space, People: max(1, len(j.People)), Minutes: j.Minutes, Night: j.Night, Block: j.Block,
		Window: "day of " + d.Date, Why: j.Why, Labour: j.Labour,
	}
	t.between(&d.Open)
	return t
}

// alone is what happens on a day when nobody comes, as a sentence.
func alone(d *morning.Day) string {
	if n := len(d.Say); n > 0 {
		s := d.Say[n-1]
		return strings.ToUpper(s[:1]) + s[1:] + "."
	}
	return ""
}

// lastSunset is an hour after the sunset of the last day of the freeze that the weather
// reaches; false where there is none.
func (f *Freeze) lastSunset(a *Answer, last time.Time) (time.Time, bool) {
	var to time.Time
	for d := range longestFreeze + 2 {
		day := a.From.In(f.zone()).AddDate(0, 0, d)
		rise, _, set, kind := sun.RiseSet(day, f.place())
		if kind != sun.Normal || !rise.After(latest(f.Now, a.From)) {
			continue
		}
		if rise.After(a.To) || set.Add(time.Hour).After(last) {
			break
		}
		to = set.Add(time.Hour)
	}
	return to, !to.IsZero()
}
