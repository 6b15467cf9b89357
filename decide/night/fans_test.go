package night

import (
	"fmt"
	"math"
	"testing"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/burner"
)

// unitHeater is an invented heater with a flue, a fan of its own left out.
func unitHeater(more string) string {
	return `[[heater]]
name = "unit"
space = "House"
kind = "vented gas"
input = "30 kW"
fuel = "propane"
mains = true
setpoint = "8 °C"
` + more
}

func fanOf(kind string, m3h float64, when string) string {
	out := fmt.Sprintf("[[fan]]\nname = \"%s\"\nspace = \"House\"\nkind = \"%s\"\nmoves = \"%.6f m3/h\"\npower = \"90 W\"\n", kind, kind, m3h)
	if when != "" {
		out += "when = \"" + when + "\"\n"
	}
	return out
}

// windowed is a house of 16 by 6 m, 3 m high, with what more says.
func windowed(t *testing.T, more string) (*Scene, *site.Space) {
	t.Helper()
	return shelter{lengthM: 16, widthM: 6, heightM: 3, leaks: "tight", more: more}.scene(t)
}

// darkMean is the mean over the dark hours of a core with its fires.
func darkMean(tr []Track, f func(*Hour) float64) float64 {
	sum, n := 0.0, 0.0
	for i := range tr[0].Hours {
		if h := &tr[0].Hours[i]; h.SunWM2 < 1 && i > 0 {
			sum += f(h)
			n++
		}
	}
	return sum / n
}

// A fan that stands still through the freeze is no fan, bit for bit.
func TestFansAtRest(t *testing.T) {
	run := func(more string) []Track {
		sc, sp := windowed(t, unitHeater("outside_air = true\n")+more)
		return burning(t, sc, sp, sc.Written(sp), Central(), evenWeather(sc, -3, 4, 1.5, 0.2))
	}
	a, b := run(""), run(fanOf("exhaust", 3000, ""))
	for c := range a {
		for i := range a[c].Hours {
			if x, y := fmt.Sprintf("%v", a[c].Hours[i].State), fmt.Sprintf("%v", b[c].Hours[i].State); x != y {
				t.Fatalf("hour %d: %s and %s", i, x, y)
			}
		}
	}
}

// What an exhaust fan takes out comes in cold: the air changes are those of its leaks and it, joined as squares, and the
// fuel pays for them. It stops with the mains.
func TestExhaustFanCosts(t *testing.T) {
	const m3h = 200
	used := map[string]float64{}
	for name, more := range map[string]string{"none": "", "on": fanOf("exhaust", m3h, "always"), "in": fanOf("intake", m3h, "always")} {
		sc, sp := windowed(t, unitHeater("outside_air = true\n")+more)
		tr := burning(t, sc, sp, sc.Written(sp), Central(), evenWeather(sc, -3, 4, 1.5, 0.2))
		used[name] = last(tr).UsedKg[0]
		perH := darkMean(tr, func(h *Hour) float64 { return h.Fire.PerH })
		volume := 16.0 * 6 * 3
		if name == "none" && perH > m3h/volume || name != "none" && (perH < m3h/volume || perH > m3h/volume+0.7) {
			t.Errorf("%s: %.2f air changes an hour, the fan alone %.2f", name, perH, m3h/volume)
		}
		t.Logf("%s: %.2f air changes an hour, %.2f kg", name, perH, used[name])
	}
	if used["on"] <= used["none"] || used["in"] <= used["none"] {
		t.Errorf("%v kg: a fan that brings cold air in costs nothing", used)
	}
	// E3's rule for the heat of air: 0.335 Wh/m3K times some 11 K, over a night of a dozen hours
	more := (used["on"] - used["none"]) * 50.3e6 * 0.8 / 3.6e6
	t.Logf("the fan costs %.1f kWh of heat over the night", more)
	if most := 0.335 * m3h * 16 * 24 / 1000; more > most {
		t.Errorf("%.1f kWh for %d m3/h, more than 16 K all day could take (%.1f)", more, m3h, most)
	}
	sc, sp := windowed(t, fanOf("exhaust", m3h, "always")+fanOf("intake", m3h, "always")+fanOf("circulation", 5000, ""))
	m := sc.moving(sp, 18)
	none := func(*site.Heater) float64 { return 0 }
	lit, dark := m.now(time.Time{}, time.Time{}, time.Time{}, false, none), m.now(time.Time{}, time.Time{}, time.Time{}, true, none)
	if dark != (blowing{}) {
		t.Errorf("the mains are out and %+v blows", dark)
	}
	near(t, "out [m/s]", lit.outMS, m3h/3600.0/96, 1e-9)
	near(t, "in [m/s]", lit.inMS, m3h/3600.0/96, 1e-9)
	near(t, "motors [W/m2]", lit.wattM2, 2*90.0/96, 1e-9)
}

// HAF: with 2 ft3/min of fans for each ft2 no place of a house is more than 2 °F (1.1 K) from another; without, 10 to 15 °F
// between ends are told. Ours have only the strip along the wall to compare.
func TestFansEvenOutTheEdges(t *testing.T) {
	const floor = 16 * 6
	m3h := 2 * 0.028316846592 / (0.3048 * 0.3048) * 60 * floor
	colder := func(more string) (worst, stir float64) {
		sc, sp := windowed(t, unitHeater("outside_air = true\n")+more)
		tr := burning(t, sc, sp, sc.Written(sp), Central(), evenWeather(sc, -3, 4, 1.5, 0.2))
		for _, e := range tr[1:] {
			sum, n := 0.0, 0.0
			for i := range e.Hours {
				if e.Hours[i].SunWM2 < 1 {
					sum += tr[0].Hours[i].State.AirC - e.Hours[i].State.AirC
					n++
				}
			}
			worst = math.Max(worst, sum/n)
		}
		return worst, 0
	}
	still, _ := colder("")
	stirred, _ := colder(fanOf("circulation", m3h, ""))
	t.Logf("edges %.2f K colder than the core in still air, %.2f with %.0f m3/h going round", still, stirred, m3h)
	if stirred >= still || stirred > 1.1 {
		t.Errorf("edges %.2f K colder with the fans on, %.2f without; published at most 1.1 K", stirred, still)
	}
}

// A flue takes air out of the house, more through a hood, also while nothing burns; one that brings its own air takes
// none. The fuel pays.
func TestFlueDraught(t *testing.T) {
	type row struct{ perH, kg float64 }
	got := map[string]row{}
	for name, keys := range map[string]string{
		"own air": "outside_air = true\n", "fan": "outside_air = false\nhood = false\n", "damper": "hood = true\ndamper = true\n", "hood": "hood = true\n",
	} {
		sc, sp := windowed(t, unitHeater(keys))
		tr := burning(t, sc, sp, sc.Written(sp), Central(), evenWeather(sc, -3, 4, 1.5, 0.2))
		got[name] = row{darkMean(tr, func(h *Hour) float64 { return h.Fire.PerH }), last(tr).UsedKg[0]}
		t.Logf("%s: %.2f air changes an hour, %.2f kg", name, got[name].perH, got[name].kg)
		if tr[0].Hours[10].Fire.Gases.O2 != burner.Outdoors().O2 {
			t.Errorf("%s: a flue leaves its gas in the house", name)
		}
	}
	for _, p := range [][2]string{{"own air", "fan"}, {"fan", "damper"}, {"damper", "hood"}} {
		if got[p[0]].perH >= got[p[1]].perH || got[p[0]].kg >= got[p[1]].kg {
			t.Errorf("%s %+v, %s %+v", p[0], got[p[0]], p[1], got[p[1]])
		}
	}
	// the hood's draught stands in a house that nobody heats as well
	sc, sp := windowed(t, unitHeater("hood = true\n"))
	cold, _ := windowed(t, "")
	s := evenWeather(sc, -3, 4, 1.5, 0.2)
	a, b := burning(t, sc, sp, nil, Central(), s), burning(t, cold, cold.Site.Space("House"), nil, Central(), s)
	if x, y := darkMean(a, airIn), darkMean(b, airIn); x > y {
		t.Errorf("with an open flue %.3f °C, without %.3f", x, y)
	}
}

func airIn(h *Hour) float64 { return h.State.AirC }

// When the blower stops the films fall together within the hour, and the house is colder for it; not when it needs no
// mains; the heater is out in either.
func TestFilmFallsWithTheMains(t *testing.T) {
	coldest := func(mains bool, slackDraw float64) (float64, float64) {
		sc, sp := windowed(t, unitHeater("outside_air = true\n"))
		sp.House.Layers, sp.House.BlowerMains = 2, mains
		s := evenWeather(sc, -5, 3, 2, 0)
		f := sc.Written(sp)
		f.Fails = []Failure{{From: s.Rows[len(s.Rows)-36+6].Time, Mains: true}} // 18:00
		d := Central()
		d.Slack = slackDraw
		tr := burning(t, sc, sp, f, d, s)
		low, atNine := math.Inf(1), 0.0
		for i := range tr[0].Hours {
			h := &tr[0].Hours[i]
			low = math.Min(low, h.State.AirC)
			if h.Time.Equal(f.Fails[0].From.Add(3 * time.Hour)) {
				atNine = h.State.AirC
			}
		}
		return low, atNine
	}
	upLow, upNine := coldest(false, 0)
	low, nine := coldest(true, 0)
	_, quick := coldest(true, -1.28)
	t.Logf("3 h after: %.2f °C blown up, %.2f slack (%.2f where it falls soon); lowest %.2f and %.2f", upNine, nine, quick, upLow, low)
	if nine >= upNine-0.05 || low >= upLow || quick > nine {
		t.Errorf("3 h after: %.2f °C blown up, %.2f slack, %.2f soon; lowest %.2f and %.2f", upNine, nine, quick, upLow, low)
	}
	tr := &track{b: &builder{space: &site.Space{House: &site.House{Layers: 2, BlowerMains: true}}, draw: Central()}}
	t0 := time.Date(2026, 7, 10, 18, 0, 0, 0, time.UTC)
	tr.p.Firing = &Firing{Fails: []Failure{{From: t0, To: t0.Add(5 * time.Hour), Mains: true}}}
	for m, want := range map[int]float64{-1: 0, 0: 0, 15: 0.5, 30: 1, 200: 1, 301: 0} {
		if got := tr.slack(t0.Add(time.Duration(m) * time.Minute)); math.Abs(got-want) > 1e-9 {
			t.Errorf("%d min after: slack %.2f, want %.2f", m, got, want)
		}
	}
}

// Openings pass what burner says of them: warmth and wind apart, and joined as squares.
func TestOpeningsJoinWarmthAndWind(t *testing.T) {
	sc, sp := windowed(t, "")
	b := &builder{scene: sc, space: sp, shape: sp.Cells()[0], draw: Central()}
	k := b.openings(0.05, 0.03, 2.4)
	stack, _ := burner.StackFlow(0.05, 0.03, 2.4, 16, 7)
	near(t, "warmth", k.OpenStack*4*sp.AreaM2(), stack, 1e-3)
	near(t, "wind", k.OpenWind*3*sp.AreaM2(), burner.WindFlow(0.03, 3), 1e-12)
	if k.Stack != 0 || k.PerWind != 0 {
		t.Errorf("%+v: an opening adds what it should join", k)
	}
	if one := b.openings(0.05, 0, 2.4); one.OpenStack <= 0 || one.OpenStack >= b.openings(0.05, 0.05, 2.4).OpenStack {
		t.Errorf("%+v through one opening", one)
	}
}

// A flame without a flue makes a roof drip, hour by hour, and nothing drips from a curtain or cloth that is not there.
func TestDripsByHour(t *testing.T) {
	sc, sp := windowed(t, gasHeater(9000, 0)+"setpoint = \"8 °C\"\n")
	tr := burning(t, sc, sp, always(sc.Written(sp)), Central(), evenWeather(sc, -4, 4, 1.5, 0.2))
	f, _ := burner.Find("propane")
	flame := f.Water * last(tr).UsedKg[0]
	sum, hours := 0.0, 0
	for i := range tr[0].Hours {
		d := tr[0].Hours[i].Drip
		for _, x := range d {
			if x < 0 {
				t.Fatalf("hour %d: %v", i, d)
			}
			sum += x * sp.AreaM2()
			hours += int(boolTo(x > 0.001))
		}
		if d[2] != 0 || d[3] != 0 {
			t.Errorf("hour %d: %v from a curtain or cloth that is not there", i, d)
		}
	}
	t.Logf("%.1f kg came down in %d hours; the flame gave off %.1f", sum, hours, flame)
	if hours < 3 || sum < 0.1*flame {
		t.Errorf("%.1f kg came down in %d hours; the flame gave off %.1f", sum, hours, flame)
	}
}
