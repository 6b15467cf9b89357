package web

import (
	"fmt"
	"math"
	"slices"

	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
)

// drawing is the map in units of its own, of which it is mapW wide.
type drawing struct {
	Width, Height string
	Ground        string // outline of all of it
	Shelters      []shelterShape
	Spaces        []spaceShape
	Labels        []mapLabel
	North         mapLabel
	NorthArrow    string
	WindArrow     string
	Scale         string // path of the bar
	ScaleWords    mapLabel
	Loose         *mapLabel // above those not placed yet
	LooseLine     string
	Say           string
}

type spaceShape struct {
	Link, Name, Title string
	Floor             string
	Edges             []string
	Core              string
	Coldest           string // cell, when it is known
	Windward          string // side that meets the wind
	House             bool
	Ridge             string
	Loose             bool
}

type shelterShape struct{ Path, Kind, Title string }

type mapLabel struct{ X, Y, Text, Class string }

// The drawing: its width, its margins [both in its own units, about pixels of a small phone], and how far apart
// spaces that are not placed yet are laid [m].
const (
	mapW       = 336.0
	mapMost    = 620.0 // most height of the placed part
	mapMargin  = 18.0
	mapHead    = 58.0 // north and wind
	mapFoot    = 34.0 // scale
	looseHead  = 42.0
	looseApart = 3.0
)

// sheetOf turns metres into places on the drawing.
type sheetOf struct {
	k    float64 // units per metre
	west float64
	top  float64 // northernmost [m], at y = head
	head float64
}

func (o *sheetOf) x(p site.Spot) float64 { return mapMargin + (p.EastM-o.west)*o.k }
func (o *sheetOf) y(p site.Spot) float64 { return o.head + (o.top-p.NorthM)*o.k }

func (o *sheetOf) polygon(corners ...site.Spot) string {
	s := ""
	for i, c := range corners {
		s += [2]string{"L", "M"}[b2i(i == 0)] + num(o.x(c)) + " " + num(o.y(c))
	}
	return s + "z"
}

func (o *sheetOf) line(a, b site.Spot) string {
	return "M" + num(o.x(a)) + " " + num(o.y(a)) + "L" + num(o.x(b)) + " " + num(o.y(b))
}

func b2i(v bool) int {
	if v {
		return 1
	}
	return 0
}

// bounds are the outermost metres of some spots.
type bounds struct{ west, east, south, north float64 }

func noBounds() bounds {
	return bounds{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)}
}

func (b *bounds) take(spots ...site.Spot) {
	for _, s := range spots {
		b.west, b.east = min(b.west, s.EastM), max(b.east, s.EastM)
		b.south, b.north = min(b.south, s.NorthM), max(b.north, s.NorthM)
	}
}

// draw lays out what is placed by its place, to scale and north up, and below it in rows what is not.
func (w voice) draw(s *site.Site, ranks []rankLine, wind breeze) *drawing {
	var placed, loose []*site.Space
	at := noBounds()
	for i := range s.Spaces {
		sp := s.Spaces[i] // a copy, as loose ones are laid somewhere
		if sp.Spot == nil {
			loose = append(loose, &sp)
			continue
		}
		placed = append(placed, &sp)
		c := sp.Corners()
		at.take(c[:]...)
		for k := range sp.Shelters {
			a, b := sp.ShelterFace(k)
			at.take(a, b)
		}
	}
	if placed == nil {
		at = bounds{}
	}
	wide := max(at.east-at.west, 8)
	rows := layLoose(loose, wide, placed == nil)
	for _, sp := range loose {
		c := sp.Corners()
		for _, x := range c {
			wide = max(wide, x.EastM)
		}
	}
	o := sheetOf{k: (mapW - 2*mapMargin) / wide, west: at.west, top: at.north, head: mapHead}
	if tall := at.north - at.south; placed != nil && tall*o.k > mapMost {
		o.k = mapMost / tall
	}
	o.west -= ((mapW-2*mapMargin)/o.k - wide) / 2 // in the middle of the sheet
	d := &drawing{Width: num(mapW)}
	var labels []mapLabel
	for _, sp := range placed {
		d.space(&o, sp, ranks, wind, w, &labels)
	}
	bottom := mapHead
	if placed != nil {
		bottom += (at.north - at.south) * o.k
	}
	if loose != nil {
		if placed != nil {
			bottom += mapMargin
		}
		d.LooseLine = fmt.Sprintf("M0 %sH%s", num(bottom), num(mapW))
		d.Loose = &mapLabel{X: num(mapMargin), Y: num(bottom + 20), Text: "Not placed yet: only the sizes are right", Class: "loose"}
		below := sheetOf{k: o.k, west: 0, top: 0, head: bottom + looseHead}
		for _, sp := range loose {
			d.space(&below, sp, ranks, breeze{}, w, &labels)
		}
		bottom += looseHead + rows*o.k
	}
	d.Labels = labels
	d.furniture(w, &o, bottom+mapFoot-8, wind)
	h := bottom + mapFoot
	d.Height = num(h)
	d.Ground = fmt.Sprintf("M0 0H%sV%sH0z", num(mapW), num(h))
	d.Say = fmt.Sprintf("The nursery from above, north up: %s placed, %s not placed yet. The table below says the same.", phrase.Count(len(placed), "space"), phrase.Count(len(loose), "space"))
	return d
}

// layLoose gives those that have no place one below the map, in rows in the order of the file, and returns how
// deep the rows are [m]. Alone, they get a width of their own.
func layLoose(loose []*site.Space, wide float64, alone bool) (deep float64) {
	area := 0.0
	for _, s := range loose {
		w, h := extent(s)
		area += (w + looseApart) * (h + looseApart)
		if alone {
			wide = max(wide, w)
		}
	}
	if alone {
		wide = max(wide, math.Sqrt(area))
	}
	x, row := 0.0, 0.0
	for _, s := range loose {
		w, h := extent(s)
		if x > 0 && x+w > wide {
			x, deep, row = 0, deep+row+looseApart, 0
		}
		s.Spot = &site.Spot{EastM: x + w/2, NorthM: -(deep + h/2)}
		x, row = x+w+looseApart, max(row, h)
	}
	return deep + row
}

// extent is how far a space reaches east and north [m].
func extent(s *site.Space) (east, north float64) {
	sin, cos := math.Sincos(s.Axis.Deg() * math.Pi / 180)
	return math.Abs(s.LengthM*sin) + math.Abs(s.WidthM*cos), math.Abs(s.LengthM*cos) + math.Abs(s.WidthM*sin)
}

// space draws one: floor, edges, what is built over it, what stands beside it, the coldest cell, and its number.
func (d *drawing) space(o *sheetOf, s *site.Space, ranks []rankLine, wind breeze, w voice, labels *[]mapLabel) {
	c := s.Corners()
	l := ranks[slices.IndexFunc(ranks, func(r rankLine) bool { return r.Space == s.Name })]
	shape := spaceShape{Link: l.Link, Name: s.Name, Title: s.Name, Floor: o.polygon(c[:]...), House: s.House != nil, Loose: l.Loose}
	cells := s.Cells()
	for i := range cells {
		f := s.Floor(cells, i)
		path := o.polygon(f[:]...)
		if cells[i].Edge {
			shape.Edges = append(shape.Edges, path)
		} else {
			shape.Core = path
		}
		if l.cold.known && cells[i].Name == l.cold.shape.Name {
			shape.Coldest = path
		}
	}
	if s.House != nil {
		shape.Ridge = o.line(s.Point(s.LengthM/2, 0), s.Point(-s.LengthM/2, 0))
	}
	if side, ok := wind.windward(s); ok {
		if a, b, ok := s.Side(side); ok {
			shape.Windward = o.line(a, b)
		}
	}
	if !l.Loose {
		for i := range s.Shelters {
			a, b := s.ShelterFace(i)
			d.Shelters = append(d.Shelters, shelterShape{o.line(a, b), shelterClass(s.Shelters[i].What), phrase.Capital(string(s.Shelters[i].What)) + " beside " + s.Name})
		}
	}
	text, class := s.Name, "name"
	if l.Rank > 0 {
		text, class = fmt.Sprintf("%d)\u2002%s°", l.Rank, w.Whole(l.cold.low.P50)), "rank"
		shape.Title = fmt.Sprintf("%s: number %d, coldest about %s %s", s.Name, l.Rank, l.Coldest, whereWords(&l.cold.shape))
	} else if r := []rune(text); len(r) > 9 {
		text = string(r[:8]) + "…"
	}
	*labels = append(*labels, placeLabel(*labels, o, s, text, class))
	d.Spaces = append(d.Spaces, shape)
}

func shelterClass(k site.ShelterKind) string {
	if k == site.Hedge {
		return "hedge"
	}
	return "wall"
}

// Size of a label's letters, in units of the drawing.
const labelW, labelH = 8.2, 15.0

// placeLabel puts a label in the middle of its space, or along it where another stands there already.
func placeLabel(taken []mapLabel, o *sheetOf, s *site.Space, text, class string) mapLabel {
	half := float64(len([]rune(text))) * labelW / 2
	var first mapLabel
	for i, share := range []float64{0, 0.25, -0.25, 0.4, -0.4, 0.5, -0.5} {
		p := s.Point(share*s.LengthM, 0)
		x := math.Min(math.Max(o.x(p), half+2), mapW-half-2)
		l := mapLabel{X: num(x), Y: num(o.y(p) + labelH/3), Text: text, Class: class}
		if i == 0 {
			first = l
		}
		if !slices.ContainsFunc(taken, func(t mapLabel) bool { return t.near(&l) }) {
			return l
		}
	}
	return first
}

// near reports whether two labels lie on each other.
func (l *mapLabel) near(o *mapLabel) bool {
	var ax, ay, bx, by float64
	for _, v := range []struct {
		s string
		f *float64
	}{{l.X, &ax}, {l.Y, &ay}, {o.X, &bx}, {o.Y, &by}} {
		fmt.Sscan(v.s, v.f) // written by num
	}
	wide := float64(len([]rune(l.Text))+len([]rune(o.Text))) * labelW / 2
	return math.Abs(ax-bx) < wide && math.Abs(ay-by) < labelH
}

// furniture are north, wind and the scale.
func (d *drawing) furniture(w voice, o *sheetOf, y float64, wind breeze) {
	d.NorthArrow = "M20 46V14M20 10l-7 14h14z"
	d.North = mapLabel{X: "33", Y: "28", Text: "N", Class: "rank"}
	if wind.sided() {
		sin, cos := math.Sincos((wind.from + 180) * math.Pi / 180)
		at := func(along, across float64) string {
			return num(mapW-34+along*sin+across*cos) + " " + num(29-along*cos+across*sin)
		}
		d.WindArrow = "M" + at(-22, 0) + "L" + at(12, 0) + "M" + at(23, 0) + "L" + at(7, 8) + "L" + at(7, -8) + "z"
	}
	unit, step := 1.0, []float64{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000}
	if w.Units == measure.Customary {
		unit = 0.3048
	}
	long := step[0]
	for _, s := range step {
		if s*unit*o.k <= 110 {
			long = s
		}
	}
	end := mapMargin + long*unit*o.k
	d.Scale = fmt.Sprintf("M%s %sv6H%sv-6", num(mapMargin), num(y-6), num(end))
	d.ScaleWords = mapLabel{X: num(end + 6), Y: num(y + 2), Text: w.Units.Length(measure.Length(long * unit)), Class: "ax"}
}
