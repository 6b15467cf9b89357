package night

import (
	"math"
	"testing"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/ground"
)

// snowy is a cold spell in which mm of water fall as snow from 10:00 to 14:00 of its last
// full day, in air that stays below 0 °C.
func snowy(sc *Scene, mm float64) weather.Series {
	s := coldSpell(sc, -8, 1, 0.2)
	for i := 58; i < 63; i++ {
		s.Rows[i].RainMM = mm / 5
	}
	return s
}

func at16(s weather.Series) time.Time { return s.Rows[64].Time }

// Without snow the work on snow changes nothing, to the last bit; nor does rain.
func TestNoSnowNoChange(t *testing.T) {
	sc := valley(t)
	mild := coldSpell(sc, 8, 1, 0.2)
	for i := 58; i < 63; i++ {
		mild.Rows[i].RainMM = 2 // in air above 1 °C
	}
	if snowfalls(mild) != nil {
		t.Fatal("rain was read as snow")
	}
	for _, name := range []string{"Bed 1", "House 1"} {
		sp := sc.Site.Space(name)
		s := coldSpell(sc, -2, 1, 0.2)
		r := together(t, sc, sp, s, Protection{}, Protection{Prepared: &Prepared{Cleared: at16(s), Brushed: at16(s)}})
		for k, h := range r[0][0].Hours {
			if o := r[1][0].Hours[k]; !alike(h, o) {
				t.Fatalf("%s, %s: clearing no snow changes the night", name, h.Time)
			}
		}
	}
}

// Snow left over low plants keeps their leaves warmer than brushed off, deeper snow more;
// a dusting does nothing. Until it is brushed off the two are the same.
func TestSnowLeftOnPlants(t *testing.T) {
	sc := valley(t)
	sp := sc.Site.Space("Bed 1") // plants of 20 cm: snow closes over them from 10 cm on
	gain := func(mm float64) float64 {
		s := snowy(sc, mm)
		r := together(t, sc, sp, s, Protection{}, Protection{Prepared: &Prepared{Brushed: at16(s)}})
		for k := range 7 {
			if r[0][0].Hours[k].Tissue[0] != r[1][0].Hours[k].Tissue[0] {
				t.Errorf("%g mm: brushed off at 16:00, other at %s", mm, r[0][0].Hours[k].Time)
			}
		}
		left, brushed := lowLeaf(r[0][0]), lowLeaf(r[1][0])
		t.Logf("%g mm of water as snow: coldest leaf %.2f °C left, %.2f brushed off", mm, left, brushed)
		return left - brushed
	}
	dusting, some, deep := gain(2), gain(15), gain(30)
	if dusting != 0 || some < 1 || deep < some {
		t.Errorf("snow left gains %.2f, %.2f, %.2f K with 2, 15, 30 mm: want 0, at least 1, and more with more", dusting, some, deep)
	}
}

// Snow on a film house without heat keeps it warmer by night and dark by day; cleared, it
// is as light as before.
func TestSnowOnHouse(t *testing.T) {
	sc := valley(t)
	sp := sc.Site.Space("House 1")
	s := snowy(sc, 20)
	r := together(t, sc, sp, s, Protection{}, Protection{Prepared: &Prepared{Cleared: at16(s)}})
	left, cleared := r[0][0], r[1][0]
	share := func(tr Track) float64 { return tr.Hours[27].State.SunShare } // 11:00 of the next day
	t.Logf("coldest leaf %.2f °C with the snow left, %.2f cleared; light let through %.2f and %.2f", lowLeaf(left), lowLeaf(cleared), share(left), share(cleared))
	if lowLeaf(left) < lowLeaf(cleared)+0.3 {
		t.Errorf("snow left %.2f °C, cleared %.2f: want it warmer", lowLeaf(left), lowLeaf(cleared))
	}
	if share(left) > 0.7*share(cleared) {
		t.Errorf("snow lets %.2f of the light in, a clear roof %.2f", share(left), share(cleared))
	}
	dry := together(t, sc, sp, snowy(sc, 0), Protection{})
	if a, b := share(cleared), share(dry[0][0]); math.Abs(a-b) > 0.02 {
		t.Errorf("cleared, the house lets %.3f of the light in, without snow %.3f", a, b)
	}
}

// Loads by hand: 20 mm of water are 20 kg/m2 however deep they lie; what lies already
// weighs its depth times 150 kg/m3; thaw takes from it.
func TestSnowLoad(t *testing.T) {
	sc := valley(t)
	sp := *sc.Site.Space("House 1")
	h := *sp.House
	sp.House = &h
	h.SnowM = 0.1
	lies := sc.SnowIn(&sp, snowy(sc, 20))
	if kg := lies[57].RoofKg; math.Abs(kg-15) > 1e-9 { // 0.1 m x 150 kg/m3
		t.Errorf("10 cm weigh %.2f kg/m2, want 15", kg)
	}
	last := lies[70]
	if math.Abs(last.RoofKg-35) > 1e-9 || last.RoofM < 0.2 || last.RoofM > 0.4 {
		t.Errorf("after the fall %.2f kg/m2, %.2f m deep; want 35 and two to four hand's widths", last.RoofKg, last.RoofM)
	}
	warm := coldSpell(sc, 4, 1, 0.2)
	thaw := sc.SnowIn(&sp, warm)
	sum := 0.0
	for _, r := range warm.Rows[1:] {
		sum += ground.DegreeDayMelt(r.AirC, 1)
	}
	if got := thaw[len(thaw)-1].RoofKg; math.Abs(got-math.Max(0, 15-sum)) > 1e-6 {
		t.Errorf("a thaw leaves %.2f kg/m2, degree-days say %.2f", got, 15-sum)
	}
	h.SnowM = 0
	if sc.SnowIn(&sp, warm) != nil {
		t.Error("snow without snow")
	}
}

// Warmth below melts a roof free; from 0 °C on it no longer insulates, and cloth that is
// loaded lies on the plants.
func TestLooksOfSnow(t *testing.T) {
	sc := valley(t)
	b := &builder{scene: sc, space: sc.Site.Space("House 1"), draw: Central()}
	l := lying{roof: ground.Snowpack{KgM2: 10, DepthM: 0.1}}
	if l.look(b, -1).melting || !l.look(b, 5).melting {
		t.Error("snow melts from below over air above 0 °C and not below")
	}
	if got := l.after(snowfall{airC: -5}, 12, b.space, false, 12).roof.KgM2; got > 0.1 {
		t.Errorf("12 h over 12 °C leave %.1f of 10 kg/m2", got) // 120 W/m2 melt 1.29 kg/m2 in an hour
	}
	heavy := lying{top: ground.Snowpack{KgM2: 6, DepthM: 0.06}}
	bed := &builder{scene: sc, space: sc.Site.Space("Bed 1"), draw: Central()}
	if !heavy.look(bed, -1).sags || (lying{top: ground.Snowpack{KgM2: 3, DepthM: 0.03}}).look(bed, -1).sags {
		t.Error("6 kg/m2 press cloth down, 3 do not")
	}
	if a := heavy.after(snowfall{airC: -5}, 1, bed.space, false, -1).top; a != (ground.Snowpack{}) {
		t.Error("snow stays in the air when its cover is taken off")
	}
}

// A cover on hoops under a load of snow: the simulation takes it as lying on the plants.
func TestLoadedCloth(t *testing.T) {
	sc := valley(t)
	sp := sc.Site.Space("Bed 1")
	c := cloth(1)
	c[0].When = site.When{Kind: site.Always}
	light, heavy := together(t, sc, sp, snowy(sc, 4), Protection{Covers: c}), together(t, sc, sp, snowy(sc, 12), Protection{Covers: c})
	none := together(t, sc, sp, snowy(sc, 0), Protection{Covers: c})
	a, b, z := lowLeaf(light[0][0]), lowLeaf(heavy[0][0]), lowLeaf(none[0][0])
	t.Logf("coldest leaf under cloth on hoops: %.2f °C without snow, %.2f under 4 mm, %.2f pressed down by 12 mm", z, a, b)
	if a <= z || b <= z {
		t.Errorf("snow on cloth must keep plants warmer: none %.2f, light %.2f, heavy %.2f °C", z, a, b)
	}
}
