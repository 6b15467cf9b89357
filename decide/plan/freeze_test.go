package plan

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// dearAndCheap is an invented site: two equal beds, one worth ten times the other,
// and cloth for one of them.
const dearAndCheap = yard + `name = "Two Beds"

[[space]]
name = "Dear"
kind = "bed"
length = "10 m"
width = "2 m"
height = "0.6 m"
axis = "E-W"

[[space.group]]
plant = "test leaf"
word = "tender"
count = 100
value_each = 30
saleable = "-2 °C"
alive = "-4 °C"

[[space]]
name = "Cheap"
kind = "bed"
length = "10 m"
width = "2 m"
height = "0.6 m"
axis = "E-W"

[[space.group]]
plant = "test leaf"
word = "tender"
count = 100
value_each = 3
saleable = "-2 °C"
alive = "-4 °C"

[[shed.cloth]]
cloth = "51 g/m2"
length = "12 m"
width = "5 m"
pieces = 1
condition = "good"

[[crew]]
name = "hand"
people = 2
from = "08:00"
to = "22:00"
`

// freezeOf is that site under four invented days; mean is their mean air [°C].
func freezeOf(t *testing.T, mean float64, now time.Duration) Freeze {
	t.Helper()
	return freezeAt(t, dearAndCheap, mean, now, 6)
}

// freezeAt is any site under those days.
func freezeAt(t testing.TB, text string, mean float64, now time.Duration, draws int) Freeze {
	t.Helper()
	s, _, err := site.Parse([]byte(text), "test.toml", night.Known())
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	sc, err := night.NewScene(s)
	if err != nil {
		t.Fatal(err)
	}
	t0 := time.Date(2026, 7, 10, 0, 0, 0, 0, s.Zone)
	w := weather.Series{Source: "invented", Step: time.Hour, Issued: t0}
	for i := range 96 {
		r := weather.EmptyRow(t0.Add(time.Duration(i) * time.Hour))
		r.AirC = mean + 5*math.Cos((float64(i%24)-14.5)/24*2*math.Pi)
		r.DewC, r.WindMS, r.GustMS, r.WindFromDeg, r.CloudFrac = mean-6, 1.2, 2, 0, 0.05
		w.Rows = append(w.Rows, r)
	}
	f := Freeze{Scene: sc, Issued: t0, Now: t0.Add(now), Seed: 5, Draws: draws}
	f.Members = weather.Ensemble(weather.Forecast{Members: []weather.Series{w}, Issued: t0}, draws, 9,
		weather.EnsembleOptions{LatDeg: s.LatDeg, LonDeg: s.LonDeg, ElevM: s.ElevationM, Now: f.Now})
	return f
}

func planOf(t *testing.T, f Freeze) *Answer {
	t.Helper()
	a, err := Make(f)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// The one cloth goes to the dear bed, before dark, and the refusal of the other
// has a price.
func TestScarceClothGoesWhereItSavesMost(t *testing.T) {
	f := freezeOf(t, 2, 34*time.Hour)
	a := planOf(t, f)
	if !a.Freeze {
		t.Fatal("no freeze was seen")
	}
	for _, s := range a.Spaces {
		covered := s.Outlook.Options[s.Chosen].Protection.Key != "as-it-is"
		if want := s.Outlook.Space.Name == "Dear"; covered != want {
			t.Errorf("%s: covered %v, want %v (losses %.0f bare, %.0f covered)", s.Outlook.Space.Name, covered, want,
				s.Outlook.Options[0].Loss, s.Outlook.Options[1].Loss)
		}
	}
	if a.Plan.Gap != 0 || a.Plan.Bound > a.Plan.Objective+1e-9 {
		t.Errorf("objective %.2f, bound %.2f, gap %.4f: two beds must be solved to the end", a.Plan.Objective, a.Plan.Bound, a.Plan.Gap)
	}
	jobs := slices.DeleteFunc(slices.Clone(a.Plan.Jobs), func(j Job) bool { return strings.HasPrefix(j.ID, standingKey) })
	// later evenings and mornings are on the clock as well
	is, _ := chosenOf(&a.Plan, "Dear")
	if want := len(a.Facts.Work["Dear"][is.Option]) + len(a.Facts.Later["Dear"][is.Option]); len(jobs) != want || want < 2 || len(jobs) == len(a.Plan.Jobs) {
		t.Fatalf("%d jobs for the covers in %d nights, want %d; %d in all", len(jobs), len(a.Plan.Nights), want, len(a.Plan.Jobs))
	}
	j := jobs[0]
	if j.Start.Before(f.Now) || j.Start.After(j.Latest) || j.Latest.After(j.Start.Add(sheetBefore)) {
		t.Errorf("job starts %s, latest %s, now %s", j.Start, j.Latest, f.Now)
	}
	// what is put on is held down, and only that
	if len(a.Holds) != 1 || a.Holds[0].Space.Name != "Dear" || len(a.Holds[0].PerSide) != 4 || a.Holds[0].AtStake <= 0 || a.Plan.Holds[0].Says == "" {
		t.Errorf("held down: %+v", a.Plan.Holds)
	}
	for _, n := range a.Plan.Nights {
		for _, s := range n.Spaces {
			for _, c := range s.Cells {
				if !(c.MinC.P10 <= c.MinC.P50 && c.MinC.P50 <= c.MinC.P90) {
					t.Errorf("%s %s %s: band %+v is not in order", n.Date, s.Space, c.Class, c.MinC)
				}
			}
		}
	}
}

// A mild week asks for nothing.
func TestMildNightsNeedNothing(t *testing.T) {
	a := planOf(t, freezeOf(t, 14, 34*time.Hour))
	if a.Freeze {
		t.Error("a freeze was seen at 9 °C")
	}
	if len(a.Plan.Jobs) != 0 {
		t.Errorf("%d jobs on a mild night", len(a.Plan.Jobs))
	}
}

// Asked in the dark, the work is for now and not for tomorrow evening.
func TestAskedAfterDark(t *testing.T) {
	f := freezeOf(t, 2, 43*time.Hour) // 19:00
	a := planOf(t, f)
	for _, j := range a.Plan.Jobs {
		if j.Night == a.Plan.Nights[0].Date && j.Block != InMorning && j.Latest.After(f.Now.Add(lateWork)) {
			t.Errorf("%s may wait until %s; it is dark since an hour", j.What, j.Latest)
		}
	}
	if len(a.Plan.Jobs) == 0 {
		t.Error("nothing is done for the night that has begun")
	}
}

// No space, no weather, too short a forecast: refused with what to do.
func TestMakeRefuses(t *testing.T) {
	f := freezeOf(t, 2, 34*time.Hour)
	f.Members = nil
	if _, err := Make(f); err == nil || !strings.Contains(err.Error(), "forecast") {
		t.Errorf("no weather: %v", err)
	}
	f = freezeOf(t, 2, 95*time.Hour)
	if _, err := Make(f); err == nil || !strings.Contains(err.Error(), "newer") {
		t.Errorf("a forecast that is over: %v", err)
	}
	f = freezeOf(t, 2, 34*time.Hour)
	f.Scene.Site.Spaces = nil
	if _, err := Make(f); err == nil || !strings.Contains(err.Error(), "[[space]]") {
		t.Errorf("no space: %v", err)
	}
}

// yard begins an invented nursery; its name comes next.
const yard = `[site]
latitude = "33 S"
longitude = "20 E"
elevation = "300 m"
timezone = "Africa/Johannesburg"
units = "metric"
money = "coins"
surroundings = "open"
ground = "loam"
moisture = "moist"
`
