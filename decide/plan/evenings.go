package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/sun"
)

// Work of the mornings and of later evenings. Judgement.
const (
	tiredTimes   = 1.1           // every minute of an evening after the first
	wetTimes     = 1.25          // cloth that is wet or frozen: heavier, stiff, to be shaken out
	wetRainMM    = 1.0           // this much since the evening before wets it
	dewWithinK   = 2.0           // so does a night whose air came this close to its dew point: the cloth is colder than the air
	offBy        = 4 * time.Hour // covers are wanted off within so long of their hour
	closeMinutes = 10.0          // close two air openings again, one person
)

// Beginnings of the mornings' jobs.
const (
	morningOff   = "take off in the morning: "
	morningShut  = "shut off in the morning: "
	openCurtain  = "open the curtain"
	morningRoll  = "roll back in the morning: "
	morningCarry = "take home in the morning: "
	morningDial  = "set the thermostats back in the morning: to "
	morningAway  = "put away in the morning: "
	drawCurtain  = "draw the curtain, clear of lamps and heaters"
	closeOpening = "close the two air openings again"
)

// eveningOf is the local date of the evening whose night a moment belongs to, from noon
// to noon.
func (f *Freeze) eveningOf(t time.Time) string {
	l := t.In(f.zone())
	if l.Hour() < 12 {
		l = l.AddDate(0, 0, -1)
	}
	return l.Format(time.DateOnly)
}

// morningAfter is when covers come off after an evening, and when they would go on again;
// false where the sun does not rise.
func (f *Freeze) morningAfter(dusk time.Time) (off, on time.Time, ok bool) {
	for d := range 2 {
		rise, _, set, kind := sun.RiseSet(dusk.In(f.zone()).AddDate(0, 0, d), f.place())
		if kind == sun.Normal && rise.After(dusk) {
			return rise.Add(site.AfterSunrise).Truncate(time.Minute), set.Add(-site.BeforeSunset).Truncate(time.Minute), true
		}
	}
	return time.Time{}, time.Time{}, false
}

// onFirst says of a way's work for which night it is: of the first evening, or, once it
// is dark, of the night that has begun.
func (f *Freeze) onFirst(w *way, dusk time.Time) {
	dark := f.dark(f.place())
	for i := range w.tasks {
		t := &w.tasks[i]
		t.Night, t.Block = f.eveningOf(dusk), BeforeDark
		if dark || !t.Earliest.Before(dusk) {
			t.Block = Overnight
		}
	}
}

// book puts work that is not of the first evening on a way.
func (w *way) book(t Task, people int, personMinutes float64) {
	t.People = people
	t.Minutes = max(int(math.Ceil(personMinutes/float64(people)-1e-9)), 1)
	w.cost += minuteCost * float64(t.Minutes*people)
	w.later = append(w.later, t)
}

// everyEvening books the way's last task on the later evenings too, with so many
// person-minutes each, as many as are on hand and wet cloth make of them.
func (f *Freeze) everyEvening(w *way, dusks []time.Time, personMinutes func(dusk time.Time) float64) {
	t := w.tasks[len(w.tasks)-1]
	from, by := t.Earliest.Sub(dusks[0]), t.Deadline.Sub(dusks[0])
	for k := 1; k < len(dusks); k++ {
		f.onEvening(w, t, dusks, k, from, by, personMinutes(dusks[k]))
	}
}

// onEvening books a task on one later evening, from and by so long after its sunset.
func (f *Freeze) onEvening(w *way, t Task, dusks []time.Time, k int, from, by time.Duration, personMinutes float64) {
	t.Night = f.eveningOf(dusks[k])
	t.Window = "evening of " + dayOf(t.Night)
	t.Earliest, t.Deadline = dusks[k].Add(from), dusks[k].Add(by)
	t.Block = BeforeDark
	if from >= 0 {
		t.Block = Overnight
	}
	w.book(t, max(1, t.People), personMinutes*f.laterTimes(t.What, dusks, k))
}

// laterTimes is how many times the minutes a job takes on a later evening.
func (f *Freeze) laterTimes(what string, dusks []time.Time, k int) float64 {
	if (handlesCloth(what) || strings.HasPrefix(what, ownTask)) && f.wetCloth(dusks[k-1], dusks[k]) {
		return tiredTimes * wetTimes
	}
	return tiredTimes
}

// everyMorning books work on each morning of the freeze; work of the last one alone with
// last.
func (f *Freeze) everyMorning(w *way, what, space string, people int, personMinutes float64, dusks []time.Time, last bool) {
	for k, dusk := range dusks {
		if last && k < len(dusks)-1 {
			continue
		}
		f.onMorning(w, what, space, people, personMinutes, dusk)
	}
}

// onMorning books work on the morning after one evening.
func (f *Freeze) onMorning(w *way, what, space string, people int, personMinutes float64, dusk time.Time) {
	off, on, ok := f.morningAfter(dusk)
	if !ok {
		w.cost += minuteCost * personMinutes // somebody does it, at no hour that can be named
		return
	}
	w.book(Task{
		What: what, Space: space, Night: f.eveningOf(dusk), Block: InMorning, Window: "morning of " + off.In(f.zone()).Format("Mon 2 Jan"),
		Earliest: off, Deadline: earliest(off.Add(offBy), on), Late: latest(on, off.Add(offBy)),
	}, people, personMinutes)
}

// handlesCloth tells whether a job spreads cloth.
func handlesCloth(what string) bool {
	return strings.HasPrefix(what, spreadTask) || strings.HasPrefix(what, secondTask)
}

// isOn tells whether a job puts a cover on or closes it.
func isOn(what string) bool {
	return handlesCloth(what) || strings.HasPrefix(what, hemTask) || strings.HasPrefix(what, letDownTask)
}

// wetCloth tells whether, in more than half the members, rain, snow, dew or hoar frost
// has wet the cloth between two evenings.
func (f *Freeze) wetCloth(from, to time.Time) bool {
	wet := 0
	for _, m := range f.Members {
		rain, dew := 0.0, false
		for _, r := range m.Rows {
			if !r.Time.After(from) || r.Time.After(to) {
				continue
			}
			if r.RainMM > 0 {
				rain += r.RainMM
			}
			dew = dew || r.SnowCM > 0 || r.AirC-r.DewC < dewWithinK
		}
		if rain >= wetRainMM || dew {
			wet++
		}
	}
	return 2*wet > len(f.Members)
}

// minutesByWindow sums a way's later work.
func minutesByWindow(tasks []Task) map[string]int {
	if len(tasks) == 0 {
		return nil
	}
	out := map[string]int{}
	for _, t := range tasks {
		out[t.Window] += max(1, t.People) * t.Minutes
	}
	return out
}

// namedLater gives later work its names: the night and its part stand in them, so that
// those of one night keep theirs whatever another asks.
func namedLater(space, key string, tasks []Task) []Task {
	out := make([]Task, 0, len(tasks))
	for _, group := range byWindow(tasks) {
		for i := range group {
			t := &group[i]
			part := "evening"
			if t.Block == InMorning {
				part = "morning"
			}
			t.ID = fmt.Sprintf("%s/%s/%s %s/%d", space, key, t.Night, part, i+1)
		}
		all := named(space, key, group)
		for i := range all { // what is done once, such as an opening, is there by then
			if !slices.ContainsFunc(all, func(t Task) bool { return t.ID == all[i].After }) {
				all[i].After = ""
			}
		}
		out = append(out, all...)
	}
	return out
}

// eveningsAssumed says what later evenings and mornings are taken to take.
func (f *Freeze) eveningsAssumed(dusks []time.Time) []string {
	out := []string{fmt.Sprintf("covers are taken off two hours after sunrise or up to %.0f h later, flames shut off then; whoever is late with it costs light, not plants", offBy.Hours())}
	if len(dusks) < 2 {
		return out
	}
	var wet []string
	for k := 1; k < len(dusks); k++ {
		if f.wetCloth(dusks[k-1], dusks[k]) {
			wet = append(wet, dayOf(f.eveningOf(dusks[k])))
		}
	}
	words := fmt.Sprintf("work on the evenings after the first is taken to need %.2g times the minutes, as people are tired (judgement)", tiredTimes)
	if len(wet) > 0 {
		words += fmt.Sprintf("; cloth is wet or frozen by %s, and spreading it takes %.3g times as long again (judgement)", phrase.List(wet), wetTimes)
	}
	return append(out, words)
}
