package night

import (
	"math"
	"testing"
	"time"

	"example.org/coldnight/nursery/site"
)

// hoopDay follows a bed under film on hoops through the day after the second night of a
// clear spell, under an airing.
func hoopDay(t *testing.T, a *Airing) []Hour {
	t.Helper()
	sc := valley(t)
	sp := *sc.Site.Space(sc.Site.Spaces[0].Name)
	sp.House, sp.Covers, sp.BenchHeightM = nil, nil, 0
	s := coldSpell(sc, 4, 1, 0)
	p := Protection{Key: "film", Airing: a, Covers: []site.Cover{{
		Cloth: site.Cloth{Name: "greenhouse film"}, Layers: 1, Fit: site.OnHoops, HeightM: 0.6, When: site.When{Kind: site.Always},
	}}}
	q := Request{Space: &sp, Protections: []Protection{{Key: "none"}, p}, From: s.Rows[48].Time, To: s.Rows[84].Time}
	q.Members, q.Draws = append(q.Members, s), []Draw{Central()}
	f, err := sc.Follower(q)
	if err != nil {
		t.Fatal(err)
	}
	tr, err := f.Run(0, []Protection{p}, 1)
	if err != nil {
		t.Fatal(err)
	}
	return tr[0][0].Hours
}

func warmest(hs []Hour) (v float64) {
	v = math.Inf(-1)
	for i := range hs {
		v = math.Max(v, hs[i].State.AirC)
	}
	return v
}

// Ends thrown back cool a tunnel by day and no more than taking the film off; shade takes
// some of the sun's heat and leaves the night alone; both as published: shade of 40 % took 6
// K off a maximum and did not change the night's minimum (facts 5; weak).
func TestAiring(t *testing.T) {
	shut := hoopDay(t, nil)
	from, to := shut[9].Time, shut[16].Time // 9:00 to 16:00
	day := func(share float64) []Spell { return []Spell{{From: from, To: to, Share: share}} }
	ends := hoopDay(t, &Airing{Vents: day(1)})
	some := hoopDay(t, &Airing{Vents: day(0.2)})
	off := hoopDay(t, &Airing{Off: day(0)})
	shade := hoopDay(t, &Airing{Shade: day(0.4)})
	t.Logf("warmest air: shut %.1f, ends a fifth %.1f, ends %.1f, off %.1f, shaded %.1f °C", warmest(shut), warmest(some), warmest(ends), warmest(off), warmest(shade))
	if !(warmest(shut) > warmest(some)+0.1 && warmest(some) > warmest(ends)+0.1 && warmest(ends) > warmest(off)) {
		t.Error("want shut above a fifth above open above off")
	}
	if d := warmest(shut) - warmest(shade); d < 2 || d > 10 {
		t.Errorf("shade of 40 %% takes %.1f K off the warmest air; 6 were measured", d)
	}
	if !shut[12].Covered || off[12].Covered || off[12].State.SunShare < 0.99 || !off[18].Covered {
		t.Error("taken off from 9:00 to 16:00: want it on before and after, and all the light between")
	}
	for i := range shut {
		if i <= 9 && shut[i].State.AirC != ends[i].State.AirC {
			t.Errorf("hour %d, before anything is opened: %.3f and %.3f °C", i, shut[i].State.AirC, ends[i].State.AirC)
		}
	}
	if d := math.Abs(warmest(shut[30:]) - warmest(shade[30:])); d > 1 {
		t.Errorf("the night after shade differs by %.1f K", d)
	}
}

// Opened at the half hour it is neither the hour before nor the one after.
func TestAiringBetweenHours(t *testing.T) {
	shut := hoopDay(t, nil)
	noon := func(from time.Duration) float64 {
		return hoopDay(t, &Airing{Vents: []Spell{{From: shut[0].Time.Add(from), To: shut[16].Time, Share: 1}}})[12].State.AirC
	}
	eleven, half, twelve := noon(11*time.Hour), noon(11*time.Hour+30*time.Minute), noon(12*time.Hour)
	t.Logf("air at noon: opened at 11 %.2f, at half past %.2f, at 12 %.2f °C", eleven, half, twelve)
	if !(eleven < half && half < twelve) {
		t.Error("want the half hour between")
	}
}

// What can be opened: vents as written, doors where none are, ends of hoops, nothing of
// what lies on the plants.
func TestVentArea(t *testing.T) {
	house := &site.Space{LengthM: 10, WidthM: 5, HeightM: 2.5, House: &site.House{VentAreaM2: 6}}
	if a, _, what := VentArea(house, nil); a != 6 || what != "vents" {
		t.Errorf("%g m2 of %s, want 6 of vents", a, what)
	}
	house.House.VentAreaM2 = 0
	if a, _, what := VentArea(house, nil); a != 2*doorM2 || what != "doors" {
		t.Errorf("%g m2 of %s, want two doors", a, what)
	}
	bed := &site.Space{LengthM: 10, WidthM: 1}
	// two half ellipses of 1 m by 0.5 m, four fifths of them: 2·0.8·π/4·0.5
	if a, _, what := VentArea(bed, []site.Cover{{HeightM: 0.5}}); math.Abs(a-0.628) > 1e-3 || what != "ends" {
		t.Errorf("%g m2 of %s, want 0.628 of ends", a, what)
	}
	if a, _, what := VentArea(bed, []site.Cover{{}}); a != 0 || what != "" {
		t.Errorf("%g m2 of %q on the plants, want none", a, what)
	}
}
