package web

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/physics/sun"
)

// The night strip, in units of one pixel on the smallest phone. Every strip has the
// same degrees per pixel, so the gap between plants and limit can be compared by eye.
// The templates hold these numbers too; TestStripSizes watches that they agree.
const (
	stripW  = 336.0
	plotTop = 20.0
	plotH   = 110.0
	plotEnd = plotTop + plotH
	barTop  = plotEnd + 3
	barH    = 14.0
	stripH  = barTop + barH + 19
	perK    = 5.0          // pixels per kelvin
	spanK   = plotH / perK // kelvins shown
	textH   = 16.0         // a line of text in the strip
	headK   = 4.0          // room kept above a limit
)

// limits of the group closest to harm [°C].
type limits struct {
	known  bool
	saleC  float64
	aliveC float64
}

// axis is the time of one night, drawn once and used by all its strips.
type axis struct {
	ID       string
	DarkX    string
	DarkW    string
	Marks    []mark // sunset, sunrise, now
	Ticks    []mark
	NowX     string // "" when now is another night
	Now      mark
	from, to time.Time
}

type mark struct{ X, Anchor, Text string }

// strip is the drawing of one space in one night.
type strip struct {
	Band, Line string // paths
	Spoil      string // y below which plants spoil; "" when out of the drawing
	Dead       string
	Freeze     string
	Labels     []label
	Bars       []bar
	Say        string // the drawing in words
}

type (
	label struct{ X, Y, Text, Class string }
	bar   struct {
		X, W string
		Mid  string // middle, when the word fits inside
	}
)

// axis lays noon to noon along the strip. A night has 23 or 25 hours when the
// clocks change.
func (w voice) axis(date string, v View) (axis, error) {
	day, err := time.ParseInLocation(time.DateOnly, date, w.Zone)
	if err != nil {
		return axis{}, err
	}
	at := func(d, hour int) time.Time {
		return time.Date(day.Year(), day.Month(), day.Day()+d, hour, 0, 0, 0, w.Zone)
	}
	ax := axis{from: at(0, 12), to: at(1, 12)}
	for i, t := range [...]time.Time{ax.from, at(0, 18), at(1, 0), at(1, 6), ax.to} {
		m := mark{X: num(ax.x(t)), Anchor: "middle", Text: w.clock(t)}
		switch i {
		case 0:
			m.Anchor = "start"
		case 4:
			m.Anchor = "end"
		}
		ax.Ticks = append(ax.Ticks, m)
	}
	p := sun.Place{LatDeg: v.Site.LatDeg, LonDeg: v.Site.LonDeg, ElevM: v.Site.ElevationM}
	_, _, set, _ := sun.RiseSet(at(0, 12), p)
	rise, _, _, _ := sun.RiseSet(at(1, 12), p)
	a, b := 0.0, stripW
	if !set.IsZero() {
		a = ax.x(set)
		ax.Marks = append(ax.Marks, mark{num(a), "middle", "sunset " + w.minute(set)})
	}
	if !rise.IsZero() {
		b = ax.x(rise)
		ax.Marks = append(ax.Marks, mark{num(b), "middle", "sunrise " + w.minute(rise)})
	}
	if set.IsZero() && rise.IsZero() && !w.dark(at(1, 0), p) {
		a, b = 0, 0 // polar day
	}
	ax.DarkX, ax.DarkW = num(a), num(math.Max(b-a, 0))
	if !v.Now.Before(ax.from) && v.Now.Before(ax.to) {
		x := ax.x(v.Now)
		ax.NowX, ax.Now = num(x), mark{X: num(x + 5), Anchor: "start"}
		if x > stripW-40 {
			ax.Now = mark{X: num(x - 5), Anchor: "end"}
		}
	}
	return ax, nil
}

// minute is the clock without "p.m.", for the narrow strip.
func (w voice) minute(t time.Time) string {
	s, _, _ := strings.Cut(w.clock(t.Round(time.Minute)), nbsp)
	return s
}

func (w voice) dark(t time.Time, p sun.Place) bool {
	return sun.Position(t, p, 101325, 0).TrueZenithDeg > 90
}

// x is where a moment stands on the strip.
func (ax axis) x(t time.Time) float64 {
	return stripW * float64(t.Sub(ax.from)) / float64(ax.to.Sub(ax.from))
}

// strip draws hours against limits. least is the coldest as the sentence says it: a
// minimum of each draw, a little below the lowest hour of the middle line.
func (w voice) strip(hours []night.HourBand, spans []span, ax axis, lim limits, least night.Band) strip {
	var s strip
	for _, c := range spans {
		a, b := math.Max(ax.x(c.from), 0), math.Min(ax.x(c.to), stripW)
		br := bar{X: num(a), W: num(b - a)}
		if b-a > 70 {
			br.Mid = num((a + b) / 2)
		}
		s.Bars = append(s.Bars, br)
	}
	sound := hours[:0:0]
	for _, h := range hours {
		if v := h.Tissue.P10 + h.Tissue.P50 + h.Tissue.P90; !math.IsNaN(v) && !math.IsInf(v, 0) {
			sound = append(sound, h)
		}
	}
	if len(sound) == 0 {
		s.Say = "There are no hours to draw."
		return s
	}
	low := sound[0]
	coldest := math.Inf(1)
	for _, h := range sound {
		if h.Tissue.P50 < low.Tissue.P50 {
			low = h
		}
		coldest = math.Min(coldest, h.Tissue.P10)
	}
	top := windowTop(coldest, lim)
	y := func(c float64) float64 { return plotTop + (top-c)*perK }
	band, line := path{}, path{}
	for _, h := range sound {
		line.to(ax.x(h.Time), y(h.Tissue.P50))
		band.to(ax.x(h.Time), y(h.Tissue.P90))
	}
	for _, h := range slices.Backward(sound) {
		band.to(ax.x(h.Time), y(h.Tissue.P10))
	}
	s.Line, s.Band = line.String(), band.String()+"z"
	if f := y(0); f > plotTop+4 && f < plotEnd-4 {
		s.Freeze = num(f)
		if !lim.known || math.Abs(y(lim.saleC)+textH-f) > textH {
			s.Labels = append(s.Labels, label{"3", num(f - 4), w.degrees(0), "faint"})
		}
	}
	w.drawLimits(&s, lim, y)
	lx, ly := ax.x(low.Time), y(low.Tissue.P50)
	ly = math.Min(math.Max(ly, plotTop), plotEnd)
	under := math.Max(y(low.Tissue.P10), ly+4) + textH
	if under > plotEnd-2 { // no room below: above, and to the left of where the morning rises
		under = math.Min(y(low.Tissue.P90), ly-4) - 6
		lx -= 18
	}
	s.Labels = append(s.Labels, label{num(math.Min(math.Max(lx, 26), stripW-26)), num(math.Max(under, plotTop+textH)), w.degrees(least.P50), "low"})
	s.Say = fmt.Sprintf("Night strip: coldest %s at %s", w.degrees(least.P50), w.clock(low.Time))
	if lim.known {
		s.Say += fmt.Sprintf(", spoils below %s, dies below %s", w.degrees(lim.saleC), w.degrees(lim.aliveC))
	}
	return s
}

// windowTop is the warmest temperature drawn [°C]. The coldest of the band and the
// limits are inside where both fit; else the limit stays, as what matters is near it.
func windowTop(coldest float64, lim limits) float64 {
	const line = (textH + 2) / perK // a line of text [K]; below a limit stands its name
	bottom := coldest - 2
	if reach := coldest - 0.65*spanK; lim.known && lim.saleC > reach {
		bottom = math.Min(bottom, lim.saleC-line)
		if lim.aliveC > reach {
			bottom = math.Min(bottom, math.Min(lim.aliveC, lim.saleC-line)-line)
		}
	}
	top := bottom + spanK
	if lim.known && lim.saleC > top-headK {
		top = lim.saleC + headK // the plants go far below: the curve leaves the drawing
	}
	return top
}

// drawLimits puts hatched ground below each limit and names it at the left.
func (w voice) drawLimits(s *strip, lim limits, y func(float64) float64) {
	if !lim.known {
		return
	}
	spoil, dead := y(lim.saleC), y(lim.aliveC)
	if spoil > plotEnd-4 {
		s.Labels = append(s.Labels, label{"3", num(plotEnd - 5), "spoils at " + w.degrees(lim.saleC) + ", off the drawing", "faint"})
		return
	}
	s.Spoil = num(spoil)
	at := spoil + textH - 2
	s.Labels = append(s.Labels, label{"3", num(math.Min(at, plotEnd-4)), "spoils below " + w.degrees(lim.saleC), "lim"})
	if dead > plotEnd-4 {
		return
	}
	s.Dead = num(dead)
	at = math.Max(dead+textH-2, at+textH)
	if at < plotEnd {
		s.Labels = append(s.Labels, label{"3", num(at), "dies below " + w.degrees(lim.aliveC), "lim"})
	}
}

// path writes an SVG path in whole pixels of the smallest phone (a seventh of a
// kelvin), relative, without adding up rounding: 54 of them are most of the page.
type path struct {
	b      strings.Builder
	px, py int
	begun  bool
}

func (p *path) to(x, y float64) {
	// far outside the drawing a point is as good on its rim
	y = math.Min(math.Max(y, plotTop-400), plotEnd+400)
	ix, iy := int(math.Round(x)), int(math.Round(y))
	switch {
	case !p.begun:
		fmt.Fprintf(&p.b, "M%d %dl", ix, iy)
		p.begun = true
	default:
		if b := p.b.String(); ix >= p.px && b[len(b)-1] != 'l' {
			p.b.WriteByte(' ')
		}
		p.b.WriteString(strconv.Itoa(ix - p.px))
		if iy >= p.py {
			p.b.WriteByte(' ')
		}
		p.b.WriteString(strconv.Itoa(iy - p.py))
	}
	p.px, p.py = ix, iy
}

// String is the path; one of a single point has nothing to draw.
func (p *path) String() string { return strings.TrimSuffix(p.b.String(), "l") }

func tenths(n int) string {
	return strconv.FormatFloat(float64(n)/10, 'f', -1, 64)
}

func num(x float64) string { return tenths(int(math.Round(10 * x))) }
