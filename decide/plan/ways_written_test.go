package plan

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
)

// ownYard is an invented bed with a cover of its own, and one person.
func ownYard(when, crew string) string {
	return fmt.Sprintf(yard+`name = "Own Yard"

[[space]]
name = "Bed"
kind = "bed"
length = "10 m"
width = "2 m"
height = "0.6 m"
axis = "E-W"
hem = "pinned"
[[space.cover]]
cloth = "51 g/m2"
height = "0.6 m"
%s
[[space.group]]
plant = "test leaf"
word = "tender"
count = 100
value_each = 20
saleable = "-3 °C"
alive = "-5 °C"

[[crew]]
name = "Ana"
%s
`, when, crew)
}

const byDay = `from = "07:00"
to = "23:30"`

// ownPlan is the plan of the bed in a freeze of two nights, at noon before it.
func ownPlan(t *testing.T, when, crew string) (*Freeze, *Answer) {
	t.Helper()
	f := frontAt(t, ownYard(when, crew), 8, 1, 34*time.Hour)
	f.Draws = 3
	f.Limits.PriceNodes = 5
	return &f, planOf(t, f)
}

// A cover of the site file is a job for every evening and every morning, with its hands
// and minutes; with nothing done it is off, and the bare cold of the document is without it.
func TestWrittenCoverIsWork(t *testing.T) {
	f, a := ownPlan(t, `when = "evening-morning"`, byDay)
	s := &a.Spaces[0]
	o := s.Outlook
	if k := o.Options[0].Protection; k.Key != leftOff || len(k.Covers) != 0 {
		t.Errorf("with nothing done: %+v", k)
	}
	if key := o.Options[s.Chosen].Protection.Key; key != asWritten {
		t.Fatalf("%q was chosen, and nothing else helps", key)
	}
	dusks := f.dusks(a.From, a.To)
	on, off := 0, 0
	for _, j := range a.Plan.Jobs {
		end := j.Start.Add(time.Duration(j.Minutes) * time.Minute)
		if strings.HasPrefix(j.What, ownTask) {
			k := slices.IndexFunc(dusks, func(d time.Time) bool { return f.eveningOf(d) == j.Night })
			if on++; k < 0 || end.After(dusks[k]) || j.Block != BeforeDark || len(j.People) != 1 || j.Minutes < 2 {
				t.Errorf("put on: %+v", j)
			}
		}
		if strings.HasPrefix(j.What, morningOff+"its own") {
			if off++; j.Block != InMorning || len(j.People) != 1 {
				t.Errorf("taken off: %+v", j)
			}
		}
	}
	if len(dusks) < 2 || on != len(dusks) || off != len(dusks) {
		t.Errorf("%d times on and %d off in %d nights", on, off, len(dusks))
	}
	for _, n := range a.Plan.Nights {
		for _, c := range n.Spaces[0].Cells {
			if c.BareMinC.P50 > c.MinC.P50-0.2 { // cloth of 51 g keeps more than that, at an edge to the wind too
				t.Errorf("%s, %s: %.1f °C covered, %.1f bare", n.Date, c.Cell, c.MinC.P50, c.BareMinC.P50)
			}
		}
	}
}

// Hours by the clock are kept: the cover is on by its hour, overnight, and off after the
// other.
func TestWrittenCoverAtItsHours(t *testing.T) {
	f, a := ownPlan(t, "on = \"22:00\"\noff = \"10:30\"", byDay)
	on, off := 0, 0
	for _, j := range a.Plan.Jobs {
		start := j.Start.In(f.zone())
		end := start.Add(time.Duration(j.Minutes) * time.Minute)
		if strings.HasPrefix(j.What, ownTask) {
			if on++; end.Format("15:04") > "22:00" || start.Format("15:04") < "19:00" {
				t.Errorf("on at %s: %+v", start, j)
			}
		}
		if strings.HasPrefix(j.What, morningOff) {
			if off++; start.Format("15:04") < "10:30" {
				t.Errorf("off at %s: %+v", start, j)
			}
		}
	}
	if n := len(a.Plan.Nights); on != n || off != n {
		t.Errorf("%d on, %d off in %d nights", on, off, n)
	}
}

// Where nobody is free the cover stays off, and the plan says what that loses; one that
// always lies there needs nobody.
func TestWrittenCoverWithNobodyFree(t *testing.T) {
	_, a := ownPlan(t, `when = "evening-morning"`, "from = \"08:00\"\nto = \"09:00\"")
	if key := a.Spaces[0].Outlook.Options[a.Spaces[0].Chosen].Protection.Key; key != leftOff {
		t.Fatalf("%q was chosen with nobody there", key)
	}
	if !slices.ContainsFunc(a.Cautions, func(c string) bool {
		return strings.HasPrefix(c, "Bed: "+ownNothing) && strings.Contains(c, "expected to lose")
	}) {
		t.Errorf("nothing says what that loses: %q", a.Cautions)
	}
	_, b := ownPlan(t, `when = "always"`, byDay)
	o := b.Spaces[0].Outlook
	if o.Options[0].Protection.Key != "as-it-is" || len(o.Options[0].Protection.Covers) != 1 {
		t.Errorf("always on, with nothing done: %+v", o.Options[0].Protection)
	}
	for _, j := range b.Plan.Jobs {
		if strings.HasPrefix(j.What, ownTask) {
			t.Errorf("a job for what always lies there: %+v", j)
		}
	}
}
