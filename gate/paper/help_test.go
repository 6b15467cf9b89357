package paper

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// siteTOML is an invented nursery with a flame without a flue, heat from the mains, a
// generator, a bed with cloth, and a crew.
const siteTOML = `[site]
name = "Two Gates (invented)"
latitude = "34 N"
longitude = "82 W"
elevation = "250 m"
timezone = "America/New_York"
units = "us"
money = "dollars"

[[space]]
name = "Low house"
kind = "tall house"
length = "26 ft"
width = "10 ft"
height = "7 ft"
[space.house]
glazing = "greenhouse film"
leaks = "tight"
[[space.group]]
plant = "Boston fern"
count = 300
value_each = 12
pot = "6 in"

[[space]]
name = "Frame"
kind = "frame"
length = "20 ft"
width = "4 ft"
height = "20 in"
[space.house]
glazing = "6 mm twin-wall"
[[space.group]]
plant = "Boston fern"
count = 200
value_each = 12
pot = "6 in"

[[space]]
name = "Bed 4"
kind = "bed"
length = "20 ft"
width = "4 ft"
[[space.group]]
plant = "Boston fern"
count = 60
value_each = 5
pot = "6 in"

[[shed.cloth]]
cloth = "1.5 oz/yd2"
length = "30 ft"
width = "12 ft"
pieces = 1
condition = "good"

[[crew]]
name = "Ana"
from = "12:00"
to = "18:00"
[[crew]]
name = "late pair"
people = 2
from = "14:00"
to = "22:00"

[[heater]]
name = "wall heater"
space = "Low house"
kind = "unvented gas"
input = "20000 BTU/h"
fuel = "propane"
mains = false
setpoint = "40 F"
cutoff = "18 %"
[[cylinder]]
name = "by the door"
feeds = ["wall heater"]
holds = "20 lb"
left = "40 %"
spare = 1
[[heater]]
name = "frame cable"
space = "Frame"
kind = "electric"
input = "1 kW"
setpoint = "40 F"
[[backup]]
name = "generator"
power = "4 kW"
hours = "6 h"
[prices]
propane = "2.5 per kg"
electricity = "0.3 per kWh"
`

// planned is the plan of the invented nursery before an invented clear night of -9 °C.
func planned(t *testing.T) Sheet {
	t.Helper()
	s, _, err := site.Parse([]byte(siteTOML), "site.toml", night.Known())
	if err != nil {
		t.Fatal(err)
	}
	sc, err := night.NewScene(s)
	if err != nil {
		t.Fatal(err)
	}
	var csv strings.Builder
	csv.WriteString("# issued: 2031-01-14T12:00:00-05:00\ntime,air_c,dew_c,wind_m_s,cloud_frac\n")
	from := time.Date(2031, 1, 14, 0, 0, 0, 0, time.FixedZone("", -5*3600))
	for h := range 40 {
		fmt.Fprintf(&csv, "%s,%.1f,-12,1.5,0.05\n", from.Add(time.Duration(h)*time.Hour).Format(time.RFC3339), -2+7*math.Cos(float64(h-15)*math.Pi/12))
	}
	f, _, err := weather.Read("w.csv", strings.NewReader(csv.String()), weather.Options{Zone: s.Zone})
	if err != nil {
		t.Fatal(err)
	}
	now := time.Date(2031, 1, 14, 12, 0, 0, 0, s.Zone)
	fr := plan.Freeze{Scene: sc, Issued: f.Issued.In(s.Zone), Now: now, Seed: 1, Draws: 2}
	fr.Members = weather.Ensemble(f, 2, 1, weather.EnsembleOptions{LatDeg: s.LatDeg, LonDeg: s.LonDeg, ElevM: s.ElevationM, Now: now})
	a, err := plan.Make(fr)
	if err != nil {
		t.Fatal(err)
	}
	return Sheet{Site: s, Answer: a}
}

// invented is a plan written by hand around the given jobs, with rounds, drills and
// the mains out in one house.
func invented(t *testing.T, units measure.Units, jobs ...plan.Job) Sheet {
	t.Helper()
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	now := time.Date(2027, 3, 13, 13, 0, 0, 0, zone)
	s := &site.Site{
		Name: "Two Gates (invented)", LatDeg: 34, LonDeg: -82, Zone: zone, Units: units, Money: "dollars",
		Crew: []site.Worker{{Name: "Ana", People: 1, FromMin: 720, ToMin: 1080}, {Name: "late pair", People: 2, FromMin: 840, ToMin: 1320}},
	}
	a := &plan.Answer{Freeze: true, Cautions: []string{"A prediction can be wrong. (invented caution)"}}
	a.Plan = plan.Plan{Issued: now.Add(-time.Hour), Now: now, Nights: []plan.Night{{Date: "2027-03-13"}}, Jobs: jobs}
	return Sheet{Site: s, Answer: a}
}

// heated adds a house with a flame, a round that is on nobody's shift and one that is.
func heated(s Sheet, name string) Sheet {
	at := time.Date(2027, 3, 14, 3, 30, 0, 0, s.Site.Zone)
	d := heating.Drill{What: "the mains out", At: at, Early: 35, More: 700, Groups: []heating.Hold{{Group: "Boston fern", Early: 35, Usual: 50}}}
	h := &heating.House{Space: &site.Space{Name: name}, Opening: heating.Opening{NeedsIt: true, EachM2: 0.05, CutM2: 0.05, Where: "one low and one high"}}
	h.Rounds = []heating.Round{
		{At: at.Add(-6 * time.Hour), Usual: at, Odds: 1, What: name + ": change the cylinder of wall heater", Carry: "spanner", Who: "late pair: on until 10 p.m.", Why: "it may be down to its last"},
		{At: at, Usual: at.Add(time.Hour), Odds: 0.5, What: name + ": change the cylinder of wall heater", Carry: "spanner", Who: "Nobody is on shift then: say who.", Why: "it may be down to its last"},
	}
	h.Drills = []heating.Drill{{What: "wall heater out", Heater: "wall heater", At: at, Early: math.Inf(1)}}
	h.Mains = []heating.Drill{d}
	s.Answer.Houses = append(s.Answer.Houses, h)
	s.Answer.Outages = heating.Outages(s.Answer.Houses)
	return s
}

// job is an invented job of the afternoon.
func job(s *site.Site, id, space, what string, hour, minute int, people ...string) plan.Job {
	zone := time.UTC
	if s != nil {
		zone = s.Zone
	}
	at := time.Date(2027, 3, 13, hour, minute, 0, 0, zone)
	return plan.Job{ID: id, What: what, Space: space, People: people, Minutes: 20, Start: at, Latest: at.Add(time.Hour), Why: "invented"}
}

func pdfOf(t *testing.T, s Sheet) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := s.PDF(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
