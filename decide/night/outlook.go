package night

import (
	"context"
	"math"
	"slices"
	"time"

	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// Band is a prediction with its doubt: one in ten lies below P10, one in ten
// above P90.
type Band struct{ P10, P50, P90 float64 }

// BandOf is the band of some values, in any order.
func BandOf(v []float64) Band {
	s := slices.Clone(v)
	slices.Sort(s)
	return Band{Quantile(s, 0.1), Quantile(s, 0.5), Quantile(s, 0.9)}
}

// Quantile of sorted values, linear between order statistics (Hyndman and Fan
// 1996, type 7).
func Quantile(s []float64, p float64) float64 {
	if len(s) == 0 {
		return math.NaN()
	}
	h := p * float64(len(s)-1)
	i := int(h)
	if i+1 >= len(s) {
		return s[len(s)-1]
	}
	return s[i] + (h-float64(i))*(s[i+1]-s[i])
}

// Request asks for the outlook of a space.
type Request struct {
	Space       *site.Space
	Protections []Protection     // the first is what is on now
	Members     []weather.Series // complete
	Draws       []Draw
	From, To    time.Time
	Minima      []float64 // nights before, oldest first [°C]
	Guests      []Guest   // groups of other spaces that could be carried here
	Around      *Around   // open ground worked out before; nil: worked out here
	Kept        *Kept     // results of before, where Around is given too; nil: none
}

// Outlook is what a space will feel, under each protection.
type Outlook struct {
	Space    *site.Space
	Shapes   []site.CellShape
	Stocks   []Stock
	Guests   []Stock  // groups of other spaces, as they would stand here
	Options  []Result // one per protection asked for
	Assumed  []string
	Step     time.Duration
	From, To time.Time
}

// Result is one protection.
type Result struct {
	Protection Protection
	Cells      []CellResult
	Odds       []Odds        // per stock, over the whole span
	ByNight    [][]float64   // where heaters are lit: chance of being unsaleable, per night and stock
	Loss       float64       // expected, all stocks
	LossByDraw []float64     // for the worst tenth
	ByStock    [][]float64   // the same of each stock
	Guests     []Hosted      // per guest
	Water      *WaterOutlook // nil without barrels
	Worst      Worst         // the group closest to harm
	Heat       *HeatOutlook  // nil when nothing is lit
	Reach      []Reach       // per stock, when something fails in this protection
	Drips      []Drip        // of a house, per cell and face that drips
	Days       []DayResult   // whole days of the span, core
}

// CellResult is one cell of one protection.
type CellResult struct {
	Shape  site.CellShape
	Nights []CellNight
	Hours  []HourBand // of the tissue that decides
}

// CellNight is one night of one cell: from noon to noon, named by the local date
// of its evening.
type CellNight struct {
	Date   string
	Min    []Band      // coldest of each tissue class [°C]
	At     []time.Time // usual moment of it
	Air    Band        // coldest air at the plants
	Screen Band        // coldest air of the weather here
	Plant  Band        // coldest outdoor air at plant height beside them
}

// HourBand is one hour of the tissue that decides in this cell.
type HourBand struct {
	Time    time.Time
	Tissue  Band
	Screen  float64
	Covered bool
}

// Worst names the group closest to harm, where, and when.
type Worst struct {
	Stock int // -1: the space holds no group
	Cell  int
	Night int
	At    time.Time
	MinC  Band
	// MarginK is its coldest tissue less its saleable limit, median [K].
	MarginK float64
	Class   plant.Class // the tissue meant
}

// Outlook runs every draw and sums up. Draws are shared out over the cores; the
// answer does not depend on how many there are.
func (sc *Scene) Outlook(q Request) (*Outlook, error) {
	return sc.OutlookContext(context.Background(), q)
}

// OutlookContext is [Scene.Outlook] that stops when the context ends, and returns its error.
func (sc *Scene) OutlookContext(ctx context.Context, q Request) (*Outlook, error) {
	r, err := sc.Ready(q)
	if err != nil {
		return nil, err
	}
	all := make([]int, len(q.Protections))
	for p := range all {
		all[p] = p
	}
	o := r.Blank()
	o.Options, err = r.Run(ctx, all, nil)
	return &o, err
}

// needs lists the tissue classes somebody looks at.
func (o *Outlook) needs(ps []Protection) []bool {
	need := make([]bool, len(Classes()))
	need[0] = true
	for _, p := range ps {
		need[cuppedClass()] = need[cuppedClass()] || p.Cup != ""
		need[wrappedClass()] = need[wrappedClass()] || p.Prepared.wrapping() != nil
	}
	for _, s := range slices.Concat(o.Stocks, o.Guests) {
		need[s.class] = true
		if s.root >= 0 {
			need[s.root] = true
		}
	}
	return need
}

// fewer drops the short ends of a long space and gives their floor to its long
// edges: an edge is an edge, and the wind on the long side decides.
func fewer(cells []site.CellShape) []site.CellShape {
	longest, edges := 0.0, 0
	for _, c := range cells {
		longest = math.Max(longest, c.SideM)
		edges += int(boolTo(c.Edge))
	}
	if edges < 3 {
		return cells
	}
	var out []site.CellShape
	spare, kept := 0.0, 0
	for _, c := range cells {
		if c.Edge && c.SideM < 0.5*longest {
			spare += c.AreaM2
			continue
		}
		kept += int(boolTo(c.Edge))
		out = append(out, c)
	}
	for i := range out {
		if out[i].Edge {
			out[i].AreaM2 += spare / float64(kept)
		}
	}
	return out
}

// result sums one protection up over the draws.
func (sc *Scene) result(o *Outlook, p Protection, pi int, tracks [][][]Track) Result {
	n := len(tracks)
	r := Result{Protection: p, LossByDraw: make([]float64, n), Odds: make([]Odds, len(o.Stocks)), ByStock: lossTable(len(o.Stocks), n)}
	hours := o.Step.Hours()
	var buf buffers
	for k := range tracks {
		for g := range o.Stocks {
			s := &o.Stocks[g]
			u, d := s.feel(tracks[k][pi], p.feels(g, s.class), hours, &buf)
			l := p.Prepared.trim(g, s, s.loss(u, d))
			r.ByStock[g][k] = l
			r.Odds[g].Unsaleable += u / float64(n)
			r.Odds[g].Dead += d / float64(n)
			r.Odds[g].Loss += l / float64(n)
			r.LossByDraw[k] += l
		}
	}
	for _, l := range r.LossByDraw {
		r.Loss += l / float64(n)
	}
	for c := range o.Shapes {
		r.Cells = append(r.Cells, CellResult{Shape: o.Shapes[c], Nights: cellNights(tracks, pi, c, sc.Site.Zone)})
	}
	r.Days = dayResults(tracks, pi, sc.Site.Zone)
	r.Worst = o.worst(&r, nil)
	r.Water = p.Prepared.waterOutlook(pi, tracks, o.Space.AreaM2())
	sc.host(o, &r, pi, tracks)
	r.Heat = o.heatOutlook(p, pi, tracks, sc.Site.Zone)
	if p.Firing != nil {
		r.ByNight = o.byNight(p, pi, tracks, sc.Site.Zone)
	}
	if o.Space.House != nil {
		r.Drips = o.drips(pi, tracks)
	}
	if p.Firing != nil && len(p.Firing.Fails) > 0 {
		r.Reach = o.reach(p, pi, tracks)
	}
	class := max(slices.Index(Classes(), r.Worst.Class), 0)
	for c := range r.Cells {
		r.Cells[c].Hours = hourBands(tracks, pi, c, class)
	}
	return r
}

// deciding is the tissue class of a stock under a protection, or the small leaf without
// stocks.
func (o *Outlook) deciding(stock int, p *Protection) int {
	if stock < 0 || stock >= len(o.Stocks) {
		return 0
	}
	return p.feels(stock, o.Stocks[stock].class)
}

// worst finds the group closest to harm: the highest odds of being unsaleable,
// and where the odds are alike the thinnest margin, of tops or of roots. Groups that are
// away are none.
func (o *Outlook) worst(r *Result, away []int) Worst {
	w := Worst{Stock: -1}
	best := math.Inf(-1)
	try := func(g, class int, limit, odds float64) {
		for c := range r.Cells {
			if g >= 0 && o.Stocks[g].Where[c] == 0 {
				continue
			}
			for n := range r.Cells[c].Nights {
				m := r.Cells[c].Nights[n].Min[class]
				if score := 100*odds - (m.P50 - limit); score > best {
					best = score
					w = Worst{Stock: g, Cell: c, Night: n, At: r.Cells[c].Nights[n].At[class], MinC: m, MarginK: m.P50 - limit, Class: Classes()[class]}
				}
			}
		}
	}
	for g := range o.Stocks {
		if slices.Contains(away, g) {
			continue
		}
		s := &o.Stocks[g]
		odds := r.Odds[g].Unsaleable
		try(g, o.deciding(g, &r.Protection), s.Limits.Saleable.MidC+s.ShiftK, odds)
		if s.root >= 0 {
			try(g, s.root, s.Limits.RootAlive.MidC, odds)
		}
	}
	if len(o.Stocks) == len(away) {
		try(-1, 0, 0, 0)
	}
	return w
}

func coldest(hours []Hour, f func(*Hour) float64) (float64, int64) {
	low, at := math.Inf(1), int64(0)
	for i := range hours {
		if v := f(&hours[i]); v < low {
			low, at = v, hours[i].Time.Unix()
		}
	}
	return low, at
}

// usual is the median moment.
func usual(at []int64) time.Time {
	slices.Sort(at)
	if len(at) == 0 {
		return time.Time{}
	}
	return time.Unix(at[len(at)/2], 0).UTC()
}

func hourBands(tracks [][][]Track, p, c, class int) []HourBand {
	n := math.MaxInt
	for k := range tracks {
		n = min(n, len(tracks[k][p][c].Hours))
	}
	out := make([]HourBand, n)
	v := make([]float64, len(tracks))
	for i := range n {
		screen := 0.0
		for k := range tracks {
			h := &tracks[k][p][c].Hours[i]
			v[k] = h.Tissue[class]
			screen += h.ScreenC / float64(len(tracks))
		}
		h := tracks[0][p][c].Hours[i]
		out[i] = HourBand{Time: h.Time, Tissue: BandOf(v), Screen: screen, Covered: h.Covered}
	}
	return out
}

// cellNights splits the span at local noon and gives the coldest of each night.
func cellNights(tracks [][][]Track, p, c int, zone *time.Location) []CellNight {
	hours := tracks[0][p][c].Hours
	n := len(hours)
	for k := range tracks {
		n = min(n, len(tracks[k][p][c].Hours))
	}
	var out []CellNight
	for _, x := range darkSpans(hours, n, zone) {
		out = append(out, cellNight(x.evening, tracks, p, c, x.from, x.to))
	}
	return out
}

// leastDark is how many dark hours make a night of a span [h]: a tail after
// dawn or the hours before dusk are none.
const leastDark = 3

// darkHours counts the hours without sun.
func darkHours(hours []Hour) float64 {
	sum := 0.0
	for i := 0; i+1 < len(hours); i++ {
		if hours[i].SunWM2 < 1 {
			sum += hours[i+1].Time.Sub(hours[i].Time).Hours()
		}
	}
	return sum
}

func cellNight(date string, tracks [][][]Track, p, c, from, to int) CellNight {
	mins, ats := make([]float64, len(tracks)), make([]int64, len(tracks))
	pick := func(f func(*Hour) float64) (Band, time.Time) {
		for d := range tracks {
			mins[d], ats[d] = coldest(tracks[d][p][c].Hours[from:to], f)
		}
		return BandOf(mins), usual(ats)
	}
	out := CellNight{Date: date}
	classes := len(tracks[0][p][c].Hours[from].Tissue)
	for t := range classes {
		m, at := pick(func(h *Hour) float64 { return h.Tissue[t] })
		out.Min, out.At = append(out.Min, m), append(out.At, at)
	}
	out.Air, _ = pick(func(h *Hour) float64 { return h.State.AirC })
	out.Screen, _ = pick(func(h *Hour) float64 { return h.ScreenC })
	out.Plant, _ = pick(func(h *Hour) float64 { return h.PlantC })
	return out
}

// darkSpan is a night among hours: from..to, the last one not included.
type darkSpan struct {
	evening  string
	from, to int
}

// darkSpans parts the first n hours into nights and leaves out those that are hardly begun.
func darkSpans(hours []Hour, n int, zone *time.Location) []darkSpan {
	if zone == nil {
		zone = time.UTC
	}
	var out []darkSpan
	for i := 0; i < n; {
		x := darkSpan{eveningOf(hours[i].Time, zone), i, i}
		for x.to < n && eveningOf(hours[x.to].Time, zone) == x.evening {
			x.to++
		}
		if darkHours(hours[x.from:x.to]) >= leastDark {
			out = append(out, x)
		}
		i = x.to
	}
	return out
}

// eveningOf names the night a moment belongs to: from noon to noon, by the
// local date of its evening.
func eveningOf(t time.Time, zone *time.Location) string {
	l := t.In(zone)
	if l.Hour() < 12 {
		l = l.AddDate(0, 0, -1)
	}
	return l.Format(time.DateOnly)
}

// Class returns the tissue class of a stock.
func (s *Stock) Class() plant.Class { return Classes()[s.class] }
