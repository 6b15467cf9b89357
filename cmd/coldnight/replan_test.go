package main

import (
	"context"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/gate/web"
)

// helped is the invented nursery with a second person.
var helped = bedTOML + "\n[[crew]]\nname = \"learner\"\nfrom = \"12:00\"\nto = \"18:00\"\n"

// covers are the jobs that lay a cover, done ones and open ones.
func covers(a *plan.Answer) (done, todo []plan.Job) {
	for _, j := range a.Plan.Jobs {
		switch {
		case !strings.HasPrefix(j.What, "spread and fix "):
		case j.Done.IsZero():
			todo = append(todo, j)
		default:
			done = append(done, j)
		}
	}
	return done, todo
}

// An afternoon: the cover is laid and ticked, a person goes home, the power fails, the
// forecast gets colder. Nothing is laid twice, and the page says what changed and since
// which plan, though that plan is only in the ledger.
func TestServerFollowsThePlanBefore(t *testing.T) {
	e := newEvening(t, nil)
	put(t, e.site, helped)
	v, _ := e.look(t)
	if v.Answer == nil || len(v.Answer.Plan.Changes) != 0 {
		t.Fatalf("first plan: %+v", v.Answer)
	}
	_, todo := covers(v.Answer)
	if len(todo) != 1 {
		t.Fatalf("%d covers to lay", len(todo))
	}
	night := v.Answer.Plan.Nights[0].Date
	e.clock = e.clock.Add(time.Hour)
	if ok, err := e.Tick(t.Context(), web.Tick{Night: night, Job: todo[0].ID, Space: todo[0].Space, What: todo[0].What, At: e.clock}, true); err != nil || !ok {
		t.Fatal(ok, err)
	}
	made := v.Answer.Plan.Now
	e.clock = e.clock.Add(time.Minute)
	e.open(t, nil) // after a power cut
	put(t, e.site, bedTOML)
	v, _ = e.look(t)
	done, open := covers(v.Answer)
	if len(done) != 1 || len(open) != 0 || done[0].ID != todo[0].ID {
		t.Errorf("done %+v, open %+v", done, open)
	}
	k := slices.IndexFunc(v.Answer.Plan.Changes, func(r plan.Revision) bool { return r.Is == "learner no longer works today" })
	if k < 0 || !v.Answer.Plan.Changes[k].Since.Equal(made.Truncate(time.Second)) {
		t.Errorf("changes %+v", v.Answer.Plan.Changes)
	}
	put(t, e.weather, nightCSV(-9))
	e.clock = e.clock.Add(time.Minute)
	v, _ = e.look(t)
	if done, open = covers(v.Answer); len(done) != 1 || len(open) != 0 {
		t.Errorf("colder: done %+v, open %+v", done, open)
	}
	// The tick is taken back: the job is there again.
	if ok, err := e.Tick(t.Context(), web.Tick{Night: night, Job: todo[0].ID}, false); err != nil || !ok {
		t.Fatal(ok, err)
	}
	e.clock = e.clock.Add(61 * time.Minute)
	v, _ = e.look(t)
	if done, open = covers(v.Answer); len(done) != 0 || len(open) != 1 {
		t.Errorf("taken back: done %+v, open %+v", done, open)
	}
}

// The ledger is shut: a plan is made all the same, as if nothing had been before.
func TestServerPlansWithoutTheLedger(t *testing.T) {
	e := newEvening(t, nil)
	ctx, stop := context.WithCancel(t.Context())
	stop()
	o := order{now: e.clock}
	if e.follow(ctx, &o); o.before != nil || o.done != nil || o.reports != nil || o.finished != nil {
		t.Errorf("%+v", o)
	}
	if v, _ := e.look(t); v.Answer == nil {
		t.Error("no plan")
	}
}

// The command line follows a plan that it wrote before.
func TestPlanBefore(t *testing.T) {
	dir, site, weather := home(t)
	before := filepath.Join(dir, "before.json")
	base := []string{"plan", site, "--weather", weather, "--draws", "2"}
	if _, errs, code := invoke(t, append(base, "--now", "2031-01-14T12:00:00", "--json", "--out", before)...); code != 0 {
		t.Fatal(errs)
	}
	later := append(slices.Clone(base), "--now", "2031-01-14T13:00:00", "--before", before)
	if out, errs, code := invoke(t, later...); code != 0 || strings.Contains(strings.ToLower(out), "changed since") {
		t.Errorf("the same: exit %d, %s%s", code, errs, out)
	}
	put(t, site, helped)
	out, errs, code := invoke(t, later...)
	if out = strings.Join(strings.Fields(out), " "); code != 0 || !strings.Contains(strings.ToLower(out), "changed since the plan of noon") || !strings.Contains(out, "Learner works from noon to 6 p.m. Before: learner was not there.") {
		t.Errorf("one more: exit %d, %s%s", code, errs, out)
	}
	if _, errs, code = invoke(t, append(slices.Clone(base), "--before", weather)...); code != 1 || !strings.Contains(errs, "no plan") {
		t.Errorf("no plan: exit %d, %s", code, errs)
	}
}
