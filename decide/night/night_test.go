package night

import (
	"math"
	"os"
	"reflect"
	"runtime"
	"testing"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// valley is the invented site of these tests.
func valley(t testing.TB) *Scene {
	t.Helper()
	data, err := os.ReadFile("testdata/valley.toml")
	if err != nil {
		t.Fatal(err)
	}
	s, _, err := site.Parse(data, "valley.toml", Known())
	if err != nil {
		t.Fatal(err)
	}
	sc, err := NewScene(s)
	if err != nil {
		t.Fatal(err)
	}
	return sc
}

// coldSpell is four invented winter days (local time UTC+2), complete: clear or
// cloudy, calm or windy, mean air in °C.
func coldSpell(sc *Scene, mean, wind, cloud float64) weather.Series {
	zone := sc.Site.Zone
	t0 := time.Date(2026, 7, 10, 0, 0, 0, 0, zone)
	s := weather.Series{Source: "invented", Step: time.Hour, Issued: t0}
	for i := range 96 {
		r := weather.EmptyRow(t0.Add(time.Duration(i) * time.Hour))
		r.AirC = mean + 6*(1-0.7*cloud)*math.Cos((float64(i%24)-14.5)/24*2*math.Pi)
		r.DewC = mean - 6 + 4*cloud
		r.WindMS, r.GustMS, r.WindFromDeg, r.CloudFrac = wind, 1.6*wind, 0, cloud
		s.Rows = append(s.Rows, r)
	}
	done, _ := s.Complete(sc.Site.LatDeg, sc.Site.LonDeg, sc.Site.ElevationM)
	return done
}

func lastNight(s weather.Series) (from, to time.Time) { return s.Rows[60].Time, s.Rows[84].Time }

func cloth(layers int) []site.Cover {
	return []site.Cover{{
		Cloth: site.Cloth{WeightKgM2: 0.030}, Layers: layers, Fit: site.OnHoops, HeightM: 0.6,
		When: site.When{Kind: site.EveningMorning},
	}}
}

// low is the coldest of a quantity over a track.
func low(tr Track, f func(*Hour) float64) float64 {
	v, _ := coldest(tr.Hours, f)
	return v
}

func simulate(t *testing.T, sc *Scene, space string, s weather.Series, covers []site.Cover) []Track {
	t.Helper()
	sp := *sc.Site.Space(space)
	sp.Covers = covers
	from, to := lastNight(s)
	tr, err := sc.Simulate(&sp, s, from, to)
	if err != nil {
		t.Fatal(err)
	}
	return tr
}

func leaf(h *Hour) float64 { return h.Tissue[0] }

// A bed that sees a heated wall instead of half its sky keeps warmer leaves than
// the same bed in the open.
func TestWarmWallCounts(t *testing.T) {
	sc := valley(t)
	s := coldSpell(sc, 2, 1, 0)
	open := low(simulate(t, sc, "Bed 1", s, nil)[0], leaf)
	wall := low(simulate(t, sc, "Wall bed", s, nil)[0], leaf)
	t.Logf("coldest leaf: open %.2f °C, beside the heated wall %.2f °C", open, wall)
	if wall < open+0.3 {
		t.Errorf("the wall gives %.2f K; expected at least 0.3 K", wall-open)
	}
}

// The three references of a gain lie apart on a clear calm night and together in
// wind under cloud.
func TestThreeReferences(t *testing.T) {
	sc := valley(t)
	for _, c := range []struct {
		name        string
		wind, cloud float64
		least, most float64 // screen minus bare leaf [K]
	}{
		{"clear and calm", 0.8, 0, 1.0, 6.0},
		{"overcast and windy", 6, 1, -0.5, 0.8},
	} {
		sc.Site.Space("Bed 1").Ground = site.Ground{Texture: site.Loam, Moisture: site.Dry}
		tr := simulate(t, sc, "Bed 1", coldSpell(sc, 2, c.wind, c.cloud), nil)[0]
		screen, plant, lf := low(tr, func(h *Hour) float64 { return h.ScreenC }), low(tr, func(h *Hour) float64 { return h.PlantC }), low(tr, leaf)
		t.Logf("%s: screen %.2f, plant height %.2f, bare leaf %.2f °C", c.name, screen, plant, lf)
		if d := screen - lf; d < c.least || d > c.most {
			t.Errorf("%s: screen minus leaf %.2f K, expected %.1f to %.1f", c.name, d, c.least, c.most)
		}
	}
}

// Cloth on hoops warms the core on a clear calm night, and its edges less.
func TestClothAndEdges(t *testing.T) {
	sc := valley(t)
	s := coldSpell(sc, 2, 1.5, 0)
	bare := simulate(t, sc, "Bed 1", s, nil)
	covered := simulate(t, sc, "Bed 1", s, cloth(2))
	core := low(covered[0], leaf)
	gain := core - low(bare[0], leaf)
	t.Logf("two layers: coldest leaf %.2f °C, %.2f K over the bare leaf", core, gain)
	if gain < 0.5 || gain > 8 {
		t.Errorf("gain %.2f K is outside 0.5..8", gain)
	}
	for _, tr := range covered[1:] {
		d := core - low(tr, leaf)
		t.Logf("calm, %s: %.2f K colder than the core", tr.Shape.Name, d)
		if d < -0.05 || d > 3.5 {
			t.Errorf("%s is %.2f K colder than the core; expected 0..3.5", tr.Shape.Name, d)
		}
	}
	// A windy cold inflow: the windward hem lets in air colder than the ground keeps it inside.
	gale := simulate(t, sc, "Bed 1", coldSpell(sc, -3, 7, 0.6), cloth(2))
	air := func(h *Hour) float64 { return h.State.AirC }
	var windward, lee float64
	for _, tr := range gale[1:] {
		d := low(gale[0], air) - low(tr, air)
		t.Logf("wind, %s: air %.2f K colder than in the core", tr.Shape.Name, d)
		switch tr.Shape.Facing {
		case "N": // the wind comes from the north
			windward = d
		case "S":
			lee = d
		}
	}
	if windward <= lee {
		t.Errorf("windward edge %.2f K colder, lee edge %.2f K: the windward one must lose more", windward, lee)
	}
}

// Covers come off in the morning without a jump of the ground, and the leaf is
// free to warm.
func TestCoversOnAndOff(t *testing.T) {
	sc := valley(t)
	s := coldSpell(sc, 2, 1, 0)
	tr := simulate(t, sc, "Bed 1", s, cloth(1))[0]
	changes := 0
	for i := 1; i < len(tr.Hours); i++ {
		if tr.Hours[i].Covered != tr.Hours[i-1].Covered {
			changes++
		}
		if d := math.Abs(tr.Hours[i].State.FloorC - tr.Hours[i-1].State.FloorC); d > 9 {
			t.Errorf("%s: the floor jumps %.1f K in an hour", tr.Hours[i].Time, d)
		}
	}
	if changes != 2 {
		t.Errorf("covers changed %d times from noon to noon; expected on once and off once", changes)
	}
}

// The answer does not depend on how many cores do the work, and a draw does not
// depend on how many there are.
func TestOutlookDeterministic(t *testing.T) {
	sc := valley(t)
	s := coldSpell(sc, 1, 1.5, 0.1)
	from, to := lastNight(s)
	sp := sc.Site.Space("Bed 1")
	q := Request{
		Space: sp, Members: []weather.Series{s}, From: from, To: to, Draws: Draws(6, 1, 3),
		Protections: []Protection{{Key: "none"}, {Key: "cloth", Covers: cloth(2)}},
	}
	old := runtime.GOMAXPROCS(1)
	a, err := sc.Outlook(q)
	runtime.GOMAXPROCS(4)
	b, err2 := sc.Outlook(q)
	runtime.GOMAXPROCS(old)
	if err != nil || err2 != nil {
		t.Fatal(err, err2)
	}
	for k := range a.Options {
		if !reflect.DeepEqual(a.Options[k].LossByDraw, b.Options[k].LossByDraw) {
			t.Errorf("option %d differs with the number of cores", k)
		}
	}
	if !reflect.DeepEqual(Draws(6, 1, 3), Draws(20, 1, 3)[:6]) {
		t.Error("a draw depends on how many there are")
	}
	if a.Options[1].Loss >= a.Options[0].Loss {
		t.Errorf("cloth loses %.0f, nothing %.0f: on this night cloth must help", a.Options[1].Loss, a.Options[0].Loss)
	}
}

// A space that is only "60 % borderline, 40 % hardy, worth 9,000" gets odds and
// its whole worth is accounted for.
func TestMixIsEnough(t *testing.T) {
	sc := valley(t)
	s := coldSpell(sc, -4, 2, 0)
	from, to := lastNight(s)
	o, err := sc.Outlook(Request{
		Space: sc.Site.Space("House 1"), Members: []weather.Series{s}, From: from, To: to, Draws: Draws(6, 1, 3),
		Protections: []Protection{{Key: "none"}},
	})
	if err != nil {
		t.Fatal(err)
	}
	worth := 0.0
	for _, g := range o.Stocks {
		worth += g.Worth
	}
	if math.Abs(worth-9000) > 1 {
		t.Errorf("groups are worth %.0f together, expected 9000", worth)
	}
	r := o.Options[0]
	if r.Odds[0].Unsaleable <= r.Odds[1].Unsaleable {
		t.Errorf("borderline %.2f, hardy %.2f: the borderline must suffer more", r.Odds[0].Unsaleable, r.Odds[1].Unsaleable)
	}
	for _, d := range r.Odds {
		if d.Dead > d.Unsaleable || d.Unsaleable > 1 {
			t.Errorf("odds %+v are not odds", d)
		}
	}
}

// A night belongs to its evening, also across midnight and a clock change.
func TestEveningOf(t *testing.T) {
	ny, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Skip("no time zone data: ", err)
	}
	for _, c := range []struct {
		at   time.Time
		want string
	}{
		{time.Date(2026, 1, 10, 23, 0, 0, 0, ny), "2026-01-10"},
		{time.Date(2026, 1, 11, 6, 0, 0, 0, ny), "2026-01-10"},
		{time.Date(2026, 1, 11, 12, 0, 0, 0, ny), "2026-01-11"},
		{time.Date(2026, 3, 8, 3, 30, 0, 0, ny), "2026-03-07"}, // the clock jumped at 2
	} {
		if got := eveningOf(c.at, ny); got != c.want {
			t.Errorf("%s belongs to %s, want %s", c.at, got, c.want)
		}
	}
}

// Wrong input is refused with what and where.
func TestRefusals(t *testing.T) {
	sc := valley(t)
	s := coldSpell(sc, 2, 1, 0)
	sp := *sc.Site.Space("Bed 1")
	sp.Covers = []site.Cover{{Cloth: site.Cloth{Name: "moonbeam"}, Layers: 1, When: site.When{Kind: site.Always}}}
	from, to := lastNight(s)
	if _, err := sc.Simulate(&sp, s, from, to); err == nil {
		t.Error("an unknown cloth was accepted")
	}
	if _, err := sc.Simulate(sc.Site.Space("Bed 1"), s, to.AddDate(1, 0, 0), to.AddDate(1, 0, 1)); err == nil {
		t.Error("a year without weather was accepted")
	}
}

// Lying snow keeps the ground below it near freezing and off the cold.
// Reading: 18 cm of snow, air -9.2 °C, soil just below 0 and steady (P4 of
// doc/SOURCES.md; one private reading, a plausibility band).
func TestSnowKeepsTheGround(t *testing.T) {
	sc := valley(t)
	s := coldSpell(sc, -8, 1, 0.3)
	floor := func(snow float64) float64 {
		for i := range s.Rows {
			s.Rows[i].SnowCM = snow
		}
		sp := sc.Site.Space("Bed 1")
		from, to := lastNight(s)
		i, j, err := Span(s, from, to)
		if err != nil {
			t.Fatal(err)
		}
		b := &builder{scene: sc, space: sp, shape: sp.Cells()[0], draw: Central(), snowM: snow / 100}
		tr := &track{b: b, cal: sc.calendar(s), step: s.Step, p: Protection{Key: "none"}, bare: true}
		samples := b.samples(s)
		if err := tr.begin(&samples[0], firstDay(s), 0); err != nil {
			t.Fatal(err)
		}
		coldest := math.Inf(1)
		for k := 0; k < j; k++ {
			if err := tr.advance(&samples[k], &samples[k+1], k); err != nil {
				t.Fatal(err)
			}
			if k >= i {
				coldest = math.Min(coldest, tr.cur.GroundC(snow/100+0.02))
			}
		}
		return coldest
	}
	bare, snow := floor(0), floor(18)
	t.Logf("coldest at 2 cm in the soil: bare %.1f °C, under 18 cm of snow %.1f °C", bare, snow)
	if snow < -2.5 || snow < bare+2 {
		t.Errorf("snow keeps %.1f °C, bare %.1f °C; expected above -2.5 and 2 K better", snow, bare)
	}
}
