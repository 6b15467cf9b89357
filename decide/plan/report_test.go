package plan

import (
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/labour"
)

// An afternoon on the page, each with the plan made anew: the cover of the dear bed is skipped, or late, or torn, or
// a hand is missing. The plan takes it, says it, and says why it is another one. Invented site.
func TestReportsChangeThePlan(t *testing.T) {
	f := freezeOf(t, 2, 34*time.Hour)
	first := planOf(t, f).Plan
	cover := jobOf(t, &first, "Dear", spreadTask)
	night := first.Nights[0].Date
	at := first.Now.Add(10 * time.Minute)
	lays := func(p *Plan, space string) (Job, bool) {
		k := slices.IndexFunc(p.Jobs, func(j Job) bool { return j.Space == space && strings.HasPrefix(j.What, spreadTask) })
		if k < 0 {
			return Job{}, false
		}
		return p.Jobs[k], true
	}
	replan := func(r Report) *Plan {
		g := f
		g.Now = at
		r.Night, r.At, r.Who = night, at, "Ana"
		g.Reports = []Report{r}
		return follow(t, g, &first)
	}
	of := func(kind ReportKind) Report { return Report{Kind: kind, Space: cover.Space, What: cover.What} }

	skipped := replan(of(Skipped))
	if j, ok := lays(skipped, "Dear"); ok && j.What == cover.What {
		t.Errorf("skipped, and asked for again: %+v", j)
	}
	text := asText(t, skipped)
	for _, want := range []string{"is left out, as said at", "by Ana", "is skipped, said at"} {
		if !strings.Contains(text, want) {
			t.Errorf("skipped: no %q in the plan", want)
		}
	}

	late := of(Late)
	late.NotBefore = cover.Latest.Add(-5 * time.Minute)
	if j, ok := lays(replan(late), "Dear"); !ok || j.Start.Before(late.NotBefore) {
		t.Errorf("late by five minutes before the last start: %+v, %t", j, ok)
	}
	late.NotBefore = cover.Latest.Add(6 * time.Hour)
	p := replan(late)
	if j, ok := lays(p, "Dear"); ok && j.What == cover.What {
		t.Errorf("later than dark, and still asked for: %+v", j)
	}
	if !strings.Contains(asText(t, p.Changes), "is late, said at") {
		t.Errorf("changes %+v", p.Changes)
	}

	torn := of(TornPiece)
	torn.Item = cover.Takes[0].Item
	p = replan(torn)
	if _, ok := lays(p, "Dear"); ok {
		t.Error("the only cloth is torn, and is laid")
	}
	if !strings.Contains(asText(t, p.Changes), "is torn, said at") {
		t.Errorf("changes %+v", p.Changes)
	}

	p = replan(Report{Kind: MissingOne, Person: first.Crew[0].Name})
	for _, j := range p.Jobs {
		if slices.Contains(j.People, first.Crew[0].Name) && j.Start.Format(time.DateOnly) == night {
			t.Errorf("%s is missing and is to do %q", first.Crew[0].Name, j.What)
		}
	}
	if !strings.Contains(asText(t, p.Changes), first.Crew[0].Name+" is not there today") || !strings.Contains(asText(t, p.Changes), "said at") {
		t.Errorf("changes %+v", p.Changes)
	}
}

// A job says what it handles, so that its minutes teach the rate it was planned with.
func TestJobsSayWhatTheyHandle(t *testing.T) {
	f := freezeOf(t, 2, 34*time.Hour)
	p := planOf(t, f).Plan
	j := jobOf(t, &p, "Dear", spreadTask)
	want := labour.Work{Of: labour.Hoops, Amount: 0.2} // 10 m x 2 m, one layer over hoops of 0.6 m, calm
	if j.Labour != want {
		t.Fatalf("%+v, want %+v", j.Labour, want)
	}
	l := f.Scene.Site.Labour
	if planned := l.HoopsPer100M2*0.2 + l.WalkPerSpace; float64(j.Minutes*len(j.People)) < planned || float64(j.Minutes*len(j.People)) > planned+2 {
		t.Errorf("%d minutes for %d people, planned from %g person-minutes", j.Minutes, len(j.People), planned)
	}
	g := f
	g.Now = f.Now.Add(30 * time.Minute)
	d := ticked(&p, j)
	after := follow(t, g, &p, d)
	if k := jobOf(t, after, "Dear", spreadTask); k.By != "Ana" || k.Done.IsZero() {
		t.Errorf("done by %q at %v", k.By, k.Done)
	}
}
