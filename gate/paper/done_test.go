package paper

import (
	"strings"
	"testing"
	"time"
)

// What is ticked is struck out on the sheet of all and on the person's own, with hour and name, and the sheet says as
// of when; a sheet on which nothing is done says nothing of it.
func TestDoneIsStruckOut(t *testing.T) {
	s := planned(t)
	before, _, h := readBack(t, pdfOf(t, s))
	if all := wordsOf(before); strings.Contains(all, "struck out") || strings.Contains(all, "Done 1") {
		t.Error("nothing is done, and something is marked")
	}
	j := &s.Answer.Plan.Jobs[0]
	j.Done, j.By = s.Answer.Plan.Now.Add(-20*time.Minute), "Ana"
	s.Answer.Plan.Now = s.Answer.Plan.Now.Add(time.Minute)
	pages, _, _ := readBack(t, pdfOf(t, s))
	pageRules(t, s, pages, h)
	all := wordsOf(pages)
	done := "Done " + s.voice().Clock(j.Done) + ", Ana"
	if n := strings.Count(all, done); n != 1+len(j.People) {
		t.Errorf("%q stands %d times, want once for all and once for each of %q", done, n, j.People)
	}
	if !strings.Contains(all, "What was ticked as done by "+s.voice().When(s.Answer.Plan.Now)+" is struck out.") {
		t.Error("the sheet does not say as of when")
	}
	lines := func(all []printed) (n int) {
		for _, p := range all {
			n += strings.Count(p.content, " l S")
		}
		return n
	}
	if more := lines(pages) - lines(before); more < 4 { // two of the cross, one through the place, one through the work
		t.Errorf("%d lines more than on the sheet before", more)
	}
}
