package night

import (
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/heat"
)

// track is one cell under one protection, with a run per state of its covers.
type track struct {
	b    *builder
	cal  *calendar
	p    Protection
	cup  string
	bare bool // no tissues wanted
	step time.Duration
	sims map[uint]*heat.Sim
	cur  *heat.Sim
	mask uint
	// classes are those of an hour's tissues
	classes []plant.Class

	fires *fires      // of the core of a house; nil without heat
	given [][]float64 // what the core's heaters gave by row, for an edge: shares of full burn
	first int         // row of given[0] and blown[0]

	moving  *moving             // what moves the air of a house; nil until it is looked up
	blew    blowing             // what moved it in the row that is over
	blown   []blowing           // the same of the core by row, for an edge
	dripped [heat.Faces]float64 // came down in the row that is over [kg/m2 of floor]

	rows  []weather.Row
	falls []snowfall // by row; nil without snow
	snow  lying
	look  look   // of the snow now
	looks []look // that sims were made for
}

// houseZone is the zone of the house's own air: under the curtain when it is drawn,
// over whatever lies on the plants.
func (t *track) houseZone(mask uint) int {
	if mask&(1<<len(t.p.Covers)) != 0 {
		return 2
	}
	return 1
}

// heaters puts the lit heaters and their opening into a cell. The core's thermostats
// decide; an edge gets per m2 what the core got.
func (t *track) heaters(c *heat.Cell, mask uint) {
	f := t.p.Firing
	if f == nil || t.b.space.House == nil {
		return
	}
	for l := range f.Lit {
		h := f.Lit[l].heater(t.b.space.AreaM2(), t.houseZone(mask))
		if t.b.shape.Edge {
			h.SetC = math.Inf(1)
		}
		c.Heaters = append(c.Heaters, h)
	}
	if f.OpeningM2 > 0 {
		t.b.opening(c, t.houseZone(mask), f.OpeningM2, f.OpeningM2)
	}
}

// covers returns the state of the covers at row i as a bit each, the curtain
// last, and of the vents above them.
func (t *track) covers(i int) uint {
	at, _, _ := t.cal.at(i)
	return t.state(at, i)
}

// state is that at a moment of the stretch after row i.
func (t *track) state(at time.Time, i int) uint {
	_, rise, set := t.cal.at(i)
	mask := uint(0)
	for k, c := range t.p.Covers {
		if c.When.On(at, rise, set) {
			mask |= 1 << k
		}
	}
	if h := t.b.space.House; h != nil && h.Curtain != "" && h.CurtainWhen.On(at, rise, set) {
		mask |= 1 << len(t.p.Covers)
	}
	if t.p.Prepared.watered(at) {
		mask |= wateredBit
	}
	if t.p.Prepared.filled(at) {
		mask |= filledBit
	}
	if t.p.Prepared.wrapped(at) {
		mask |= wrappedBit
	}
	mask |= t.wears()
	return t.p.Airing.turn(at, t.p.Days.turn(at, mask, len(t.p.Covers)), len(t.p.Covers))
}

func (t *track) sim(mask uint) (*heat.Sim, error) {
	if s, ok := t.sims[mask]; ok {
		return s, nil
	}
	var on []active
	for k, c := range t.p.Covers {
		if mask&(1<<k) != 0 {
			m, err := t.b.scene.Material(c.Cloth)
			if err != nil {
				return nil, fmt.Errorf("space %q: %w", t.b.space.Name, err)
			}
			on = append(on, active{c, m})
		}
	}
	b := t.b
	if mask&wateredBit != 0 {
		b = b.watered()
	}
	snow := t.worn(mask)
	if snow.sags && b.space.House == nil {
		for k := range on {
			on[k].cover.HeightM, on[k].cover.Fit = 0, site.Touching
		}
	}
	cell, err := b.cell(on, mask&(1<<len(t.p.Covers)) != 0)
	if err != nil {
		return nil, err
	}
	b.lay(&cell, snow, len(on) > 0)
	if pct := mask >> ventShift & ventBits; pct > 0 {
		b.vent(&cell, on, float64(pct)/100)
	}
	if mask&filledBit != 0 {
		t.p.Prepared.Water.into(&cell, t.b.space.AreaM2())
	}
	t.heaters(&cell, mask)
	if b.space.House != nil {
		cell.FanZone = t.houseZone(mask)
	}
	var cup *cover.Material
	if t.cup != "" {
		if m, ok := cover.Find(t.b.scene.Covers, t.cup); ok {
			cup = &m
		}
	}
	bodies := t.b.scene.bodies(cup, t.p.Prepared.wrapping(), mask&wrappedBit != 0, t.b.need)
	if t.bare {
		bodies = nil
	}
	s, err := heat.New(cell, bodies...)
	if err != nil {
		return nil, fmt.Errorf("space %q, %s: %w", t.b.space.Name, t.b.shape.Name, err)
	}
	if t.sims == nil {
		t.sims = map[uint]*heat.Sim{}
	}
	t.sims[mask] = s
	return s, nil
}

// bodies are the tissues to carry along: all, or those somebody needs.
func (sc *Scene) bodies(cup *cover.Material, wrap *Wrapping, on bool, need []bool) []heat.Tissue {
	all := tissues(cup, wrap, on)
	if need == nil {
		return all
	}
	out := all[:0:0]
	for k, t := range all {
		if need[k] {
			out = append(out, t)
		}
	}
	return out
}

// begin starts a run from a guess of the ground that the days of spin-up wash
// out: straight from the mean air at the surface to the deep ground.
func (t *track) begin(d *heat.Sample, mean float64, repeated int) error {
	t.mask = t.covers(-repeated * int(24*time.Hour/t.step))
	sim, err := t.sim(t.mask)
	if err != nil {
		return err
	}
	var profile []float64
	z := 0.0
	c, err := t.b.cell(nil, false)
	if err != nil {
		return err
	}
	for _, l := range c.Ground.Layers {
		f := math.Min(1, (z+l.ThickM/2)/1.0)
		v := mean + 1 + f*(d.DeepC-mean-1)
		if z < t.b.snowM {
			v = math.Min(v, -1) // snow lies frozen
		}
		profile = append(profile, v)
		z += l.ThickM
	}
	sat, _ := air.SaturationDensity(mean)
	sim.Begin(heat.Start{AirC: mean, VapourKgM3: math.Min(d.VapourKgM3, sat), GroundC: profile})
	t.cur = sim
	return nil
}

// resume takes over the state another track has reached at a row.
func (t *track) resume(from *led, row int) error {
	t.snow, t.look, t.looks = from.snow, from.look, slices.Clone(from.looks)
	t.mask = t.covers(row)
	s, err := t.sim(t.mask)
	if err != nil {
		return err
	}
	s.Wake(from.rest)
	t.soak(s, from.down, t.mask, row)
	t.cur = s
	t.unwrapped(from.rest)
	return nil
}

// advance carries the cell from row i to the next.
func (t *track) advance(a, b *heat.Sample, i int) error {
	t.snows(a, i)
	if err := t.turn(t.covers(i), i); err != nil {
		return err
	}
	defer t.collect(t.cur)()
	if t.b.space.House != nil {
		from, to := *a, *b
		t.blow(&from, &to, i)
		a, b = &from, &to
	}
	switch {
	case t.fires != nil:
		return t.fires.advance(t, a, b, i)
	case t.given != nil:
		return t.warmed(a, b, i)
	case t.p.Airing != nil:
		return t.aired(a, b, i)
	case a.Slack != b.Slack:
		return t.inParts(a, b, i)
	}
	return t.cur.Advance(a, b, t.step.Seconds())
}

// turn puts covers, vents and snow into another state, in the stretch after row i.
func (t *track) turn(mask uint, i int) error {
	if mask == t.mask {
		return nil
	}
	s, err := t.sim(mask)
	if err != nil {
		return err
	}
	s.Become(t.cur)
	t.soak(s, t.down(t.mask), mask, i)
	t.cur, t.mask = s, mask
	return nil
}

// warmed carries an edge from row i to the next with the heat the core had.
func (t *track) warmed(a, b *heat.Sample, i int) error {
	from, to := *a, *b
	if i = i - t.first; i >= 0 && i < len(t.given) {
		for l, share := range t.given[i] {
			from.Burn[l], to.Burn[l] = share, share
		}
	}
	if from.Slack != to.Slack {
		return t.inParts(&from, &to, i+t.first)
	}
	return t.cur.Advance(&from, &to, t.step.Seconds())
}

func (t *track) hour(d *heat.Sample, r weather.Row) Hour {
	st := t.cur.State(d)
	h := Hour{
		Time: r.Time, ScreenC: d.AirC, PlantC: st.LocalC, State: st, SkyWM2: d.SkyWM2,
		WindMS: r.WindMS, SunWM2: d.SunWM2, CloudPct: 100 * r.CloudFrac,
		Covered: t.mask&coverBits != 0, Drip: t.dripped,
	}
	if t.classes == nil {
		t.classes = Classes()
	}
	h.Tissue = make([]float64, len(t.classes))
	n := 0
	for k := range h.Tissue {
		if t.b.need != nil && !t.b.need[k] {
			h.Tissue[k] = math.NaN()
			continue
		}
		h.Tissue[k] = t.cur.Tissue(n)
		if t.classes[k].IsRootBall() {
			h.Tissue[k] = t.b.rootBall(h.Tissue[k], t.cur, st)
		}
		n++
	}
	return h
}

// rimShare is how much of a pot at the rim of a block stands free: one side of
// four. Judgement.
const rimShare = 0.25

// rootBall is a root ball of this space [°C], given what one standing free would
// be. Where pots stand wall to wall they are a layer of the floor or of the
// bench, whose temperature the cell already carries.
func (b *builder) rootBall(free float64, s *heat.Sim, st heat.State) float64 {
	in := st.BenchC
	switch {
	case b.onBench() && b.space.Pots == site.Spaced:
		return free
	case b.onBench():
	case b.block():
		pot := b.potHeight()
		z := 0.0
		if b.snowM > leastSnowM && b.space.House == nil {
			z = b.snowM
		}
		in = (s.GroundC(z+pot/4) + s.GroundC(z+pot/2) + s.GroundC(z+3*pot/4)) / 3
	default:
		return free
	}
	if b.shape.Edge {
		return (1-rimShare)*in + rimShare*free
	}
	return in
}
