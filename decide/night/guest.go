package night

import (
	"slices"

	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
)

// Guest is a group of another space that could be carried to the one looked at.
type Guest struct {
	From  *site.Space
	Group int // its place there
}

// Hosted is how a guest would fare.
type Hosted struct {
	Odds       Odds
	LossByDraw []float64
}

// Carried is a group that is taken away from a space, and how it fares where it is.
type Carried struct {
	Group int
	Hosted
}

// guests resolves the guests of a request: hardened where they come from, standing away
// from the edges. i is the row the span begins with.
func (sc *Scene) guests(q Request, shapes []site.CellShape, i int) []Stock {
	var out []Stock
	for _, g := range q.Guests {
		out = append(out, sc.stockAt(g, shapes, hardened(q, g.From, i)))
	}
	return out
}

// hardened are the nights that the plants of a space have had.
func hardened(q Request, sp *site.Space, i int) []float64 {
	switch {
	case sp.House != nil:
		return nil
	case len(q.Minima) > 0:
		return q.Minima
	}
	return RecentMinima(q.Members[0], i)
}

func (sc *Scene) stockAt(g Guest, shapes []site.CellShape, minima []float64) Stock {
	s := sc.Stocks(g.From, shapes, minima)[g.Group]
	s.Where = share(site.CorePlace, shapes)
	return s
}

// host sums up how the guests fare under a protection.
func (sc *Scene) host(o *Outlook, r *Result, pi int, tracks [][][]Track) {
	var buf buffers
	n := float64(len(tracks))
	for g := range o.Guests {
		s := &o.Guests[g]
		h := Hosted{LossByDraw: make([]float64, len(tracks))}
		for k := range tracks {
			u, d := s.feel(tracks[k][pi], s.class, o.Step.Hours(), &buf)
			h.LossByDraw[k] = s.loss(u, d)
			h.Odds.Unsaleable += u / n
			h.Odds.Dead += d / n
			h.Odds.Loss += h.LossByDraw[k] / n
		}
		r.Guests = append(r.Guests, h)
	}
}

// InRoom is how a group fares in a room that is as cold as it gets for the whole span,
// in each of so many draws: nothing of the weather is felt there.
func (o *Outlook) InRoom(group int, keepsC float64, draws int) Hosted {
	s := &o.Stocks[group]
	n := max(int(o.To.Sub(o.From)/o.Step), 1)
	x := plant.Exposure{Tissue: slices.Repeat([]float64{keepsC}, n), StepHours: o.Step.Hours(), ShiftK: s.ShiftK, Wet: s.Group.WetFoliage}
	if s.root >= 0 {
		x.Root = x.Tissue
	}
	u, d := s.Limits.Odds(x)
	l := s.loss(u, d)
	return Hosted{Odds{u, d, l}, slices.Repeat([]float64{l}, draws)}
}

// Without is a result of the space with some groups carried away: their part of the loss
// is what they lose where they are. Key and words are the protection's; the result given
// is not changed.
func (o *Outlook) Without(r *Result, p Protection, away ...Carried) Result {
	out := *r
	out.Protection = p
	out.Odds, out.LossByDraw, out.ByStock = slices.Clone(r.Odds), slices.Clone(r.LossByDraw), slices.Clone(r.ByStock)
	var gone []int
	for _, a := range away {
		gone = append(gone, a.Group)
		out.Odds[a.Group] = a.Odds
		out.ByStock[a.Group] = a.LossByDraw
		for k := range out.LossByDraw {
			out.LossByDraw[k] = max(0, out.LossByDraw[k]+a.LossByDraw[k]-r.ByStock[a.Group][k])
		}
	}
	out.Loss = 0
	for _, l := range out.LossByDraw {
		out.Loss += l / float64(len(out.LossByDraw))
	}
	out.Worst = o.worst(&out, gone)
	return out
}

// lossTable is room for the loss of n stocks in so many draws.
func lossTable(n, draws int) [][]float64 {
	out := make([][]float64, n)
	for i := range out {
		out[i] = make([]float64, draws)
	}
	return out
}
