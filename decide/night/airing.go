package night

import (
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/heat"
)

// Airing is what somebody does to a space by day, beside its protection.
type Airing struct {
	Vents []Spell // vents open: the share of their area; else as the site file says
	Off   []Spell // the covers on the plants are off, whatever their own hours say
	Shade []Spell // something above takes this share of the sun
}

// Spell is from one moment until another.
type Spell struct {
	From, To time.Time
	Share    float64
}

// at is the spell that holds at t; nil for none.
func at(spells []Spell, t time.Time) *Spell {
	for k := range spells {
		if !t.Before(spells[k].From) && t.Before(spells[k].To) {
			return &spells[k]
		}
	}
	return nil
}

// ventShift is where in the state of a cell its open vents stand, above the bits of its
// covers: in hundredths of their area.
const (
	ventShift = 16
	coverBits = 1<<ventShift - 1
	ventBits  = 1<<7 - 1
)

// turn is the state of a cell under the airing at t, given the bits of its covers, of
// which the first n lie on the plants.
func (a *Airing) turn(t time.Time, mask uint, n int) uint {
	if a == nil {
		return mask
	}
	if at(a.Off, t) != nil {
		mask &^= 1<<n - 1
	}
	if s := at(a.Vents, t); s != nil {
		mask |= uint(math.Round(100*math.Min(math.Max(s.Share, 0), 1))) << ventShift
	}
	return mask
}

// dim takes the shade off the sun of the rows.
func (a *Airing) dim(run []heat.Sample, rows []weather.Row) {
	if a == nil {
		return
	}
	for i := range run {
		if s := at(a.Shade, rows[i].Time); s != nil {
			run[i].SunWM2 *= 1 - s.Share
		}
	}
}

// edges are the moments strictly between two at which something is opened or shut.
func (a *Airing) edges(from, to time.Time) []time.Time {
	if a == nil {
		return nil
	}
	var out []time.Time
	for _, spells := range [][]Spell{a.Vents, a.Off} {
		for _, s := range spells {
			for _, t := range []time.Time{s.From, s.To} {
				if t.After(from) && t.Before(to) {
					out = append(out, t)
				}
			}
		}
	}
	slices.SortFunc(out, time.Time.Compare)
	return slices.CompactFunc(out, time.Time.Equal)
}

// aired carries a cell without heaters from row i to the next, stopping wherever
// something is opened or shut. A cell with lit heaters turns at the rows only.
func (t *track) aired(a, b *heat.Sample, i int) error {
	start, _, _ := t.cal.at(i)
	done := 0.0
	from := *a
	for _, e := range t.p.Airing.edges(start, start.Add(t.step)) {
		f := e.Sub(start).Seconds() / t.step.Seconds()
		to := heat.Between(a, b, f)
		if err := t.cur.Advance(&from, &to, (f-done)*t.step.Seconds()); err != nil {
			return err
		}
		if err := t.turn(t.state(e, i), i); err != nil {
			return err
		}
		from, done = to, f
	}
	return t.cur.Advance(&from, b, (1-done)*t.step.Seconds())
}

// The doors of a house without vents, and how much of a cover's end is opened.
// Judgement.
const (
	doorM2   = 1.8 // a door
	doors    = 2.0 // one in each end
	endShare = 0.8 // of the end of a hooped cover that can be thrown back
)

// VentArea is what can be opened to the air at a space under its covers [m2]: the vents
// of a house, or its two doors where the file names no vents, or the two ends of covers
// on hoops; how high it stands [m]; and what it is, in words. 0 for a cover that lies on
// the plants and for the open.
func VentArea(sp *site.Space, covers []site.Cover) (areaM2, heightM float64, what string) {
	if h := sp.House; h != nil {
		if h.VentAreaM2 > 0 {
			return h.VentAreaM2, sp.HeightM, "vents"
		}
		return doors * doorM2, sp.HeightM, "doors"
	}
	for _, c := range covers {
		heightM = math.Max(heightM, c.HeightM)
	}
	if heightM == 0 {
		return 0, 0, ""
	}
	return 2 * endShare * math.Pi / 4 * sp.WidthM * heightM, heightM, "ends"
}

// vent opens the share of what can be opened into a cell that is built: a way through
// the outermost barrier, to the air of the house or of the cover.
func (b *builder) vent(c *heat.Cell, on []active, share float64) {
	covers := make([]site.Cover, len(on))
	for k := range on {
		covers[k] = on[k].cover
	}
	area, height, _ := VentArea(b.space, covers)
	if h := b.space.House; h != nil && h.VentAreaM2 > 0 {
		share -= h.Vents // these are open already
		height = b.houseShape().height
	}
	k := ventLeak(share*area/b.space.AreaM2(), height)
	for j := range c.Skins {
		if sk := &c.Skins[j]; sk.Below == heat.ZoneBelow {
			sk.Leak.Stack += k.Stack
			sk.Leak.PerWind += k.PerWind
			return
		}
	}
}

// ventLeak is what an opening of a area per area of floor adds: by stack, one opening, Q
// = Cd A/3 √(g H ΔT/T), Cd 0.6 (ASHRAE Fundamentals, natural ventilation, from memory);
// by wind 0.1 of A u.
func ventLeak(a, heightM float64) heat.Leak {
	return heat.Leak{Stack: 0.6 * a / 3 * math.Sqrt(9.81*heightM/280), PerWind: 0.1 * a}
}

// Follower carries the cells of a space through the span of a request, draw by draw,
// under protections that are only known later; the days before are lived through once.
type Follower struct{ past []passage }

// Follower makes a space ready to be followed. The first protection asked for is what is
// on in the days before; cups of any of them are looked at.
func (sc *Scene) Follower(q Request) (*Follower, error) {
	if len(q.Members) == 0 || len(q.Protections) == 0 {
		return nil, fmt.Errorf("space %q: nothing to follow without weather and a protection", q.Space.Name)
	}
	i, j, err := Span(q.Members[0], q.From, q.To)
	if err != nil {
		return nil, err
	}
	shapes := fewer(q.Space.Cells())
	o := &Outlook{Stocks: sc.Stocks(q.Space, shapes, nil)}
	need := o.needs(q.Protections)
	f := &Follower{past: make([]passage, len(q.Draws))}
	for k, d := range q.Draws {
		m := q.Members[d.Member%len(q.Members)]
		f.past[k] = passage{
			scene: sc, space: q.Space, shapes: shapes, need: need, before: q.Protections[0],
			draw: d, series: m, span: span{i, min(j, len(m.Rows)-1)}, around: q.Around,
		}
	}
	return f, nil
}

// Run follows draw k under each protection and returns tracks[protection][cell], of the
// first cells only where cells is above zero. One draw may not be followed by two at once.
func (f *Follower) Run(k int, ps []Protection, cells int) ([][]Track, error) {
	x := &f.past[k]
	if cells <= 0 || cells >= len(x.shapes) {
		return x.run(ps)
	}
	part := *x
	part.shapes = x.shapes[:cells]
	return part.run(ps)
}
