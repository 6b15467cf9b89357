package plan

import (
	"cmp"
	"slices"
	"time"
)

// Blocks of a night's work, as [Job.Block] has them.
const (
	BeforeDark = "before dark"
	Overnight  = "overnight"
	InMorning  = "morning"
)

// Window is a stretch in which people work, after the first evening: a morning, or a
// later evening. Its minutes are a limit of their own.
type Window struct {
	Name          string // "evening of Sun 12 Jul"; what [Option].Later and [Task].Window name
	PersonMinutes int
}

// nobodyFree is the note of a morning's job that falls in nobody's hours.
const nobodyFree = "Nobody on the crew's list is free for it then: say before dark who does it."

// windows are the limits of the work after the first evening: what the crew works from
// the earliest start of any option's task there to the latest end. The morning after the
// last night is no limit: a cover that lies a day longer spoils nothing, and where nobody
// is free for it somebody is asked for.
func (f *Facts) windows() []Window {
	type span struct {
		from, to time.Time
		soft     bool
	}
	spans := map[string]span{}
	for _, s := range f.Choices.Spaces {
		for _, tasks := range f.Later[s.Space] {
			for _, t := range tasks {
				w, ok := spans[t.Window]
				if !ok {
					w = span{t.Earliest, t.Deadline, t.Late.After(t.Deadline)}
				}
				w.from, w.to = earliest(w.from, t.Earliest), latest(latest(w.to, t.Deadline), t.Late)
				spans[t.Window] = w
			}
		}
	}
	var out []Window
	for _, name := range sortedKeys(spans) {
		w := spans[name]
		out = append(out, Window{name, CrewMinutes(f.Crew, latest(f.Now, w.from), w.to)})
	}
	slices.SortStableFunc(out, func(a, b Window) int { return spans[a.Name].from.Compare(spans[b.Name].from) })
	if n := len(out); n > 0 && spans[out[n-1].Name].soft {
		out = out[:n-1]
	}
	return out
}

// scheduleNights puts the work of all nights on the clock, evening by evening, the next
// one first: what a later evening asks never takes an hour from an earlier one. Then come
// the mornings, into what is left; their work may be late, and what falls in nobody's
// hours stands there without a name.
func scheduleNights(tasks []Task, crew []Shift, now time.Time) (jobs []Job, unfit []Unfit) {
	var hard, soft [][]Task
	for _, group := range byWindow(tasks) {
		if group[0].Late.IsZero() {
			hard = append(hard, group)
		} else {
			soft = append(soft, group)
		}
	}
	for _, group := range hard {
		j, u := Schedule(group, crew, now)
		jobs, unfit = append(jobs, j...), append(unfit, u...)
		crew = less(crew, j)
	}
	for _, group := range soft {
		j, late := Schedule(group, crew, now)
		jobs, crew = append(jobs, j...), less(crew, j)
		var slow []Task
		for _, u := range late {
			slow = append(slow, u.Task)
		}
		for _, t := range afterOthers(slow) {
			t.Deadline = t.Late
			if k := slices.IndexFunc(jobs, func(j Job) bool { return j.ID == t.After }); k >= 0 {
				t.Earliest, t.After = latest(t.Earliest, jobs[k].Start.Add(time.Duration(jobs[k].Minutes)*time.Minute)), ""
			}
			if j, no := Schedule([]Task{t}, crew, now); len(no) == 0 {
				jobs, crew = append(jobs, j...), less(crew, j)
				continue
			}
			at := latest(t.Earliest, now)
			jobs = append(jobs, Job{
				ID: t.ID, What: t.What, Space: t.Space, Minutes: t.Minutes, Start: at, Latest: latest(at, t.Late.Add(-minutesOf(&t))),
				Note: nobodyFree, Night: t.Night, Block: t.Block,
			})
		}
	}
	slices.SortStableFunc(jobs, func(a, b Job) int {
		return cmp.Or(a.Start.Compare(b.Start), a.Latest.Compare(b.Latest), cmp.Compare(a.ID, b.ID))
	})
	return jobs, unfit
}

func minutesOf(t *Task) time.Duration { return time.Duration(t.Minutes) * time.Minute }

// byWindow groups tasks by window, the first evening's first and then by their earliest
// start; the order within a window is kept.
func byWindow(tasks []Task) [][]Task {
	at := map[string]int{}
	var out [][]Task
	for _, t := range tasks {
		k, ok := at[t.Window]
		if !ok {
			k = len(out)
			at[t.Window] = k
			out = append(out, nil)
		}
		out[k] = append(out[k], t)
	}
	begins := func(g []Task) time.Time {
		from := g[0].Earliest
		for _, t := range g {
			from = earliest(from, t.Earliest)
		}
		return from
	}
	slices.SortStableFunc(out, func(a, b []Task) int {
		if first := (a[0].Window == ""); first != (b[0].Window == "") {
			if first {
				return -1
			}
			return 1
		}
		return begins(a).Compare(begins(b))
	})
	return out
}

// less is what is left of people's hours beside their jobs.
func less(crew []Shift, jobs []Job) []Shift {
	out := slices.Clone(crew)
	for _, j := range jobs {
		from, to := j.Start, j.Start.Add(time.Duration(j.Minutes)*time.Minute)
		var left []Shift
		for _, s := range out {
			if !slices.Contains(j.People, s.Name) || !s.From.Before(to) || !s.To.After(from) {
				left = append(left, s)
				continue
			}
			if s.From.Before(from) {
				left = append(left, Shift{s.Name, s.From, from})
			}
			if s.To.After(to) {
				left = append(left, Shift{s.Name, to, s.To})
			}
		}
		out = left
	}
	return out
}
