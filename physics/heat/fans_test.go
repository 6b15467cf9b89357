package heat

import (
	"math"
	"slices"
	"testing"

	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/ground"
)

// blownHouse is a house of two films with air blown between and a curtain drawn in it, over a wet floor, with a heater
// on a thermostat: sizes invented.
func blownHouse(t testing.TB) Cell {
	t.Helper()
	film := findCover(t, "pe150")
	c := leaky(heatedHouse(1, 0.1, film, film))
	c.Canopy = lowPlants()
	c.Skins[0].SlackM, c.Skins[1].Face = 0.003, OnGlazing
	curtain := testSheet(film, "curtain")
	curtain.Leak, curtain.Face = Leak{Still: 2e-4, Stack: 3e-4}, OnCurtain
	c.Skins = append(c.Skins, curtain)
	c.Zones = append(c.Zones, Zone{DepthM: 1.6, StillMS: 0.05, Stir: 1})
	c.Heaters = []Heater{{AirWM2: 120, RadiantWM2: 20, VapourKgM2S: 5e-6, Zone: 2, SetC: 8, SwingK: 2, Least: 1}}
	c.FanZone = 2
	return c
}

// fansNight is a night at 0 °C with the fans as given.
func fansNight(change func(*Sample)) []Sample {
	w := coldHours(25, 1)
	for i := range w {
		change(&w[i])
	}
	return w
}

func nightOf(t *testing.T, c Cell, w []Sample) *Sim {
	t.Helper()
	s, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	s.Begin(Start{AirC: 6, VapourKgM3: 0.005, GroundC: []float64{6, 6, 6}})
	goOn(t, s, w, 0, len(w)-1, nil)
	return s
}

// Fans that stand still, a gap that is blown up and drips that are counted change nothing, bit for bit.
func TestFansAtRestChangeNothing(t *testing.T) {
	c := blownHouse(t)
	with := nightOf(t, c, fansNight(func(*Sample) {}))
	c.FanZone, c.Zones[2].Stir, c.Skins[0].SlackM = 0, 0, 0
	for j := range c.Skins {
		c.Skins[j].Face = NoFace
	}
	without := nightOf(t, c, fansNight(func(*Sample) {}))
	if with.t != without.t || with.q != without.q || with.film != without.film || with.soil != without.soil {
		t.Errorf("%v and %v", with.t, without.t)
	}
	bad := c
	bad.FanZone = 3
	if _, err := New(bad); err == nil {
		t.Error("fans in a zone that is not there")
	}
}

// Air drawn out cools a house by what it takes along; brought in as it goes out it costs more than drawn one way, for
// then the leaks leak as before; both ledgers stay shut ([nightOf] asks for that).
func TestFansCoolByWhatTheyMove(t *testing.T) {
	c := blownHouse(t)
	c.Heaters = nil
	last := math.Inf(1)
	burnt := 0.0
	for _, out := range []float64{0, 2e-4, 1e-3, 4e-3} {
		w := fansNight(func(d *Sample) { d.OutMS, d.HeatAirWM2 = out, 80 })
		s := nightOf(t, c, w)
		d := &w[24]
		f := s.Feel(d)
		if f.AirC >= last {
			t.Errorf("%g m/s out: %.2f °C, %.2f with less", out, f.AirC, last)
		}
		last = f.AirC
		natural, _ := s.fresh(2, d)
		if got, want := s.FreshMS(2, d), math.Hypot(natural, out); math.Abs(got/want-1) > 1e-12 {
			t.Errorf("%g m/s out: %g m/s fresh, squares say %g", out, got, want)
		}
		if out == 1e-3 {
			both := fansNight(func(d *Sample) { d.OutMS, d.InMS, d.HeatAirWM2 = out, out, 80 })
			if b := nightOf(t, c, both).Feel(&both[24]).AirC; b >= f.AirC {
				t.Errorf("in and out %.2f °C, out alone %.2f", b, f.AirC)
			}
			burnt = f.AirC
		}
	}
	t.Logf("1 mm/s out of a house of 80 W/m2: %.1f °C at last, %.1f at 4 mm/s", burnt, last)
	warm := fansNight(func(d *Sample) { d.HeatAirWM2, d.FanWM2 = 80, 3 })
	cold := fansNight(func(d *Sample) { d.HeatAirWM2 = 83 })
	// the motors' heat is heat: the same watts in the same zone are the same night
	if a, b := nightOf(t, c, warm).Feel(&warm[24]).AirC, nightOf(t, c, cold).Feel(&cold[24]).AirC; math.Abs(a-b) > 1e-6 {
		t.Errorf("3 W/m2 of motors %.6f °C, of a heater %.6f", a, b)
	}
}

// The derivatives that fans and openings bring, against central differences of the rates.
func TestFansJacobian(t *testing.T) {
	const perK = 3e-4
	c := blownHouse(t)
	c.Heaters = nil
	c.Skins[0].GapM, c.Skins[0].SlackM = 0.003, 0 // how air in a wide gap turns over faster is left out of the slopes
	c.Skins[1].Leak.OpenStack, c.Skins[1].Leak.OpenWind = 1e-3, 5e-4
	c.Skins[2].Leak.OpenStack = 2e-3
	w := fansNight(func(d *Sample) { d.OutMS, d.InMS, d.StirMS, d.HeatAirWM2 = 8e-4, 3e-4, 0.3, 80 })
	s := nightOf(t, c, w)
	d := &w[24]
	rates := func() [maxNodes]float64 { s.flows(d, false); return s.sys.r }
	s.flows(d, true)
	j := s.sys.j
	for k := range s.ix.n {
		x, e, scale := &s.t[k], 1e-4, 1.0
		if k >= s.ix.thermal {
			x, e, scale = &s.q[k-s.ix.thermal], 1e-4*perK, perK
		}
		keep := *x
		*x = keep + e
		up := rates()
		*x = keep - e
		down := rates()
		*x = keep
		for m := range s.ix.n {
			unit := scale
			if m >= s.ix.thermal {
				unit *= Latent
			}
			want, got := (up[m]-down[m])/(2*e)*unit, j[m][k]*unit
			if math.Abs(got-want) > 0.02+0.01*math.Abs(want) {
				t.Errorf("rate %d by unknown %d: %.4g W/m2K, difference %.4g", m, k, got, want)
			}
		}
	}
}

// HAF: at 50 to 100 ft/min leaves are at nearly the temperature of the air. A leaf under a cold roof is drawn nearer to
// the air the faster it moves.
func TestStirredAirWarmsTheLeaf(t *testing.T) {
	c := leaky(heatedHouse(0.05, 0, findCover(t, "pe150")))
	c.Canopy = lowPlants()
	c.Zones[1].StillMS, c.Zones[1].Stir, c.FanZone = 0.05, 1, 1
	below := func(stir float64) float64 {
		w := fansNight(func(d *Sample) { d.HeatAirWM2, d.StirMS = 90, stir })
		s := nightOf(t, c, w)
		st := s.State(&w[24])
		return st.AirC - st.CanopyC
	}
	still, slow, fast := below(0), below(0.25), below(0.5)
	t.Logf("leaves under the air by %.2f K in still air, %.2f at 50 ft/min, %.2f at 100", still, slow, fast)
	if !(still > slow && slow > fast && fast > 0) || fast > 0.7*still {
		t.Errorf("leaves under the air by %.2f K in still air, %.2f at 0.25 m/s, %.2f at 0.5", still, slow, fast)
	}
}

// A blown gap that falls together lets more heat out, all the way to what a gap of its last width lets out.
func TestSlackFilmLosesHeat(t *testing.T) {
	// glass is dark to longwave, wet or dry: of clear film the wetness would decide
	c := leaky(heatedHouse(0.05, 0.1, findCover(t, "glass3"), findCover(t, "glass3")))
	c.Skins[0].SlackM = 0.003
	at := func(c Cell, slack float64) float64 {
		w := fansNight(func(d *Sample) { d.HeatAirWM2, d.Slack = 80, slack })
		return nightOf(t, c, w).Feel(&w[24]).AirC
	}
	blown, half, slack := at(c, 0), at(c, 0.99), at(c, 1)
	narrow := c
	narrow.Skins = append([]Skin(nil), c.Skins...)
	narrow.Skins[0].GapM, narrow.Skins[0].SlackM = c.Skins[0].SlackM, 0
	if !(blown > half && half > slack) {
		t.Errorf("%.2f °C blown up, %.2f nearly down, %.2f slack", blown, half, slack)
	}
	if n := at(narrow, 0); math.Abs(n-slack) > 1e-6 {
		t.Errorf("slack %.6f °C, built so narrow %.6f", slack, n)
	}
	// in contact there is nothing to gain from the second film but its face
	if h, k := cover.GapConductance(0.003, 0, 5), cover.GapConductance(0.1, 0, 5); h < 2*k {
		t.Errorf("3 mm of air passes %.1f W/m2K, 10 cm %.1f", h, k)
	}
	t.Logf("%.2f °C blown up, %.2f slack", blown, slack)
}

// What a roof cannot hold comes down: no more than condensed on it, nothing while it is below freezing, and what froze
// there when it thaws.
func TestDripWaitsForTheThaw(t *testing.T) {
	c := leaky(heatedHouse(1, 0, findCover(t, "pe150")))
	c.Canopy, c.Skins[0].Face = lowPlants(), OnGlazing
	c.Skins[0].FilmCap = 0.02
	c.Ground.Layers = floorOf(ground.Soil(ground.Loam, ground.Wet), 8, 1)
	s, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	s.Begin(Start{AirC: 8, VapourKgM3: 0.007, GroundC: slices.Repeat([]float64{10}, 8)})
	cold, mild := winterNight(1, 0), winterNight(1, 0)
	cold.AirC, cold.HeatAirWM2, cold.SkyWM2 = -8, 100, cold.SkyWM2-40
	cold.VapourKgM3 *= 0.5
	mild.AirC, mild.HeatAirWM2, mild.SkyWM2 = 6, 40, 330
	condensed := 0.0
	keep := func(d *Sample, hours int) {
		for range hours {
			for range 12 {
				if err := s.Advance(d, d, 300); err != nil {
					t.Fatal(err)
				}
				condensed += 300 * math.Max(0, s.filmRate[s.ix.filmUnder])
			}
		}
	}
	keep(&cold, 30)
	hung, fallen := s.Frosted(OnGlazing), s.Dripped(OnGlazing)
	if s.t[s.ix.skins] > -0.5 || hung <= 0.05 {
		t.Fatalf("roof at %.1f °C, %.3f kg/m2 of frost on it; film %.4f of %.4f, inside %.1f °C, floor %.1f, vapour %.4f", s.t[s.ix.skins], hung, s.film[s.ix.filmUnder], s.fixed.filmCap[s.ix.filmUnder], s.t[1], s.t[s.ix.soil], s.q[1])
	}
	held := s.film[s.ix.filmUnder]
	if all := hung + fallen + held; math.Abs(all-condensed) > 0.1*condensed {
		t.Errorf("%.3f kg/m2 hang, came down and stick; %.3f condensed", all, condensed)
	}
	keep(&mild, 6)
	if s.t[s.ix.skins] < 0 || s.Frosted(OnGlazing) > 0.05*hung || s.Dripped(OnGlazing) < fallen+0.9*hung {
		t.Errorf("thawed at %.1f °C: %.3f kg/m2 still hang of %.3f, %.3f came down", s.t[s.ix.skins], s.Frosted(OnGlazing), hung, s.Dripped(OnGlazing))
	}
	next, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	next.Become(s)
	if next.Dripped(OnGlazing) != s.Dripped(OnGlazing) {
		t.Error("a cell that a run becomes forgot its drips")
	}
	t.Logf("%.2f kg/m2 froze on the roof in 30 h, %.2f came down", hung, s.Dripped(OnGlazing))
}
