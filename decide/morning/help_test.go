package morning

import (
	"fmt"
	"math"
	"testing"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// place is an invented nursery of one small house, 12 by 5 m and 2.5 m high under two
// films, and two beds, at the end of winter at 33 degrees south.
func place(t testing.TB) *night.Scene {
	t.Helper()
	group := func(plant, word string, cold float64) string {
		return fmt.Sprintf(`[[space.group]]
plant = "%s"
word = "%s"
count = 100
value_each = 4
saleable = "%.0f °C"
alive = "%.0f °C"
height = "20 cm"
`, plant, word, cold, cold-3)
	}
	text := `[site]
name = "Test"
latitude = "33 S"
longitude = "20 E"
elevation = "300 m"
timezone = "Africa/Johannesburg"
units = "metric"
money = "coins"
ground = "loam"
moisture = "moist"
[[space]]
name = "House"
kind = "tall house"
length = "12 m"
width = "5 m"
height = "2.5 m"
pots = "spaced"
[space.house]
glazing = "greenhouse film"
layers = 2
leaks = "usual"
vent_area = "9 m2"
vents = "0 %"
` + group("soft leaf", "tender", 1) + `[[space]]
name = "Bed"
kind = "bed"
length = "10 m"
width = "1.5 m"
` + group("soft leaf", "tender", -1) + `[[space]]
name = "Hoops"
kind = "low hoop"
length = "10 m"
width = "1.5 m"
height = "0.7 m"
` + group("soft leaf", "tender", -1)
	s, _, err := site.Parse([]byte(text), "test.toml", night.Known())
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	sc, err := night.NewScene(s)
	if err != nil {
		t.Fatal(err)
	}
	return sc
}

// spell is five invented days: mean air, cloud, a swing of 9 K in the clear, light wind.
func spell(sc *night.Scene, mean, cloud float64) weather.Series {
	t0 := time.Date(2026, 8, 20, 0, 0, 0, 0, sc.Site.Zone)
	s := weather.Series{Source: "invented", Step: time.Hour, Issued: t0}
	for i := range 5 * 24 {
		r := weather.EmptyRow(t0.Add(time.Duration(i) * time.Hour))
		r.AirC = mean + 9*(1-0.7*cloud)*math.Cos((float64(i%24)-14.5)/24*2*math.Pi)
		r.DewC = mean - 7
		r.WindMS, r.GustMS, r.WindFromDeg, r.CloudFrac = 1.5, 2.5, 180, cloud
		s.Rows = append(s.Rows, r)
	}
	done, _ := s.Complete(sc.Site.LatDeg, sc.Site.LonDeg, sc.Site.ElevationM)
	return done
}

// sheet is cover over a space: its cloth, and how high it stands.
func sheet(cloth site.Cloth, layers int, height float64) []site.Cover {
	return []site.Cover{{Cloth: cloth, Layers: layers, HeightM: height, When: site.When{Kind: site.EveningMorning}}}
}

// ask puts a question about two days, from the afternoon before them.
func ask(sc *night.Scene, space string, s weather.Series, covers []site.Cover, draws int) Ask {
	from := s.Rows[64].Time
	return Ask{
		Scene: sc, Space: sc.Site.Space(space),
		Before: night.Protection{Key: "none"}, Chosen: night.Protection{Key: "chosen", Covers: covers},
		Members: []weather.Series{s}, Draws: night.Draws(draws, 1, 3), From: from, To: s.Rows[len(s.Rows)-1].Time,
		Now: from, MinuteCost: 0.4, Voice: night.VoiceOf(sc.Site),
	}
}

func look(t testing.TB, a Ask) Space {
	t.Helper()
	out, err := Look(a)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

var (
	cloth50 = site.Cloth{WeightKgM2: 0.050}
	film    = site.Cloth{Name: "greenhouse film"}
)
