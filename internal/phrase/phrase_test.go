package phrase

import (
	"fmt"
	"testing"
)

func TestPhrases(t *testing.T) {
	others := func(n int) string { return Count(n, "other") }
	for got, want := range map[string]string{
		List(nil):                     "",
		List([]string{"a"}):           "a",
		List([]string{"a", "b", "c"}): "a, b and c",
		ListFew([]string{"a", "b", "c", "d"}, 2, others):  "a, b and 2 others",
		ListFew([]string{"a", "b", "c"}, 2, others) + "!": "a, b and c!", // one more is named, not counted
		Capital("übung"):       "Übung",
		Capital("\xffx") + "?": "\xffx?",
		Stop("done"):           "done.",
		Stop("by 3 p.m.") + Stop("Why?") + Stop("") + Stop("!"): "by 3 p.m.Why?!",
		Count(1, "job"): "1 job",
		Count(0, "job") + fmt.Sprint(Plural(1, "hour")): "0 jobshour",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
