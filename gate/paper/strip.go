package paper

import (
	"math"
	"slices"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

// The night strip on paper [mm]. Every strip has the same degrees per millimetre, so
// that the gap between plants and limit can be compared by eye.
const (
	stripH   = 34.0 // of the plot
	perK     = 1.7
	spanK    = stripH / perK
	barH     = 5.0
	nameW    = 16.0 // at the left, for the names of the bars
	aboveK   = 4.0  // kept free above a limit
	edgeK    = 1.5  // and below the coldest
	namedK   = 3.7  // for the name of a limit, below it
	mostDraw = 16   // strips printed: the spaces closest to harm
)

// strips draws the night that decides for each space at risk, the most harmed first.
func (s *Sheet) strips(f *sheaf) {
	harmed, _ := s.sorted()
	if len(harmed) == 0 {
		return
	}
	f.page("Night strips")
	f.say(26, true, "Spaces at risk, hour by hour")
	f.say(least, false, "Thick: the coldest plants, in the middle case. Hatched: from one night in ten colder to one in ten warmer. Below the broken line they spoil, below the dotted one they die.")
	f.y += 3
	left := harmed[min(len(harmed), mostDraw):]
	for _, x := range harmed[:len(harmed)-len(left)] {
		s.strip(f, x)
	}
	var names []string
	for _, x := range left {
		names = append(names, x.Outlook.Space.Name)
	}
	if len(names) > 0 {
		f.say(least, false, "Not drawn, and less in danger: "+phrase.Stop(phrase.List(names)))
	}
}

// limits are those of the tissue that decides, and what passing them does.
type limits struct {
	spoilC, dieC float64 // NaN: none
}

// limitsOf are the limits of the group closest to harm.
func limitsOf(o *night.Outlook, r *night.Result) limits {
	g := r.Worst.Stock
	if g < 0 || g >= len(o.Stocks) {
		return limits{math.NaN(), math.NaN()}
	}
	st := &o.Stocks[g]
	if r.Worst.Class != st.Class() && r.Worst.Class.IsRootBall() {
		return limits{math.NaN(), st.Limits.RootAlive.MidC}
	}
	return limits{st.Limits.Saleable.MidC + st.ShiftK, st.Limits.Alive.MidC + st.ShiftK}
}

// strip draws one space in the night that decides for it.
func (s *Sheet) strip(f *sheaf, x *plan.SpaceAnswer) {
	v := s.voice()
	o := x.Outlook
	r := &o.Options[x.Chosen]
	if r.Worst.Cell < 0 || r.Worst.Cell >= len(r.Cells) {
		return
	}
	cell := &r.Cells[r.Worst.Cell]
	if r.Worst.Night >= len(cell.Nights) {
		return
	}
	date := cell.Nights[r.Worst.Night].Date
	day, err := time.ParseInLocation(time.DateOnly, date, s.zone())
	if err != nil {
		return
	}
	from := time.Date(day.Year(), day.Month(), day.Day(), 12, 0, 0, 0, s.zone())
	to := time.Date(day.Year(), day.Month(), day.Day()+1, 12, 0, 0, 0, s.zone())
	var hours []night.HourBand
	first := 0
	for i, h := range cell.Hours {
		if v := h.Tissue.P10 + h.Tissue.P50 + h.Tissue.P90; h.Time.Before(from) || h.Time.After(to) || math.IsNaN(v) || math.IsInf(v, 0) {
			continue
		}
		if len(hours) == 0 {
			first = i
		}
		hours = append(hours, h)
	}
	if len(hours) < 2 {
		return
	}
	sentence := f.wrap(tie(v.Sentence(o, x.Chosen)), least, false, f.width())
	f.need(float64(len(sentence)+2)*lineOf(least) + stripH + 2*barH + 8)
	f.say(least, false, tie(v.Sentence(o, x.Chosen)))
	f.y += 1
	p := plot{f: f, x0: side + nameW, w: f.width() - nameW, from: from, to: to}
	set, rise := s.dark(date)
	p.night(v, set, rise)
	lim := limitsOf(o, r)
	p.curve(hours, lim)
	p.lines(v, lim, hours, r.Worst.MinC)
	f.y += stripH + 1.5
	if slices.ContainsFunc(hours, func(h night.HourBand) bool { return h.Covered }) {
		p.bar("cover", hours, o.Step, func(i int) float64 {
			if hours[i].Covered {
				return 1
			}
			return 0
		}, true)
	}
	if r.Heat != nil {
		p.bar("heat", hours, o.Step, func(i int) float64 {
			most := 0.0
			for l := range r.Heat.Lines {
				if sh := r.Heat.Lines[l].Share; first+i < len(sh) {
					most = math.Max(most, sh[first+i])
				}
			}
			return most
		}, false)
	}
	p.hours(v)
	f.y += 7
}
