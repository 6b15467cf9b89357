package paper

import (
	"fmt"
	"math"
	"slices"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"example.org/coldnight/decide/night"
)

// plot is the drawing of one strip, its top at the sheaf's y.
type plot struct {
	f        *sheaf
	x0, w    float64
	from, to time.Time
	topC     float64 // warmest drawn
}

func (p *plot) x(t time.Time) float64 {
	share := float64(t.Sub(p.from)) / float64(p.to.Sub(p.from))
	return p.x0 + p.w*math.Min(math.Max(share, 0), 1)
}

func (p *plot) y(c float64) float64 { return p.f.y + (p.topC-c)*perK }

// night says when it is dark, with a line over those hours, and moves to the plot.
func (p *plot) night(v night.Voice, set, rise time.Time) {
	f := p.f
	words := tie(fmt.Sprintf("dark %s to %s", v.Clock(set), v.Clock(rise)))
	f.face(least, false)
	mid := (p.x(set) + p.x(rise)) / 2
	f.put(mid-f.pdf.GetStringWidth(words)/2, least, false, words)
	f.y += lineOf(least) + 0.5
	f.pdf.SetLineWidth(1.2)
	f.pdf.Line(p.x(set), f.y, p.x(rise), f.y)
	f.y += 1.5
}

// curve draws the middle case and the band around it.
func (p *plot) curve(hours []night.HourBand, lim limits) {
	f := p.f
	p.topC = windowTop(hours, lim)
	f.pdf.SetLineWidth(0.25)
	f.pdf.Rect(p.x0, f.y, p.w, stripH, "D")
	f.pdf.ClipRect(p.x0, f.y, p.w, stripH, false)
	var mid, low, high []fpdf.PointType
	for _, h := range hours {
		x := p.x(h.Time)
		mid = append(mid, fpdf.PointType{X: x, Y: p.y(h.Tissue.P50)})
		low = append(low, fpdf.PointType{X: x, Y: p.y(h.Tissue.P10)})
		high = append(high, fpdf.PointType{X: x, Y: p.y(h.Tissue.P90)})
	}
	f.pdf.SetLineWidth(0.12)
	for x := low[0].X; x <= low[len(low)-1].X; x += 1.3 {
		f.pdf.Line(x, along(high, x), x, along(low, x))
	}
	p.path(low)
	p.path(high)
	f.pdf.SetLineWidth(0.9)
	p.path(mid)
	f.pdf.ClipEnd()
}

func (p *plot) path(points []fpdf.PointType) {
	for i := 1; i < len(points); i++ {
		p.f.pdf.Line(points[i-1].X, points[i-1].Y, points[i].X, points[i].Y)
	}
}

// along is the height of a line of points at x.
func along(points []fpdf.PointType, x float64) float64 {
	i, _ := slices.BinarySearchFunc(points, x, func(p fpdf.PointType, x float64) int {
		if p.X < x {
			return -1
		}
		return 1
	})
	if i == 0 {
		return points[0].Y
	}
	if i == len(points) {
		return points[i-1].Y
	}
	a, b := points[i-1], points[i]
	return a.Y + (b.Y-a.Y)*(x-a.X)/(b.X-a.X)
}

// windowTop is the warmest temperature drawn: the coldest hour and the limit are
// inside where both fit, else the limit is.
func windowTop(hours []night.HourBand, lim limits) float64 {
	coldest := math.Inf(1)
	for _, h := range hours {
		coldest = math.Min(coldest, h.Tissue.P10)
	}
	lower := coldest - edgeK
	upper := lim.spoilC
	if math.IsNaN(upper) {
		upper = lim.dieC
	}
	for _, c := range [...]float64{lim.dieC - namedK, lim.spoilC - 1} {
		if c < lower && c > coldest-0.7*spanK {
			lower = c
		}
	}
	t := lower + spanK
	if upper > t-aboveK {
		t = upper + aboveK
	}
	return t
}

// lines draws the limits with their names, and the coldest hour with its degrees.
func (p *plot) lines(v night.Voice, lim limits, hours []night.HourBand, coldest night.Band) {
	f := p.f
	end := f.y + stripH
	label := func(x, y float64, bold bool, words string) {
		keep := f.y
		f.y = y
		words = tie(words)
		f.face(least, bold)
		f.pdf.SetFillColor(255, 255, 255)
		f.pdf.Rect(x-0.5, y, f.pdf.GetStringWidth(words)+1, lineOf(least), "F")
		f.pdf.SetFillColor(0, 0, 0)
		f.put(x, least, bold, words)
		f.y = keep
	}
	f.pdf.SetLineWidth(0.5)
	spoil, die := p.y(lim.spoilC), p.y(lim.dieC)
	drawn := func(y float64) bool { return y < end-1 } // not where there is none
	if drawn(spoil) {
		f.pdf.SetDashPattern([]float64{3, 1.5}, 0)
		f.pdf.Line(p.x0, spoil, p.x0+p.w, spoil)
	}
	if drawn(die) {
		f.pdf.SetDashPattern([]float64{0.6, 1.2}, 0)
		f.pdf.Line(p.x0, die, p.x0+p.w, die)
	}
	f.pdf.SetDashPattern(nil, 0)
	if drawn(spoil) { // one name above, one below: the lines may be near each other
		label(p.x0+1, spoil-lineOf(least)-0.4, false, "spoil below "+v.Degrees(lim.spoilC))
	}
	if at := die + 0.6; drawn(die) && at+lineOf(least) <= end {
		label(p.x0+1, at, false, "die below "+v.Degrees(lim.dieC))
	}
	low := hours[0]
	for _, h := range hours {
		if h.Tissue.P50 < low.Tissue.P50 {
			low = h
		}
	}
	words := v.Degrees(coldest.P50)
	f.face(least, true)
	w := f.pdf.GetStringWidth(words)
	x := min(max(p.x(low.Time)-w/2, p.x0+50), p.x0+p.w-w-1)
	y := min(max(p.y(low.Tissue.P90)-lineOf(least)-1.5, f.y+1), end-lineOf(least)-1)
	label(x, y, true, words)
}

// bar draws when something is on, with its name at the left: hatched, or filled as
// high as its share.
func (p *plot) bar(name string, hours []night.HourBand, step time.Duration, share func(i int) float64, hatched bool) {
	f := p.f
	f.put(side, least, false, name)
	f.pdf.SetLineWidth(0.15)
	f.pdf.Line(p.x0, f.y+barH, p.x0+p.w, f.y+barH)
	for i, h := range hours {
		a, b, on := p.x(h.Time), p.x(h.Time.Add(step)), share(i)
		if on < 0.01 || b <= a {
			continue
		}
		if !hatched {
			f.pdf.Rect(a, f.y+barH*(1-on), b-a, barH*on, "F")
			continue
		}
		f.pdf.Line(a, f.y, b, f.y)
		if i == 0 || share(i-1) < 0.01 {
			f.pdf.Line(a, f.y, a, f.y+barH)
		}
		if i+1 == len(hours) || share(i+1) < 0.01 {
			f.pdf.Line(b, f.y, b, f.y+barH)
		}
		f.pdf.ClipRect(a, f.y, b-a, barH, false)
		for x := math.Floor(a/2) * 2; x < b+barH; x += 2 {
			f.pdf.Line(x, f.y, x-barH, f.y+barH)
		}
		f.pdf.ClipEnd()
	}
	f.y += barH + 1.2
}

// hours writes the clock below, every six hours.
func (p *plot) hours(v night.Voice) {
	f := p.f
	for i, h := range [...]int{12, 18, 24, 30, 36} {
		t := time.Date(p.from.Year(), p.from.Month(), p.from.Day(), h, 0, 0, 0, p.from.Location())
		words := tie(v.Clock(t))
		f.face(least, false)
		w := f.pdf.GetStringWidth(words)
		x := p.x(t) - w/2
		switch i {
		case 0:
			x = p.x0
		case 4:
			x = p.x0 + p.w - w
		}
		f.pdf.SetLineWidth(0.25)
		f.pdf.Line(p.x(t), f.y-0.8, p.x(t), f.y+0.8)
		f.y += 0.8
		f.put(x, least, false, words)
		f.y -= 0.8
	}
	f.y += lineOf(least)
}
