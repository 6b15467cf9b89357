package plan

import (
	"context"
	"fmt"
	"slices"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/weather"
)

// Stage is how far the making of a plan has got.
type Stage struct {
	Doing    string // in a grower's words
	Done, Of int    // spaces
	// First is a plan that can be used already, made from a few of the draws: without
	// failures, fuel and mornings; nil in all stages but one.
	First *Answer
}

// Make looks at every space under everything the shed allows and chooses. It is
// a pure function of the freeze.
func Make(f Freeze) (*Answer, error) {
	return MakeContext(context.Background(), f, nil)
}

// MakeContext is [Make] that stops when the context ends, with its error, and tells how
// far it has got; tell may be nil. The plan is the same whoever listens.
func MakeContext(ctx context.Context, f Freeze, tell func(Stage)) (*Answer, error) {
	if len(f.Members) == 0 || len(f.Members[0].Rows) == 0 {
		return nil, fmt.Errorf("no weather to plan with; give a forecast that reaches past tonight")
	}
	if len(f.Scene.Site.Spaces) == 0 {
		return nil, fmt.Errorf("the site file names no space; add one [[space]] with its length and width")
	}
	from, to, cold, err := f.span()
	if err != nil {
		return nil, err
	}
	listened := tell != nil
	if !listened {
		tell = func(Stage) {}
	}
	a := &Answer{From: from, To: to, Freeze: cold}
	l, err := f.looked(ctx, from, to)
	if err != nil {
		return nil, err
	}
	if err := l.first(ctx, tell); err != nil {
		return nil, err
	}
	base := f.facts(a, l)
	if listened && l.few != nil {
		rough, err := l.firstAnswer(a, base)
		if err != nil {
			return nil, err
		}
		tell(Stage{Doing: "a first plan", First: rough})
	}
	if err := l.narrow(ctx, base, tell); err != nil {
		return nil, err
	}
	if err := l.wish(ctx, tell); err != nil {
		return nil, err
	}
	facts, err := l.choose(ctx, a, base, tell)
	if err != nil {
		return nil, err
	}
	tell(Stage{Doing: "set-points of single nights"})
	again, err := f.refineAll(ctx, a, &facts, l.members, l.draws, l.dusks)
	if err != nil {
		return nil, err
	}
	tell(Stage{Doing: "covers left on by day"})
	some, err := f.patternAll(ctx, a, &facts, l.members, l.draws, l.dusks)
	if err != nil {
		return nil, err
	}
	if again || some {
		if err := a.build(f, facts); err != nil {
			return nil, err
		}
	}
	tell(Stage{Doing: "set-points by odds"})
	if again, err = f.oddsAll(ctx, a, &facts, l.members, l.draws, l.dusks); err != nil {
		return nil, err
	}
	if again {
		if err := a.build(f, facts); err != nil {
			return nil, err
		}
	}
	f.saySetPoints(a)
	if err := f.holding(a, l.members); err != nil {
		return nil, err
	}
	f.parkedNotes(a)
	tell(Stage{Doing: "the morning after"})
	if err := f.mornings(ctx, a, l.members, l.draws); err != nil {
		return nil, err
	}
	tell(Stage{Doing: "fuel, air and what may fail"})
	return a, f.heat(ctx, a, l.members, l.draws)
}

// looked makes every space of a freeze ready to be looked at, and finds what can be
// done for it.
func (f *Freeze) looked(ctx context.Context, from, to time.Time) (*look, error) {
	l := &look{f: f, members: make([]weather.Series, len(f.Members)), dusks: f.dusks(from, to)}
	for i, m := range f.Members {
		l.members[i] = m
		if m.Step > time.Hour { // covers go on and off by the hour
			l.members[i] = m.Hourly(f.Scene.Site.LatDeg, f.Scene.Site.LonDeg, f.Scene.Site.ElevationM)
		}
	}
	draws := f.Draws
	if draws <= 0 {
		draws = defaultDraws
	}
	l.draws = night.Draws(draws, len(f.Members), f.Seed)
	if !f.Full {
		l.few = representatives(l.members, l.draws, from, to)
		f.few = l.few
	}
	var err error
	if f.around, err = f.Scene.Around(ctx, l.members, l.draws, from); err != nil {
		return nil, err
	}
	l.spaces = make([]candidate, len(f.Scene.Site.Spaces))
	for i := range l.spaces {
		c := &l.spaces[i]
		c.space = &f.Scene.Site.Spaces[i]
		if c.ways, err = f.ways(c.space, l.dusks); err != nil {
			return nil, err
		}
		c.ways = f.reported(c.ways)
		apart(c.ways)
		ps := make([]night.Protection, len(c.ways))
		for k := range c.ways {
			ps[k] = c.ways[k].protection
		}
		c.ready, err = f.Scene.Ready(night.Request{
			Space: c.space, Protections: ps, Members: l.members, Draws: l.draws, From: from, To: to, Guests: f.guests(c.space), Around: f.around, Kept: f.Kept,
		})
		if err != nil {
			return nil, err
		}
	}
	return l, nil
}

// facts is what a choice needs beside the results of the spaces.
func (f *Freeze) facts(a *Answer, l *look) Facts {
	facts := Facts{
		Issued: f.Issued, Now: f.Now, Assumed: slices.Clone(f.Assumed),
		Choices: Choices{Shelf: f.shelf(), Currency: currency(f.Scene.Site.Money), Care: careOf(f.Scene.Site)},
		Work:    map[string]map[string][]Task{},
		Later:   map[string]map[string][]Task{},
		Crew:    f.shifts(a.From, a.To),
		Evening: f.eveningOf(l.dusks[0]),
		Reports: f.Reports,
	}
	if a.Freeze {
		facts.Standing = slices.DeleteFunc(append(f.roofsToClear(l.dusks[0]), f.standing(l.dusks[0])...), func(t Task) bool { return !f.tell(&t) })
	}
	var left []Task
	left, facts.ended = f.morningsLeft(l.dusks[0])
	facts.Standing = append(left, facts.Standing...)
	a.Spaces = make([]SpaceAnswer, len(l.spaces))
	for i := range l.spaces {
		o := l.spaces[i].ready.Blank()
		o.Options = l.spaces[i].first()
		a.Spaces[i] = SpaceAnswer{Outlook: &o}
		for _, s := range o.Assumed {
			if !slices.Contains(facts.Assumed, s) {
				facts.Assumed = append(facts.Assumed, s)
			}
		}
	}
	facts.Assumed = append(facts.Assumed, f.reportsAssumed()...)
	facts.Assumed = append(facts.Assumed, limitsAssumed(a.Spaces)...)
	facts.Assumed = append(facts.Assumed, heatAssumed(f.Scene)...)
	facts.Assumed = append(facts.Assumed, f.writtenAssumed()...)
	facts.Assumed = append(facts.Assumed, leversAssumed(a.Spaces)...)
	facts.Assumed = append(facts.Assumed, f.carryAssumed()...)
	facts.Assumed = append(facts.Assumed, f.limitsSaid()...)
	facts.Assumed = append(facts.Assumed, bringAssumed(f.Scene.Site)...)
	facts.Assumed = append(facts.Assumed, append(f.parkedAssumed(), f.snowAssumed()...)...)
	whole := l.facts(new(Answer), facts, (*candidate).first)
	facts.Assumed = append(facts.Assumed, careAssumed(&whole.Choices)...)
	facts.Assumed = append(facts.Assumed,
		fmt.Sprintf("one person-minute is counted as %.2f, the wear of a square metre of cloth as %.2f; odds of a group are over all nights of the freeze", minuteCost, wearPerM2),
		"covers of this plan go on before dark and come off two hours after sunrise, each day of the freeze, where nothing else is said")
	if a.Freeze {
		facts.Assumed = append(append(facts.Assumed, f.eveningsAssumed(l.dusks)...), lightAssumed)
	}
	return facts
}

// facts joins some results of every space to the facts of a choice, and puts them into a.
func (l *look) facts(a *Answer, base Facts, of func(*candidate) []night.Result) Facts {
	base.Work, base.Later = map[string]map[string][]Task{}, map[string]map[string][]Task{}
	base.Choices.Spaces, base.Nights = nil, nil
	base.Assumed = slices.Clone(base.Assumed)
	a.Spaces = make([]SpaceAnswer, len(l.spaces))
	for i := range l.spaces {
		c := &l.spaces[i]
		o := c.ready.Blank()
		o.Options = of(c)
		a.Spaces[i] = SpaceAnswer{Outlook: &o}
		choice := SpaceChoice{Space: c.space.Name}
		base.Work[c.space.Name], base.Later[c.space.Name] = map[string][]Task{}, map[string][]Task{}
		for k, w := range c.ways {
			r := &o.Options[k]
			l.f.takes(&w.needs, &w.protection, r.Heat)
			choice.Options = append(choice.Options, l.f.option(&w, &o, r))
			if k > 0 {
				w.tasks = slices.Clone(w.tasks)
				l.f.onFirst(&w, l.dusks[0])
				base.Work[c.space.Name][w.protection.Key], base.Later[c.space.Name][w.protection.Key] = w.tasks, w.later
			}
		}
		base.Choices.Spaces = append(base.Choices.Spaces, choice)
		base.Nights = addNights(base.Nights, c.space.Name, &o, l.dusks[0])
	}
	l.f.carry(a, &base, l.dusks)
	for i := range l.wished {
		base.Choices.Spaces[i].Options = append(base.Choices.Spaces[i].Options, l.wished[i]...)
	}
	for _, name := range sortedKeys(l.lacks) {
		base.Choices.Shelf.Counted = with1(base.Choices.Shelf.Counted, name, l.lacks[name])
	}
	return base
}

// option is a way with what came of it, as the choice needs it.
func (f *Freeze) option(w *way, o *night.Outlook, r *night.Result) Option {
	op := Option{
		Key: w.protection.Key, Words: f.waterWords(w.protection.Words, r), ExpectedLoss: r.Loss,
		Cost: w.cost + f.burnCost(&w.protection, r.Heat) + lightCost(o, r), PersonMinutes: w.minutes, Needs: w.needs,
		Later: minutesByWindow(w.later), LossByDraw: r.LossByDraw, FirstLoss: firstLossOf(o, r),
	}
	for g := range o.Stocks {
		n := float64(o.Stocks[g].Group.Count)
		op.Saleable += n * (1 - r.Odds[g].Unsaleable)
		op.Alive += n * (1 - r.Odds[g].Dead)
	}
	return op
}

// choose builds the plan, and as long as it takes something that has only been guessed,
// looks closer and builds it again.
func (l *look) choose(ctx context.Context, a *Answer, base Facts, tell func(Stage)) (Facts, error) {
	for {
		facts := l.facts(a, base, l.results)
		facts.Assumed = append(facts.Assumed, l.screenAssumed()...)
		if err := a.build(*l.f, facts); err != nil {
			return facts, err
		}
		if l.f.settle(a, &facts) {
			if err := a.build(*l.f, facts); err != nil {
				return facts, err
			}
		}
		want := make([][]int, len(l.spaces))
		for i := range want {
			want[i] = []int{l.wayOf(i, a.Spaces[i].Outlook.Options[a.Spaces[i].Chosen].Protection.Key)}
		}
		if l.known(want) {
			return facts, nil
		}
		if err := l.closer(ctx, want, tell); err != nil {
			return facts, err
		}
	}
}

// firstAnswer is a plan from the representative draws alone.
func (l *look) firstAnswer(like *Answer, base Facts) (*Answer, error) {
	a := &Answer{From: like.From, To: like.To, Freeze: like.Freeze, First: len(l.few)}
	facts := l.facts(a, base, (*candidate).first)
	facts.Assumed = append([]string{fmt.Sprintf("a first look, at %d of the %d ways the weather may turn out: fuel, failures and the morning are not worked out yet", len(l.few), len(l.draws))}, facts.Assumed...)
	f := *l.f
	f.Limits.PriceNodes = 1 // prices come with the plan that follows
	if err := a.build(f, facts); err != nil {
		return nil, err
	}
	a.Plan.Mornings = []Morning{}
	if err := f.holding(a, l.members); err != nil {
		return nil, err
	}
	f.parkedNotes(a)
	f.flameNotes(a)
	f.cautions(a)
	a.writeHeat()
	return a, nil
}
