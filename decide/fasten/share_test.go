package fasten

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// five are invented spaces of every kind that holders tell apart.
func five() []bed {
	return []bed{
		{name: "A"},
		{name: "B", height: 0.6},
		{name: "C", texture: "concrete", width: 2},
		{name: "D", width: 8, length: 15, texture: "sand"},
		{name: "E", hem: "sealed", length: 10},
	}
}

func drawStock(t *rapid.T) Stock {
	n := func(what string) int { return rapid.IntRange(0, 120).Draw(t, what) }
	return Stock{Clamps: n("clamps"), Pins: n("pins"), Weights: n("weights"), WeightKg: rapid.Float64Range(1, 20).Draw(t, "kg")}
}

func TestAnySharing(t *testing.T) {
	sc := scene(t, "metric", five()...)
	cloths := []string{"pp17", "pp30", "pp68", "pe100"}
	rapid.Check(t, func(t *rapid.T) {
		gust, from := rapid.Float64Range(0, 35).Draw(t, "gust"), rapid.Float64Range(0, 360).Draw(t, "from")
		asks := make([]Ask, len(sc.Site.Spaces))
		for i := range asks {
			asks[i] = ask(sc, i, rapid.SampledFrom(cloths).Draw(t, "cloth"), steady(gust, from))
			asks[i].AtStake = float64(rapid.IntRange(0, 3).Draw(t, "stake"))
		}
		stock := drawStock(t)
		share := func(asks []Ask, stock Stock) ([]Hold, Stock) {
			h, left, err := Share(asks, stock)
			if err != nil {
				t.Fatal(err)
			}
			return h, left
		}
		holds, left := share(asks, stock)

		// never more than there is, and what is left is what was not used
		var used Holders
		for i, h := range holds {
			if h.Space != asks[i].Space {
				t.Fatalf("answer %d is about %s", i, h.Space.Name)
			}
			var sum Holders
			for _, s := range h.PerSide {
				sum = sum.plus(s.Holders)
			}
			if sum != h.Total {
				t.Fatalf("%s: sides %+v, in all %+v", h.Space.Name, sum, h.Total)
			}
			used = used.plus(h.Total)
			if h.Short.Any() == (h.StaysToMS >= math.Min(gust, NothingHoldsMS)-1e-6) {
				t.Fatalf("%s: stays to %.3f in %.3f m/s, short %+v", h.Space.Name, h.StaysToMS, gust, h.Short)
			}
		}
		if left.Clamps != stock.Clamps-used.Clamps || left.Pins != stock.Pins-used.Pins || left.Weights != stock.Weights-used.Weights ||
			left.Clamps < 0 || left.Pins < 0 || left.Weights < 0 {
			t.Fatalf("used %+v of %+v, %+v left", used, stock, left)
		}

		// the order of the questions changes nothing
		back := slices.Clone(asks)
		slices.Reverse(back)
		turned, _ := share(back, stock)
		for i := range holds {
			if o := turned[len(turned)-1-i]; o.Total != holds[i].Total || o.StaysToMS != holds[i].StaysToMS || o.Reason != holds[i].Reason {
				t.Fatalf("%s: %+v and, asked the other way, %+v", holds[i].Space.Name, holds[i], o)
			}
		}

		// more holders: the first space, by what is at stake, that stands otherwise stands
		// better; those after it may get less, for what stands before them takes more
		more := stock
		more.Clamps += rapid.IntRange(0, 40).Draw(t, "more clamps")
		more.Pins += rapid.IntRange(0, 40).Draw(t, "more pins")
		more.Weights += rapid.IntRange(0, 40).Draw(t, "more weights")
		better, _ := share(asks, more)
		meant := math.Min(gust, NothingHoldsMS)
		order := []int{0, 1, 2, 3, 4} // their names are in order
		slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(asks[j].AtStake, asks[i].AtStake) })
		for _, i := range order {
			was, is := math.Min(holds[i].StaysToMS, meant), math.Min(better[i].StaysToMS, meant)
			if is > was+1e-6 {
				break
			}
			if is < was-1e-6 {
				t.Fatalf("%s stays to %.4f m/s with %+v, to %.4f with %+v", holds[i].Space.Name, was, stock, is, more)
			}
		}

		// and a space that may take all of them never stays to a lower wind, nor with worse odds
		for i := range asks {
			a, err := For(asks[i], stock)
			if err != nil {
				t.Fatal(err)
			}
			b, err := For(asks[i], more)
			if err != nil {
				t.Fatal(err)
			}
			if math.Min(b.StaysToMS, meant) < math.Min(a.StaysToMS, meant)-1e-6 || b.Odds > a.Odds {
				t.Fatalf("%s alone stays to %.4f m/s (odds %.2f) with %+v, to %.4f (%.2f) with %+v", a.Space.Name, a.StaysToMS, a.Odds, stock, b.StaysToMS, b.Odds, more)
			}
		}
	})
}

func TestMoreGustNeverNeedsLess(t *testing.T) {
	sc := scene(t, "metric", five()...)
	rapid.Check(t, func(t *rapid.T) {
		i := rapid.IntRange(0, len(sc.Site.Spaces)-1).Draw(t, "space")
		cloth := rapid.SampledFrom([]string{"pp17", "pp30", "pp68", "pe100", "shade50"}).Draw(t, "cloth")
		g := rapid.Float64Range(0, 30).Draw(t, "gust")
		more := g + rapid.Float64Range(0, 10).Draw(t, "more")
		from := rapid.Float64Range(0, 360).Draw(t, "from")
		need := func(gust float64) Hold {
			h, err := For(ask(sc, i, cloth, steady(gust, from)), plenty())
			if err != nil {
				t.Fatal(err)
			}
			return h
		}
		a, b := need(g), need(more)
		for k := range a.PerSide {
			x, y := a.PerSide[k], b.PerSide[k]
			if y.Clamps < x.Clamps || y.Pins < x.Pins || y.Weights < x.Weights || y.PullN < x.PullN-1e-9 {
				t.Fatalf("%s: %+v for %.2f m/s, %+v for %.2f", a.Space.Name, x, g, y, more)
			}
		}
		// what is bought as missing is enough
		bare, err := For(ask(sc, i, cloth, steady(more, from)), Stock{})
		if err != nil {
			t.Fatal(err)
		}
		with, err := For(ask(sc, i, cloth, steady(more, from)), Stock{Weights: bare.Short.Weights})
		if err != nil {
			t.Fatal(err)
		}
		if with.Short.Any() {
			t.Fatalf("%s: %d weights were missing, with them %+v still", a.Space.Name, bare.Short.Weights, with.Short)
		}
	})
}

// The most at stake is served first, and every answer says why.
func TestFirstWhereMostIsLost(t *testing.T) {
	sc := scene(t, "metric", bed{name: "Cheap"}, bed{name: "Dear"}, bed{name: "Worthless"})
	asks := []Ask{ask(sc, 0, "pp30", steady(16, 0)), ask(sc, 1, "pp30", steady(16, 0)), ask(sc, 2, "pp30", steady(16, 0))}
	asks[0].AtStake, asks[1].AtStake, asks[2].AtStake = 100, 5000, 0
	holds, left, err := Share(asks, Stock{Pins: 60})
	if err != nil {
		t.Fatal(err)
	}
	cheap, dear, none := holds[0], holds[1], holds[2]
	if dear.Short.Any() || !cheap.Short.Any() || !none.Short.Any() || dear.StaysToMS <= cheap.StaysToMS {
		t.Errorf("dear stays to %.1f, cheap to %.1f m/s", dear.StaysToMS, cheap.StaysToMS)
	}
	for _, c := range []struct{ got, want string }{
		{dear.Reason, "served first"}, {dear.Reason, "5,000"}, {cheap.Reason, "more would be lost at Dear"}, {none.Reason, "nothing is counted as lost"},
	} {
		if !strings.Contains(c.got, c.want) {
			t.Errorf("%q says nothing of %q", c.got, c.want)
		}
	}
	if left.Pins < 0 || cheap.Total.Pins+dear.Total.Pins+none.Total.Pins+left.Pins != 60 {
		t.Errorf("%+v left of 60 pins", left)
	}
}
