package night

import (
	"math"
	"slices"
	"testing"
	"time"
)

// A run whose thermostat is turned on one night parts from the other at noon before it and
// gives what it gives when it is run alone; so does one in which something fails as well.
func TestRunPartsAtTheNightThatDiffers(t *testing.T) {
	more := gasHeater(9000, 0) + "setpoint = \"5 °C\"\n"
	sc, sp := shelter{lengthM: 12, widthM: 5, heightM: 2.5, leaks: "usual", more: more}.scene(t)
	s := coldSpell(sc, -3, 1, 0.1)
	rows := s.Rows
	from, to := 12, len(rows)-1
	for rows[from].Time.In(sc.Site.Zone).Hour() != 12 {
		from++
	}
	base := sc.Written(sp)
	on := func(k int, c float64) Protection {
		g := *base
		g.Lit = slices.Clone(base.Lit)
		evening := rows[from].Time.In(sc.Site.Zone).AddDate(0, 0, k).Format(time.DateOnly)
		g.Lit[0].Nights = map[string]float64{evening: c}
		return Protection{Key: "by night", Words: evening, Firing: &g}
	}
	none, lit := Protection{Key: "none"}, Protection{Key: "lit", Words: "all nights", Firing: base}
	second, failing := on(1, 9), on(1, 9)
	g := *failing.Firing
	g.Fails = []Failure{{From: rows[from].Time.Add(40 * time.Hour), All: true}}
	failing.Firing = &g
	ps := []Protection{none, lit, second, on(0, 2), failing}
	if got := stemsOf(ps); !slices.Equal(got, []int{-1, -1, 1, 1, 1}) {
		t.Fatalf("stems %v", got)
	}
	cal := sc.calendar(s)
	for p, want := range map[int]int{2: 24, 3: 0, 4: 24} {
		if at := partsAt(&ps[p], &lit, rows[from:to+1], cal, from); at != want {
			t.Errorf("protection %d parts at row %d, want %d", p, at, want)
		}
	}
	run := func(ps ...Protection) [][]Track {
		out, err := sc.run(sp, fewer(sp.Cells()), ps, onlyLeaves(), Draws(1, 1, 3)[0], s, span{from, to})
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	parted := run(ps...)
	differs := 0.0
	for p := 2; p < len(ps); p++ {
		alone := run(none, ps[p])[1]
		for c := range alone {
			for h := range alone[c].Hours {
				a, b := &parted[p][c].Hours[h], &alone[c].Hours[h]
				if math.Abs(a.State.AirC-b.State.AirC) > 0.001 || math.Abs(a.Tissue[0]-b.Tissue[0]) > 0.001 || c == 0 && math.Abs(a.Fire.UsedKg[0]-b.Fire.UsedKg[0]) > 0.002 {
					t.Fatalf("protection %d, cell %d, hour %d: air %.4f °C, alone %.4f °C", p, c, h, a.State.AirC, b.State.AirC)
				}
				differs = max(differs, math.Abs(a.State.AirC-parted[1][c].Hours[h].State.AirC))
			}
		}
	}
	if differs < 1 {
		t.Errorf("the nights differ by %.2f K from the run that they part from", differs)
	}
}
