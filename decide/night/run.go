package night

import (
	"fmt"
	"math"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/heat"
)

// run carries every shape of a space through one draw, once per protection, and
// returns tracks[protection][shape]. The first protection is what the file says
// is on; the days before the span run under it.
func (sc *Scene) run(sp *site.Space, shapes []site.CellShape, ps []Protection, need []bool, d Draw, s weather.Series, w span) ([][]Track, error) {
	if len(s.Rows) < 2 {
		return nil, fmt.Errorf("the weather has %d rows; at least two are needed", len(s.Rows))
	}
	open, err := sc.openGround(d, s, s.Rows[w.from].SnowCM/100)
	if err != nil {
		return nil, err
	}
	out := make([][]Track, len(ps))
	for p := range ps {
		out[p] = make([]Track, len(shapes))
	}
	stems := stemsOf(ps)
	r := &runner{scene: sc, series: s, span: w, open: open, cal: sc.calendar(s), coreRun: make([]beside, len(ps)), falls: sc.fallsOn(sp, s)}
	for k, sh := range shapes {
		b := &builder{scene: sc, space: sp, shape: sh, draw: d, need: need}
		b.snowM = math.Min(s.Rows[w.from].SnowCM/100, b.tops()) // what lies higher lies over the plants, see snow.go
		samples := b.samples(s)
		lead, err := r.lead(b, ps[0], samples)
		if err != nil {
			return nil, err
		}
		for p := range ps {
			if stems[p] >= 0 {
				continue // parts from the one it follows until something fails
			}
			if out[p][k], err = r.follow(b, lead, ps, p, samples, func(f int, x Track) { out[f][k] = x }, stems); err != nil {
				return nil, err
			}
		}
	}
	return out, nil
}

// runner holds what the shapes of one draw share. The core comes first; edges
// read its air.
type runner struct {
	scene    *Scene
	series   weather.Series
	span     span
	open     openAir
	cal      *calendar
	coreWarm beside
	coreRun  []beside // by protection
	falls    []snowfall
}

// lead runs the days before the span under the first protection.
func (r *runner) lead(b *builder, p Protection, samples []heat.Sample) (*track, error) {
	warm, repeated := spinUp(samples, r.series.Step, r.span.from)
	shift := len(warm) - 1 - r.span.from // warm[i] is samples[i-shift]
	b.surround(warm, r.open, p, shift)
	if b.shape.Edge {
		r.coreWarm.put(warm, b)
	}
	t := &track{b: b, cal: r.cal, p: p, step: r.series.Step, cup: p.Cup, rows: r.series.Rows, falls: r.falls, snow: lies(b.space, r.series)}
	t.look = t.snow.look(b, -1)
	t.dimmed(warm, -shift)
	if b.shape.Edge {
		t.given, t.blown, t.first = r.coreWarm.fire, r.coreWarm.blown, -shift
	} else {
		t.fires = b.kindle(p.Firing, true)
	}
	if err := t.begin(&warm[0], firstDay(r.series), repeated); err != nil {
		return nil, err
	}
	for i := 0; i+1 < len(warm); i++ {
		if err := t.advance(&warm[i], &warm[i+1], i-shift); err != nil {
			return nil, err
		}
		if !b.shape.Edge {
			r.coreWarm.burn(t)
			r.coreWarm.take(t.cur, &warm[i+1], i+1, len(warm))
		}
	}
	return t, nil
}
