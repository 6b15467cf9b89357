package heating

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/measure"
	"example.org/coldnight/physics/heat"
)

// Drip is where water comes down in a house, and on whom.
type Drip struct {
	Place    string // "the roof", "the wall and roof on the N side", "the curtain", "the cloth"
	Cell     string // "core", "edge N"
	Edge     bool
	PerM2Kg  night.Band      // over the freeze, on each square metre of that part of the floor
	AllKg    night.Band      // on all of it
	ByHourKg []float64       // middle case, on all of it, in the hour before each hour of the plan
	Runs     []night.DripRun // when, in the middle case; empty: it hardly drips
	Groups   []string        // beneath
	Say      string
}

// drips reads what comes down under what was chosen: what drips in the dark first, as
// leaves that are wet then freeze sooner, and of those the most.
func (a *Ask) drips() []Drip {
	o := a.Outlook
	var out []Drip
	for i := range o.Options[a.Option].Drips {
		x := &o.Options[a.Option].Drips[i]
		sh := &o.Shapes[x.Cell]
		d := Drip{
			Cell: sh.Name, Edge: sh.Edge, PerM2Kg: x.Total, Runs: x.Runs,
			AllKg: night.Band{P10: sh.AreaM2 * x.Total.P10, P50: sh.AreaM2 * x.Total.P50, P90: sh.AreaM2 * x.Total.P90},
		}
		switch {
		case x.Face == heat.OnCurtain:
			d.Place = "the curtain"
		case x.Face == heat.OnCover:
			d.Place = "the cloth"
		case sh.Edge:
			d.Place = fmt.Sprintf("the %s wall and the roof over it", sh.Facing)
		default:
			d.Place = "the roof"
		}
		for _, b := range x.ByHour {
			d.ByHourKg = append(d.ByHourKg, sh.AreaM2*b.P50)
		}
		for _, g := range x.Stocks {
			d.Groups = append(d.Groups, o.Stocks[g].Name)
		}
		d.Say = d.speak(a.Voice)
		out = append(out, d)
	}
	slices.SortStableFunc(out, func(p, q Drip) int {
		x, y := p.worst(), q.worst()
		switch {
		case x.Dark && !y.Dark:
			return -1
		case y.Dark && !x.Dark:
			return 1
		}
		return cmp.Or(cmp.Compare(y.KgM2, x.KgM2), cmp.Compare(q.AllKg.P50, p.AllKg.P50))
	})
	return out
}

// worst is the run in which most comes down, one in the dark before any by day.
func (d *Drip) worst() night.DripRun {
	var w night.DripRun
	for _, r := range d.Runs {
		if r.Dark && !w.Dark || r.Dark == w.Dark && r.KgM2 > w.KgM2 {
			w = r
		}
	}
	return w
}

// Told are the places worth telling, at most n: of edges, which are much alike, the
// worst alone.
func Told(drips []Drip, n int) []Drip {
	var out []Drip
	edge := false
	for i := range drips {
		if d := &drips[i]; d.Say != "" && len(out) < n && (!d.Edge || !edge) {
			edge = edge || d.Edge
			out = append(out, *d)
		}
	}
	return out
}

// speak says where and when it drips, how much, and on whom; "" where it hardly does.
func (d *Drip) speak(v night.Voice) string {
	if len(d.Runs) == 0 {
		return ""
	}
	worst, drips := d.worst(), "drips"
	if d.Edge && strings.Contains(d.Place, " and ") {
		drips = "drip"
	}
	m2, area := hundred(v)
	s := fmt.Sprintf("%s %s on %s from about %s to %s, about %s on %s",
		d.Place, drips, v.Day(worst.From), v.Near(worst.From), strings.TrimSuffix(v.Near(worst.To), "."), v.Units.Volume(measure.Volume(math.Ceil(worst.KgM2*m2)/1000)), area)
	switch n := len(d.Runs) - 1; {
	case n == 1:
		s += ", and once more"
	case n > 1:
		s += fmt.Sprintf(", and %d times more", n)
	}
	if len(d.Groups) > 0 {
		s += "; beneath stand " + few(d.Groups)
	}
	if worst.Dark {
		return s + ": wet leaves freeze sooner"
	}
	return s + ": let the leaves dry before evening"
}

// few lists names, the fourth and more as a number.
func few(names []string) string {
	const most = 3
	if n := len(names) - most; n > 1 {
		return fmt.Sprintf("%s and %d other groups", strings.Join(names[:most], ", "), n)
	}
	return joined(names)
}

// hundred is the area that the water of a drip is told for [m2], and its words.
func hundred(v night.Voice) (m2 float64, words string) {
	if v.Units == measure.Customary {
		m2, _ := measure.Of[measure.Area](1000, measure.SquareFoot)
		return float64(m2), "1,000 sq ft"
	}
	return 100, "100 m²"
}
