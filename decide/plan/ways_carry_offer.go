package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
)

// carry adds to every space ways with a group of real loss carried to free bench, and
// with two. It changes nothing where no bench is free.
func (f *Freeze) carry(a *Answer, facts *Facts, dusks []time.Time) {
	places := f.places()
	if len(places) == 0 {
		return
	}
	for _, p := range places {
		facts.Choices.Shelf.Counted = with1(facts.Choices.Shelf.Counted, benchName(p.name),
			Counted{Have: int(p.freeM2/benchStepM2 + 1e-9), Unit: "m2", Each: benchStepM2})
	}
	c := carrying{f: f, a: a, facts: facts, dusks: dusks, base: map[string]map[string]string{}}
	for i := range a.Spaces {
		c.from(i, places)
	}
	c.tie()
	f.carried = &c
}

// carrying is the work of [Freeze.carry].
type carrying struct {
	f     *Freeze
	a     *Answer
	facts *Facts
	dusks []time.Time
	base  map[string]map[string]string // by space and key of a new way: the way it is made of
	ties  []Tie
	made  []made
}

// made is a way with groups carried away, and what it is made of.
type made struct {
	i, k   int // space, and its way without
	key    string
	groups []int
	to     []stay
}

// from adds the ways of one space.
func (c *carrying) from(i int, places []place) {
	o := c.a.Spaces[i].Outlook
	type offer struct {
		g     int
		stays []stay
		saves float64
	}
	var offers []offer
	for g := range o.Stocks {
		area := carriedM2(o.Stocks[g].Group)
		if area <= 0 {
			continue
		}
		lost := o.Options[0].Odds[g].Loss
		st := c.f.stays(c.a, i, g, places)
		st = slices.DeleteFunc(st, func(s stay) bool {
			_, minutes := c.f.carryWork(o.Stocks[g].Group, &s.place)
			return lost-s.Odds.Loss <= 2*minuteCost*minutes
		})
		if len(st) > 0 {
			offers = append(offers, offer{g, st, (lost - st[0].Odds.Loss) / area})
		}
	}
	slices.SortStableFunc(offers, func(x, y offer) int { return cmp.Compare(y.saves, x.saves) })
	offers = offers[:min(len(offers), carryGroups)]
	n := len(o.Options)
	for _, x := range offers {
		for _, s := range x.stays {
			for _, k := range c.bases(i, n, x.g) {
				c.add(i, k, []int{x.g}, []stay{s})
			}
		}
	}
	if len(offers) == 2 {
		x, y := offers[0], offers[1]
		for _, k := range c.bases(i, n, x.g, y.g) {
			c.add(i, k, []int{x.g, y.g}, []stay{x.stays[0], y.stays[0]})
		}
	}
}

// bases are the ways of a space that are best when some of its groups are away, the
// first always among them.
func (c *carrying) bases(i, n int, away ...int) []int {
	o, choice := c.a.Spaces[i].Outlook, &c.facts.Choices.Spaces[i]
	left := func(k int) float64 {
		v := choice.Options[k].ExpectedLoss + choice.Options[k].Cost
		for _, g := range away {
			v -= o.Options[k].Odds[g].Loss
		}
		return v
	}
	rest := make([]int, 0, n)
	for k := 1; k < n; k++ {
		if !ownHelp(&o.Options[k].Protection, away) {
			rest = append(rest, k)
		}
	}
	slices.SortStableFunc(rest, func(x, y int) int { return cmp.Compare(left(x), left(y)) })
	return append([]int{0}, rest[:min(len(rest), carryBases-1)]...)
}

// ownHelp tells whether one of some groups is trimmed or wrapped, or has cups by name:
// work for plants that are away. Cups over all groups are left off those that are.
func ownHelp(p *night.Protection, groups []int) bool {
	return slices.ContainsFunc(groups, func(g int) bool {
		q := p.Prepared
		return slices.Contains(p.Cups, g) || q != nil && (slices.Contains(q.Trimmed, g) || q.Wrap != nil && slices.Contains(q.Wrap.Groups, g))
	})
}

// add adds one way: way k of space i with some groups carried away.
func (c *carrying) add(i, k int, groups []int, to []stay) {
	o, choice := c.a.Spaces[i].Outlook, &c.facts.Choices.Spaces[i]
	r, opt := &o.Options[k], choice.Options[k]
	p := r.Protection
	w := way{protection: p, needs: opt.Needs, cost: opt.Cost, minutes: opt.PersonMinutes, later: slices.Clone(c.facts.Later[o.Space.Name][r.Protection.Key])}
	w.needs.Counted = with1[int](opt.Needs.Counted, "", 0)
	delete(w.needs.Counted, "")
	var away []night.Carried
	var carried []string
	bench := map[string]float64{}
	for n, g := range groups {
		s := &to[n]
		name := o.Stocks[g].Name
		p.Key += "+" + slug(name) + "-to-" + slug(s.name) + s.mark
		words := fmt.Sprintf("%s carried to %s", name, s.name)
		if p.Words == leaveWords {
			p.Words = words
		} else {
			p.Words += ", " + words
		}
		away = append(away, night.Carried{Group: g, Hosted: s.Hosted})
		bench[s.name] += carriedM2(o.Stocks[g].Group)
		t, minutes := c.f.carryWork(o.Stocks[g].Group, &s.place)
		t.What, t.Space = fmt.Sprintf(t.What, name), o.Space.Name
		people := 1
		if minutes > 40 {
			people = 2
		}
		w.add(t, people, minutes, c.dusks[0])
		c.f.everyMorning(&w, morningCarry+fmt.Sprintf("%s of %s, from %s", phrase.Count(o.Stocks[g].Group.Count, "pot"), name, s.name), o.Space.Name, people, minutes, c.dusks, true)
		carried = append(carried, t.What)
	}
	for _, name := range sortedKeys(bench) {
		steps := int(math.Ceil(bench[name]/benchStepM2 - 1e-9))
		w.needs.Counted[benchName(name)] = steps
		if steps > c.facts.Choices.Shelf.Counted[benchName(name)].Have {
			return // each fits, both do not
		}
	}
	tasks := c.facts.Work[o.Space.Name][r.Protection.Key]
	if p.Cup != "" {
		if tasks = c.fewerCups(o, &p, &w, tasks, groups); len(p.Cups) == 0 {
			return // nobody is left for them
		}
	}
	for _, t := range tasks {
		if t.After == "" {
			t.After = carried[len(carried)-1] // first out with them, then over the rest
		}
		w.tasks = append(w.tasks, t)
	}
	res := o.Without(r, p, away...)
	res.Protection.Away = groups
	o.Options = append(o.Options, res)
	plants := c.f.option(&way{protection: p}, o, &res)
	choice.Options = append(choice.Options, Option{
		Saleable: plants.Saleable, Alive: plants.Alive,
		Key: p.Key, Words: p.Words, ExpectedLoss: res.Loss, Cost: w.cost, PersonMinutes: w.minutes, Needs: w.needs,
		LossByDraw: res.LossByDraw, FirstLoss: firstLossOf(o, &res), Later: minutesByWindow(w.later),
	})
	c.facts.Work[o.Space.Name][p.Key], c.facts.Later[o.Space.Name][p.Key] = w.tasks, w.later
	for n := range nightsOf(&res) {
		c.facts.Nights[slices.IndexFunc(c.facts.Nights, func(x NightFacts) bool { return x.Date == res.Cells[0].Nights[n].Date })].
			Outcomes[o.Space.Name][p.Key] = outcome(o, &res, n, c.dusks[0])
	}
	if c.base[o.Space.Name] == nil {
		c.base[o.Space.Name] = map[string]string{}
	}
	c.base[o.Space.Name][p.Key] = r.Protection.Key
	c.made = append(c.made, made{i, k, p.Key, groups, to})
	for n := range groups {
		if to[n].one != nil {
			c.ties = append(c.ties, Tie{Space: o.Space.Name, Options: []string{p.Key}, Beside: to[n].name, One: to[n].one, Why: to[n].why})
		}
	}
}

// tie lets ways that hang on how a place is kept be taken only with that. A way of the
// place with groups of its own carried away keeps it as warm as the way it is made of.
func (c *carrying) tie() {
	for _, t := range c.ties {
		of := c.base[t.Beside]
		for _, key := range sortedKeys(of) {
			if slices.Contains(t.One, of[key]) {
				t.One = append(slices.Clone(t.One), key)
			}
		}
		if k := slices.IndexFunc(c.facts.Choices.Ties, func(x Tie) bool {
			return x.Space == t.Space && x.Beside == t.Beside && slices.Equal(x.One, t.One)
		}); k >= 0 {
			c.facts.Choices.Ties[k].Options = append(c.facts.Choices.Ties[k].Options, t.Options...)
			continue
		}
		c.facts.Choices.Ties = append(c.facts.Choices.Ties, t)
	}
	c.ties = nil
}

// settle looks, once a plan is made, at each group that it carries to another space: how
// it fares under just what is chosen there. Where that is another loss than was counted on,
// it is a way more, which hangs on that choice. It tells whether the plan must be made
// anew.
func (f *Freeze) settle(a *Answer, facts *Facts) bool {
	c := f.carried
	if c == nil {
		return false
	}
	c.facts = facts
	again := false
	for _, m := range c.made {
		s := &a.Spaces[m.i]
		if s.Outlook.Options[s.Chosen].Protection.Key != m.key {
			continue
		}
		to := slices.Clone(m.to)
		other := false
		for n := range to {
			x := &to[n]
			if x.at < 0 {
				continue
			}
			host := &a.Spaces[x.at]
			at := slices.IndexFunc(host.Outlook.Guests, func(g night.Stock) bool { return g.Group == s.Outlook.Stocks[m.groups[n]].Group })
			chosen := &host.Outlook.Options[host.Chosen]
			if at >= len(chosen.Guests) || math.Abs(chosen.Guests[at].Odds.Loss-x.Odds.Loss) <= leastGain {
				continue
			}
			x.Hosted, x.one, x.mark, other = chosen.Guests[at], []string{chosen.Protection.Key}, x.mark+"-so", true
			x.why = x.name + " is kept so: " + chosen.Protection.Words
		}
		if other {
			c.add(m.i, m.k, m.groups, to)
			again = true
		}
	}
	c.tie()
	return again
}
