package heating

import (
	"math"
	"testing"
	"time"

	"example.org/coldnight/decide/night"
)

// Failures are played on every night that is asked for, each night for itself: the
// colder one holds shorter, what is lost in the one is not counted in the other, and a
// night asked for alone gives what it gives beside others.
func TestEveryNightIsPlayed(t *testing.T) {
	sc, sp := build{more: fan}.scene(t)
	s := nights(sc, -1, 1, 0.1)
	for i := range s.Rows { // the last night is 3 K colder
		if i > 60 {
			s.Rows[i].AirC -= 3
			s.Rows[i].DewC -= 3
		}
	}
	a := ask(t, sc, sp, s, 0, 4)
	a.From = s.Rows[36].Time
	first := Night{Date: "2026-07-11", Noon: s.Rows[60].Time}
	for h := 42; h < 56; h += 4 {
		first.Hours = append(first.Hours, s.Rows[h].Time)
	}
	last := a.Nights[0]
	o, err := sc.Outlook(night.Request{Space: sp, Protections: []night.Protection{a.Before, a.Chosen}, Members: a.Members, Draws: a.Draws, From: a.From, To: last.Noon})
	if err != nil {
		t.Fatal(err)
	}
	a.Outlook, a.Nights = o, []Night{first, last}
	h := look(t, a)
	if len(h.Mains) != 8 || len(h.Drills) != 2 {
		t.Fatalf("%d hours without mains and %d drills, want 8 and 2", len(h.Mains), len(h.Drills))
	}
	for i := range 4 {
		warm, cold := &h.Mains[i], &h.Mains[i+4]
		if warm.Night != first.Date || cold.Night != last.Date || warm.Decides || !cold.Decides {
			t.Errorf("%+v\n%+v", warm, cold)
		}
		// the same hour of a colder night
		if !cold.At.Equal(warm.At.Add(24*time.Hour)) || cold.Early > warm.Early || cold.More < warm.More {
			t.Errorf("%s: holds %.0f min and costs %.1f, a colder night %.0f min and %.1f", warm.At.Format("15:04"), warm.Early, warm.More, cold.Early, cold.More)
		}
	}
	a.Nights = a.Nights[:1]
	alone := look(t, a)
	for i := range alone.Mains {
		if x, y := alone.Mains[i], h.Mains[i]; math.Abs(x.More-y.More) > 1e-9 || x.Early != y.Early {
			t.Errorf("%s: alone %.3f in %.0f min, beside others %.3f in %.0f", x.At.Format("15:04"), x.More, x.Early, y.More, y.Early)
		}
	}
	out := Outages([]*House{h})
	if len(out) != 8 || len(NightsOf(out)) != 2 || Worst(out, "") != Worst(out, last.Date) || Worst(out, first.Date).Night != first.Date || Worst(out, "x") != nil {
		t.Errorf("%d outages, nights %v", len(out), NightsOf(out))
	}
	if w := h.WorstOut(); len(w) != 1 || w[0].Night != last.Date {
		t.Errorf("the worst night of the heater: %+v", w)
	}
}

// The groups of all spaces stand in one order, the first at its limit first; what is in
// no danger stands in none.
func TestRanked(t *testing.T) {
	inf := math.Inf(1)
	o := Outage{Spaces: []SpaceAt{
		{"A", &Drill{Groups: []Hold{{Group: "fern", Early: 30, Usual: 60}, {Group: "palm", Early: 200, Usual: inf}, {Group: "pine", Early: inf, Usual: inf}}}},
		{"B", &Drill{Groups: []Hold{{Group: "lily", Early: 30, Usual: 50}, {Group: "iris", Early: 90, Usual: 95}}}},
	}}
	want := [][2]string{{"B", "lily"}, {"A", "fern"}, {"B", "iris"}, {"A", "palm"}}
	got := o.Ranked()
	if len(got) != len(want) {
		t.Fatalf("%+v", got)
	}
	for i, w := range want {
		if got[i].Space != w[0] || got[i].Group != w[1] {
			t.Errorf("%d: %s, %s, want %v", i, got[i].Space, got[i].Group, w)
		}
	}
}
