package paper

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	ics "github.com/arran4/golang-ical"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/measure"
)

func calendarOf(t *testing.T, s Sheet) (string, *ics.Calendar) {
	t.Helper()
	var b bytes.Buffer
	if err := s.Calendar(&b); err != nil {
		t.Fatal(err)
	}
	c, err := ics.ParseCalendar(bytes.NewReader(b.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	return b.String(), c
}

func property(e *ics.VEvent, p ics.ComponentProperty) string {
	if x := e.GetProperty(p); x != nil {
		return x.Value
	}
	return ""
}

// What is read back is what was put in: times in UTC on both sides of a change of the
// clocks, signs that have a meaning in the format, and an alarm a quarter of an hour
// before. On 14 March 2027 clocks in New York go from 2 to 3 a.m.
func TestCalendarReadBack(t *testing.T) {
	s := invented(t, measure.Customary)
	nasty := "put a; b, c \\ d: \"e\"\nžluťoučký kůň 🧊 " + strings.Repeat("and so on ", 20)
	s.Answer.Plan.Jobs = []plan.Job{job(s.Site, "a", "Bed 1; north, \\ end", nasty, 15, 0, "Ana")}
	s = heated(s, "Low house") // its second round is at 3:30 a.m. daylight time
	text, c := calendarOf(t, s)
	if !strings.HasSuffix(text, "END:VCALENDAR\r\n") || strings.Count(text, "\n") != strings.Count(text, "\r\n") {
		t.Error("lines must end in CR LF (RFC 5545, 3.1)")
	}
	folded := 0
	for _, l := range strings.Split(text, "\r\n") {
		if len(l) > 75 { // octets without the line break, RFC 5545, 3.1
			t.Errorf("a line of %d octets: %s", len(l), l)
		}
		if strings.HasPrefix(l, " ") {
			folded++
		}
	}
	if folded < 5 {
		t.Errorf("%d lines are folded", folded)
	}
	events := c.Events()
	if len(events) != 3 {
		t.Fatalf("%d entries, want a job and two rounds", len(events))
	}
	e := events[0]
	if got, want := property(e, ics.ComponentPropertyLocation), "Bed 1; north, \\ end"; got != want {
		t.Errorf("place %q, want %q", got, want)
	}
	if got, want := property(e, ics.ComponentPropertySummary), "Bed 1; north, \\ end: "+strings.ReplaceAll(strings.ReplaceAll(nasty, "\n", " "), "🧊", "?"); got != want {
		t.Errorf("summary\n%q, want\n%q", got, want)
	}
	if d := property(e, ics.ComponentPropertyDescription); !strings.Contains(d, "Ana.\n20 minutes, start by Sat 13 Mar 4 p.m.\nCarry: a; b, c") {
		t.Errorf("description %q", d)
	}
	for i, want := range []string{"20270313T200000Z", "20270314T013000Z", "20270314T073000Z"} { // 3 p.m. and 8:30 p.m. EST, 3:30 a.m. EDT
		if got := property(events[i], ics.ComponentPropertyDtStart); got != want {
			t.Errorf("entry %d starts %s, want %s", i, got, want)
		}
		if a := events[i].Alarms(); len(a) != 1 || a[0].GetProperty(ics.ComponentPropertyTrigger).Value != "-PT15M" || a[0].GetProperty(ics.ComponentPropertyAction).Value != "DISPLAY" {
			t.Errorf("entry %d: no alarm a quarter of an hour before", i)
		}
		for _, p := range [...]ics.ComponentProperty{ics.ComponentPropertyDtstamp, ics.ComponentPropertyDtEnd, ics.ComponentPropertyUniqueId, ics.ComponentPropertySequence} {
			if property(events[i], p) == "" {
				t.Errorf("entry %d has no %s", i, p)
			}
		}
	}
	if end, err := e.GetEndAt(); err != nil || end.Sub(time.Date(2027, 3, 13, 15, 0, 0, 0, s.Site.Zone)) != 20*time.Minute {
		t.Errorf("the job ends %s, %v", end, err)
	}
	again, _ := calendarOf(t, s)
	if again != text {
		t.Error("the same plan gave another calendar")
	}
}

// The same work of a newer plan has the identity it had, and a higher number; other
// work has another identity.
func TestNewerPlanReplaces(t *testing.T) {
	s := invented(t, measure.Customary)
	s.Answer.Plan.Jobs = []plan.Job{
		job(s.Site, "Bed 1/1-oz-x1/1", "Bed 1", "spread and fix 1 layer of 1 oz cloth", 15, 0, "Ana"),
		job(s.Site, "House/lit-at-2/1", "House", "set the thermostats to 41 °F", 15, 30, "Ana"),
		job(s.Site, "House/lit-at-2/2", "House", "set the thermostats to 45 °F", 16, 0, "Ana"),
	}
	_, old := calendarOf(t, s)
	ids := func(c *ics.Calendar) (out []string) {
		for _, e := range c.Events() {
			out = append(out, e.Id())
		}
		return out
	}
	was := ids(old)
	if slices.Sort(was); len(slices.Compact(slices.Clone(was))) != 3 {
		t.Fatalf("identities %v are not all different", was)
	}
	n := s
	a := *s.Answer
	n.Answer = &a
	n.Answer.Plan.Now = a.Plan.Now.Add(time.Hour)
	n.Answer.Plan.Jobs = slices.Clone(a.Plan.Jobs)
	n.Answer.Plan.Jobs[0].What, n.Answer.Plan.Jobs[0].ID = "spread and fix 2 layers of 1 oz cloth", "Bed 1/1-oz-x2/1"
	n.Answer.Plan.Jobs[1].Start = n.Answer.Plan.Jobs[1].Start.Add(20 * time.Minute)
	_, young := calendarOf(t, n)
	now := ids(young)
	if slices.Sort(now); !slices.Equal(was, now) {
		t.Errorf("identities changed from %v to %v", was, now)
	}
	if x, y := property(old.Events()[0], ics.ComponentPropertySequence), property(young.Events()[0], ics.ComponentPropertySequence); x >= y || len(x) != len(y) {
		t.Errorf("the newer entry has number %s, the older %s", y, x)
	}
	n.Answer.Plan.Jobs[0].What = "light wall heater"
	_, other := calendarOf(t, n)
	if slices.Equal(ids(other), ids(young)) {
		t.Error("other work took the place of the old")
	}
}

// A person's calendar holds their work with the same identities.
func TestCalendarOfOne(t *testing.T) {
	s := invented(t, measure.Customary)
	s.Answer.Plan.Jobs = []plan.Job{job(s.Site, "a", "Bed 1", "put the cups", 15, 0, "Ana"), job(s.Site, "b", "Bed 2", "light the stove", 15, 0, "late pair 1", "late pair 2")}
	s = heated(s, "Low house")
	_, all := calendarOf(t, s)
	of := map[string]string{}
	for _, e := range all.Events() {
		of[e.Id()] = property(e, ics.ComponentPropertySummary)
	}
	for person, want := range map[string]int{"Ana": 1, "late pair 1": 2, "late pair": 2} {
		s.Person = person
		_, c := calendarOf(t, s)
		if got := len(c.Events()); got != want {
			t.Errorf("%s: %d entries, want %d", person, got, want)
		}
		for _, e := range c.Events() {
			if of[e.Id()] != property(e, ics.ComponentPropertySummary) {
				t.Errorf("%s: %s is another entry in the calendar of all", person, e.Id())
			}
		}
	}
}
