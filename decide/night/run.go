package night

import (
	"fmt"
	"math"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/heat"
)

// led is a cell at the end of the days before a span.
type led struct {
	rest  *heat.Rest
	fires *fires
	snow  lying
	look  look
	looks []look
	down  bool // its parked cover
}

// run carries every shape of a space through one draw, once per protection, and returns
// tracks[protection][shape]. The first protection is what is on in the days before.
func (sc *Scene) run(sp *site.Space, shapes []site.CellShape, ps []Protection, need []bool, d Draw, s weather.Series, w span) ([][]Track, error) {
	x := passage{scene: sc, space: sp, shapes: shapes, need: need, before: ps[0], draw: d, series: s, span: w}
	return x.run(ps)
}

// run carries every shape of a space through its span, once per protection, and returns
// tracks[protection][shape]. The days before the span run once, under what is on then.
func (x *passage) run(ps []Protection) ([][]Track, error) {
	s, w := x.series, x.span
	if len(s.Rows) < 2 {
		return nil, fmt.Errorf("the weather has %d rows; at least two are needed", len(s.Rows))
	}
	bed, err := x.scene.around(x.around, x.draw, s, w.from)
	if err != nil {
		return nil, err
	}
	out := make([][]Track, len(ps))
	for p := range ps {
		out[p] = make([]Track, len(x.shapes))
	}
	stems := stemsOf(ps)
	r := &runner{series: s, span: w, open: bed.open, cal: bed.cal, coreRun: make([]beside, len(ps)), falls: x.scene.fallsOn(x.space, s)}
	var leads []led
	for k, sh := range x.shapes {
		b := &builder{scene: x.scene, space: x.space, shape: sh, draw: x.draw, need: x.need}
		b.snowM = math.Min(s.Rows[w.from].SnowCM/100, b.tops()) // what lies higher lies over the plants, see snow.go
		samples := b.samples(s)
		if x.led == nil {
			t, err := r.lead(b, x.before, samples)
			if err != nil {
				return nil, err
			}
			leads = append(leads, led{t.cur.Rest(), t.fires, t.snow, t.look, t.looks, t.down(t.mask)})
		} else {
			leads = append(leads, x.led[k])
		}
		for p := range ps {
			if stems[p] >= 0 {
				continue // parts from the one it follows until something fails
			}
			if out[p][k], err = r.follow(b, &leads[k], ps, p, samples, func(f int, x Track) { out[f][k] = x }, stems); err != nil {
				return nil, err
			}
		}
	}
	x.led = leads
	return out, nil
}

// runner holds what the shapes of one draw share. The core comes first; edges
// read its air.
type runner struct {
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
