package sun_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"example.org/coldnight/physics/sun"
)

func golden() sun.Place { return sun.Place{LatDeg: 39.742476, LonDeg: -105.1786, ElevM: 1830.14} }

func mst() *time.Location { return time.FixedZone("MST", -7*3600) }

// The worked example of SPA (NREL/TP-560-34302, table A5.1 and spa_tester.c): zenith
// 50.11162, azimuth 194.34024, equation of time 14.64 min.
func ExamplePosition() {
	t := time.Date(2003, 10, 17, 12, 30, 30, 0, mst())
	a := sun.Position(t, golden(), 82000, 11)
	fmt.Printf("zenith %.2f°, azimuth %.2f°, equation of time %.1f min\n", a.ZenithDeg, a.AzimuthDeg, a.EotMin)
	// Output: zenith 50.11°, azimuth 194.34°, equation of time 14.6 min
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.8g, want %.8g ± %.2g", what, got, want, tol)
	}
}

func TestSPAExample(t *testing.T) {
	// NREL/TP-560-34302 (Reda and Andreas), example and spa_tester.c. The tolerance is
	// that of the short series, 0.001°, not SPA's 0.0003°.
	at := time.Date(2003, 10, 17, 12, 30, 30, 0, mst())
	a := sun.Position(at, golden(), 82000, 11)
	near(t, "apparent zenith", a.ZenithDeg, 50.111622, 0.001)
	near(t, "true zenith", 90-a.TrueZenithDeg, 39.872046, 0.001) // e0
	near(t, "azimuth", a.AzimuthDeg, 194.340241, 0.001)
	near(t, "declination", a.DeclDeg, -9.31434, 0.001)
	near(t, "distance", a.DistanceAU, 0.9965422974, 5e-6)
	near(t, "equation of time", a.EotMin, 14.64, 0.02)
	near(t, "solar hour", a.SolarHour, 12+11.1059/15, 0.001) // H = 11.1059°
	near(t, "refraction", 39.888378-39.872046, sun.Refraction(39.872046, 82000, 11), 1e-5)
	// the face of the example: slope 30°, 10° east of south
	near(t, "incidence", math.Acos(a.Incidence(30, 170))*180/math.Pi, 25.187, 0.001)
	t.Logf("against SPA: zenith %+.5f°, azimuth %+.5f°, declination %+.5f°", a.ZenithDeg-50.111622, a.AzimuthDeg-194.340241, a.DeclDeg+9.31434)

	rise, _, set, kind := sun.RiseSet(at, golden())
	if kind != sun.Normal {
		t.Fatalf("kind %v", kind)
	}
	nearTime(t, "rise", rise, "06:12:43", 5)
	// SPA prints 17:20:19. It works in days of universal time, and on 17 October universal
	// the sun set here at 00:20, which is the evening of the 16th by the local calendar.
	_, _, before, _ := sun.RiseSet(at.AddDate(0, 0, -1), golden())
	nearTime(t, "set, the evening before", before, "17:20:19", 5)
	nearTime(t, "set", set, "17:20:19", 90) // the days shorten by 87 s an evening
}

// nearTime compares a clock time; SPA's own is to the second, ours to a minute.
func nearTime(t *testing.T, what string, got time.Time, want string, tolS float64) {
	t.Helper()
	w, err := time.ParseInLocation("15:04:05", want, got.Location())
	if err != nil {
		t.Fatal(err)
	}
	off := got.Sub(time.Date(got.Year(), got.Month(), got.Day(), w.Hour(), w.Minute(), w.Second(), 0, got.Location())).Seconds()
	t.Logf("%s %s, SPA %s: %+.1f s", what, got.Format("15:04:05.0"), want, off)
	if math.Abs(off) > tolS {
		t.Errorf("%s off by %.0f s, want at most %.0f", what, off, tolS)
	}
}

func TestRiseSetGolden(t *testing.T) {
	// NREL SPA web calculator, Golden CO, mountain standard time
	for _, c := range []struct {
		day                time.Time
		rise, transit, set string
		evening            int // the local date of the universal day's sunset, see TestSPAExample
	}{
		{time.Date(2015, 1, 2, 0, 0, 0, 0, mst()), "07:21:55", "12:04:45", "16:47:43", 0},
		{time.Date(2015, 8, 2, 0, 0, 0, 0, mst()), "05:00:27", "12:06:58", "19:13:58", -1},
	} {
		rise, transit, set, _ := sun.RiseSet(c.day, golden())
		nearTime(t, "rise", rise, c.rise, 5)
		nearTime(t, "transit", transit, c.transit, 5)
		_, _, spaSet, _ := sun.RiseSet(c.day.AddDate(0, 0, c.evening), golden())
		nearTime(t, "set of SPA's evening", spaSet, c.set, 5)
		nearTime(t, "set of the same local date", set, c.set, 65)
		// any clock time of the same local date names the same day
		r2, _, s2, _ := sun.RiseSet(c.day.Add(23*time.Hour+59*time.Minute), golden())
		if !r2.Equal(rise) || !s2.Equal(set) {
			t.Errorf("late in the day: %v %v, early: %v %v", r2, s2, rise, set)
		}
	}
}

func TestPolarDays(t *testing.T) {
	tromso := sun.Place{LatDeg: 69.65, LonDeg: 18.96} // 2° 46' above the polar circle
	for _, c := range []struct {
		p    sun.Place
		day  time.Time
		want sun.DayKind
	}{
		{tromso, time.Date(2024, 6, 21, 0, 0, 0, 0, time.UTC), sun.PolarDay},
		{tromso, time.Date(2024, 12, 21, 0, 0, 0, 0, time.UTC), sun.PolarNight},
		{tromso, time.Date(2024, 3, 20, 0, 0, 0, 0, time.UTC), sun.Normal},
		{sun.Place{LatDeg: -69.65, LonDeg: 18.96}, time.Date(2024, 6, 21, 0, 0, 0, 0, time.UTC), sun.PolarNight},
		{sun.Place{LatDeg: 90}, time.Date(2024, 6, 1, 0, 0, 0, 0, time.UTC), sun.PolarDay},
		{sun.Place{LatDeg: -90}, time.Date(2024, 6, 1, 0, 0, 0, 0, time.UTC), sun.PolarNight},
	} {
		rise, _, set, kind := sun.RiseSet(c.day, c.p)
		if kind != c.want {
			t.Errorf("%v at %.1f°: %v, want %v", c.day.Format(time.DateOnly), c.p.LatDeg, kind, c.want)
		}
		if kind != sun.Normal && (!rise.IsZero() || !set.IsZero()) {
			t.Errorf("%v at %.1f°: rise %v set %v, want none", c.day.Format(time.DateOnly), c.p.LatDeg, rise, set)
		}
	}
	// Through a whole year: the kinds change without a hole, and what exists is in order.
	changes, was := 0, sun.DayKind(-1)
	for d := range 366 {
		day := time.Date(2024, 1, 1+d, 0, 0, 0, 0, time.UTC)
		rise, transit, set, kind := sun.RiseSet(day, tromso)
		if kind != was {
			changes, was = changes+1, kind
		}
		if kind == sun.Normal && (!rise.IsZero() && !rise.Before(transit) || !set.IsZero() && !set.After(transit) || rise.IsZero() && set.IsZero()) {
			t.Fatalf("%v: rise %v transit %v set %v", day.Format(time.DateOnly), rise, transit, set)
		}
	}
	if changes != 5 { // night, normal, day, normal, night
		t.Errorf("the kind of day changed %d times, want 5 stretches", changes)
	}
}

// The rim is on the horizon at rise and set, at any latitude, season and time zone.
func TestRiseSetDefinition(t *testing.T) {
	zones := []*time.Location{time.UTC, time.FixedZone("", 13*3600), time.FixedZone("", -9*3600)}
	for i := range 400 {
		lat := -64 + float64(i%33)*4
		lon := -180 + float64(i*37%360)
		day := time.Date(2025, 1, 1+i*17%365, i%24, 0, 0, 0, zones[i%3])
		p := sun.Place{LatDeg: lat, LonDeg: lon}
		rise, transit, set, kind := sun.RiseSet(day, p)
		if kind != sun.Normal {
			continue
		}
		for _, at := range []time.Time{rise, set} {
			near(t, fmt.Sprintf("altitude at %v of %.0f,%.0f", at, lat, lon), 90-sun.Position(at, p, 0, 0).TrueZenithDeg, -0.8358, 0.001) // -0.8333 less the parallax
		}
		near(t, "solar noon", sun.Position(transit, p, 0, 0).SolarHour, 12, 1e-4)
		if transit.Location() != day.Location() || math.Abs(transit.Sub(time.Date(day.Year(), day.Month(), day.Day(), 12, 0, 0, 0, day.Location())).Hours()) > 12 {
			t.Errorf("transit %v does not belong to %v", transit, day)
		}
	}
}

func TestEquationOfTimeAndDeclination(t *testing.T) {
	// ASHRAE Handbook of Fundamentals 2005 ch. 31, the 21st of the month, as in the
	// EnergyPlus Engineering Reference. The handbook's years are older: 0.4° and 0.4 min.
	for _, c := range []struct {
		month     time.Month
		eot, decl float64
	}{{time.January, -11.2, -20.0}, {time.April, 1.1, 11.6}, {time.July, -6.2, 20.6}, {time.October, 15.4, -10.5}} {
		a := sun.Position(time.Date(2005, c.month, 21, 12, 0, 0, 0, time.UTC), sun.Place{}, 0, 0)
		near(t, c.month.String()+" equation of time", a.EotMin, c.eot, 0.4)
		near(t, c.month.String()+" declination", a.DeclDeg, c.decl, 0.4)
	}
}

func TestPositionIsSmooth(t *testing.T) {
	// no jump at midnight UTC, at the date line or when the hour angle wraps
	p := sun.Place{LatDeg: 30, LonDeg: 179.9}
	was := sun.Position(time.Date(2024, 12, 30, 0, 0, 0, 0, time.UTC), p, 0, 0)
	for m := 1; m <= 4*1440; m++ {
		a := sun.Position(time.Date(2024, 12, 30, 0, m, 0, 0, time.UTC), p, 0, 0)
		if math.Abs(a.TrueZenithDeg-was.TrueZenithDeg) > 0.26 || math.Abs(a.EotMin-was.EotMin) > 0.002 || a.SolarHour < 0 || a.SolarHour >= 24.0001 {
			t.Fatalf("minute %d: %+v after %+v", m, a, was)
		}
		was = a
	}
}
