package night

import (
	"fmt"
	"slices"
	"time"

	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/heat"
)

// march carries one cell under one protection through the span.
type march struct {
	r     *runner
	t     *track
	pi    int           // of the protection
	run   []heat.Sample // of the span
	rows  []weather.Row
	hours []Hour
}

// set makes a march ready, before anything has burnt or cooled.
func (r *runner) set(b *builder, p Protection, pi int, samples []heat.Sample) *march {
	m := &march{r: r, pi: pi, rows: r.series.Rows[r.span.from : r.span.to+1]}
	b, samples = b.prepared(p.Prepared, samples, r.series)
	m.run = slices.Clone(samples[r.span.from : r.span.to+1])
	b.surround(m.run, r.open, p, -r.span.from)
	p.Airing.dim(m.run, m.rows)
	if b.shape.Edge {
		r.coreRun[pi].put(m.run, b)
	}
	m.t = &track{b: b, cal: r.cal, p: p, step: r.series.Step, cup: p.Cup, rows: r.series.Rows, falls: r.falls}
	m.t.dimmed(m.run, r.span.from)
	if b.shape.Edge {
		m.t.given, m.t.blown, m.t.first = r.coreRun[pi].fire, r.coreRun[pi].blown, r.span.from
	}
	return m
}

// follow runs the span under one protection from where the days before have led. What
// follows it until something fails or a thermostat is turned parts from it at that hour and
// is handed to parted.
func (r *runner) follow(b *builder, before *led, ps []Protection, pi int, samples []heat.Sample, parted func(int, Track), stems []int) (Track, error) {
	m := r.set(b, ps[pi], pi, samples)
	if !b.shape.Edge {
		m.t.fires = m.t.b.kindle(ps[pi].Firing, false)
		m.t.fires.inherit(before.fires)
	}
	if err := m.t.resume(before, r.span.from); err != nil {
		return Track{}, err
	}
	m.keep(0)
	leave := make([]int, len(ps))
	for f, s := range stems {
		if leave[f] = -1; s == pi {
			leave[f] = partsAt(&ps[f], &ps[pi], m.rows, r.cal, r.span.from)
		}
	}
	for i := range m.run {
		for f := range leave {
			if leave[f] == i {
				x, err := r.part(m, b, ps[f], f, samples, i)
				if err != nil {
					return Track{}, err
				}
				parted(f, x)
			}
		}
		if !m.goesOn(i) {
			break
		}
		if i+1 < len(m.run) {
			if err := m.step(i); err != nil {
				return Track{}, err
			}
		}
	}
	return Track{Shape: b.shape, Hours: m.hours}, nil
}

// goesOn tells whether what comes after row i is asked for.
func (m *march) goesOn(i int) bool {
	f := m.t.p.Firing
	return f == nil || f.Until.IsZero() || m.rows[i].Time.Before(f.Until)
}

// step carries the cell from row i to the next.
func (m *march) step(i int) error {
	t := m.t
	if err := t.advance(&m.run[i], &m.run[i+1], m.r.span.from+i); err != nil {
		return fmt.Errorf("space %q, %s, %s: %w", t.b.space.Name, t.b.shape.Name, m.rows[i].Time.Format(time.RFC3339), err)
	}
	if !t.b.shape.Edge {
		m.r.coreRun[m.pi].burn(t)
	}
	m.keep(i + 1)
	return nil
}

// keep notes the hour of row i.
func (m *march) keep(i int) {
	t, r := m.t, m.r
	h := t.hour(&m.run[i], m.rows[i])
	h.PlantC = m.run[i].AirC + r.open.offK[r.span.from+i]
	if len(t.p.Covers) == 0 && t.b.space.House == nil {
		h.PlantC = h.State.LocalC // bare: its own air
	}
	if t.fires != nil {
		h.Fire = t.fires.now()
	}
	m.hours = append(m.hours, h)
	if !t.b.shape.Edge {
		r.coreRun[m.pi].take(t.cur, &m.run[i], i, len(m.run))
	}
}
