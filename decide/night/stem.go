package night

import (
	"reflect"
	"slices"
	"time"

	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/burner"
	"example.org/coldnight/physics/heat"
)

// parts tells whether something fails under a protection, its run ends early, or its
// thermostats are turned on single nights.
func (p *Protection) parts() bool {
	g := p.Firing
	return g != nil && (len(g.Fails) > 0 || !g.Until.IsZero() || slices.ContainsFunc(g.Lit, func(l Lit) bool { return len(l.Nights) > 0 }))
}

// stemsOf gives for each protection in which something fails, whose run ends early or whose
// thermostats are turned on single nights, the one before it that is the same but for
// that, or -1: until then both are one run. A stem has none itself.
func stemsOf(ps []Protection) []int {
	out := make([]int, len(ps))
	for p := range ps {
		out[p] = -1
		if !ps[p].parts() {
			continue
		}
		whole := ps[p]
		g := *whole.Firing
		g.Fails, g.Until = nil, time.Time{}
		whole.Firing = &g
		if out[p] = slices.IndexFunc(ps[:p], func(q Protection) bool { return reflect.DeepEqual(q, whole) }); out[p] < 0 {
			whole = everyNight(whole)
			out[p] = slices.IndexFunc(ps[:p], func(q Protection) bool { return q.Firing != nil && reflect.DeepEqual(unnamed(q), whole) })
		}
		if q := out[p]; q >= 0 && out[q] >= 0 {
			out[p] = out[q]
		}
	}
	return out
}

// everyNight is a protection with the set-points of its heaters on all nights, unnamed.
func everyNight(p Protection) Protection {
	g := *p.Firing
	g.Lit = slices.Clone(g.Lit)
	for l := range g.Lit {
		g.Lit[l].Nights = nil
	}
	p.Firing = &g
	return unnamed(p)
}

// unnamed is a protection without what it is called.
func unnamed(p Protection) Protection { p.Key, p.Words = "", ""; return p }

// partsAt is the last row at which a protection is still what its stem is: that at or
// before its first failure or its end, and the first of an evening with another
// set-point; at least 0.
func partsAt(p, stem *Protection, rows []weather.Row, cal *calendar, from int) int {
	first := p.Firing.Until
	for _, f := range p.Firing.Fails {
		if first.IsZero() || f.From.Before(first) {
			first = f.From
		}
	}
	at := 0
	for i := range rows {
		if first.IsZero() || !rows[i].Time.After(first) {
			at = i
		}
	}
	for i := range at {
		now, _, _ := cal.at(from + i)
		evening := eveningOf(now.Add(cal.step-1), now.Location())
		for l := range p.Firing.Lit {
			a, set := p.Firing.Lit[l].Nights[evening]
			b, was := stem.Firing.Lit[l].Nights[evening]
			if a != b || set != was {
				return i
			}
		}
	}
	return at
}

// part runs on from row at of a march under a protection in which something fails from
// then on.
func (r *runner) part(from *march, b *builder, p Protection, pi int, samples []heat.Sample, at int) (Track, error) {
	core := &r.coreRun[from.pi]
	if !b.shape.Edge {
		r.coreRun[pi] = beside{air: slices.Clone(core.air), vapour: slices.Clone(core.vapour), fire: slices.Clone(core.fire), blown: slices.Clone(core.blown)}
	}
	m := r.set(b, p, pi, samples)
	m.t.snow, m.t.look, m.t.looks = from.t.snow, from.t.look, slices.Clone(from.t.looks)
	sim, err := m.t.sim(from.t.mask)
	if err != nil {
		return Track{}, err
	}
	sim.Resume(from.t.cur)
	m.t.cur, m.t.mask = sim, from.t.mask
	m.t.fires = from.t.fires.again(p.Firing)
	m.hours = slices.Clone(from.hours)
	if m.t.fires != nil {
		for i := range m.hours {
			f := *m.hours[i].Fire
			f.Log = m.t.fires.log
			m.hours[i].Fire = &f
		}
	}
	for i := at; i+1 < len(m.run) && m.goesOn(i); i++ {
		if err := m.step(i); err != nil {
			return Track{}, err
		}
	}
	return Track{Shape: b.shape, Hours: m.hours}, nil
}

// again is a copy of the fires as they burn now, under another firing of the same lines.
func (x *fires) again(f *Firing) *fires {
	if x == nil {
		return nil
	}
	y := *x
	y.f = f
	y.lit, y.tripped, y.out = slices.Clone(x.lit), slices.Clone(x.tripped), slices.Clone(x.out)
	y.used, y.share, y.burnt = slices.Clone(x.used), slices.Clone(x.share), slices.Clone(x.burnt)
	stores := map[*store]*store{nil: nil}
	y.stores = make([]*store, len(x.stores))
	for l, st := range x.stores {
		if _, ok := stores[st]; !ok {
			c := *st
			c.bank.Cylinders = slices.Clone(st.bank.Cylinders)
			c.try = make([]burner.Cylinder, len(st.try))
			stores[st] = &c
		}
		y.stores[l] = stores[st]
	}
	g := *x.log
	g.First, g.Swaps, g.Visits = slices.Clone(g.First), slices.Clone(g.Swaps), make([][]time.Time, len(x.log.Visits))
	for l := range g.Visits {
		g.Visits[l] = slices.Clone(x.log.Visits[l])
	}
	y.log = &g
	return &y
}
