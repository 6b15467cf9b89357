package fasten

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/cover"
)

// A bed of 24 by 1.2 m under 30 g cloth on the crop, wind from the north. By hand at 20
// m/s: 10.7 m/s and 72 Pa at 0.3 m, lift 0.30, hems 1.5 m apart: 16 N/m on a tight sheet,
// of which cloth leaves 15; twice that, a quarter more to windward, a metre more for the
// corners: 15·2·1.25·25 = 940 N, in pins of 27 N 35.
func TestBedInGusts(t *testing.T) {
	sc := scene(t, "metric", bed{})
	var last Hold
	for _, gust := range []float64{8, 12, 16, 20} {
		a := ask(sc, 0, "pp30", steady(gust, 0))
		h := hold(t, a, Stock{Pins: 1000})
		w := hold(t, a, Stock{Weights: 1000})
		t.Logf("%2.0f m/s: %d pins or %d weights, %.1f N/m on the north side, stays to %.1f, gives at %.1f. %s", gust, h.Total.Pins, w.Total.Weights, h.PerSide[3].PullN/24, h.StaysToMS, h.GivesMS, h.Say)
		if h.Short.Any() || h.StaysToMS < gust || h.GivesMS < h.StaysToMS || h.Odds != 0 {
			t.Errorf("%g m/s with plenty: short %+v, stays to %.2f, gives at %.2f, odds %.2f", gust, h.Short, h.StaysToMS, h.GivesMS, h.Odds)
		}
		if h.Total.Count() < last.Total.Count() {
			t.Errorf("%g m/s needs %d, less gust %d", gust, h.Total.Count(), last.Total.Count())
		}
		for _, s := range h.PerSide {
			if s.LengthM > 2 && s.Windward != (s.Faces == "N") {
				t.Errorf("%g m/s from the north: side %s windward %v", gust, s.Faces, s.Windward)
			}
		}
		north, south := side(t, h, "N"), side(t, h, "S")
		if north.Count() <= south.Count() || north.PullN <= south.PullN {
			t.Errorf("%g m/s: %d to windward, %d to leeward", gust, north.Count(), south.Count())
		}
		last = h
	}
	if n := side(t, last, "N").Pins; n < 33 || n > 37 {
		t.Errorf("20 m/s: %d pins to windward, 35 by hand", n)
	}
}

func side(t *testing.T, h Hold, faces site.Direction) Side {
	t.Helper()
	for _, s := range h.PerSide {
		if s.Faces == faces {
			return s
		}
	}
	t.Fatalf("no side faces %s: %+v", faces, h.PerSide)
	return Side{}
}

func TestWhatHoldsWhere(t *testing.T) {
	sc := scene(t, "metric",
		bed{name: "Soil"}, bed{name: "Concrete", texture: "concrete"}, bed{name: "Bench", kind: "bench", bench: 0.8},
		bed{name: "Hoops", height: 0.6}, bed{name: "Buried", hem: "sealed"}, bed{name: "Sand", texture: "sand", moisture: "dry"}, bed{name: "Posts", kind: "shade house", height: 2.5, width: 6}, bed{name: "Dust", hem: "sealed", moisture: "dry"})
	all := Stock{Clamps: 5000, Pins: 5000, Weights: 5000}
	get := func(i int, gust float64) Hold { return hold(t, ask(sc, i, "pp30", steady(gust, 0)), all) }
	for i, want := range []string{"pins", "weights", "clamps", "clamps", "none", "pins", "clamps"} {
		h := get(i, 12)
		got := "none"
		switch {
		case h.Total.Clamps > 0:
			got = "clamps"
		case h.Total.Pins > 0:
			got = "pins"
		case h.Total.Weights > 0:
			got = "weights"
		}
		if got != want {
			t.Errorf("%s: held by %s (%+v), want %s", h.Space.Name, got, h.Total, want)
		}
	}
	if s, c := get(0, 20).Total.Pins, get(5, 20).Total.Pins; c <= s {
		t.Errorf("dry sand takes %d pins, moist loam %d", c, s)
	}
	if l, hoops := get(0, 16).PerSide[3].PullN, get(3, 16).PerSide[3].PullN; hoops < 2*l {
		t.Errorf("on hoops %.0f N, on the crop %.0f N", hoops, l)
	}
	if h := get(4, 12); h.Short.Any() || h.StaysToMS < 12 || !strings.Contains(h.Say, "under soil or boards") {
		t.Errorf("buried hem: %+v", h)
	}
	if wet, dry := get(4, 20), get(7, 20); side(t, dry, "N").HoldsN >= side(t, wet, "N").HoldsN && dry.Total.Count() <= wet.Total.Count() || !strings.Contains(dry.Caution, "blows off") {
		t.Errorf("buried in moist soil %+v, in dry %+v", wet, dry)
	}
	if h := get(3, 12); !strings.Contains(h.Caution, "not judged") {
		t.Errorf("hoops: %q", h.Caution)
	}
	bare := hold(t, ask(sc, 1, "pp30", steady(12, 0)), Stock{Pins: 500})
	if bare.Total.Count() != 0 || bare.Short.Weights == 0 || bare.Short.Pins != 0 || bare.Short.Shovels != 0 || bare.Odds != 1 {
		t.Errorf("pins on concrete: %+v", bare)
	}
}

func TestNothingToHold(t *testing.T) {
	sc := scene(t, "metric", bed{})
	a := ask(sc, 0, "pp30", steady(12, 0))
	a.Protection.Covers = nil
	if h := hold(t, a, plenty()); !h.None || h.Say != "" {
		t.Errorf("without a cover: %+v", h)
	}
	a = ask(sc, 0, "pp30", steady(12, 0))
	inside := *a.Space
	inside.House = &site.House{Layers: 1}
	a.Space = &inside
	if h := hold(t, a, plenty()); !h.None {
		t.Errorf("inside a house: %+v", h)
	}
	if h := hold(t, ask(sc, 0, "pp30", steady(0, 0)), plenty()); h.Total.Count() != 0 || h.Short.Any() || h.StaysToMS <= 0 {
		t.Errorf("calm: %+v", h)
	}
	if h := hold(t, ask(sc, 0, "pp30", nil), plenty()); h.Total.Count() != 0 || h.Odds != 0 {
		t.Errorf("no gust known: %+v", h)
	}
	a = ask(sc, 0, "tin foil", steady(12, 0))
	if _, err := For(a, plenty()); err == nil || !strings.Contains(err.Error(), `space "Bed"`) {
		t.Errorf("a cloth nobody knows: %v", err)
	}
	if _, _, err := Share([]Ask{a}, plenty()); err == nil {
		t.Error("shared: a cloth nobody knows")
	}
}

func TestWindward(t *testing.T) {
	sc := scene(t, "metric", bed{})
	count := func(g []Gust) (n int) {
		for _, s := range hold(t, ask(sc, 0, "pp30", g), plenty()).PerSide {
			if s.Windward {
				n++
			}
		}
		return n
	}
	turning := append(steady(12, 0)[:16], steady(12, 180)[:4]...) // one in five from the south
	for _, c := range []struct {
		what  string
		gusts []Gust
		want  int
	}{{"north", steady(12, 0), 1}, {"north-east", steady(12, 45), 2}, {"not known", steady(12, nan), 4}, {"turning", turning, 2}, {"over north", steady(12, 359), 1}} {
		if got := count(c.gusts); got != c.want {
			t.Errorf("wind from %s: %d sides to windward, want %d", c.what, got, c.want)
		}
	}
}

func TestShelter(t *testing.T) {
	sc := scene(t, "metric", bed{})
	a := ask(sc, 0, "pp30", steady(16, 0))
	open := hold(t, a, plenty())
	walled := *a.Space
	walled.Shelters = []site.Shelter{{From: "N", What: site.Wall, HeightM: 3, DistanceM: 3}}
	a.Space = &walled
	lee := hold(t, a, plenty())
	if lee.Total.Count() >= open.Total.Count() || lee.GustMS != 16 || lee.StaysToMS < 16 {
		t.Errorf("behind a wall %d holders (gust %.1f, stays to %.1f), in the open %d", lee.Total.Count(), lee.GustMS, lee.StaysToMS, open.Total.Count())
	}
	// by hand: 1 - 0.5·0.7·exp(-3/3/12) = 0.678
	if got := here(&walled, 0); math.Abs(got-0.678) > 1e-3 {
		t.Errorf("%.3f of a north gust comes over the wall", got)
	}
	if here(&walled, 180) != 1 || here(&walled, nan) != 1 {
		t.Error("the wall shelters from the wrong side")
	}
}

func TestOddsAndDesign(t *testing.T) {
	sc := scene(t, "metric", bed{})
	var gusts []Gust
	for i := range 20 {
		gusts = append(gusts, Gust{float64(i + 1), 0})
	}
	h := hold(t, ask(sc, 0, "pp30", gusts), plenty())
	if h.GustMS != 18 { // 18 of 20 are not above it
		t.Errorf("meant for %.1f m/s, want 18", h.GustMS)
	}
	over := 0
	for _, g := range gusts {
		if g.MS > h.StaysToMS {
			over++
		}
	}
	if h.Odds != float64(over)/20 || h.Odds > 0.1 {
		t.Errorf("odds %.2f, %d of 20 above %.2f", h.Odds, over, h.StaysToMS)
	}
	none := hold(t, ask(sc, 0, "pp30", gusts), Stock{})
	if none.Odds < 0.8 || !strings.Contains(none.Caution, "may not stay") || !strings.Contains(none.Say, "nothing to hold cloth down is written") {
		t.Errorf("nothing in the shed: odds %.2f, %q, %q", none.Odds, none.Say, none.Caution)
	}
	storm := hold(t, ask(sc, 0, "pp30", steady(40, 0)), plenty())
	if storm.Odds != 1 || storm.StaysToMS > NothingHoldsMS {
		t.Errorf("in 40 m/s: odds %.2f, stays to %.1f", storm.Odds, storm.StaysToMS)
	}
}

func TestStrongestAndSnow(t *testing.T) {
	t0 := time.Date(2027, 1, 10, 12, 0, 0, 0, time.UTC)
	member := func(gusts, winds, rain, air []float64) weather.Series {
		s := weather.Series{Step: time.Hour}
		for i := range gusts {
			r := weather.EmptyRow(t0.Add(time.Duration(i) * time.Hour))
			r.GustMS, r.WindMS, r.WindFromDeg, r.RainMM, r.AirC = gusts[i], winds[i], float64(10*i), rain[i], air[i]
			s.Rows = append(s.Rows, r)
		}
		return s
	}
	a := member([]float64{30, 8, 12, 5}, []float64{9, 9, 9, 9}, []float64{9, 2, 3, 4}, []float64{-5, -1, 0, 4})
	b := member([]float64{nan, nan, nan, nan}, []float64{1, 2, 3, 7}, []float64{0, nan, 0, 1}, []float64{0, 0, 0, 0})
	c := member([]float64{nan, nan, nan, nan}, []float64{nan, nan, nan, nan}, []float64{nan, nan, nan, nan}, []float64{nan, nan, nan, nan})
	got := Strongest([]weather.Series{a, b, c}, t0.Add(time.Hour), t0.Add(3*time.Hour))
	want := []Gust{{12, 20}, {7, 30}} // the 30 lies before, the third says nothing
	if len(got) != 2 || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("strongest %+v, want %+v", got, want)
	}
	if s := Snow([]weather.Series{a, b, c}, t0.Add(time.Hour), t0.Add(3*time.Hour)); s != 5 { // 2 + 3 below 1 °C, 4 falls as rain
		t.Errorf("snow %.1f kg/m2, want 5", s)
	}
	if Snow(nil, t0, t0) != 0 || len(Strongest(nil, t0, t0)) != 0 {
		t.Error("no members, yet snow or gusts")
	}
}

func TestWords(t *testing.T) {
	for _, units := range []string{"metric", "us"} {
		sc := scene(t, units, bed{}, bed{name: "Hoops", height: 0.6})
		a := ask(sc, 1, "pp30", append(steady(12, 0), steady(18, 0)...))
		a.SnowKgM2 = 12
		a.Protection.Cup = "cup"
		h := hold(t, a, Stock{Pins: 30, Weights: 10})
		text := h.Say + " " + h.Caution
		t.Log(text)
		other := map[string][]string{"metric": {"mph", " ft", " lb"}, "us": {"m/s", " m ", "kg"}}[units]
		for _, w := range append(other, "safe", "NaN", "Inf") {
			if strings.Contains(text, w) {
				t.Errorf("%s: %q in %q", units, w, text)
			}
		}
		for _, w := range []string{"windward", "it would take", "may not stay", "not judged", "Snow of up to", "Cups", "Pins go in before"} {
			if !strings.Contains(text, w) {
				t.Errorf("%s: %q is missing in %q", units, w, text)
			}
		}
		flat := ask(sc, 0, "pp30", steady(12, 0))
		flat.Protection.Covers[0].SnowM = 0.2
		if c := hold(t, flat, plenty()).Caution; !strings.Contains(c, "presses on the plants") {
			t.Errorf("%s: snow on the crop: %q", units, c)
		}
	}
	if s := phrase.Count(1, "pin") + phrase.Count(2, "pin"); s != "1 pin2 pins" {
		t.Error(s)
	}
}

// The strength of a side is that of the parts in package cover.
func TestEachHolder(t *testing.T) {
	sc := scene(t, "metric", bed{height: 0.6})
	sh, ok, err := sheetOf(ask(sc, 0, "pp30", steady(12, 0)), Stock{}.sized())
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	want := [3]float64{cover.ClampHold(0.030), cover.PinHold(10e3, 0.15, 0.003), cover.WeightHold(7, math.Pi/2)} // a half circle pulls straight up
	for i := range want {
		if math.Abs(sh.each[i]-want[i]) > 1e-9 {
			t.Errorf("holder %d holds %.1f N, want %.1f", i, sh.each[i], want[i])
		}
	}
	if got := fmt.Sprintf("%s %s %s", toward(90), toward(-22.5), toward(359)); got != "E NNW N" {
		t.Error(got)
	}
}
