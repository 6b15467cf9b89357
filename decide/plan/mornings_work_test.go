package plan

import (
	"math"
	"strings"
	"testing"
	"time"
)

// shutYard is an invented film house that gets hot by day, heated by nothing.
const shutYard = yard + `name = "Shut Yard"

[[space]]
name = "House"
kind = "tall house"
length = "12 m"
width = "6 m"
height = "3 m"
axis = "E-W"
[space.house]
glazing = "greenhouse film"
layers = 2
eave_height = "2 m"
leaks = "tight"
[[space.group]]
plant = "test leaf"
word = "tender"
count = 300
value_each = 20
saleable = "-1 °C"
alive = "-3 °C"

[[crew]]
name = "Ana"
HOURS
`

func shutPlan(t *testing.T, hours string) (*Freeze, *Answer) {
	t.Helper()
	f := frontAt(t, strings.Replace(shutYard, "HOURS", hours, 1), 4, 1, 34*time.Hour)
	for k := range f.Members { // mild and clear by day
		for i := range f.Members[k].Rows {
			// a clear day, invented: 700 W/m2 at noon
			if r := &f.Members[k].Rows[i]; r.Time.In(f.zone()).Hour() >= 9 && r.Time.In(f.zone()).Hour() < 17 {
				r.AirC += 14
				r.CloudFrac, r.SunWM2 = 0, 700*math.Sin(math.Pi*float64(r.Time.In(f.zone()).Hour()-8)/9)
			}
		}
	}
	f.Draws = 3
	f.Limits.PriceNodes = 5
	return &f, planOf(t, f)
}

// Every day of the freeze on which a house must be opened has a job for it and one to close
// it again, at their hours; where nobody is free the job says how hot it gets.
func TestEveryMorningIsOnTheClock(t *testing.T) {
	_, a := shutPlan(t, byDay)
	m := a.Spaces[0].Morning
	if m == nil || len(m.Days) < 2 {
		t.Fatalf("days looked at: %+v", m)
	}
	if len(a.Plan.Mornings) != len(m.Days) {
		t.Errorf("%d mornings in the document, %d days", len(a.Plan.Mornings), len(m.Days))
	}
	opened := 0
	for i := range m.Days {
		d := &m.Days[i]
		if !d.Open.Needed {
			continue
		}
		opened++
		open, shut := 0, 0
		for _, j := range a.Plan.Jobs {
			end := j.Start.Add(time.Duration(j.Minutes) * time.Minute)
			on := j.Start.In(time.FixedZone("", 2*3600)).Format(time.DateOnly) == d.Date
			switch {
			case on && strings.HasPrefix(j.What, morningAir):
				open++
				if len(j.People) != 1 || j.Start.Before(d.Open.From) || !d.Open.Late.IsZero() && end.After(latest(d.Open.Late, d.Open.From.Add(end.Sub(j.Start)))) || j.Latest.Before(j.Start) {
					t.Errorf("%s: %+v, open %+v", d.Date, j, d.Open)
				}
			case on && strings.HasPrefix(j.What, eveningShut):
				shut++
				if len(j.People) != 1 || j.Start.Before(d.Close.From) || end.After(d.Set.Add(visitLate)) || j.Night != d.Date {
					t.Errorf("%s: %+v, close %+v", d.Date, j, d.Close)
				}
			}
		}
		if open != 1 || shut != 1 {
			t.Errorf("%s: %d jobs to open, %d to close", d.Date, open, shut)
		}
	}
	if opened < 2 {
		t.Errorf("opened on %d days: the test says little", opened)
	}
	_, b := shutPlan(t, "from = \"16:00\"\nto = \"18:00\"")
	alone := 0
	for _, j := range b.Plan.Jobs {
		if strings.HasPrefix(j.What, morningAir) && len(j.People) == 0 {
			if alone++; !strings.Contains(j.Note, nobodyFree) || !strings.Contains(j.Note, "If nobody comes: ") {
				t.Errorf("note %q", j.Note)
			}
		}
	}
	if alone != opened {
		t.Errorf("%d jobs that nobody is free for, want %d", alone, opened)
	}
}

// What a morning says of the covers is what the plan does with them: off by its jobs, or
// left on.
func TestMorningKeepsToThePlan(t *testing.T) {
	f, a := ownPlan(t, `when = "evening-morning"`, byDay)
	if len(a.Plan.Mornings) < 2 {
		t.Fatalf("%d mornings", len(a.Plan.Mornings))
	}
	for _, m := range a.Plan.Mornings {
		if !m.RollUp {
			t.Errorf("%s: the plan takes the cover off, the morning leaves it on: %v", m.Date, m.Says)
		}
	}
	s := &a.Spaces[0]
	dusks := f.dusks(a.From, a.To)
	stay := f.staying(s.Outlook, &s.Outlook.Options[s.Chosen].Protection, []int{1}, dusks)
	s.Outlook.Options[s.Chosen].Protection = stay.protection
	for _, p := range f.plannedDays(a, s) {
		if left := p.Date == dusks[1].In(f.zone()).Format(time.DateOnly); p.Off == left {
			t.Errorf("%s: off %v, left on in between %v", p.Date, p.Off, left)
		}
	}
}
