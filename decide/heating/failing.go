package heating

import (
	"cmp"
	"math"
	"slices"
	"time"

	"example.org/coldnight/decide/night"
)

// evening is the first hour of those asked for, or the evening itself.
func (n *Night) evening() time.Time {
	if len(n.Hours) > 0 {
		return n.Hours[0]
	}
	return n.Noon.Add(-16 * time.Hour)
}

// failings puts in what may fail, night by night: each heater from the evening on, and
// the mains at each hour. All run to the noon after, beside a run of that night in which
// nothing fails.
func (v *variants) failings(lit []night.Lit) (single, mains []failing) {
	for k := range v.ask.Nights {
		n := &v.ask.Nights[k]
		until := func(fails ...failure) int {
			return v.add(func(g *firing) { g.Fails, g.Until = fails, n.Noon })
		}
		running := until()
		for l := range lit {
			name, at := lit[l].Heater.Name, n.evening()
			single = append(single, failing{name, at, n, until(failure{From: at, Heater: name}), running})
		}
		if onMains(lit) || blowsOnMains(v.ask.Scene.Site, v.ask.Space) {
			for _, at := range n.Hours {
				mains = append(mains, failing{"", at, n, until(failure{From: at, Mains: true}), running})
			}
		}
	}
	return single, mains
}

// Held is one group of one space in a failure.
type Held struct {
	Space string
	Hold
}

// Ranked are all groups of all spaces in an outage, the first at its limit first; those
// that one night in ten does not bring there are left out.
func (o *Outage) Ranked() []Held {
	var out []Held
	for _, s := range o.Spaces {
		for _, g := range s.Drill.Groups {
			if !math.IsInf(g.Early, 1) {
				out = append(out, Held{s.Space, g})
			}
		}
	}
	slices.SortStableFunc(out, func(p, q Held) int {
		return cmp.Or(cmp.Compare(p.Early, q.Early), cmp.Compare(p.Usual, q.Usual), cmp.Compare(q.Odds, p.Odds))
	})
	return out
}

// Worst is the outage of a night that costs most, or nil; "" for all nights.
func Worst(outages []Outage, date string) *Outage {
	var worst *Outage
	for i := range outages {
		o := &outages[i]
		if date != "" && o.Night != date {
			continue
		}
		if worst == nil || o.More > worst.More {
			worst = o
		}
	}
	return worst
}

// NightsOf are the nights of outages, in order.
func NightsOf(outages []Outage) []string {
	var out []string
	for i := range outages {
		if !slices.Contains(out, outages[i].Night) {
			out = append(out, outages[i].Night)
		}
	}
	return out
}

// WorstOut are the drills of single heaters, each in the night in which it costs most.
func (h *House) WorstOut() []*Drill {
	var out []*Drill
	for i := range h.Drills {
		d := &h.Drills[i]
		k := slices.IndexFunc(out, func(x *Drill) bool { return x.Heater == d.Heater })
		switch {
		case k < 0:
			out = append(out, d)
		case d.More > out[k].More || d.More == out[k].More && d.Early < out[k].Early:
			out[k] = d
		}
	}
	return out
}
