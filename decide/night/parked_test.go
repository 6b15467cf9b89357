package night

import (
	"testing"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// parkedIn is a space with a parked cover, its height 50 cm. Numbers invented.
func parkedIn(sc *Scene, name string, shade float64, r site.Rolled) *site.Space {
	sp := *sc.Site.Space(name)
	sp.Parked = &site.Parked{Cloth: site.Cloth{WeightKgM2: 0.051}, Layers: 1, HeightM: 0.5, DownMin: 10, UpMin: 12, Shade: shade, Rolled: r}
	return &sp
}

// alike tells whether two hours are the same to the last bit.
func alike(a, b Hour) bool {
	return a.Tissue[0] == b.Tissue[0] && a.State.AirC == b.State.AirC && a.State.CanopyC == b.State.CanopyC &&
		a.State.SunShare == b.State.SunShare && a.SunWM2 == b.SunWM2
}

// together runs a space through the last night of a series under each list of covers.
func together(t *testing.T, sc *Scene, sp *site.Space, s weather.Series, ps ...Protection) [][]Track {
	t.Helper()
	i, j, err := Span(s, s.Rows[56].Time, s.Rows[84].Time) // 08:00 to noon of the next day
	if err != nil {
		t.Fatal(err)
	}
	out, err := sc.run(sp, sp.Cells()[:1], append([]Protection{{Key: "as it is"}}, ps...), nil, Central(), s, span{i, j})
	if err != nil {
		t.Fatal(err)
	}
	return out[1:]
}

// A parked cover let down keeps plants warmer; hanging, it takes its share of the light
// by day and nothing else; one that shades nothing is as if it were not there.
func TestParkedCover(t *testing.T) {
	sc := valley(t)
	s := coldSpell(sc, 0, 1.5, 0)
	for _, name := range []string{"House 1", "Bed 1"} {
		const shade = 0.1 // invented
		sp := parkedIn(sc, name, shade, site.OpenDown)
		none := *sp
		none.Parked = nil
		clear := parkedIn(sc, name, 0, site.OpenDown)
		up := Protection{Key: "up"}
		down := Protection{Key: "down", Covers: []site.Cover{sp.Parked.Cover()}}
		with, bare, free := together(t, sc, sp, s, up, down), together(t, sc, &none, s, up), together(t, sc, clear, s, up)
		hung, let := lowLeaf(with[0][0]), lowLeaf(with[1][0])
		t.Logf("%s: coldest leaf %.2f °C parked, %.2f let down", name, hung, let)
		if let < hung+0.2 {
			t.Errorf("%s: let down %.2f °C, parked %.2f: want it warmer", name, let, hung)
		}
		light := func(tr Track) (sum float64) {
			for _, h := range tr.Hours {
				sum += h.SunWM2 * h.State.SunShare
			}
			return sum
		}
		if lost := 1 - light(with[0][0])/light(bare[0][0]); lost < 0.8*shade || lost > 1.2*shade {
			t.Errorf("%s: the parked roll takes %.1f %% of the light, want about %.0f %%", name, 100*lost, 100*shade)
		}
		for k, h := range free[0][0].Hours {
			if o := bare[0][0].Hours[k]; !alike(h, o) {
				t.Fatalf("%s: a roll that shades nothing changes %s", name, h.Time)
			}
		}
	}
}

// A layer left on the plants under a parked cover has air of its own: the two together
// keep plants warmer than either, and warmer than if both lay on each other.
func TestLayerUnderParkedCover(t *testing.T) {
	sc := valley(t)
	s := coldSpell(sc, -4, 1.5, 0)
	for _, name := range []string{"House 1", "Bed 1"} {
		sp := parkedIn(sc, name, 0.05, site.OpenDown)
		layer := cloth(1)[0]
		layer.Fit, layer.HeightM = site.Touching, 0
		down := sp.Parked.Cover()
		flat := down
		flat.Parked = false
		r := together(t, sc, sp, s, Protection{Covers: []site.Cover{layer}}, Protection{Covers: []site.Cover{down}},
			Protection{Covers: []site.Cover{layer, down}}, Protection{Covers: []site.Cover{layer, flat}})
		one, parked, both, touching := lowLeaf(r[0][0]), lowLeaf(r[1][0]), lowLeaf(r[2][0]), lowLeaf(r[3][0])
		t.Logf("%s: coldest leaf %.2f °C under a layer, %.2f under the parked cover, %.2f under both, %.2f were they to touch", name, one, parked, both, touching)
		if both < max(one, parked)+0.2 || both < touching {
			t.Errorf("%s: both keep %.2f °C, one %.2f, the other %.2f, touching %.2f", name, both, one, parked, touching)
		}
	}
}

// Rain that fell on a roll lying open side up is in the cloth when it is let down, under
// the sky and under a net but not under film, nor in one that lies open side down; dry
// weather wets none. The water it holds is bounded.
func TestParkedCoverSoaks(t *testing.T) {
	sc := valley(t)
	rain := coldSpell(sc, 0, 1.5, 0)
	for i := 57; i < 61; i++ { // 09:00 to 12:00: 3 mm each, invented
		rain.Rows[i].RainMM = 3
	}
	dry := coldSpell(sc, 0, 1.5, 0)
	firstWet := func(name string, s weather.Series, r site.Rolled) float64 {
		sp := parkedIn(sc, name, 0.06, r)
		tr := together(t, sc, sp, s, Protection{Covers: []site.Cover{sp.Parked.Cover()}})[0][0]
		for k := 1; k < len(tr.Hours); k++ {
			if h := tr.Hours[k]; h.Covered && h.Time.Hour() > 12 {
				return h.State.FilmKgM2
			}
		}
		t.Fatal("never let down")
		return 0
	}
	up, down := firstWet("Bed 1", rain, site.OpenUp), firstWet("Bed 1", rain, site.OpenDown)
	none, film := firstWet("Bed 1", dry, site.OpenUp), firstWet("House 1", rain, site.OpenUp)
	inFilm := firstWet("House 1", dry, site.OpenUp)
	t.Logf("water on the inner face within the first hour: %.3f kg/m2 rolled open side up, %.3f open side down, %.3f without rain", up, down, none)
	if up < down+0.005 || up < none+0.005 {
		t.Errorf("the roll open side up holds %.3f kg/m2, down %.3f, dry %.3f: want it wetter", up, down, none)
	}
	if d := film - inFilm; d > 0.005 {
		t.Errorf("under film rain wets the roll by %.3f kg/m2", d)
	}
	sp := parkedIn(sc, "Bed 1", 0.06, site.OpenUp)
	kg, most := sc.Soaked(sp, rain.Rows, rain.Rows[65].Time, func(int) bool { return true })
	if want := 12 * 0.06; kg != min(want, most) || most <= 0 {
		t.Errorf("12 mm on 6 %% of the roof: %.3f kg/m2 held, at most %.3f; caught %.3f", kg, most, want)
	}
	if kg, _ := sc.Soaked(sp, rain.Rows, rain.Rows[60].Time.Add((soakHours+1)*60*60*1e9), func(int) bool { return true }); kg != 0 {
		t.Error("rain of more than two days ago still counts")
	}
	if kg, _ := sc.Soaked(sp, rain.Rows, rain.Rows[65].Time, func(int) bool { return false }); kg != 0 {
		t.Error("rain wets a roll that was let down")
	}
}

// Wind panels on the side cold air flows in from turn half of it aside on a clear calm
// night; on the other side, or where the side is not known, they turn none.
func TestPanelsTurnColdAir(t *testing.T) {
	sc := valley(t)
	sp := *sc.Site.Space("Bed 1")
	sp.ColdAirFrom = "S"
	panels := func(from site.Direction) *Prepared {
		return &Prepared{Shelters: []site.Shelter{{From: from, What: site.Panel, HeightM: 1, DistanceM: 1.5, LengthM: 20}}}
	}
	r := leverRun(t, sc, &sp, 0, 0.3, 0, nil, nil, panels("S"), panels("N"))
	as, uphill, downhill := lowLeaf(r[0][0]), lowLeaf(r[1][0]), lowLeaf(r[2][0])
	t.Logf("coldest leaf, cold air from the south: %.2f °C; panels there %.2f, on the north side %.2f", as, uphill, downhill)
	if uphill < as+0.2 || uphill > as+0.8 || downhill > as+0.05 {
		t.Errorf("panels uphill %.2f °C, downhill %.2f, none %.2f", uphill, downhill, as)
	}
	b := &builder{scene: sc, space: &sp}
	sp.ColdAirFrom, sp.ColdSpot = "", true
	sp.Shelters = panels("S").Shelters
	if b.turned() != 0 {
		t.Error("panels turn air whose way is not known")
	}
}
