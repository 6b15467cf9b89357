package plan

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/demo"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// tried is the median of the coldest small leaf in the middle of a space under a trial [°C].
func tried(t testing.TB, y *Trying, change func(*Trial)) float64 {
	t.Helper()
	o := ran(t, y, change)
	return o.Options[1].Cells[0].Nights[0].Min[0].P50
}

func ran(t testing.TB, y *Trying, change func(*Trial)) *night.Outlook {
	t.Helper()
	k := y.Chosen
	k.Layers = append([]int(nil), k.Layers...)
	change(&k)
	o, err := y.Run(t.Context(), k)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// What physics orders, a trial orders: the numbers come from the simulation alone.
func TestTryingABed(t *testing.T) {
	f := freezeOf(t, 2, 10*time.Hour)
	a := planOf(t, f)
	y, err := NewTrying(&f, a, "Dear")
	if err != nil {
		t.Fatal(err)
	}
	if len(y.Cloths) != 1 || y.Chosen.Layers[0] != 1 || y.Warms || y.Opens != "ends" || y.Draws() != tryDraws {
		t.Fatalf("ready: %v, chosen %+v, warms %t, opens %q", y.Cloths, y.Chosen, y.Warms, y.Opens)
	}
	layers := func(n int) func(*Trial) { return func(k *Trial) { k.Layers[0] = n } }
	last := math.Inf(-1)
	for n := range tryLayers + 1 {
		c := tried(t, y, layers(n))
		if c < last+0.1 {
			t.Errorf("%d layers: %.2f °C, one less: %.2f", n, c, last)
		}
		last = c
	}
	bare := tried(t, y, layers(0))
	for name, colder := range map[string][2]func(*Trial){
		"clear than overcast": {func(k *Trial) { k.Sky, k.Layers[0] = Clear, 0 }, func(k *Trial) { k.Sky, k.Layers[0] = Overcast, 0 }},
		"a colder forecast":   {func(k *Trial) { k.WarmerK = -2 }, func(k *Trial) { k.WarmerK = 2 }},
		"calm than windy":     {func(k *Trial) { k.Wind, k.Layers[0] = Calm, 0 }, func(k *Trial) { k.Wind, k.Layers[0] = Windy, 0 }},
		"ends open than shut": {func(k *Trial) { k.Vents = 1 }, func(k *Trial) { k.Vents = 0 }},
	} {
		low, high := tried(t, y, colder[0]), tried(t, y, colder[1])
		if low > high-0.05 {
			t.Errorf("%s: %.2f °C, not below %.2f", name, low, high)
		}
	}
	if was := ran(t, y, func(*Trial) {}); was.Options[0].Cells[0].Nights[0].Min[0].P50 != bare {
		t.Errorf("no layer is not the space as it is: %.3f, %.3f", bare, was.Options[0].Cells[0].Nights[0].Min[0].P50)
	}
}

func TestTryingRefuses(t *testing.T) {
	f := freezeOf(t, 2, 10*time.Hour)
	a := planOf(t, f)
	var no *TrialError
	if _, err := NewTrying(&f, a, "Der"); !errors.As(err, &no) || !strings.Contains(no.What, `"Der"`) {
		t.Errorf("a space that is not there: %v", err)
	}
	y, err := NewTrying(&f, a, "Cheap")
	if err != nil {
		t.Fatal(err)
	}
	for name, change := range map[string]func(*Trial){
		"layers":  func(k *Trial) { k.Layers[0] = 4 },
		"below":   func(k *Trial) { k.Layers[0] = -1 },
		"cloths":  func(k *Trial) { k.Layers = nil },
		"share":   func(k *Trial) { k.Vents = 1.5 },
		"no ends": func(k *Trial) { k.Vents, k.Layers[0] = 1, 0 },
		"no heat": func(k *Trial) { k.Heat = HeatOff },
		"heat":    func(k *Trial) { k.Heat = 7 },
		"sky":     func(k *Trial) { k.Sky = Windy },
		"wind":    func(k *Trial) { k.Wind = Overcast },
		"warmer":  func(k *Trial) { k.WarmerK = math.NaN() },
		"colder":  func(k *Trial) { k.WarmerK = -40 },
	} {
		k := y.Chosen
		k.Layers = append([]int(nil), k.Layers...)
		change(&k)
		if _, err := y.Run(t.Context(), k); !errors.As(err, &no) || no.What == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestTryingInWords(t *testing.T) {
	f := freezeOf(t, 2, 10*time.Hour)
	y, err := NewTrying(&f, asItIs(t, &f, 0), "Dear")
	if err != nil {
		t.Fatal(err)
	}
	was := ran(t, y, func(*Trial) {})
	same, more := y.Changes(was, was), y.Changes(was, ran(t, y, func(k *Trial) { k.Layers[0] = 2 }))
	if len(same) != 2 || !strings.Contains(same[0], "as chosen") || !strings.HasPrefix(same[1], "no change") {
		t.Errorf("nothing changed: %q", same)
	}
	if len(more) < 3 || !strings.Contains(more[0], " instead of ") || !strings.Contains(strings.Join(more, "\n"), "test leaf: spoils ") || !strings.Contains(more[len(more)-1], "expected loss") {
		t.Errorf("two layers more: %q", more)
	}
}

// Heat off is colder than as chosen, a higher set-point warmer, and the warning goes along.
func TestTryingAHouse(t *testing.T) {
	f := freezeAt(t, middling(unitHeater).text(), 1, 34*time.Hour, 4)
	y, err := NewTrying(&f, asItIs(t, &f, 0), f.Scene.Site.Spaces[0].Name)
	if err != nil {
		t.Fatal(err)
	}
	if !y.Warms || len(y.Lit) == 0 {
		t.Fatalf("a heated house: warms %t, %d warnings", y.Warms, len(y.Lit))
	}
	off := tried(t, y, func(k *Trial) { k.Heat = HeatOff })
	low := tried(t, y, func(k *Trial) { k.Heat, k.SetC = HeatSet, 4 })
	high := tried(t, y, func(k *Trial) { k.Heat, k.SetC = HeatSet, 10 })
	if off > low-0.5 || low > high-0.5 {
		t.Errorf("off %.2f °C, set to 4 %.2f, set to 10 %.2f", off, low, high)
	}
	shut, open := tried(t, y, func(k *Trial) { k.Vents, k.Heat = 0, HeatOff }), tried(t, y, func(k *Trial) { k.Vents, k.Heat = 1, HeatOff })
	if math.Abs(shut-off) > 1e-9 && y.Space.House.Vents == 0 || math.Abs(open-shut) < 0.05 {
		t.Errorf("shut %.3f °C, off as chosen %.3f, open %.3f", shut, off, open)
	}
	if y.Space.House.Vents != 0 {
		t.Error("the space of the plan was changed")
	}
}

// asItIs is an answer in which a space was looked at as it is, and no plan was made.
func asItIs(t testing.TB, f *Freeze, space int) *Answer {
	t.Helper()
	from, to, _, err := f.span()
	if err != nil {
		t.Fatal(err)
	}
	sp := &f.Scene.Site.Spaces[space]
	o, err := f.Scene.Outlook(night.Request{
		Space: sp, Protections: []night.Protection{{Key: "as-it-is", Words: leaveWords, Covers: sp.Covers, Firing: f.Scene.Automatic(sp)}},
		Members: f.Members, Draws: night.Draws(2, len(f.Members), 1), From: from, To: to,
	})
	if err != nil {
		t.Fatal(err)
	}
	return &Answer{From: from, To: to, Spaces: []SpaceAnswer{{Outlook: o}}}
}

// BenchmarkTry runs one trial of each space of the demo: how long a phone waits.
func BenchmarkTry(b *testing.B) {
	start := demo.Start(2031)
	f := freezeAt(b, string(demo.Site()), 2, 10*time.Hour, 2)
	s := f.Scene.Site
	f.Now, f.Issued = demo.Now(start), start
	days := weather.Forecast{Members: []weather.Series{demo.Weather(start, 1)}, Issued: start}
	f.Members = weather.Ensemble(days, 12, 1, weather.EnsembleOptions{LatDeg: s.LatDeg, LonDeg: s.LonDeg, ElevM: s.ElevationM, Now: f.Now})
	for i := range s.Spaces {
		b.Run(s.Spaces[i].Name, func(b *testing.B) {
			y, err := NewTrying(&f, asItIs(b, &f, i), s.Spaces[i].Name)
			if err != nil {
				b.Fatal(err)
			}
			k := y.Chosen
			k.Sky = Overcast
			if len(k.Layers) > 0 {
				k.Layers = append([]int{1}, k.Layers[1:]...)
			}
			for b.Loop() {
				if _, err := y.Run(b.Context(), k); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// What the plan never does is not tried either: cloth beside a flame without a flue.
func TestTryingNoClothBesideAFlame(t *testing.T) {
	f := demoFreeze(t, nil)
	tried := 0
	everyWay(t, f, func(sp *site.Space, w *way) {
		if !flames(w.protection.Firing) {
			return
		}
		tried++
		y := &Trying{
			Space: sp, scene: f.Scene, base: w.protection, chosen: w.protection, Warms: true,
			Cloths: []string{"a cloth"}, kinds: []site.Cloth{f.Scene.Site.Shed.Cloths[0].Cloth}, Chosen: Trial{Layers: []int{0}, Vents: -1},
		}
		var no *TrialError
		if _, _, err := y.protection(Trial{Layers: []int{1}, Vents: -1}); !errors.As(err, &no) || !strings.Contains(no.What, "flame without a flue") {
			t.Errorf("%s, %s: %v", sp.Name, w.protection.Words, err)
		}
		for _, ok := range []Trial{{Layers: []int{0}, Vents: -1}, {Layers: []int{1}, Vents: -1, Heat: HeatOff}} {
			if _, _, err := y.protection(ok); err != nil {
				t.Errorf("%s, %+v: %v", sp.Name, ok, err)
			}
		}
	})
	if tried == 0 {
		t.Fatal("no way with a flame: nothing was tried")
	}
}
