package plan

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/morning"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/weather"
)

// Ends of the keys of covers that stay on through the day, and that are not put on in a
// mild night.
const (
	stayKey = "+stay"
	skipKey = "+skip"
)

// hemTask begins the job of closing hems.
const hemTask = "close the hems"

// plainKey is the key of the way that a pattern of days or nights was made of.
func plainKey(key string) string {
	for _, end := range [...]string{byNight, stayKey, skipKey} {
		if short, ok := strings.CutSuffix(key, end); ok {
			return short
		}
	}
	return key
}

// pattern is a way with its covers on through days, or off in nights.
type pattern struct {
	protection night.Protection
	stay, skip []int // evenings: the day before them it stays on, their night it is not put on
}

// patternBase is the option of a space that patterns are made of: the one it got, or, if
// that lays no cover, the cover that comes nearest to being worth its work, where it
// would be with half of it; and what the plan before was made of. None: no more.
func (f *Freeze) patternBase(s *SpaceAnswer, c *SpaceChoice) []int {
	o := s.Outlook
	lays := func(k int) bool {
		p := &o.Options[k].Protection
		return len(p.Covers) > len(o.Space.Covers) && p.Days == nil && len(p.Away) == 0 // what hangs on another space stays as it is
	}
	var out []int
	if lays(s.Chosen) {
		out = append(out, s.Chosen)
	} else {
		best, low := -1, c.Options[0].ExpectedLoss+c.Options[0].Cost
		for k := range o.Options {
			x := &c.Options[k]
			if v := x.ExpectedLoss + x.Cost - 0.5*minuteCost*float64(laterMinutes(x)); lays(k) && v < low && f.enough(o.Space.Name, x.Needs) {
				best, low = k, v
			}
		}
		if best >= 0 {
			out = append(out, best)
		}
	}
	if was, ok := f.wasChosen(o.Space.Name); ok {
		k := slices.IndexFunc(o.Options, func(r night.Result) bool { return r.Protection.Key == plainKey(was) })
		if k >= 0 && plainKey(was) != was && lays(k) && !slices.Contains(out, k) {
			out = append(out, k)
		}
	}
	return out
}

func laterMinutes(o *Option) int {
	sum := 0
	for _, n := range o.Later {
		sum += n
	}
	return sum
}

// wasChosen is the option that the plan before had for a space.
func (f *Freeze) wasChosen(space string) (string, bool) {
	if f.Before == nil {
		return "", false
	}
	c, ok := chosenOf(f.Before, space)
	return c.Option, ok
}

// bareMildK is how far above their limit, in nine cases of ten, all plants of a space must
// stay uncovered for a night to be tried without its cover [K]. What it costs to go
// without is for the simulation to find. Judgement.
const bareMildK = 1.0

// mild lists the evenings whose night every group of a space bears uncovered.
func (f *Freeze) mild(o *night.Outlook, dusks []time.Time) []int {
	var out []int
	bare := &o.Options[0]
	for k, dusk := range dusks {
		date, ok := f.eveningOf(dusk), len(o.Stocks) > 0
		for g := range o.Stocks {
			s := &o.Stocks[g]
			class := slices.Index(night.Classes(), s.Class())
			for c := range bare.Cells {
				for _, n := range bare.Cells[c].Nights {
					if n.Date == date && s.Where[c] > 0 && !(n.Min[class].P10 >= s.Limits.Saleable.MidC+s.ShiftK+bareMildK) {
						ok = false
					}
				}
			}
		}
		if ok {
			out = append(out, k)
		}
	}
	return out
}

// patterns are the ways to treat an option's covers through the days and nights.
func (f *Freeze) patterns(o *night.Outlook, base *night.Protection, dusks []time.Time) []pattern {
	var out []pattern
	all := make([]int, 0, len(dusks))
	for k := 1; k < len(dusks); k++ {
		all = append(all, k)
	}
	out = append(out, f.staying(o, base, all, dusks))
	if mild := f.mild(o, dusks); len(mild) > 0 && len(mild) < len(dusks) {
		out = append(out, f.skipping(o, base, mild, dusks))
	}
	return out
}

// staying is an option whose covers stay on through the days before some evenings.
func (f *Freeze) staying(o *night.Outlook, base *night.Protection, days []int, dusks []time.Time) pattern {
	p := pattern{protection: *base, stay: days}
	p.protection.Days = &night.Days{First: len(o.Space.Covers)}
	var names []string
	for _, k := range days {
		off, _, ok := f.morningAfter(dusks[k-1])
		if !ok {
			continue
		}
		p.protection.Days.Stay = append(p.protection.Days.Stay, night.Spell{From: off.Add(-time.Hour), To: dusks[k].Add(time.Hour)})
		names = append(names, off.In(f.zone()).Format("Mon 2 Jan"))
	}
	p.protection.Key += stayKey
	p.protection.Words += ", left on through the day of " + phrase.List(names)
	return p
}

// skipping is an option whose covers are not put on in some nights.
func (f *Freeze) skipping(o *night.Outlook, base *night.Protection, nights []int, dusks []time.Time) pattern {
	p := pattern{protection: *base, skip: nights}
	p.protection.Days = &night.Days{First: len(o.Space.Covers)}
	var names []string
	for _, k := range nights {
		date := f.eveningOf(dusks[k])
		day, err := time.ParseInLocation(time.DateOnly, date, f.zone())
		if err != nil {
			continue
		}
		noon := time.Date(day.Year(), day.Month(), day.Day(), 12, 0, 0, 0, f.zone())
		p.protection.Days.Bare = append(p.protection.Days.Bare, night.Spell{From: noon, To: noon.AddDate(0, 0, 1)})
		names = append(names, dayOf(date))
	}
	p.protection.Key += skipKey
	p.protection.Words += ", not in the night of " + phrase.List(names)
	return p
}

// worked is the work of an option under a pattern: what it leaves out is neither done nor
// paid for.
func (f *Freeze) worked(w way, p *pattern, dusks []time.Time) way {
	on := func(t Task) bool { return isOn(t.What) }
	off := func(t Task) bool {
		return strings.HasPrefix(t.What, morningOff) && !strings.HasPrefix(t.What, morningOff+"its own ") || strings.HasPrefix(t.What, morningRoll)
	}
	at := func(t Task, k int) bool { return t.Night == f.eveningOf(dusks[k]) }
	out := func(t Task) bool {
		for _, k := range p.stay {
			if on(t) && at(t, k) || off(t) && at(t, k-1) {
				return true
			}
		}
		for _, k := range p.skip {
			if (on(t) || off(t)) && at(t, k) {
				return true
			}
		}
		return false
	}
	spare := func(tasks []Task) ([]Task, int) {
		left, gone := part(tasks, func(t Task) bool { return !out(t) })
		n := 0
		for _, t := range gone {
			n += max(1, t.People) * t.Minutes
		}
		w.cost -= minuteCost * float64(n)
		return left, n
	}
	var n int
	w.tasks, n = spare(w.tasks)
	w.minutes -= n
	w.later, _ = spare(w.later)
	for i := range w.tasks {
		if !slices.ContainsFunc(w.tasks, func(o Task) bool { return o.What == w.tasks[i].After }) {
			w.tasks[i].After = ""
		}
	}
	return w
}

// patternAll tries, in every space of a freeze of several nights, the best cover left on
// by day and left off in mild nights, and adds both to the choice. It tells whether the
// plan must be made anew.
func (f *Freeze) patternAll(ctx context.Context, a *Answer, facts *Facts, members []weather.Series, ds []night.Draw, dusks []time.Time) (bool, error) {
	again := false
	if len(dusks) < 2 {
		return false, nil
	}
	for i := range a.Spaces {
		s := &a.Spaces[i]
		for _, base := range f.patternBase(s, &facts.Choices.Spaces[i]) {
			n, err := f.addPatterns(ctx, s, facts, i, base, members, ds, dusks)
			if err != nil {
				return false, err
			}
			again = again || n > 0
		}
	}
	return again, nil
}

// addPatterns runs the patterns of one option and adds them to the facts.
func (f *Freeze) addPatterns(ctx context.Context, s *SpaceAnswer, facts *Facts, i, base int, members []weather.Series, ds []night.Draw, dusks []time.Time) (int, error) {
	o := s.Outlook
	plain := &o.Options[base]
	list := f.patterns(o, &plain.Protection, dusks)
	run := func(some []pattern) (*night.Outlook, error) {
		ps := []night.Protection{o.Options[0].Protection}
		for k := range some {
			ps = append(ps, some[k].protection)
		}
		return f.Scene.OutlookContext(ctx, night.Request{Space: o.Space, Around: f.around, Kept: f.Kept, Protections: ps, Members: members, Draws: ds, From: o.From, To: o.To})
	}
	trial, err := run(list)
	if err != nil {
		return 0, err
	}
	added := 0
	for k := range list {
		p, r := &list[k], &trial.Options[k+1]
		if cool := f.coolDays(o, r, plain, p, dusks); len(cool) < len(p.stay) {
			facts.Assumed = append(facts.Assumed, fmt.Sprintf("%s: left on, it gets too hot by day under %s on %s; it comes off then", o.Space.Name, plain.Protection.Words, phrase.Count(len(p.stay)-len(cool), "day")))
			if len(cool) == 0 {
				continue
			}
			some := []pattern{f.staying(o, &plain.Protection, cool, dusks)}
			again, err := run(some)
			if err != nil {
				return added, err
			}
			p, r = &some[0], &again.Options[1]
		}
		f.addPattern(facts, o, i, base, p, r, dusks)
		added++
	}
	return added, nil
}

// coolDays are the days a pattern leaves the covers on that do not get too hot.
func (f *Freeze) coolDays(o *night.Outlook, r, plain *night.Result, p *pattern, dusks []time.Time) []int {
	var out []int
	for _, k := range p.stay {
		date := dusks[k].In(f.zone()).Format(time.DateOnly)
		x, y := dayOn(r, date), dayOn(plain, date)
		if x == nil || y == nil || !morning.TooHot(o.Stocks, x, y) {
			out = append(out, k)
		}
	}
	return out
}

func dayOn(r *night.Result, date string) *night.DayResult {
	for k := range r.Days {
		if r.Days[k].Date == date {
			return &r.Days[k]
		}
	}
	return nil
}

// addPattern adds a pattern to the options of a space.
func (f *Freeze) addPattern(facts *Facts, o *night.Outlook, i, base int, p *pattern, r *night.Result, dusks []time.Time) {
	choice := &facts.Choices.Spaces[i]
	plain := choice.Options[base]
	if slices.ContainsFunc(choice.Options, func(x Option) bool { return x.Key == p.protection.Key }) {
		return
	}
	space := o.Space.Name
	w := f.worked(way{
		tasks: slices.Clone(facts.Work[space][plain.Key]), later: slices.Clone(facts.Later[space][plain.Key]),
		minutes: plain.PersonMinutes, cost: plain.Cost,
	}, p, dusks)
	opt := plain
	opt.Key, opt.Words, opt.ExpectedLoss = p.protection.Key, p.protection.Words, r.Loss
	like := f.option(&way{protection: r.Protection}, o, r)
	opt.LossByDraw, opt.FirstLoss, opt.Saleable, opt.Alive = like.LossByDraw, like.FirstLoss, like.Saleable, like.Alive
	f.takes(&opt.Needs, &r.Protection, r.Heat)
	was := &o.Options[base]
	w.cost += f.burnCost(&r.Protection, r.Heat) - f.burnCost(&was.Protection, was.Heat) + lightCost(o, r) - lightCost(o, was)
	opt.PersonMinutes, opt.Cost, opt.Later = w.minutes, math.Max(0, w.cost), minutesByWindow(w.later)
	choice.Options = append(choice.Options, opt)
	o.Options = append(o.Options, *r)
	facts.Work[space][opt.Key], facts.Later[space][opt.Key] = w.tasks, w.later
	for n := range r.Cells[0].Nights {
		date := r.Cells[0].Nights[n].Date
		if at := slices.IndexFunc(facts.Nights, func(x NightFacts) bool { return x.Date == date }); at >= 0 {
			facts.Nights[at].Outcomes[space][opt.Key] = outcome(o, r, n, dusks[0])
		}
	}
}

// lightCost is what the light that an option takes from the plants on the whole days of a
// freeze costs, beyond what they lack with nothing done [money].
func lightCost(o *night.Outlook, r *night.Result) float64 {
	sum := 0.0
	for k := range r.Days {
		if bare := dayOn(&o.Options[0], r.Days[k].Date); bare != nil {
			sum += morning.LightLoss(o.Stocks, r.Days[k].LightMol) - morning.LightLoss(o.Stocks, bare.LightMol)
		}
	}
	return math.Max(0, sum)
}

// lightAssumed says what light is worth.
const lightAssumed = "the light that plants lack under covers on the whole days of the freeze counts as 0.5 % of their worth for each day's need (judgement)"
