package site

import (
	"math"
	"testing"
)

func TestNearest(t *testing.T) {
	list := []string{"length", "width", "height", "bench_height", "wet_foliage"}
	for word, want := range map[string]string{
		"lenght": "length", "Width": "width", "bench-height": "bench_height", "benchheight": "bench_height", "wetfoliage": "wet_foliage",
		"colour": "", "": "", "x": "",
	} {
		if got := nearest(word, list); got != want {
			t.Errorf("%q: %q, want %q", word, got, want)
		}
	}
	if d := distance([]rune("abcd"), []rune("acbd")); d != 1 {
		t.Errorf("a swap counts %d", d)
	}
	if d := distance([]rune(""), []rune("abc")); d != 3 {
		t.Errorf("three letters count %d", d)
	}
	if got := containing("polycarbonate 8", []string{"twin-wall polycarbonate 8 mm", "glass"}); len(got) != 0 { // "8" is too short a word
		t.Errorf("%v", got)
	}
	if got := containing("Polycarbonate", []string{"twin-wall polycarbonate 8 mm", "glass"}); len(got) != 1 {
		t.Errorf("%v", got)
	}
}

func TestCompassWord(t *testing.T) {
	for word, want := range map[string]string{
		"north-east": "NE", "North East": "NE", "nnw": "NNW", "E-W": "E", "N-S": "N", "south south west": "SSW",
	} {
		if got := compassWord(word); got != want {
			t.Errorf("%q: %q", word, got)
		}
	}
	for deg, want := range map[float64]Direction{0: "N", 359: "N", 11.2: "N", 11.3: "NNE", 450: "E", 180: "S"} {
		if got := facing(deg); got != want {
			t.Errorf("%v: %s", deg, got)
		}
	}
}

func TestShare(t *testing.T) {
	for text, want := range map[string]float64{"60 %": 0.6, "60%": 0.6, "12.5 percent": 0.125, "100 %": 1} {
		if got, err := parseShare(text); err != nil || got != want {
			t.Errorf("%q: %v %v", text, got, err)
		}
	}
	for _, text := range []string{"60", "sixty %", "6e1 %", "%", "inf %"} {
		if got, err := parseShare(text); err == nil {
			t.Errorf("%q read as %v", text, got)
		}
	}
}

func TestWeight(t *testing.T) {
	for _, text := range []string{"1.5 oz/yd2", "1.5 oz", "1.5oz", "1.5 OZ"} { // 1.5 x 33.906 g/m2
		if got, err := readsWeight(text); err != nil || math.Abs(got-0.050859) > 1e-6 {
			t.Errorf("%q: %v %v", text, got, err)
		}
	}
}

func TestClock(t *testing.T) {
	for text, want := range map[string]int{"16:30": 990, "6:05": 365, "4:30 PM": 990, "4 p.m.": 960, "16:30:00": 990, "00:00": 0} {
		if got, ok := clock(text); !ok || got != want {
			t.Errorf("%q: %d %v", text, got, ok)
		}
	}
	for _, text := range []string{"25:00", "dusk", "", "16.30"} {
		if got, ok := clock(text); ok {
			t.Errorf("%q read as %d", text, got)
		}
	}
}
