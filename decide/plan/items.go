package plan

import (
	"maps"
	"slices"

	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"

	"example.org/coldnight/decide/night"
)

// Items is what a plan calls each stack of the shed: [SupplyLine.Item] and [Take.Item], in the order of the shed.
// Two equal stacks have the same name.
type Items struct {
	Cloths, Curtains, Cups, Panels, Wraps, Barrels []string
}

// ItemsOf names what is in a shed.
func ItemsOf(s *site.Shed, u measure.Units) Items {
	return Items{
		Cloths:   each(s.Cloths, u, func(one *site.Shed, c site.ShedCloth) { one.Cloths = []site.ShedCloth{c} }),
		Curtains: each(s.Curtains, u, func(one *site.Shed, c site.ShedCloth) { one.Curtains = []site.ShedCloth{c} }),
		Cups:     each(s.Cups, u, func(one *site.Shed, c site.ShedCup) { one.Cups = []site.ShedCup{c} }),
		Panels:   each(s.Panels, u, func(one *site.Shed, c site.ShedPanel) { one.Panels = []site.ShedPanel{c} }),
		Wraps:    each(s.Wraps, u, func(one *site.Shed, c site.ShedWrap) { one.Wraps = []site.ShedWrap{c} }),
		Barrels:  each(s.Barrels, u, func(one *site.Shed, c site.ShedBarrel) { one.Barrels = []site.ShedBarrel{c} }),
	}
}

// each asks the choice itself, with a shed of one stack, what it calls that.
func each[T any](stacks []T, u measure.Units, put func(*site.Shed, T)) []string {
	var out []string
	for _, x := range stacks {
		at := site.Site{Units: u}
		put(&at.Shed, x)
		f := Freeze{Scene: &night.Scene{Site: &at}}
		out = append(out, f.shelf().only())
	}
	return out
}

// only is the name of the one thing on a shelf.
func (s Shelf) only() string {
	var r resource
	switch {
	case len(s.Cloth) > 0:
		r = resource{kind: pieces, piece: s.Cloth[0]}
	case len(s.Cups) > 0:
		r = resource{kind: cups, cup: slices.Collect(maps.Keys(s.Cups))[0]}
	case len(s.Panels) > 0:
		r = resource{kind: panels, cup: slices.Collect(maps.Keys(s.Panels))[0]}
	case len(s.Counted) > 0:
		r = resource{kind: amounts, cup: slices.Collect(maps.Keys(s.Counted))[0]}
	}
	return r.name()
}
