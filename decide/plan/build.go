package plan

import (
	"fmt"
	"slices"
	"time"

	"example.org/coldnight/internal/phrase"
)

// Outcome is what decide/night found for one option of one space in one night.
type Outcome struct {
	Cells    []CellNight // MinC and At; BareMinC is taken from the outcome of doing nothing
	Groups   []GroupOdds
	From, To time.Time // when the protection is on
}

// NightFacts is one night of the freeze: outcomes by space and option key.
type NightFacts struct {
	Date     string
	Outcomes map[string]map[string]Outcome
}

// Facts is everything a plan is built from. With a Crew, Choices.Shelf.PersonMinutes
// is worked out from it, from Now to the latest deadline of Work.
type Facts struct {
	Issued, Now time.Time
	Choices     Choices
	Nights      []NightFacts
	// Work is the tasks of an option, by space and option key. Loss may be left
	// zero: then it is what the option saves in its space.
	Work map[string]map[string][]Task
	// Later is the work of an option after the first evening: mornings and later evenings.
	Later map[string]map[string][]Task
	Crew  []Shift
	// Evening is the local date of the evening that Work is for.
	Evening string
	// Standing is the work before every freeze, put into what the plan leaves of the
	// crew's time.
	Standing []Task
	Fuel     []Fuel
	Assumed  []string
	Reports  []Report // what is said of the work, beside that it is done

	ended []Job             // of the morning that is passing, ticked as done
	held  map[string]string // option that a space gets whatever it costs, by its name
	past  *past             // what the plan follows; nil: nothing
}

// buildRounds is how often an option that did not fit the clock is taken out and
// the plan made anew.
const buildRounds = 8

// Build makes the plan: decide, put on the clock, and where a chosen option's work
// does not fit, decide again without that option. The minutes are one pool to the
// solver, so its first bound holds for every plan, on the clock or not, and stays
// the bound of the document. The error is an *InputError.
func Build(f Facts, l Limits, b Bounds) (Plan, error) {
	m, err := f.Model(b)
	if err != nil {
		return Plan{}, err
	}
	bars := append(f.firstBars(m), f.heldBars(m)...)
	var a Allocation
	var jobs []Job
	bound := -inf
	for round := 0; ; round++ {
		a = m.solve(whatIf{barred: pairs(bars)}, l)
		if round == 0 || a.Guard != nil && a.Bound < bound {
			bound = a.Bound
		}
		if len(f.held) > 0 && a.from == nil {
			return Build(f.unheld(), l, b)
		}
		if a.from == nil {
			if again, ok := f.eased(); ok {
				return Build(again, l, b)
			}
		}
		if f.stuck(&a, round) {
			return Build(f.loosened(), l, b)
		}
		var unfit []Unfit
		jobs, unfit = scheduleNights(f.tasks(m, &a), f.Crew, f.Now)
		if len(unfit) == 0 {
			break
		}
		if round > 0 && round%buildRounds == 0 {
			// Slow going: from here on whole lists are taken out at once.
			bars = m.barAll(&f, &a, unfit, bars)
			continue
		}
		bars = m.barOne(&a, unfit, bars)
	}
	final, reasons := m.decide(l, bars)
	if slices.EqualFunc(final.Picks, a.Picks, func(x, y Pick) bool { return x.Option == y.Option }) {
		a = final
	} else if again, unfit := scheduleNights(f.tasks(m, &final), f.Crew, f.Now); len(unfit) == 0 {
		a, jobs = final, again
	} else {
		// Reasons must speak of the plan that is carried out.
		reasons, _ = m.explain(&a, l.orDefault(), whatIf{barred: pairs(bars)}, bars)
		for s := range reasons.Refused {
			m.tell(&a, s, &reasons)
		}
	}
	if kept, again, ok := f.settle(m, &a, bars, l); ok {
		a, jobs = kept, again
		reasons, _ = m.explain(&a, l.orDefault(), whatIf{barred: pairs(bars)}, bars)
		for s := range reasons.Refused {
			m.tell(&a, s, &reasons)
		}
	}
	jobs, left := withStanding(f.tasks(m, &a), f.Standing, jobs, f.Crew, f.Now)
	p := f.write(m, a, min(bound, a.Objective), reasons, jobs)
	for _, what := range left {
		p.Assumed = append(p.Assumed, "no time is left before dark to "+what)
	}
	f.revise(&p, m, &a, bars)
	p.noNull()
	return p, nil
}

// Model compiles the choice the facts pose, the crew's minutes of each window as one
// pool.
func (f *Facts) Model(b Bounds) (*Model, error) {
	c := f.Choices
	if len(f.Crew) > 0 {
		c.Shelf.PersonMinutes = CrewMinutes(f.Crew, f.Now, f.lastDeadline())
		c.Shelf.Windows = f.windows()
	}
	return Compile(c, b)
}

func pairs(bars []bar) [][2]int {
	var out [][2]int
	for _, b := range bars {
		out = append(out, [2]int{b.space, b.option})
	}
	return out
}

// barOne takes out the option whose work was given up first.
func (m *Model) barOne(a *Allocation, unfit []Unfit, bars []bar) []bar {
	s := m.spaceOf(unfit[0].Task.Space)
	return append(bars, bar{s, a.Picks[s].Option, "its work does not fit: " + unfit[0].Reason})
}

// barAll takes out every option but doing nothing where work was given up.
func (m *Model) barAll(f *Facts, a *Allocation, unfit []Unfit, bars []bar) []bar {
	for _, u := range unfit {
		s := m.spaceOf(u.Task.Space)
		for o := 1; o < len(m.c.Spaces[s].Options); o++ {
			if key := m.c.Spaces[s].Options[o].Key; len(f.Work[m.c.Spaces[s].Space][key])+len(f.Later[m.c.Spaces[s].Space][key]) == 0 {
				continue // no work, so it fits
			}
			if !slices.ContainsFunc(bars, func(b bar) bool { return b.space == s && b.option == o }) {
				bars = append(bars, bar{s, o, "work here does not fit: " + u.Reason})
			}
		}
	}
	return bars
}

func (m *Model) spaceOf(name string) int {
	return slices.IndexFunc(m.c.Spaces, func(s SpaceChoice) bool { return s.Space == name })
}

func (f *Facts) lastDeadline() time.Time {
	last := f.Now
	for _, options := range f.Work {
		for _, tasks := range options {
			for _, t := range tasks {
				last = latest(last, t.Deadline)
			}
		}
	}
	return last
}

// tasks lists the work of the chosen options. Doing nothing is no work, unless
// something is taken back for it.
func (f *Facts) tasks(m *Model, a *Allocation) []Task {
	var out []Task
	for s, p := range a.Picks {
		o := m.c.Spaces[s].Options
		for _, t := range named(p.Space, p.Key, f.Work[p.Space][p.Key]) {
			if t.Loss == 0 {
				t.Loss = max(0, o[0].ExpectedLoss-o[p.Option].ExpectedLoss)
			}
			out = append(out, t)
		}
	}
	out = f.takingBack(m, a, out)
	for _, p := range a.Picks {
		out = append(out, namedLater(p.Space, p.Key, f.Later[p.Space][p.Key])...)
	}
	return out
}

// named gives the tasks of an option their place and names, and turns what must come
// first, said by what it is, into a name.
func named(space, key string, tasks []Task) []Task {
	out := slices.Clone(tasks)
	for i := range out {
		t := &out[i]
		t.Space = space
		if t.ID == "" {
			t.ID = fmt.Sprintf("%s/%s/%d", space, key, i+1)
		}
	}
	for i := range out {
		if after := out[i].After; after != "" {
			if k := slices.IndexFunc(out, func(o Task) bool { return o.What == after }); k >= 0 {
				out[i].After = out[k].ID
			}
		}
	}
	return out
}

// write fills the document.
func (f *Facts) write(m *Model, a Allocation, bound float64, r Reasons, jobs []Job) Plan {
	p := Plan{
		Issued: f.Issued, Now: f.Now, Nights: []Night{}, Jobs: jobs, Supplies: []SupplyLine{}, Fuel: f.Fuel,
		Worth: m.worthLines(&r), Objective: a.Objective, Bound: bound, Assumed: slices.Clone(f.Assumed), Risk: m.riskOf(&a, &r),
	}
	if a.Objective > 0 {
		p.Gap = (a.Objective - bound) / a.Objective
	}
	priced := make([]bool, len(a.Picks))
	for _, n := range f.Nights {
		night := Night{Date: n.Date, Spaces: []SpaceNight{}}
		for s := range a.Picks {
			if by, ok := n.Outcomes[a.Picks[s].Space]; ok {
				night.Spaces = append(night.Spaces, m.spaceNight(&a, s, by, r, !priced[s]))
				priced[s] = true
			}
		}
		p.Nights = append(p.Nights, night)
	}
	for i := range p.Jobs {
		if k := slices.IndexFunc(f.Standing, func(t Task) bool { return t.ID == p.Jobs[i].ID }); k >= 0 {
			p.Jobs[i].Why = f.Standing[k].Why
			continue
		}
		s := m.spaceOf(p.Jobs[i].Space)
		o := m.c.Spaces[s].Options
		p.Jobs[i].Why = fmt.Sprintf("%s: expected loss %s instead of %s with nothing done",
			o[a.Picks[s].Option].Words, m.amount(o[a.Picks[s].Option].ExpectedLoss), m.amount(o[0].ExpectedLoss))
		p.Jobs[i].Takes = m.takesOf(&a, s, p.Jobs[i].What)
	}
	for _, c := range f.Crew {
		p.Crew = append(p.Crew, OnHand(c))
	}
	if f.past != nil {
		p.Jobs = append(slices.Clone(f.past.jobs), p.Jobs...)
	}
	if f.past != nil || len(f.ended) > 0 {
		p.Jobs = append(slices.Clone(f.ended), p.Jobs...)
		slices.SortStableFunc(p.Jobs, func(a, b Job) int { return a.Start.Compare(b.Start) })
	}
	for i := range p.Jobs {
		f.dateOf(&p.Jobs[i])
	}
	for r, s := range a.Supplies {
		if m.res[r].counted.Wish {
			continue
		}
		p.Supplies = append(p.Supplies, SupplyLine{s.Item, s.Each * float64(s.Have), s.Each * float64(s.Used), s.Unit})
	}
	for _, c := range m.cut {
		p.Assumed = append(p.Assumed, fmt.Sprintf("%s, %s: only the first %s of pieces were looked at", c.Space, c.Option, phrase.Count(c.Kept, "set")))
	}
	if f.past != nil && f.past.kept > 0 {
		p.Assumed = append(p.Assumed, f.past.keptWords(m))
	} else if a.Gap > 0 {
		p.Assumed = append(p.Assumed, fmt.Sprintf("the search for the best plan was stopped; it may be up to %s dearer than the best", m.amount(a.Objective-bound)))
	} else if bound < a.Objective-1e-9*(1+a.Objective) {
		p.Assumed = append(p.Assumed, fmt.Sprintf("the plan was made to fit people's hours; with hours that could be pooled freely it could be up to %s cheaper", m.amount(a.Objective-bound)))
	}
	p.noNull()
	return p
}

// dateOf says for which night a job is, where its task does not.
func (f *Facts) dateOf(j *Job) {
	if j.Night == "" {
		j.Night = f.Evening
	}
	if j.Night == "" && len(f.Nights) > 0 {
		j.Night = f.Nights[0].Date
	}
	if j.Block == "" {
		j.Block = BeforeDark
	}
}

// spaceNight writes what one space gets in one night.
func (m *Model) spaceNight(a *Allocation, s int, by map[string]Outcome, r Reasons, refusals bool) SpaceNight {
	pick := &a.Picks[s]
	options := m.c.Spaces[s].Options
	out, bare := by[pick.Key], by[options[0].Key]
	n := SpaceNight{Space: pick.Space, Groups: slices.Clone(out.Groups)}
	for _, c := range out.Cells {
		for _, b := range bare.Cells {
			if b.Cell == c.Cell && b.Class == c.Class {
				c.BareMinC = b.MinC
			}
		}
		n.Cells = append(n.Cells, c)
	}
	ch := Chosen{Option: pick.Key, Words: options[pick.Option].Words, Reason: r.Why[s]}
	if pick.Option > 0 {
		ch.From, ch.To = out.From, out.To
	}
	n.Chosen = []Chosen{ch}
	for _, f := range r.Refused[s] {
		if !refusals {
			break
		}
		re := Refused{Option: f.Key, Reason: f.Reason}
		if f.CannotBe == "" {
			price := f.AtLeast
			if f.Exact {
				price = f.AtMost
			}
			re.Price = &price
		}
		n.Refused = append(n.Refused, re)
	}
	return n
}

// noNull makes empty lists of missing ones and drops parts of seconds.
func (p *Plan) noNull() {
	p.Issued, p.Now = p.Issued.Truncate(time.Second), p.Now.Truncate(time.Second)
	p.Worth = orEmpty(p.Worth)
	p.Jobs, p.Fuel, p.Assumed = orEmpty(p.Jobs), orEmpty(p.Fuel), orEmpty(p.Assumed)
	p.Holds, p.Mornings = orEmpty(p.Holds), orEmpty(p.Mornings)
	p.Crew, p.Changes = orEmpty(p.Crew), orEmpty(p.Changes)
	p.Risk.Says, p.Drips = orEmpty(p.Risk.Says), orEmpty(p.Drips)
	p.Air, p.Rounds, p.Drills, p.Cautions = orEmpty(p.Air), orEmpty(p.Rounds), orEmpty(p.Drills), orEmpty(p.Cautions)
	p.Sleep, p.SetPoints = orEmpty(p.Sleep), orEmpty(p.SetPoints)
	p.Mains.Circuits, p.Mains.Outages, p.Mains.Backups = orEmpty(p.Mains.Circuits), orEmpty(p.Mains.Outages), orEmpty(p.Mains.Backups)
	for i := range p.Jobs {
		j := &p.Jobs[i]
		j.Start, j.Latest, j.People = j.Start.Truncate(time.Second), j.Latest.Truncate(time.Second), orEmpty(j.People)
		j.Takes, j.Done = orEmpty(j.Takes), j.Done.Truncate(time.Second)
	}
	for i := range p.Nights {
		for k := range p.Nights[i].Spaces {
			s := &p.Nights[i].Spaces[k]
			s.Cells, s.Groups, s.Refused = orEmpty(s.Cells), orEmpty(s.Groups), orEmpty(s.Refused)
		}
	}
}

func orEmpty[T any](v []T) []T {
	if v == nil {
		return []T{}
	}
	return v
}
