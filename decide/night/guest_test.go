package night

import (
	"math"
	"testing"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

func guestOutlook(t *testing.T, sc *Scene, host *site.Space, ps []Protection, guests ...Guest) *Outlook {
	t.Helper()
	s := coldSpell(sc, 1, 1, 0)
	from, to := lastNight(s)
	o, err := sc.Outlook(Request{
		Space: host, Protections: ps, Members: []weather.Series{s}, Draws: Draws(3, 1, 4), From: from, To: to, Guests: guests,
	})
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// A guest in a house fares as a group of the same kind that stands in its middle anyhow,
// draw by draw, and better than in the open bed it comes from; it adds nothing to the
// loss of the house.
func TestGuestFaresAsThoseBesideIt(t *testing.T) {
	sc := valley(t)
	bed := sc.Site.Space("Bed 1")
	house := *sc.Site.Space("House 1")
	g := bed.Groups[0]
	g.Place = site.CorePlace
	house.Groups = []site.Group{g}
	house.Worth = 0
	ps := []Protection{{Key: "as it is"}, {Key: "cloth", Covers: cloth(2)}}
	o := guestOutlook(t, sc, &house, ps, Guest{bed, 0})
	alone := guestOutlook(t, sc, &house, ps)
	out := guestOutlook(t, sc, bed, ps[:1])
	for k := range ps {
		r, h := &o.Options[k], o.Options[k].Guests[0]
		// the guest hardened outdoors, those of the house did not
		if h.Odds.Unsaleable > r.Odds[0].Unsaleable+1e-9 {
			t.Errorf("%s: guest %.3f, those beside it %.3f", ps[k].Key, h.Odds.Unsaleable, r.Odds[0].Unsaleable)
		}
		if r.Loss != alone.Options[k].Loss {
			t.Errorf("%s: the house loses %.2f with a guest and %.2f without", ps[k].Key, r.Loss, alone.Options[k].Loss)
		}
		sum := 0.0
		for _, l := range h.LossByDraw {
			sum += l / float64(len(h.LossByDraw))
		}
		if math.Abs(sum-h.Odds.Loss) > 1e-9 {
			t.Errorf("%s: mean %.3f over the draws, loss %.3f", ps[k].Key, sum, h.Odds.Loss)
		}
	}
	if in, open := o.Options[1].Guests[0].Odds.Loss, out.Options[0].Odds[0].Loss; in >= open {
		t.Errorf("under cloth in a house it loses %.1f, in the open bed %.1f", in, open)
	}
}

// What is carried away loses what it loses where it is, and no more at home: the loss of
// a space is that of its groups, draw by draw. A room is the safer the warmer it is.
func TestCarriedAway(t *testing.T) {
	sc := valley(t)
	sp := *sc.Site.Space("Bed 1")
	second := sp.Groups[0]
	second.ValueEach, second.Plant = 5, "other leaf"
	sp.Groups = append([]site.Group{second}, sp.Groups...)
	o := guestOutlook(t, sc, &sp, []Protection{{Key: "open"}})
	r := &o.Options[0]
	before := r.Loss
	last := math.Inf(1)
	for _, keeps := range []float64{-8, -5, -3, 2} {
		h := o.InRoom(0, keeps, 3)
		if h.Odds.Loss > last {
			t.Errorf("a room of %.0f °C costs %.2f, a colder one %.2f", keeps, h.Odds.Loss, last)
		}
		last = h.Odds.Loss
		p := Protection{Key: "away"}
		w := o.Without(r, p, Carried{0, h})
		for k := range w.LossByDraw {
			if want := h.LossByDraw[k] + r.ByStock[1][k]; math.Abs(w.LossByDraw[k]-want) > 1e-9 {
				t.Errorf("draw %d: loss %.3f, groups %.3f", k, w.LossByDraw[k], want)
			}
		}
		if w.Worst.Stock != 1 || w.Odds[0] != h.Odds || w.Protection.Key != "away" {
			t.Errorf("worst is stock %d, odds %+v", w.Worst.Stock, w.Odds[0])
		}
	}
	if r.Loss != before || r.Protection.Key != "open" {
		t.Error("the result given was changed")
	}
	if last > 0.02*o.Stocks[0].Worth {
		t.Errorf("at 2 °C it loses %.1f of %.0f", last, o.Stocks[0].Worth)
	}
}

// Cups that stand over some groups help those and no other; a group that is cut back
// has lost its part, dead or alive.
func TestCupsAndShearsOnSomeGroups(t *testing.T) {
	sc := valley(t)
	sp := *sc.Site.Space("Bed 1")
	g := sp.Groups[0]
	g.TrimToM, g.TrimLoss = 0.1, 0.25
	sp.Groups = []site.Group{g, g}
	o := guestOutlook(t, sc, &sp, []Protection{
		{Key: "open"},
		{Key: "cones", Cup: "rose cone"},
		{Key: "some", Cup: "rose cone", Cups: []int{1}},
		{Key: "trimmed", Prepared: &Prepared{Trimmed: []int{0}}},
	})
	open, all, some, cut := &o.Options[0], &o.Options[1], &o.Options[2], &o.Options[3]
	if some.Odds[0] != open.Odds[0] || some.Odds[1] != all.Odds[1] || all.Odds[0] == open.Odds[0] {
		t.Errorf("open %+v, all %+v, over the second %+v", open.Odds, all.Odds, some.Odds)
	}
	for k, l := range cut.ByStock[0] {
		if want := open.ByStock[0][k] + 0.25*(o.Stocks[0].Worth-open.ByStock[0][k]); math.Abs(l-want) > 1e-9 {
			t.Errorf("draw %d: trimmed %.2f, want %.2f", k, l, want)
		}
		if cut.ByStock[1][k] != open.ByStock[1][k] {
			t.Error("the other group lost by the shears")
		}
	}
}
