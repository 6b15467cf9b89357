package plan

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/site"
)

// Standing work before every freeze: it saves nothing that night by itself, it finds
// what would fail while it is light, calm, and the shops are open. Minutes: judgement.
const (
	testMinutes  = 5.0 // light a heater, watch it, see the thermostat answer
	weighMinutes = 3.0 // weigh or read one cylinder
	lampMinutes  = 10.0
	layMinutes   = 10.0
	// standingBefore is how long before dark it should be over: cold, wind and wet
	// double every minute later on.
	standingBefore = 2 * time.Hour
)

// flameTest begins the key of the test of a flame without a flue.
const flameTest = "flame "

// standingKey begins the names of standing jobs.
const standingKey = "standing/"

// shedName is where work is done that belongs to no space.
const shedName = "Shed"

// standing lists the work before every freeze that this site and plan call for.
func (f *Freeze) standing(dusk time.Time) []Task {
	s := f.Scene.Site
	walk := s.Labour.WalkPerSpace
	until := dusk.Add(-standingBefore)
	if !until.After(f.Now) {
		until = dusk
	}
	var out []Task
	add := func(key, what, space, why string, minutes float64) {
		out = append(out, Task{
			ID: standingKey + key, What: what, Space: space, Why: why, People: 1, Minutes: int(minutes + 0.99),
			Earliest: f.Now, Deadline: until, Night: f.eveningOf(dusk), Block: BeforeDark,
		})
	}
	for _, c := range s.Cylinders {
		n := len(c.LeftKg) + c.Spare
		add("weigh "+slug(c.Name), fmt.Sprintf("weigh or read %s (%s), see that valves and hoses are sound", phrase.Count(n, "cylinder"), c.Name), spaceOfStore(s, &c),
			"what is left is "+leftWords(c.LeftFrom)+"; a plan on a wrong weight runs out before dawn", weighMinutes*float64(n)+walk)
	}
	for i := range s.Heaters {
		h := &s.Heaters[i]
		what := "test " + h.Name + ": it lights, the thermostat answers"
		if h.SetpointC == nil {
			what = "test " + h.Name + ": it lights, the flame is blue and steady"
		}
		key, people := "test "+slug(h.Name), 1
		if h.Burns() && s.Shed.Igniters != nil && *s.Shed.Igniters == 0 {
			what += "; get a spare way to light it, the shed has none"
		}
		if h.Unvented() { // only where it will burn, after its air is there
			key, people = flameTest+slug(h.Name), 2
			what += "; both of you, doors wide open while you try it"
		}
		add(key, what, h.Space, "a heater that does not light is found while there is time to mend it", testMinutes*float64(max(h.Count, 1))+walk)
		out[len(out)-1].People = people
	}
	for _, b := range s.Backups {
		add("backup "+slug(b.Name), "run "+b.Name+" outdoors for 12 to 15 minutes under load", shedName, "a backup that was not run fails when it is needed", 15+walk)
	}
	add("lamps", "charge lamps, radios and phones; lay out gloves, a second pair for each", shedName, "nobody finds them in the dark", lampMinutes)
	if len(s.Shed.Cloths) > 0 {
		what := "carry cloth, clamps, pins and mending tape to where they go on; mend holes now"
		if s.Shed.Tape != nil && *s.Shed.Tape == 0 {
			what = "get mending tape, the shed has none; carry cloth, clamps and pins to where they go on; mend holes now"
		}
		add("lay out", what, shedName, "in wind and wet every minute of it counts double", layMinutes+walk)
	}
	return out
}

// spaceOfStore is the space of the first heater a store feeds.
func spaceOfStore(s *site.Site, c *site.Cylinders) string {
	for i := range s.Heaters {
		if slices.Contains(c.Feeds, s.Heaters[i].Name) && s.Heaters[i].Space != "" {
			return s.Heaters[i].Space
		}
	}
	return shedName
}

func leftWords(from string) string {
	if from == site.TakenFull {
		return "not known, it was taken as full"
	}
	return "known by " + strings.TrimPrefix(from, "by ")
}

// withStanding puts the standing work into what is left of the crew's time. Nothing
// of the plan gives way to it; what does not fit is said.
func withStanding(tasks, standing []Task, jobs []Job, crew []Shift, now time.Time) (all []Job, left []string) {
	if len(standing) == 0 {
		return jobs, nil
	}
	all = jobs
	kept := slices.Clone(tasks)
	for _, t := range standing {
		if isClearing(t) && slices.ContainsFunc(tasks, func(o Task) bool { return o.Space == t.Space && isClearing(o) }) {
			continue // the plan clears it
		}
		if strings.HasPrefix(t.ID, standingKey+flameTest) {
			lit := slices.ContainsFunc(tasks, func(o Task) bool { return o.Space == t.Space && strings.HasPrefix(o.What, lightTask) })
			if !lit {
				continue // it does not burn in this plan, and its house has no air for it
			}
			if k := slices.IndexFunc(tasks, func(o Task) bool {
				return o.Space == t.Space && (strings.HasPrefix(o.What, cutTask) || o.What == SeeOpenings)
			}); k >= 0 {
				t.After, t.Deadline = tasks[k].ID, latest(t.Deadline, tasks[k].Deadline)
			}
		}
		more := append(slices.Clone(kept), t)
		again, unfit := scheduleNights(more, crew, now)
		if len(unfit) > 0 {
			left = append(left, t.What)
			continue
		}
		kept, all = more, again
	}
	return all, left
}
