package night

import (
	"math"
	"slices"
	"testing"
	"time"
)

// A run in which something fails parts from the whole one at that hour and gives what it
// gives when it is run alone: air, leaf, fuel and cylinders, core and edges, covered and
// bare, and the whole run is not touched by those that part from it.
func TestPartedRunIsTheSame(t *testing.T) {
	gas := gasHeater(9000, 0.18) + "[[cylinder]]\nname = \"by the door\"\nfeeds = [\"gas\"]\nholds = \"4 kg\"\nleft = [\"2 kg\", \"4 kg\"]\ncount = 2\nspare = 1\n" +
		"[[heater]]\nname = \"fan\"\nspace = \"House\"\nkind = \"electric\"\ninput = \"4 kW\"\nsetpoint = \"6 °C\"\n"
	for _, curtain := range []string{"", "greenhouse film"} {
		sc, sp := shelter{lengthM: 12, widthM: 5, heightM: 2.5, leaks: "usual", curtain: curtain, more: gas}.scene(t)
		s := evenWeather(sc, -3, 5, 1.5, 0.2)
		f := sc.Written(sp)
		f.OpeningM2 = 0.03
		from, to := lastNight(s)
		i, j, err := Span(s, from, to)
		if err != nil {
			t.Fatal(err)
		}
		fails := func(hour int, x Failure) Protection {
			g := *f
			x.From = from.Add(time.Duration(hour) * time.Hour)
			g.Fails = []Failure{x}
			return Protection{Key: "lit", Firing: &g}
		}
		none, lit := Protection{Key: "none"}, Protection{Key: "lit", Firing: f}
		failing := []Protection{fails(9, Failure{Mains: true}), fails(14, Failure{All: true}), fails(0, Failure{Heater: "gas"})}
		run := func(ps ...Protection) [][]Track {
			out, err := sc.run(sp, fewer(sp.Cells()), ps, onlyLeaves(), Draws(1, 1, 3)[0], s, span{i, j})
			if err != nil {
				t.Fatal(err)
			}
			return out
		}
		ps := append([]Protection{none, lit}, failing...)
		if got := stemsOf(ps); !slices.Equal(got, []int{-1, -1, 1, 1, 1}) {
			t.Fatalf("stems %v", got)
		}
		parted := run(ps...)
		whole := run(append(append([]Protection{none}, failing...), lit)...) // before it: nothing to part from
		whole = append([][]Track{whole[0], whole[4]}, whole[1:4]...)
		worst, air := 0.0, 0.0
		for p := range parted {
			for c := range parted[p] {
				if len(parted[p][c].Hours) != len(whole[p][c].Hours) {
					t.Fatalf("%d hours, %d when run alone", len(parted[p][c].Hours), len(whole[p][c].Hours))
				}
				for h := range parted[p][c].Hours {
					a, b := &parted[p][c].Hours[h], &whole[p][c].Hours[h]
					air = math.Max(air, math.Abs(a.State.AirC-b.State.AirC))
					worst = math.Max(worst, math.Abs(a.Tissue[0]-b.Tissue[0]))
					if p < 2 && a.State.AirC != b.State.AirC { // to the last digit
						t.Fatalf("the whole run differs at hour %d", h)
					}
					if c == 0 && p > 0 {
						for l := range a.Fire.UsedKg {
							if math.Abs(a.Fire.UsedKg[l]-b.Fire.UsedKg[l]) > 0.002 || a.Fire.Swaps != b.Fire.Swaps || a.Fire.Out[l] != b.Fire.Out[l] {
								t.Fatalf("protection %d, hour %d, line %d: %+v, alone %+v", p, h, l, a.Fire, b.Fire)
							}
						}
					}
				}
			}
			if p > 1 && parted[p][0].Hours[0].Fire.Log.First[0] != whole[p][0].Hours[0].Fire.Log.First[0] {
				t.Errorf("protection %d: %v, alone %v", p, parted[p][0].Hours[0].Fire.Log.First[0], whole[p][0].Hours[0].Fire.Log.First[0])
			}
		}
		t.Logf("curtain %q: air within %.2g K, leaf within %.2g K", curtain, air, worst)
		if worst > 0.001 || air > 0.001 {
			t.Errorf("parted runs differ by %.3g K of air and %.3g K of leaf", air, worst)
		}
	}
}
