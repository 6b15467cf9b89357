package heating

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// build is an invented nursery of one house, 12 by 5 m and 2.5 m high.
type build struct {
	ground, moisture string // loam, moist
	layers           int    // of film, 1
	curtain          string // drawn day and night
	elevM            float64
	more             string // tables
}

const flame = `[[heater]]
name = "flame"
space = "House"
kind = "unvented gas"
input = "7 kW"
fuel = "propane"
setpoint = "6 °C"
cutoff = "18 %"
mains = false
`

const fan = `[[heater]]
name = "fan"
space = "House"
kind = "vented gas"
input = "12 kW"
fuel = "propane"
setpoint = "8 °C"
power = "300 W"
mains = true
`

func (b build) scene(t testing.TB) (*night.Scene, *site.Space) {
	t.Helper()
	or := func(s, usual string) string {
		if s == "" {
			return usual
		}
		return s
	}
	var w strings.Builder
	fmt.Fprintf(&w, `[site]
name = "Test"
latitude = "33 S"
longitude = "20 E"
elevation = "%.0f m"
timezone = "Africa/Johannesburg"
units = "metric"
money = "coins"
ground = "%s"
moisture = "%s"
[prices]
propane = "2 per kg"
electricity = "0.2 per kWh"
[[space]]
name = "House"
kind = "tall house"
length = "12 m"
width = "5 m"
height = "2.5 m"
pots = "spaced"
[space.house]
glazing = "greenhouse film"
layers = %d
eave_height = "1.8 m"
leaks = "tight"
`, b.elevM, or(b.ground, "loam"), or(b.moisture, "moist"), max(b.layers, 1))
	if b.curtain != "" {
		fmt.Fprintf(&w, "curtain = \"%s\"\ncurtain_when = \"always\"\n", b.curtain)
	}
	w.WriteString(`[[space.group]]
plant = "soft leaf"
word = "tender"
count = 400
value_each = 3
saleable = "2 °C"
alive = "-1 °C"
height = "20 cm"
[[space.group]]
plant = "hard leaf"
word = "borderline"
count = 100
value_each = 3
saleable = "-2 °C"
alive = "-5 °C"
height = "20 cm"
`)
	w.WriteString(b.more)
	s, _, err := site.Parse([]byte(w.String()), "test.toml", night.Known())
	if err != nil {
		t.Fatalf("%v\n%s", err, w.String())
	}
	sc, err := night.NewScene(s)
	if err != nil {
		t.Fatal(err)
	}
	return sc, s.Space("House")
}

// nights is four invented winter days (UTC+2): a mean, a swing of 5 K, a wind and a
// sky that do not change.
func nights(sc *night.Scene, mean, wind, cloud float64) weather.Series {
	t0 := time.Date(2026, 7, 10, 0, 0, 0, 0, sc.Site.Zone)
	s := weather.Series{Source: "invented", Step: time.Hour, Issued: t0}
	for i := range 96 {
		r := weather.EmptyRow(t0.Add(time.Duration(i) * time.Hour))
		r.AirC = mean + 5*math.Cos((float64(i%24)-14.5)/24*2*math.Pi)
		r.DewC = mean - 7
		r.WindMS, r.GustMS, r.WindFromDeg, r.CloudFrac = wind, 1.6*wind, 0, cloud
		s.Rows = append(s.Rows, r)
	}
	done, _ := s.Complete(sc.Site.LatDeg, sc.Site.LonDeg, sc.Site.ElevationM)
	return done
}

// ask puts a question about the last night of a series, with what is written lit and
// an opening.
func ask(t testing.TB, sc *night.Scene, sp *site.Space, s weather.Series, openingM2 float64, draws int) Ask {
	t.Helper()
	f := sc.Written(sp)
	f.OpeningM2 = openingM2
	a := Ask{
		Scene: sc, Space: sp, Before: night.Protection{Key: "none", Firing: sc.Automatic(sp)}, Chosen: night.Protection{Key: "lit", Firing: f}, Option: 1,
		Members: []weather.Series{s}, Draws: tabled(night.Draws(draws, 1, 7)), From: s.Rows[60].Time, Voice: night.VoiceOf(sc.Site),
	}
	n := Night{Date: "2026-07-12", Noon: s.Rows[84].Time, Decides: true}
	for h := 66; h < 80; h += 4 { // 18:00 to 6:00
		n.Hours = append(n.Hours, s.Rows[h].Time)
	}
	a.Nights = []Night{n}
	o, err := sc.Outlook(night.Request{Space: sp, Protections: []night.Protection{a.Before, a.Chosen}, Members: a.Members, Draws: a.Draws, From: a.From, To: n.Noon})
	if err != nil {
		t.Fatal(err)
	}
	a.Outlook = o
	return a
}

func look(t testing.TB, a Ask) *House {
	t.Helper()
	h, err := Look(a)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// tabled is draws whose cylinders give what the published table says.
func tabled(ds []night.Draw) []night.Draw {
	for i := range ds {
		ds[i].Boil = 1
	}
	return ds
}
