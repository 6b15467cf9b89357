package paper

import (
	"strings"
	"testing"

	ics "github.com/arran4/golang-ical"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/measure"
)

// A phone picked up at night shows the alarm and nothing else: the words on a door stand
// in it, for jobs and for rounds, and only for the house they hang on.
func TestAlarmCarriesTheDoor(t *testing.T) {
	for _, units := range []measure.Units{measure.Customary, measure.SI} {
		s := invented(t, units)
		s.Answer.Plan.Jobs = []plan.Job{
			job(s.Site, "a", "Low house", "light wall heater", 15, 0, "Ana"), job(s.Site, "b", "Bed 1", "put the cups", 15, 0, "Ana"),
		}
		s = heated(s, "Low house")
		_, c := calendarOf(t, s)
		doors := 0
		for _, e := range c.Events() {
			alarm := e.Alarms()[0].GetProperty(ics.ComponentPropertyDescription).Value
			says := strings.Contains(strings.ToLower(alarm), plan.DoorWords)
			if place := property(e, ics.ComponentPropertyLocation); says != (place == "Low house") {
				t.Errorf("%s: the alarm says %q", place, alarm)
			}
			if says {
				doors++
				if !strings.Contains(strings.ToLower(property(e, ics.ComponentPropertyDescription)), plan.DoorWords) {
					t.Errorf("the entry itself does not say it: %s", alarm)
				}
			}
		}
		if doors != 3 { // the lighting and two rounds
			t.Errorf("%d alarms carry the words, want 3", doors)
		}
	}
}

// A round for which only one is on shift says so in its entry, and all who are on shift
// have it in their calendar.
func TestLoneRoundInTheCalendar(t *testing.T) {
	s := heated(invented(t, measure.SI), "Low house")
	rounds := s.Answer.Houses[0].Rounds
	rounds[0].On = []string{"Ana", "late pair"}
	rounds[1].On, rounds[1].Alone = []string{"Ana"}, "Ana is alone then, and this takes two (invented)"
	for _, who := range []string{"Ana", "late pair 1", "late pair 2"} {
		s.Person = who
		_, c := calendarOf(t, s)
		want := map[string]int{"Ana": 2}[who]
		if want == 0 {
			want = 1
		}
		if got := len(c.Events()); got != want {
			t.Errorf("%s: %d entries, want %d", who, got, want)
		}
		lone := 0
		for _, e := range c.Events() {
			lone += strings.Count(property(e, ics.ComponentPropertyDescription), "this takes two")
		}
		if lone != want-1 {
			t.Errorf("%s: %d entries say that one is alone", who, lone)
		}
	}
}

// Covers that come off, or a curtain that is opened, in the house of a flame: the walk has
// the words too, with the name of that house where several go together.
func TestWalkToCoversCarriesTheDoor(t *testing.T) {
	s := heated(invented(t, measure.SI), "Low house")
	for space, want := range map[string]string{
		"Bed 1": "", "Low house": "Low house: " + plan.DoorWords + ".", "Bed 1, Low house": "Low house: " + plan.DoorWords + ".",
	} {
		if got := s.atDoor(&errand{space: space, what: "curtain open", cover: true}); got != want {
			t.Errorf("%s: %q, want %q", space, got, want)
		}
	}
}
