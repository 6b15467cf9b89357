package night

import (
	"math"
	"slices"

	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// salvage is what an unsaleable plant that lives is still worth, as a share of
// its value: it can be cut back and grown on. Judgement.
const salvage = 0.4

// Stock is a group of a space with its limits resolved.
type Stock struct {
	Name   string // as the grower writes it
	Group  *site.Group
	Limits plant.Resolved
	Worth  float64
	Where  []float64 // share of the group in each cell of the space, sum 1
	ShiftK float64   // hardening: added to the centres
	class  int       // index in Classes
	root   int       // -1 when the roots stand in the ground
}

// Stocks resolves the groups of a space. minima are the nights before, oldest
// first [°C]; empty takes the library's reference.
func (sc *Scene) Stocks(sp *site.Space, shapes []site.CellShape, minima []float64) []Stock {
	out := make([]Stock, len(sp.Groups))
	for i := range sp.Groups {
		g := &sp.Groups[i]
		pot := potDiameter(g.Pot)
		q := plant.Query{
			Name: g.Plant, Word: g.Word, OwnSaleableC: g.SaleableC, OwnAliveC: g.AliveC,
			Pot: pot > 0, PotM: pot, Class: plant.Class(g.Tissue), WetSoil: sp.Ground.Moisture == site.Wet,
		}
		r := sc.Library.Resolve(q)
		s := Stock{Name: g.Plant, Group: g, Limits: r, Worth: sp.WorthOf(i), Where: share(g.Place, shapes), root: -1}
		if s.Name == "" {
			s.Name = g.Word + " stock"
		}
		s.class = max(slices.Index(Classes(), r.Class), 0)
		if pot > 0 {
			s.root = slices.Index(Classes(), r.RootClass)
		}
		if len(minima) > 0 {
			s.ShiftK = r.Hardening.ShiftK(minima)
		}
		out[i] = s
	}
	return out
}

// share spreads a group over the cells.
func share(p site.Place, shapes []site.CellShape) []float64 {
	w := make([]float64, len(shapes))
	sum := 0.0
	for k, s := range shapes {
		switch {
		case p == site.CorePlace && s.Edge, (p == site.EdgePlace || p == site.WindwardEdge) && !s.Edge && len(shapes) > 1:
			continue
		}
		w[k] = s.AreaM2
		sum += s.AreaM2
	}
	for k := range w {
		if sum > 0 {
			w[k] /= sum
		} else {
			w[k] = 1 / float64(len(w))
		}
	}
	return w
}

// Odds are the chances of a group under one protection.
type Odds struct {
	Unsaleable, Dead float64 // 0..1, mean over draws and cells
	Loss             float64 // expected, in the site's money
}

// feel returns the odds of one group under one draw's tracks, its tops being of a class.
func (s *Stock) feel(tracks []Track, class int, stepHours float64, buf *buffers) (unsaleable, dead float64) {
	for k := range tracks {
		if s.Where[k] == 0 {
			continue
		}
		x := plant.Exposure{Tissue: buf.series(tracks[k].Hours, class, 0), StepHours: stepHours, ShiftK: s.ShiftK, Wet: s.Group.WetFoliage}
		if s.root >= 0 {
			x.Root = buf.series(tracks[k].Hours, s.root, 1)
		}
		u, d := s.Limits.Odds(x)
		unsaleable += s.Where[k] * u
		dead += s.Where[k] * d
	}
	return unsaleable, dead
}

// tops tells whether a class is a tissue a cup can go over.
func tops(class int) bool {
	switch Classes()[class] {
	case plant.LeafSmall, plant.LeafLarge, plant.LeafTouching, plant.Stem1, plant.Stem3, plant.Apex, plant.Pad:
		return true
	}
	return false
}

// loss of a group given its odds.
func (s *Stock) loss(unsaleable, dead float64) float64 {
	return s.Worth * ((1-salvage)*unsaleable + salvage*dead)
}

// buffers hold the series of one class while odds are computed.
type buffers struct{ a, b []float64 }

func (f *buffers) series(hours []Hour, class, which int) []float64 {
	p := &f.a
	if which == 1 {
		p = &f.b
	}
	*p = (*p)[:0]
	for i := range hours {
		*p = append(*p, hours[i].Tissue[class])
	}
	return *p
}

// RecentMinima returns the daily minima of a series before a row [°C], oldest
// first: what the plants have hardened to.
func RecentMinima(s weather.Series, before int) []float64 {
	var out []float64
	perDay := max(int(24*60*60/s.Step.Seconds()), 1)
	for end := before; end >= perDay; end -= perDay {
		low := math.Inf(1)
		for _, r := range s.Rows[end-perDay : end] {
			low = math.Min(low, r.AirC)
		}
		out = append(out, low)
	}
	slices.Reverse(out)
	return out
}
