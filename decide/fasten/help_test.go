package fasten

import (
	"fmt"
	"math"
	"testing"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
)

// bed is an invented bed of loam, 24 by 1.2 m, its long axis east to west.
type bed struct {
	name, kind, texture, moisture, hem string
	length, width, height              float64
	bench                              float64
}

func (b bed) text() string {
	or := func(s *string, usual string) {
		if *s == "" {
			*s = usual
		}
	}
	orF := func(s *float64, usual float64) {
		if *s == 0 {
			*s = usual
		}
	}
	or(&b.name, "Bed")
	or(&b.kind, "bed")
	or(&b.texture, "loam")
	or(&b.moisture, "moist")
	or(&b.hem, "pinned")
	orF(&b.length, 24)
	orF(&b.width, 1.2)
	out := fmt.Sprintf("[[space]]\nname = %q\nkind = %q\nlength = \"%g m\"\nwidth = \"%g m\"\naxis = \"E\"\nground = %q\nmoisture = %q\nhem = %q\n",
		b.name, b.kind, b.length, b.width, b.texture, b.moisture, b.hem)
	if b.height > 0 {
		out += fmt.Sprintf("height = \"%g m\"\n", b.height)
	}
	if b.bench > 0 {
		out += fmt.Sprintf("bench_height = \"%g m\"\n", b.bench)
	}
	return out + "[[space.group]]\nplant = \"soft leaf\"\nword = \"tender\"\ncount = 400\nvalue_each = 3\nheight = \"30 cm\"\n"
}

func scene(t testing.TB, units string, beds ...bed) *night.Scene {
	t.Helper()
	text := "[site]\nname = \"Test\"\nlatitude = \"33 S\"\nlongitude = \"20 E\"\nelevation = \"100 m\"\ntimezone = \"Africa/Johannesburg\"\nunits = \"" + units +
		"\"\nmoney = \"coins\"\nground = \"loam\"\nmoisture = \"moist\"\n"
	for _, b := range beds {
		text += b.text()
	}
	s, _, err := site.Parse([]byte(text), "test.toml", night.Known())
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	sc, err := night.NewScene(s)
	if err != nil {
		t.Fatal(err)
	}
	return sc
}

// steady is 20 members with the same gust.
func steady(ms, from float64) []Gust {
	out := make([]Gust, 20)
	for i := range out {
		out[i] = Gust{ms, from}
	}
	return out
}

// ask is about space i under one layer of a cloth.
func ask(sc *night.Scene, i int, cloth string, gusts []Gust) Ask {
	sp := &sc.Site.Spaces[i]
	c := site.Cover{Cloth: site.Cloth{Name: cloth}, Layers: 1, Fit: site.Touching}
	if sp.HeightM > 0 {
		c.HeightM, c.Fit = sp.HeightM, site.OnHoops
	}
	return Ask{Scene: sc, Space: sp, Protection: night.Protection{Key: "cloth", Covers: []site.Cover{c}}, Gusts: gusts, AtStake: 1000, Voice: night.VoiceOf(sc.Site)}
}

func hold(t testing.TB, a Ask, stock Stock) Hold {
	t.Helper()
	h, err := For(a, stock)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func plenty() Stock { return Stock{Clamps: 1e5, Pins: 1e5, Weights: 1e5} }

var nan = math.NaN()
