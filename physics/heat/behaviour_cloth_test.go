package heat

import (
	"math"
	"slices"
	"testing"

	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/ground"
)

// clothNight is a bed of low plants under cloth for one night of alike days.
type clothNight struct {
	day      dayWeather
	soil     ground.Material
	moisture float64
	height   float64 // of the air under the cloth [m]
	hem      Leak
	layers   []string // top first; put on at 16 h, off at 8 h
	wetKgM2  float64  // water in the cloth when it is put on
	always   bool     // on all days before as well
	calmMS   float64  // least exchange of the air around; 0 takes the usual one [m/s]
}

// tightHem is a cloth held down all round, looseHem one with gaps.
func tightHem() Leak { return Leak{Still: 5e-5, PerWind: 1e-4, Stack: 1e-4} }
func looseHem() Leak { return Leak{Still: 3e-4, PerWind: 2e-3, Stack: 8e-4} }

// firstFrost is a calm clear night over ground that is not frozen yet: screen 1 °C,
// bare leaves a few kelvin below.
func firstFrost() dayWeather {
	return dayWeather{lowC: 1, highC: 14, dewC: -1, windMS: 2, windNightMS: 0.8, sunPeakWM2: 450, surroundK: -1.5, deepC: 11}
}

func moistBed(layers ...string) clothNight {
	return clothNight{day: firstFrost(), soil: ground.Soil(ground.Loam, ground.Moist), moisture: 0.35, height: 0.3, hem: tightHem(), layers: layers}
}

// gains are lowest temperatures of the last night under cloth minus three
// references, each its own lowest [K].
type gains struct {
	leafOverLeaf, leafOverAir, airOverAir, airOverScreen float64
	lowScreen, lowBareAir, lowBareLeaf, lowLeaf, lowAir  float64
	film                                                 float64
}

func (g gains) log(t *testing.T, name string) {
	t.Helper()
	t.Logf("%-34s leaf over bare leaf %+.1f, over bare air %+.1f; air over bare air %+.1f, over screen %+.1f K (screen %.1f, bare air %.1f, bare leaf %.1f; film %.0f g/m2)",
		name, g.leafOverLeaf, g.leafOverAir, g.airOverAir, g.airOverScreen, g.lowScreen, g.lowBareAir, g.lowBareLeaf, 1000*g.film)
}

// run compares three nights' bed with and without cloth in the last of them.
func (c clothNight) run(t testing.TB) gains {
	t.Helper()
	const nights = 3
	w := c.day.days(nights + 1)
	bare := openBed(c.soil, c.moisture, 0.3)
	bare.Canopy = lowPlants()
	if c.calmMS > 0 {
		bare.Outside.CalmMS = c.calmMS
	}
	g := gains{lowScreen: math.Inf(1), lowBareAir: math.Inf(1), lowBareLeaf: math.Inf(1), lowLeaf: math.Inf(1), lowAir: math.Inf(1)}
	last := 24 * (nights - 1)
	night := func(i int) bool { return i > last+18 && i <= last+31 }
	local := slices.Clone(w)
	behave(t, bare, w, c.day.deepC, func(i int, s *Sim, d *Sample) {
		st := s.State(d)
		local[i].LocalC, local[i].HoldLocal = st.AirC, true
		if night(i) {
			g.lowScreen = math.Min(g.lowScreen, d.AirC)
			g.lowBareAir = math.Min(g.lowBareAir, st.AirC)
			g.lowBareLeaf = math.Min(g.lowBareLeaf, s.Tissue(0))
		}
	}, bareLeaf(0.05))
	local[0].LocalC, local[0].HoldLocal = w[0].AirC, true
	ms := make([]cover.Material, len(c.layers))
	for k, key := range c.layers {
		ms[k] = findCover(t, key)
	}
	see := func(i int, s *Sim, d *Sample) {
		if night(i) {
			st := s.State(d)
			g.lowLeaf = math.Min(g.lowLeaf, s.Tissue(0))
			g.lowAir = math.Min(g.lowAir, st.AirC)
			g.film = st.FilmKgM2
		}
	}
	open, err := New(bare, bareLeaf(0.05))
	if err != nil {
		t.Fatal(err)
	}
	closed, err := New(under(bare, c.height, c.hem, ms...), bareLeaf(0.05))
	if err != nil {
		t.Fatal(err)
	}
	open.Begin(Start{AirC: w[0].AirC, VapourKgM3: w[0].VapourKgM3, GroundC: slices.Repeat([]float64{c.day.deepC}, len(bare.Ground.Layers))})
	on := last + 16
	if c.always {
		on = 16
	}
	goOn(t, open, local, 0, on, nil)
	closed.Become(open)
	for j := range ms {
		// water already in the cloth, half on each face
		closed.film[closed.ix.filmTop+j] = c.wetKgM2 / 2
		closed.film[closed.ix.filmUnder+j] = c.wetKgM2 / 2
	}
	goOn(t, closed, local, on, last+32, see)
	g.leafOverLeaf, g.leafOverAir = g.lowLeaf-g.lowBareLeaf, g.lowLeaf-g.lowBareAir
	g.airOverAir, g.airOverScreen = g.lowAir-g.lowBareAir, g.lowAir-g.lowScreen
	return g
}

// TestThinClothOnARadiationNight: trial and extension values of one cloth of 17 to
// 50 g/m2 over moist ground on a calm clear night, 0 to +3.5 K at plant height
// (strawberry trials +2.1, +2.4, +3.0; season means over mulch +0.2 to +1.8: trade
// measurements V1, V3, V5). A gain names its reference: the bare leaf of the same
// size, and bare air at plant height. Against the screen 2 m up it is negative.
func TestThinClothOnARadiationNight(t *testing.T) {
	sum := 0.0
	keys := []string{"pp17", "pp20", "pp30", "pp42", "pp51", "pet17", "pet50"}
	for _, key := range keys {
		g := moistBed(key).run(t)
		g.log(t, key)
		sum += g.leafOverLeaf / float64(len(keys))
		// the lightest cloth stays dry till late and touches 0
		if g.leafOverLeaf < -0.3 || g.leafOverLeaf > 3.5 {
			t.Errorf("%s: leaf %+.2f K over a bare leaf, published 0 to +3.5", key, g.leafOverLeaf)
		}
		if g.airOverAir < -0.7 || g.airOverAir > 3.5 {
			t.Errorf("%s: air %+.2f K over bare air, published 0 to +3.5", key, g.airOverAir)
		}
	}
	t.Logf("mean over bare leaf %+.1f K; the trials' mean is about +2", sum)
	if sum < 1 {
		t.Errorf("mean gain %.2f K of seven cloths; the trials' is about 2", sum)
	}
	two := moistBed("pp30", "pp30").run(t)
	two.log(t, "two of 30")
	if one := moistBed("pp30").run(t); two.leafOverLeaf < one.leafOverLeaf+0.3 {
		t.Errorf("a second layer adds %.2f K", two.leafOverLeaf-one.leafOverLeaf)
	}
	hard := moistBed("pp30")
	hard.day = calmClear()
	hard.run(t).log(t, "30, ground at 0 and freezing")
}

// TestClothCanFail: Oregon trial 1983-84 (trade measurements V5: the listed nights
// down to -1.1 K), tea tunnel V8 and desert tent V21 near 0: a dry thin cloth
// lets longwave through and stills the air around leaves that the wind would keep warm.
// The settings are invented and the leaf is compared with the bare leaf, which none of
// the sources measured; what V5 did measure is held by TestSpunPolyesterOverMulch.
func TestClothCanFail(t *testing.T) {
	lowest := math.Inf(1)
	for _, v := range []struct {
		name string
		set  func(*clothNight)
	}{
		{"dry cloth, dry air", func(c *clothNight) { c.day.dewC = -12 }},
		{"windy clear night", func(c *clothNight) { c.day.windNightMS = 4 }},
		{"dry peat, windy", func(c *clothNight) {
			c.soil, c.moisture, c.day.windNightMS = ground.Soil(ground.Peat, ground.Dry), 0.05, 4
		}},
		{"overcast, windy", func(c *clothNight) { c.day.cloudNight, c.day.windNightMS = 1, 4 }},
	} {
		c := moistBed("pp17")
		v.set(&c)
		g := c.run(t)
		g.log(t, "17 g/m2, "+v.name)
		lowest = math.Min(lowest, g.leafOverLeaf)
		if g.leafOverLeaf > 0.3 {
			t.Errorf("%s: still gains %.2f K", v.name, g.leafOverLeaf)
		}
	}
	if lowest > 0 {
		t.Errorf("no setting in which the cloth fails; lowest gain %.2f K", lowest)
	}
	if lowest < -3 {
		t.Errorf("a cloth that costs %.1f K has not been seen (worst listed -1.1)", lowest)
	}
}

// TestSpunPolyesterOverMulch: Oregon trial 1983-84 (trade measurements V5) as it was:
// spun polyester of 17 g/m2 over black film on moist soil in spring, air 2.5 cm above
// the soil against air over the same film without cloth. Season means +0.2 to +1.8 K,
// nights listed as exceptions -1.1 to +2.2 K. Leaves were not measured, and no cloth of
// polypropylene.
func TestSpunPolyesterOverMulch(t *testing.T) {
	usual := dayWeather{lowC: 6, highC: 18, dewC: 4, windMS: 2.5, windNightMS: 1, sunPeakWM2: 800, surroundK: -1.5, deepC: 12}
	lowest, highest := math.Inf(1), math.Inf(-1)
	for _, v := range []struct {
		name string
		set  func(*dayWeather)
	}{
		{"clear, light wind", func(*dayWeather) {}},
		{"clear, breeze", func(d *dayWeather) { d.windNightMS = 3 }},
		{"dry air", func(d *dayWeather) { d.dewC = -6 }},
		{"dry air, breeze", func(d *dayWeather) { d.dewC, d.windNightMS = -6, 3 }},
		{"overcast, breeze", func(d *dayWeather) { d.cloudNight, d.windNightMS = 1, 3 }},
		{"cool, clear, light wind", func(d *dayWeather) { d.lowC, d.highC, d.dewC = 1, 14, -1 }},
		{"cool, dry air", func(d *dayWeather) { d.lowC, d.highC, d.dewC = 1, 14, -12 }},
	} {
		c := moistBed("pet17")
		c.day, c.moisture = usual, 0.35*0.02 // film over the soil
		v.set(&c.day)
		g := c.run(t)
		g.log(t, "polyester over mulch, "+v.name)
		lowest, highest = math.Min(lowest, g.airOverAir), math.Max(highest, g.airOverAir)
	}
	t.Logf("air over air %+.1f to %+.1f K (published means +0.2 to +1.8, exceptions -1.1 to +2.2)", lowest, highest)
	if lowest > 0 || lowest < -1.1 {
		t.Errorf("lowest gain %.2f K; published exceptions down to -1.1", lowest)
	}
	if highest < 0.2 || highest > 2.2 {
		t.Errorf("highest gain %.2f K; published means +0.2 to +1.8, nights up to +2.2", highest)
	}
}

// TestWeightDoesNotOrder: strawberry trial, one night: 25, 34 and 42 g/m2 gave +2.4,
// +3.0 and +2.1 K (trade measurements V1). Water and hem outweigh the grams.
func TestWeightDoesNotOrder(t *testing.T) {
	light, middle, heavy := moistBed("pp20"), moistBed("pp30"), moistBed("pp42")
	light.wetKgM2, middle.wetKgM2 = 0.04, 0.06 // spread at dusk, wet from the dew of the night before
	heavy.hem = looseHem()
	heavy.hem.Still *= 4 // laid with folds open
	l, m, h := light.run(t), middle.run(t), heavy.run(t)
	l.log(t, "20, wet, tight hem")
	m.log(t, "30, wet, tight hem")
	h.log(t, "42, dry, folds at the hem")
	if !(m.leafOverLeaf > h.leafOverLeaf && l.leafOverLeaf > h.leafOverLeaf) {
		t.Errorf("gains %.2f, %.2f, %.2f K: the heaviest still wins", l.leafOverLeaf, m.leafOverLeaf, h.leafOverLeaf)
	}
	if a, b := moistBed("pp42").run(t), moistBed("pp17").run(t); a.leafOverLeaf <= b.leafOverLeaf {
		t.Errorf("alike in all else, 42 g/m2 (%.2f K) should beat 17 (%.2f K)", a.leafOverLeaf, b.leafOverLeaf)
	}
}

// TestRulesOfThumb prints where rules printed for growers agree with the model:
// light cloth +2 to 4 °F, heavy up to 8 °F (state extensions; trade facts 1.1). They
// are no inputs; the test holds only that no night of the list beats the heavy rule and
// that the rules fail on some.
func TestRulesOfThumb(t *testing.T) {
	agree, n := 0, 0
	for _, v := range []struct {
		name string
		set  func(*clothNight)
	}{
		{"moist ground, calm, clear", func(*clothNight) {}},
		{"dry ground", func(c *clothNight) { c.soil, c.moisture = ground.Soil(ground.Loam, ground.Dry), 0.05 }},
		{"dry peat", func(c *clothNight) { c.soil, c.moisture = ground.Soil(ground.Peat, ground.Dry), 0.05 }},
		{"wind 4 m/s", func(c *clothNight) { c.day.windNightMS = 4 }},
		{"overcast", func(c *clothNight) { c.day.cloudNight = 1 }},
		{"freezing ground", func(c *clothNight) { c.day = calmClear() }},
		{"on for three days", func(c *clothNight) { c.always = true }},
	} {
		for _, r := range []struct {
			key      string
			low, top float64 // [°F]
		}{{"pp20", 2, 4}, {"pp51", 4, 8}} {
			c := moistBed(r.key)
			v.set(&c)
			f := 1.8 * c.run(t).leafOverLeaf
			ok := f >= r.low && f <= r.top
			n++
			if ok {
				agree++
			}
			t.Logf("%-26s %s: leaf %+.1f °F over a bare leaf; rule %+.0f to %+.0f: agrees %v", v.name, r.key, f, r.low, r.top, ok)
			if f > 8 {
				t.Errorf("%s, %s: %.1f °F beats the highest rule", v.name, r.key, f)
			}
		}
	}
	t.Logf("the rules agree on %d of %d", agree, n)
	if agree == n {
		t.Error("a rule of thumb that always holds would be an input, not a result")
	}
}
