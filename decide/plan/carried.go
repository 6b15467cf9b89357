package plan

import (
	"slices"
	"strings"
	"time"
)

// morningsLeft is the morning's work of a night that is over, or of one that ends: covers to
// take off, flames to shut off, as the plan before had it. It stays on the clock until
// covers would go on again. What of it is ticked comes back as ended.
func (f *Freeze) morningsLeft(dusk time.Time) (tasks []Task, ended []Job) {
	if f.Before == nil || f.Before.Now.After(f.Now) {
		return nil, nil
	}
	coming := f.eveningOf(dusk)
	for _, j := range f.Before.Jobs {
		if j.Block != InMorning || j.Night == "" || j.Night >= coming {
			continue
		}
		day, err := time.ParseInLocation(time.DateOnly, j.Night, f.zone())
		if err != nil {
			continue
		}
		off, on, ok := f.morningAfter(day.Add(18 * time.Hour))
		if k := slices.IndexFunc(f.Done, func(d Done) bool { return d.Night == j.Night && d.Space == j.Space && d.What == j.What }); k >= 0 {
			if j.Done = f.Done[k].At; ok && on.After(f.Now) {
				ended = append(ended, j)
			}
			continue
		}
		need := time.Duration(j.Minutes) * time.Minute
		if !j.Done.IsZero() || !ok || !on.Add(-need).After(f.Now) {
			continue
		}
		tasks = append(tasks, Task{
			ID: j.ID, What: j.What, Space: j.Space, People: max(1, len(j.People)), Minutes: j.Minutes, Earliest: off,
			Deadline: earliest(latest(off.Add(offBy), f.Now.Add(need)), on), Late: on, Night: j.Night, Block: j.Block,
			Window: "morning of " + off.In(f.zone()).Format("Mon 2 Jan"), Why: j.Why,
		})
	}
	for i := range tasks { // no opening is closed on a flame
		t := &tasks[i]
		if !strings.HasPrefix(t.What, closeOpening) {
			continue
		}
		if k := slices.IndexFunc(tasks, func(o Task) bool {
			return o.Space == t.Space && o.Night == t.Night && strings.HasPrefix(o.What, morningShut)
		}); k >= 0 {
			t.After = tasks[k].ID
		}
	}
	return afterOthers(tasks), ended
}

// isMornings tells whether a job is one of a morning.
func isMornings(what string) bool {
	for _, p := range [...]string{morningOff, morningShut, morningRoll, morningCarry, morningDial, morningAway, morningAir, morningShade, eveningShut, openCurtain, closeOpening} {
		if strings.HasPrefix(what, p) {
			return true
		}
	}
	return false
}

// MovesCover tells whether a job puts covers or a curtain on, or takes them off.
func MovesCover(what string) bool {
	for _, p := range [...]string{spreadTask, secondTask, cupTask, hangTask, drawCurtain, ownTask, letDownTask, morningOff, morningRoll, openCurtain} {
		if strings.HasPrefix(what, p) {
			return true
		}
	}
	return false
}

// offSince are the ticks of a space whose work still stands: what was taken off or shut
// off in a morning since does not. The ticks of mornings themselves put nothing in place.
func offSince(here []Done) (standing, gone []Done) {
	for i, d := range here {
		undone := func(morning string, by ...string) bool {
			return slices.ContainsFunc(by, func(p string) bool { return strings.HasPrefix(d.What, p) }) &&
				slices.ContainsFunc(here[i+1:], func(m Done) bool { return strings.HasPrefix(m.What, morning) })
		}
		switch {
		case isMornings(d.What):
		case undone(morningOff, spreadTask, secondTask, cupTask, ownTask), undone(morningShut, lightTask), undone(closeOpening, cutTask),
			undone(morningRoll, letDownTask), undone(morningCarry, carryTask), undone(morningDial, dialTask, offTask), undone(morningAway, barrelTask, wrapTask):
			gone = append(gone, d)
		default:
			standing = append(standing, d)
		}
	}
	return standing, gone
}

// TicksSince is the local date of the earliest evening whose ticks this plan may rest on.
func (p *Plan) TicksSince() string {
	since := ""
	if len(p.Nights) > 0 {
		since = p.Nights[0].Date
	}
	for _, j := range p.Jobs {
		if j.Night != "" && j.Night < since {
			since = j.Night
		}
	}
	return since
}
