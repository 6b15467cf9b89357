package plan

import (
	"context"
	"slices"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/heat"
)

// wishesMost is how many wishes of one kind a space is simulated with. Judgement.
const wishesMost = 4

// emptyOdds is from which odds of running dry a way is tried with a cylinder more.
const emptyOdds = 0.05

// wished is a way that needs something that is not there: it cannot be chosen, but its
// loss tells what one more would be worth.
type wished struct {
	way   way
	lacks string          // a limit of which there is none; "" for fuel
	more  *site.Cylinders // the set with one full one more
	of    *site.Cylinders // the set as it is
}

// wish simulates every space with one more of what could be bought: a full cylinder
// where the fuel of a way runs dry, and a heater like one of those there are. A heater
// that breathes out into the house is never wished for.
func (l *look) wish(ctx context.Context, tell func(Stage)) error {
	l.wished, l.lacks = make([][]Option, len(l.spaces)), map[string]Counted{}
	tell(Stage{Doing: "what one more heater or cylinder would be worth"})
	for i := range l.spaces {
		var err error
		if l.wished[i], err = l.wishes(ctx, &l.spaces[i]); err != nil {
			return err
		}
	}
	return nil
}

// wishes are those of one space.
func (l *look) wishes(ctx context.Context, c *candidate) ([]Option, error) {
	f := l.f
	all := append(f.wishedFuel(c.ways, l.results(c)), f.wishedHeaters(c.space, &c.ways[0])...)
	if len(all) == 0 {
		return nil, nil
	}
	only := make([]way, len(all))
	ps := make([]night.Protection, len(all))
	for i := range all {
		only[i] = all[i].way
	}
	apart(only)
	for i := range only {
		ps[i] = only[i].protection
	}
	o := c.ready.Blank()
	with, err := f.Scene.OutlookContext(ctx, night.Request{
		Space: c.space, Protections: ps, Members: l.members, Draws: l.draws, From: o.From, To: o.To, Around: f.around, Kept: f.Kept,
	})
	if err != nil {
		return nil, err
	}
	var out []Option
	for i, w := range only {
		r := &with.Options[i]
		f.takes(&w.needs, &w.protection, r.Heat)
		if w.needs.Counted == nil {
			w.needs.Counted = map[string]int{}
		}
		if set := all[i].of; set != nil {
			// f.takes knows the set as it is by its place, this one not: count anew.
			kg := 0.0
			for k := range r.Heat.Lines {
				if w.protection.Firing.Lit[k].Store == all[i].more {
					kg += r.Heat.Lines[k].Used.P90
				}
			}
			have := fuelHave(set)
			w.needs.Counted[fuelLimit(set)] = min(max(fuelSteps(kg), have+1), have+fuelSteps(set.HoldsKg))
		} else {
			w.needs.Counted[all[i].lacks] = 1
			l.lacks[all[i].lacks] = Counted{Wish: true}
		}
		op := f.option(&w, with, r)
		op.Wish = true
		out = append(out, op)
	}
	return out, nil
}

// wishedFuel are the ways whose fuel runs dry, with one full cylinder more.
func (f *Freeze) wishedFuel(ways []way, known []night.Result) []wished {
	var out []wished
	for k := range ways {
		h, g := known[k].Heat, ways[k].protection.Firing
		if h == nil || len(out) == wishesMost {
			continue
		}
		dry := -1
		for l := range h.Lines {
			if c := g.Lit[l].Store; c != nil && !c.CanBuy && h.Lines[l].Empty.Odds >= emptyOdds {
				dry = l
			}
		}
		if dry < 0 {
			continue
		}
		was := g.Lit[dry].Store
		more := *was
		more.Spare++
		w := ways[k]
		lit := *g
		lit.Lit = slices.Clone(g.Lit)
		for l := range lit.Lit {
			if lit.Lit[l].Store == was {
				lit.Lit[l].Store = &more
			}
		}
		w.protection.Firing = &lit
		w.protection.Key += "+one-cylinder-more"
		w.protection.Words += ", with one full cylinder more of " + was.Name
		out = append(out, wished{way: w, more: &more, of: was})
	}
	return out
}

// wishedHeaters are one heater more, like one of those there are, beside the heat that
// runs by itself: electric ones, and those with a flue.
func (f *Freeze) wishedHeaters(sp *site.Space, bare *way) []wished {
	auto := f.Scene.Automatic(sp)
	if sp.House == nil || auto != nil && len(auto.Lit) >= heat.MaxHeaters {
		return nil
	}
	var out []wished
	for i := range f.Scene.Site.Heaters {
		h := f.Scene.Site.Heaters[i]
		if h.SetpointC == nil || h.Unvented() || h.Kind == site.HotWater || h.Portable || h.InputW <= 0 || len(out) == wishesMost {
			continue
		}
		name := h.Name
		h.Count, h.Space, h.Circuit, h.Name = 1, sp.Name, "", "one more "+h.Name
		g := night.Firing{}
		if auto != nil {
			g.Lit = slices.Clone(auto.Lit)
		}
		g.Lit = append(g.Lit, f.Scene.Light(&h, *h.SetpointC))
		run := fired{key: "one-more-" + slug(name), words: "one more heater like " + name + " here", firing: &g, work: func(*way) {}}
		out = append(out, wished{way: run.with(*bare, true), lacks: wishLimit("heater like " + name)})
	}
	return out
}
