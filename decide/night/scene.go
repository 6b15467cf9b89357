package night

import (
	"fmt"
	"math"
	"time"

	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/heat"
	"example.org/coldnight/physics/sun"
)

// Scene is everything that stays the same while a site is looked at.
type Scene struct {
	Site    *site.Site
	Library *plant.Library
	Covers  []cover.Material
}

// NewScene joins a site with the built-in libraries.
func NewScene(s *site.Site) (*Scene, error) {
	lib, err := plant.New()
	if err != nil {
		return nil, err
	}
	return &Scene{Site: s, Library: lib, Covers: cover.Materials()}, nil
}

// Known lists the names a site file may use, for [site.Parse].
func Known() site.Known {
	k := site.Known{Words: plant.Words()}
	for _, m := range cover.Materials() {
		k.Covers = append(k.Covers, m.Key, m.Name)
		k.Covers = append(k.Covers, m.Words...)
	}
	for _, c := range plant.Classes() {
		k.Tissues = append(k.Tissues, string(c))
	}
	return k
}

// Material finds what a cloth is made of: by its name, else the spunbonded
// cloth nearest in weight; said in words when it is not the weight asked for.
func (sc *Scene) Material(c site.Cloth) (cover.Material, error) {
	if c.Name != "" {
		if m, ok := cover.Find(sc.Covers, c.Name); ok {
			return m, nil
		}
		return cover.Material{}, fmt.Errorf("cloth %q is not in the cover table; `coldnight check` lists the names", c.Name)
	}
	best, off := -1, math.Inf(1)
	for i, m := range sc.Covers {
		if m.Kind != cover.Cloth {
			continue
		}
		if d := math.Abs(m.ArealKgM2 - c.WeightKgM2); d < off-1e-9 {
			best, off = i, d
		}
	}
	if best < 0 {
		return cover.Material{}, fmt.Errorf("no cloth in the cover table weighs anything like %.0f g/m2", c.WeightKgM2*1000)
	}
	return sc.Covers[best], nil
}

// Hour is one moment of a cell as people read it.
type Hour struct {
	Time     time.Time
	ScreenC  float64 // air of the weather at this cell [°C]
	PlantC   float64 // outdoor air at plant height beside the cell [°C]
	State    heat.State
	SkyWM2   float64
	Tissue   []float64 // °C, by class as [Classes] lists them
	Covered  bool
	WindMS   float64
	SunWM2   float64
	CloudPct float64
}

// Classes are the tissue classes of [Hour.Tissue].
func Classes() []plant.Class { return append(plant.Classes(), Cupped) }

// Track is what one cell lived through.
type Track struct {
	Shape site.CellShape
	Hours []Hour
}

// span is the part of a series to report: rows from..to, both included.
type span struct{ from, to int }

// Span finds the rows of a series between two times, both included.
func Span(s weather.Series, from, to time.Time) (i, j int, err error) {
	i, j = -1, -1
	for k, r := range s.Rows {
		if i < 0 && !r.Time.Before(from) {
			i = k
		}
		if !r.Time.After(to) {
			j = k
		}
	}
	if i < 0 || j <= i {
		return 0, 0, fmt.Errorf("the weather holds nothing between %s and %s", from.Format(time.RFC3339), to.Format(time.RFC3339))
	}
	return i, j, nil
}

// run carries every shape of a space through one draw, once per protection, and
// returns tracks[protection][shape]. The first protection is what the file says
// is on; the days before the span run under it.
func (sc *Scene) run(sp *site.Space, shapes []site.CellShape, ps []Protection, need []bool, d Draw, s weather.Series, w span) ([][]Track, error) {
	if len(s.Rows) < 2 {
		return nil, fmt.Errorf("the weather has %d rows; at least two are needed", len(s.Rows))
	}
	out := make([][]Track, len(ps))
	open, err := sc.openGround(d, s)
	if err != nil {
		return nil, err
	}
	cal := sc.calendar(s)
	coreWarm := beside{}
	core := make([]beside, len(ps))
	for k, sh := range shapes {
		b := &builder{scene: sc, space: sp, shape: sh, draw: d, need: need}
		samples := b.samples(s)
		if cm := s.Rows[w.from].SnowCM; cm > 0 {
			b.snowM = cm / 100
		}
		b.surround(samples, open)
		warm, repeated := spinUp(samples, s.Step, w.from)
		shift := len(warm) - 1 - w.from // warm[i] is samples[i-shift]
		timeOf := func(i int) int { return i - shift }
		lead := &track{b: b, cal: cal, p: ps[0], step: s.Step}
		if err := lead.begin(&warm[0], s, repeated); err != nil {
			return nil, err
		}
		if sh.Edge {
			coreWarm.put(warm, b, lead.hasCover())
		}
		for i := 0; i+1 < len(warm); i++ {
			if err := lead.advance(&warm[i], &warm[i+1], timeOf(i)); err != nil {
				return nil, err
			}
			if !sh.Edge {
				coreWarm.take(lead.cur, &warm[i+1], i+1, len(warm))
			}
		}
		for o, p := range ps {
			t := &track{b: b, cal: cal, p: p, step: s.Step, cup: p.Cup}
			if err := t.become(lead, w.from); err != nil {
				return nil, err
			}
			run := samples[w.from : w.to+1]
			if sh.Edge {
				run = append([]heat.Sample(nil), run...)
				core[o].put(run, b, true)
			} else {
				core[o] = beside{}
			}
			tr := Track{Shape: sh, Hours: make([]Hour, 0, len(run))}
			tr.Hours = append(tr.Hours, t.hour(&run[0], s.Rows[w.from]))
			if !sh.Edge {
				core[o].take(t.cur, &run[0], 0, len(run))
			}
			for i := 0; i+1 < len(run); i++ {
				if err := t.advance(&run[i], &run[i+1], w.from+i); err != nil {
					return nil, fmt.Errorf("space %q, %s, %s: %w", sp.Name, sh.Name, s.Rows[w.from+i].Time.Format(time.RFC3339), err)
				}
				tr.Hours = append(tr.Hours, t.hour(&run[i+1], s.Rows[w.from+i+1]))
				if !sh.Edge {
					core[o].take(t.cur, &run[i+1], i+1, len(run))
				}
			}
			if out[o] == nil {
				out[o] = make([]Track, len(shapes))
			}
			out[o][k] = tr
		}
	}
	return out, nil
}

// beside is the core's air, for the edges that mix with it.
type beside struct{ air, vapour []float64 }

func (n *beside) take(s *heat.Sim, d *heat.Sample, i, size int) {
	if n.air == nil {
		n.air, n.vapour = make([]float64, size), make([]float64, size)
		n.air[0], n.vapour[0] = d.AirC, d.VapourKgM3
	}
	f := s.Feel(d)
	n.air[i], n.vapour[i] = f.AirC, f.VapourKgM3
}

// put writes the core's air into an edge's samples. Under a cover the strip
// changes air with the core: by drifts of 4 mm/s through the cross-section
// between them under low covers, 1 cm/s in a house. Judgement: an edge
// 2 K colder than the middle of one tunnel was read (doc/SOURCES.md, H19).
func (n *beside) put(s []heat.Sample, b *builder, covered bool) {
	if n.air == nil || !covered {
		return
	}
	drift, height := 0.004, math.Max(b.space.HeightM, 0.2)
	if b.space.House != nil {
		drift = 0.01
	}
	for i := range s {
		if i < len(n.air) {
			s[i].BesideC, s[i].BesideKgM3 = n.air[i], n.vapour[i]
			s[i].BesideMS = drift * height / b.shape.DepthM
		}
	}
}

// calendar holds sunrise and sunset for the days of a series.
type calendar struct {
	times []time.Time
	rise  []time.Time
	set   []time.Time
	step  time.Duration
}

func (sc *Scene) calendar(s weather.Series) *calendar {
	c := &calendar{step: s.Step}
	p := sun.Place{LatDeg: sc.Site.LatDeg, LonDeg: sc.Site.LonDeg, ElevM: sc.Site.ElevationM}
	zone := sc.Site.Zone
	if zone == nil {
		zone = time.UTC
	}
	last, rise, set := "", time.Time{}, time.Time{}
	for _, r := range s.Rows {
		t := r.Time.In(zone)
		if day := t.Format(time.DateOnly); day != last {
			last = day
			var kind sun.DayKind
			rise, _, set, kind = sun.RiseSet(t, p)
			if kind != sun.Normal {
				rise, set = time.Time{}, time.Time{}
			}
		}
		c.times = append(c.times, t)
		c.rise = append(c.rise, rise)
		c.set = append(c.set, set)
	}
	return c
}

// at returns the time of row i; rows before the first are the first day again.
func (c *calendar) at(i int) (t, rise, set time.Time) {
	perDay := int(24 * time.Hour / c.step)
	days := 0
	for i < 0 {
		i += perDay
		days++
	}
	i = min(i, len(c.times)-1)
	back := func(x time.Time) time.Time {
		if x.IsZero() || days == 0 {
			return x
		}
		return x.AddDate(0, 0, -days)
	}
	return back(c.times[i]), back(c.rise[i]), back(c.set[i])
}

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
}

// covers returns the state of the covers at row i as a bit each, the curtain
// last.
func (t *track) covers(i int) uint {
	at, rise, set := t.cal.at(i)
	mask := uint(0)
	for k, c := range t.p.Covers {
		if c.When.On(at, rise, set) {
			mask |= 1 << k
		}
	}
	if h := t.b.space.House; h != nil && h.Curtain != "" && h.CurtainWhen.On(at, rise, set) {
		mask |= 1 << len(t.p.Covers)
	}
	return mask
}

func (t *track) hasCover() bool { return len(t.p.Covers) > 0 || t.b.space.House != nil }

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
	cell, err := t.b.cell(on, mask&(1<<len(t.p.Covers)) != 0)
	if err != nil {
		return nil, err
	}
	var cup *cover.Material
	if t.cup != "" {
		if m, ok := cover.Find(t.b.scene.Covers, t.cup); ok {
			cup = &m
		}
	}
	bodies := t.b.scene.bodies(cup, t.b.need)
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
func (sc *Scene) bodies(cup *cover.Material, need []bool) []heat.Tissue {
	all := Tissues(cup)
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
func (t *track) begin(d *heat.Sample, s weather.Series, repeated int) error {
	t.mask = t.covers(-repeated * int(24*time.Hour/t.step))
	sim, err := t.sim(t.mask)
	if err != nil {
		return err
	}
	mean := firstDay(s)
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
	sim.Begin(heat.Start{AirC: d.AirC, VapourKgM3: d.VapourKgM3, GroundC: profile})
	t.cur = sim
	return nil
}

// become takes over the state another track has reached at a row.
func (t *track) become(from *track, row int) error {
	t.mask = t.covers(row)
	s, err := t.sim(t.mask)
	if err != nil {
		return err
	}
	s.Become(from.cur)
	t.cur = s
	return nil
}

// advance carries the cell from row i to the next.
func (t *track) advance(a, b *heat.Sample, i int) error {
	if m := t.covers(i); m != t.mask {
		s, err := t.sim(m)
		if err != nil {
			return err
		}
		s.Become(t.cur)
		t.cur, t.mask = s, m
	}
	return t.cur.Advance(a, b, t.step.Seconds())
}

func (t *track) hour(d *heat.Sample, r weather.Row) Hour {
	st := t.cur.State(d)
	h := Hour{
		Time: r.Time, ScreenC: d.AirC, PlantC: st.LocalC, State: st, SkyWM2: d.SkyWM2,
		WindMS: r.WindMS, SunWM2: d.SunWM2, CloudPct: 100 * r.CloudFrac,
		Covered: t.mask != 0, Tissue: make([]float64, len(Classes())),
	}
	n := 0
	for k := range h.Tissue {
		if t.b.need != nil && !t.b.need[k] {
			h.Tissue[k] = math.NaN()
			continue
		}
		h.Tissue[k] = t.cur.Tissue(n)
		n++
	}
	return h
}

// openAir is the open ground of the site: what surrounds every space.
type openAir struct {
	offK    []float64 // air at plant height less the screen's [K]
	groundC []float64 // at 10 cm [°C]
}

// surround gives a cell the air and the ground that lie around it. The air at
// the height of its cover lies between plant height and screen, on the
// logarithm of height.
func (b *builder) surround(s []heat.Sample, o openAir) {
	h := plantM
	if b.space.House != nil {
		h = b.space.HeightM
	} else {
		for _, c := range b.space.Covers {
			h = math.Max(h, c.HeightM)
		}
	}
	f := math.Log(screenM/math.Min(math.Max(h, plantM), screenM)) / math.Log(screenM/plantM)
	for i := range s {
		s[i].SideGroundC = o.groundC[i]
		s[i].HoldLocal = true
		s[i].LocalC = s[i].AirC + f*o.offK[i]
	}
}

// openGround runs the open ground of the site under a series.
func (sc *Scene) openGround(d Draw, s weather.Series) (openAir, error) {
	bare := site.Space{Name: "open ground", Kind: site.Bed, LengthM: 10, WidthM: 10, Ground: sc.Site.Ground}
	d.Cold = 0
	b := &builder{scene: sc, space: &bare, shape: site.CellShape{Name: "core", AreaM2: 100, SkyView: 1}, draw: d}
	samples := b.samples(s)
	warm, repeated := spinUp(samples, s.Step, 0)
	t := &track{b: b, cal: sc.calendar(s), step: s.Step, p: Protection{Key: "open"}, bare: true}
	if err := t.begin(&warm[0], s, repeated); err != nil {
		return openAir{}, err
	}
	for i := 0; i+1 < len(warm); i++ {
		if err := t.advance(&warm[i], &warm[i+1], 0); err != nil {
			return openAir{}, err
		}
	}
	o := openAir{offK: make([]float64, len(samples)), groundC: make([]float64, len(samples))}
	o.offK[0], o.groundC[0] = t.cur.State(&samples[0]).LocalC-samples[0].AirC, t.cur.GroundC(0.1)
	for i := 0; i+1 < len(samples); i++ {
		if err := t.advance(&samples[i], &samples[i+1], i); err != nil {
			return openAir{}, err
		}
		o.offK[i+1], o.groundC[i+1] = t.cur.State(&samples[i+1]).LocalC-samples[i+1].AirC, t.cur.GroundC(0.1)
	}
	return o, nil
}

// Simulate carries one space through a series under the protection its file
// describes, without an ensemble, and returns a track per cell. step below the
// series' own refines the answer.
func (sc *Scene) Simulate(sp *site.Space, s weather.Series, from, to time.Time) ([]Track, error) {
	i, j, err := Span(s, from, to)
	if err != nil {
		return nil, err
	}
	p := Protection{Key: "as written", Words: "as the site file says", Covers: sp.Covers}
	out, err := sc.run(sp, sp.Cells(), []Protection{p}, nil, Central(), s, span{i, j})
	if err != nil {
		return nil, err
	}
	return out[0], nil
}
