package plan

import (
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
)

// Done is a job that is ticked as done.
type Done struct {
	JobID, Space, What string
	Night              string // local date of the evening it was for
	At                 time.Time
	Who                string // who ticked it; may be empty
}

// Revision is what this plan does otherwise than the one before it.
type Revision struct {
	At     time.Time `json:"at"`    // when the new plan was made
	Since  time.Time `json:"since"` // when the one before it was made
	Space  string    `json:"space"` // empty: the nursery
	Was    string    `json:"was"`
	Is     string    `json:"is"`
	Why    string    `json:"why"`
	Undoes bool      `json:"undoes"` // something that is done is taken back
}

// Take is something that a job takes from the shed.
type Take struct {
	Item  string `json:"item"` // as in SupplyLine
	Count int    `json:"count"`
}

// OnHand is one person and a span in which the plan counts on them.
type OnHand struct {
	Name string    `json:"name"`
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
}

// past is the plan before and what is done of it.
type past struct {
	plan  *Plan // nil: none
	voice night.Voice
	was   map[string]string  // option of the plan before, by space
	jobs  []Job              // that are done: they stand in the plan as they are
	undo  map[string][]Take  // what a job that takes something back sets free, by its ID
	off   map[[2]string]bool // options that take a cover or cups off again, by space and key
	said  []string
	bare  Facts   // the facts without what is done
	kept  float64 // what the best plan would save beyond the one that is kept [money]
	tight bool    // nothing can be taken back in time: what is on stays on
}

// Beginnings of jobs that take something back.
const (
	offAgain  = "take off again: "
	downAgain = "take down again: "
	awayAgain = "carry away again: "
	homeAgain = "carry home again: "
	upAgain   = "take up again: the parked cover"
	shutAgain = "shut off again: "
	dialBack  = "set the thermostats back as they were"
	dialAnew  = dialTask + "what this plan says now: "
)

// Beginnings of jobs of cups, inner curtains, wind panels, flames and air openings.
const (
	cupTask   = "put "
	hangTask  = "hang "
	standTask = "stand "
	// two layers of a cloth, the second later than the first
	firstTask  = spreadTask + "the first of "
	secondTask = "put the second layer on the first: "
	lightTask  = "light "
	cutTask    = "cut "
)

// again stands at the end of a job that has to be done once more.
const again = ", again"

// handLabour is what taking layers off a space takes [person-minutes].
type handLabour func(space string, layers int) float64

// after gives the facts of a plan that follows another: work that is done costs
// nothing any more, the cloth it took lies where it lies, and every option that does
// not keep it must take it back first.
func (f Facts) after(before *Plan, done []Done, v night.Voice, off handLabour) Facts {
	if before != nil && !slices.ContainsFunc(before.Nights, func(o Night) bool {
		return slices.ContainsFunc(f.Nights, func(n NightFacts) bool { return n.Date == o.Date })
	}) {
		before = nil // of another freeze
	}
	if len(f.Nights) == 0 || before == nil && len(done) == 0 {
		return f
	}
	p := &past{plan: before, voice: v, was: map[string]string{}, undo: map[string][]Take{}, off: map[[2]string]bool{}, bare: f}
	if before != nil {
		for _, n := range before.Nights {
			for _, s := range n.Spaces {
				if _, ok := p.was[s.Space]; !ok && len(s.Chosen) > 0 {
					p.was[s.Space] = s.Chosen[0].Option
				}
			}
		}
	}
	var tonight []Done
	for _, d := range done {
		if d.Night == f.Nights[0].Date || p.stays(d, f.Nights[0].Date) {
			tonight = append(tonight, d)
		}
	}
	slices.SortStableFunc(tonight, func(a, b Done) int { return a.At.Compare(b.At) })
	f.past = p
	f.Choices.Spaces = slices.Clone(f.Choices.Spaces)
	work := make(map[string]map[string][]Task, len(f.Work))
	shelf := map[string]int{}
	for _, r := range resources(f.Choices) {
		shelf[r.name()] = r.have
	}
	for s := range f.Choices.Spaces {
		c := &f.Choices.Spaces[s]
		c.Options = slices.Clone(c.Options)
		raw := map[string][]Task{}
		for _, o := range c.Options {
			raw[o.Key] = named(c.Space, o.Key, f.Work[c.Space][o.Key])
		}
		here, gone := offSince(of(tonight, c.Space))
		for _, d := range gone {
			p.keep(d)
		}
		st := p.standing(c, raw, here)
		st = p.onShelf(c.Space, st, shelf)
		work[c.Space] = map[string][]Task{}
		for o := range c.Options {
			key := c.Options[o].Key
			if tasks := p.adjust(c.Space, &c.Options[o], raw[key], st, here, f.Now, off, o == 0); len(tasks) > 0 || o > 0 {
				work[c.Space][key] = tasks
			}
		}
	}
	f.Work = work
	f.Standing = slices.DeleteFunc(slices.Clone(f.Standing), func(t Task) bool {
		k := slices.IndexFunc(tonight, func(d Done) bool { return d.Space == t.Space && d.What == t.What })
		if k >= 0 && !slices.ContainsFunc(p.jobs, func(j Job) bool { return j.ID == tonight[k].JobID }) {
			p.keep(tonight[k])
		}
		return k >= 0
	})
	return f
}

// stays tells whether work of an earlier night lies there still, as the plan before left
// it on through the day.
func (p *past) stays(d Done, date string) bool {
	return d.Night < date && strings.HasSuffix(p.was[d.Space], stayKey) && (isOn(d.What) || isMornings(d.What))
}

// followed are the plan before, where it is one of this freeze and not of later, and
// the ticks.
func (f *Freeze) followed() (*Plan, []Done) {
	if f.Before == nil || f.Before.Now.After(f.Now) {
		return nil, f.Done
	}
	return f.Before, f.Done
}

// uncover is what taking layers off a space takes [person-minutes].
func (f *Freeze) uncover(space string, layers int) float64 {
	l, area := f.Scene.Site.Labour, 0.0
	if sp := f.Scene.Site.Space(space); sp != nil {
		area = sp.AreaM2()
	}
	return l.UncoverPer100M2*area*float64(layers)/100 + l.WalkPerSpace
}

func of(done []Done, space string) []Done {
	return slices.DeleteFunc(slices.Clone(done), func(d Done) bool { return d.Space != space })
}

// keep lets a job that is done stand in the plan as it was.
func (p *past) keep(d Done) *Job {
	j := Job{ID: d.JobID, Space: d.Space, What: d.What, Start: d.At, Latest: d.At, Night: d.Night}
	if p.plan != nil {
		same := func(o Job) bool { return o.ID == d.JobID && o.Space == d.Space && o.What == d.What }
		k := slices.IndexFunc(p.plan.Jobs, same)
		if k < 0 {
			k = slices.IndexFunc(p.plan.Jobs, func(o Job) bool { return o.Space == d.Space && o.What == d.What })
		}
		if k >= 0 {
			j = p.plan.Jobs[k]
		}
	}
	j.Done, j.By = d.At, d.Who
	p.jobs = append(p.jobs, j)
	return &p.jobs[len(p.jobs)-1]
}
