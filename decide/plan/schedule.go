package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/labour"
)

// Task is a piece of work to be put on the clock.
type Task struct {
	ID       string // no two tasks share one
	What     string // in a grower's words
	Space    string
	People   int       // hands needed at the same time
	Minutes  int       // from start to end with that many hands
	Earliest time.Time // not before; the zero time means at once
	Deadline time.Time // must be finished by then
	Loss     float64   // what is lost when it is not done [money]
	After    string    // ID of a task that must be finished first; "" for none
	Night    string    // local date of the evening it is for
	Block    string    // the part of that night: [BeforeDark], [Overnight] or [InMorning]
	Window   string    // the stretch of work it belongs to, see [Window]; "" is the first evening
	Late     time.Time // work of a morning may still be done by then; zero: not after Deadline
	Why      string    // "" takes the reason of the option it belongs to
	Labour   labour.Work
}

// Shift is a span in which one named person works. A person may have several.
type Shift struct {
	Name     string
	From, To time.Time
}

// Unfit is a task that does not fit, and what that loses.
type Unfit struct {
	Task   Task
	Reason string
}

// CrewMinutes is the person-minutes between now and deadline. Shifts of one person
// that overlap count once.
func CrewMinutes(crew []Shift, now, deadline time.Time) int {
	total := 0
	for _, spans := range people(crew) {
		for _, s := range spans {
			from, to := latest(s.From, now), earliest(s.To, deadline)
			if to.After(from) {
				total += int(to.Sub(from) / time.Minute)
			}
		}
	}
	return total
}

// Schedule puts tasks on the crew's hours, most urgent first: by the latest moment
// they can start, then by loss. When one does not fit, the task that saves the least
// per person-minute among it and those put on before it is given up, and all is laid
// out anew; whatever was given up is tried once more at the end. The result keeps
// every deadline and uses nobody twice; it is not proven to be the best one.
// It is a function of its arguments alone.
func Schedule(tasks []Task, crew []Shift, now time.Time) (jobs []Job, unfit []Unfit) {
	crewSpans := people(crew)
	todo := slices.Clone(tasks)
	last := make(map[string]time.Time, len(tasks))
	for _, t := range todo {
		last[t.ID] = lastStart(t, crewSpans, now)
	}
	slices.SortStableFunc(todo, func(a, b Task) int {
		return cmp.Or(last[a.ID].Compare(last[b.ID]), cmp.Compare(b.Loss, a.Loss), cmp.Compare(a.ID, b.ID))
	})
	todo = afterOthers(todo)
	todo, given := part(todo, func(t Task) bool { return !last[t.ID].IsZero() })
	jobs, late := layOut(todo, crewSpans, now)
	for late >= 0 {
		drop := late
		for i := range late {
			if rate(todo[i]) < rate(todo[drop]) {
				drop = i
			}
		}
		given = append(given, todo[drop])
		todo = slices.Delete(todo, drop, drop+1)
		jobs, late = layOut(todo, crewSpans, now)
	}
	slices.SortStableFunc(given, func(a, b Task) int { return cmp.Compare(b.Loss, a.Loss) })
	for _, t := range given {
		at, _ := slices.BinarySearchFunc(todo, t, func(a, b Task) int { return last[a.ID].Compare(last[b.ID]) })
		more := slices.Insert(slices.Clone(todo), at, t)
		if again, late := layOut(more, crewSpans, now); late < 0 && !last[t.ID].IsZero() {
			jobs, todo = again, more
			continue
		}
		unfit = append(unfit, Unfit{t, whyUnfit(t, last[t.ID], crewSpans, now)})
	}
	for i := range jobs {
		t := todo[i]
		jobs[i].Latest = last[t.ID]
	}
	slices.SortStableFunc(jobs, func(a, b Job) int {
		return cmp.Or(a.Start.Compare(b.Start), a.Latest.Compare(b.Latest), cmp.Compare(a.ID, b.ID))
	})
	return jobs, unfit
}

// afterOthers moves every task behind the one that must be finished first.
func afterOthers(tasks []Task) []Task {
	out := make([]Task, 0, len(tasks))
	placed := make(map[string]bool, len(tasks))
	var place func(t Task, depth int)
	place = func(t Task, depth int) {
		if placed[t.ID] || depth > len(tasks) {
			return
		}
		if t.After != "" {
			if k := slices.IndexFunc(tasks, func(o Task) bool { return o.ID == t.After }); k >= 0 {
				place(tasks[k], depth+1)
			}
		}
		placed[t.ID] = true
		out = append(out, t)
	}
	for _, t := range tasks {
		place(t, 0)
	}
	return out
}

// rate is the loss a task saves per person-minute.
func rate(t Task) float64 { return t.Loss / float64(max(1, t.People*t.Minutes)) }

func whyUnfit(t Task, last time.Time, crew map[string][]Shift, now time.Time) string {
	end := t.Deadline.Format("Mon 15:04")
	switch {
	case t.People > len(crew):
		return fmt.Sprintf("it takes %d people at once and there are %d", t.People, len(crew))
	case last.IsZero():
		return fmt.Sprintf("%d people are never free together for %d min between %s and %s", t.People, t.Minutes, latest(t.Earliest, now).Format("Mon 15:04"), end)
	}
	return fmt.Sprintf("the people's time up to %s goes to work that saves more per minute", end)
}

// layOut gives tasks in order the first moment at which enough people are free.
// late is the first that would miss its deadline, or -1.
func layOut(tasks []Task, crew map[string][]Shift, now time.Time) (jobs []Job, late int) {
	names := sortedKeys(crew)
	busy := make(map[string][]Shift, len(crew))
	done := make(map[string]time.Time, len(tasks))
	for i, t := range tasks {
		need := time.Duration(t.Minutes) * time.Minute
		if t.After != "" {
			end, ok := done[t.After]
			if !ok {
				return nil, i // what must come first is given up
			}
			t.Earliest = latest(t.Earliest, end)
		}
		at, who := firstFree(t, need, names, crew, busy, now)
		if who == nil {
			return nil, i
		}
		for _, n := range who {
			busy[n] = append(busy[n], Shift{n, at, at.Add(need)})
		}
		done[t.ID] = at.Add(need)
		jobs = append(jobs, Job{ID: t.ID, What: t.What, Space: t.Space, People: who, Minutes: t.Minutes, Start: at, Labour: t.Labour, Night: t.Night, Block: t.Block})
	}
	return jobs, -1
}

// firstFree is the first moment, and the people, for a task; nil people: none.
func firstFree(t Task, need time.Duration, names []string, crew, busy map[string][]Shift, now time.Time) (time.Time, []string) {
	// A task starts at its earliest, when a shift starts, or when somebody is done.
	floor := latest(now, t.Earliest)
	moments := []time.Time{floor}
	for _, n := range names {
		for _, s := range crew[n] {
			moments = append(moments, s.From)
		}
		for _, b := range busy[n] {
			moments = append(moments, b.To)
		}
	}
	slices.SortFunc(moments, time.Time.Compare)
	for _, at := range moments {
		if at.Before(floor) || at.Add(need).After(t.Deadline) {
			continue
		}
		if who := freeAt(at, need, t.People, names, crew, busy); who != nil {
			return at, who
		}
	}
	return time.Time{}, nil
}

// freeAt names enough people who work and are idle from at for need, those with the
// least on their list first, then by name.
func freeAt(at time.Time, need time.Duration, count int, names []string, crew, busy map[string][]Shift) []string {
	var free []string
	end := at.Add(need)
	for _, n := range names {
		works := slices.ContainsFunc(crew[n], func(s Shift) bool { return !s.From.After(at) && !s.To.Before(end) })
		clash := slices.ContainsFunc(busy[n], func(b Shift) bool { return b.From.Before(end) && b.To.After(at) })
		if works && !clash {
			free = append(free, n)
		}
	}
	if len(free) < max(1, count) {
		return nil
	}
	slices.SortStableFunc(free, func(a, b string) int { return cmp.Compare(hours(busy[a]), hours(busy[b])) })
	return slices.Sorted(slices.Values(free[:max(1, count)]))
}

func hours(busy []Shift) time.Duration {
	var sum time.Duration
	for _, b := range busy {
		sum += b.To.Sub(b.From)
	}
	return sum
}

// lastStart is the latest moment at which the task could still start if the crew did
// nothing else; the zero time if there is none from now on.
func lastStart(t Task, crew map[string][]Shift, now time.Time) time.Time {
	need := time.Duration(t.Minutes) * time.Minute
	floor := latest(now, t.Earliest)
	moments := []time.Time{t.Deadline.Add(-need)}
	for _, spans := range crew {
		for _, s := range spans {
			moments = append(moments, s.To.Add(-need))
		}
	}
	slices.SortFunc(moments, func(a, b time.Time) int { return b.Compare(a) })
	names := sortedKeys(crew)
	for _, at := range moments {
		if at.Before(floor) || at.Add(need).After(t.Deadline) {
			continue
		}
		if freeAt(at, need, t.People, names, crew, nil) != nil {
			return at
		}
	}
	return time.Time{}
}

// people joins each person's shifts that touch or overlap, in order.
func people(crew []Shift) map[string][]Shift {
	out := make(map[string][]Shift)
	sorted := slices.Clone(crew)
	slices.SortStableFunc(sorted, func(a, b Shift) int { return cmp.Or(strings.Compare(a.Name, b.Name), a.From.Compare(b.From)) })
	for _, s := range sorted {
		if !s.To.After(s.From) {
			continue
		}
		own := out[s.Name]
		if n := len(own); n > 0 && !s.From.After(own[n-1].To) {
			own[n-1].To = latest(own[n-1].To, s.To)
			continue
		}
		out[s.Name] = append(own, s)
	}
	return out
}

// part parts tasks by keep, in order.
func part(tasks []Task, keep func(Task) bool) (yes, no []Task) {
	for _, t := range tasks {
		if keep(t) {
			yes = append(yes, t)
		} else {
			no = append(no, t)
		}
	}
	return yes, no
}

func latest(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func earliest(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}
