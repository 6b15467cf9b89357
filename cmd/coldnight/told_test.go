package main

import (
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/gate/web"
)

// A tick alone starts a new plan, soon and once; no hour has to pass.
func TestTickStartsANewPlan(t *testing.T) {
	e := newEvening(t, nil)
	v, _ := e.look(t)
	_, todo := covers(v.Answer)
	if len(todo) != 1 {
		t.Fatalf("%d covers", len(todo))
	}
	j, night := todo[0], v.Answer.Plan.Nights[0].Date
	if p := e.told.pause(time.Minute); p != time.Minute {
		t.Errorf("nothing said: the next look in %v", p)
	}
	e.clock = e.clock.Add(time.Minute)
	if ok, err := e.Tick(t.Context(), web.Tick{Night: night, Job: j.ID, Space: j.Space, What: j.What, At: e.clock}, true); err != nil || !ok {
		t.Fatal(ok, err)
	}
	if p := e.told.pause(time.Minute); p != toldPause {
		t.Errorf("ticked: the next look in %v, want %v", p, toldPause)
	}
	if p := e.told.pause(time.Second); p != time.Second {
		t.Errorf("a shorter look is not put off: %v", p)
	}
	select {
	case <-e.told.c:
	default:
		t.Error("nobody wakes the loop")
	}
	e.clock = e.clock.Add(toldPause)
	v, plans := e.look(t)
	if done, open := covers(v.Answer); plans != 2 || len(done) != 1 || len(open) != 0 {
		t.Errorf("%d plans, done %+v, open %+v", plans, done, open)
	}
	if _, plans = e.look(t); plans != 2 {
		t.Errorf("%d plans: said once, planned once", plans)
	}
	if ok, _ := e.Tick(t.Context(), web.Tick{Night: night, Job: j.ID, Space: j.Space, What: j.What, At: e.clock}, true); ok || e.told.take() {
		t.Error("ticked twice starts another plan")
	}

	// the cloth tears: its tick is taken back, and the plan does without it
	if ok, err := e.Report(t.Context(), web.Report{Night: night, Kind: "torn", About: j.ID, Space: j.Space, What: j.What, Item: j.Takes[0].Item, Who: "Ana", At: e.clock}, true); err != nil || !ok {
		t.Fatal(ok, err)
	}
	e.clock = e.clock.Add(toldPause)
	v, plans = e.look(t)
	if done, _ := covers(v.Answer); plans != 3 || len(done) != 0 || len(v.Reports) != 1 || len(v.Ticks) != 0 {
		t.Errorf("%d plans, done %+v, reports %+v, ticks %+v", plans, done, v.Reports, v.Ticks)
	}
	if !slices.ContainsFunc(v.Answer.Plan.Assumed, func(s string) bool { return strings.Contains(s, "is torn, as said at") }) {
		t.Errorf("assumed %q", v.Answer.Plan.Assumed)
	}
	if ok, err := e.Report(t.Context(), v.Reports[0], false); err != nil || !ok {
		t.Error(ok, err)
	}
	if ok, err := e.Report(t.Context(), v.Reports[0], false); err != nil || ok {
		t.Errorf("taken back twice: %t, %v", ok, err)
	}
}

// What jobs took is kept, and the next plan counts with it and says so; "begun" alone changes no plan.
func TestPlanLearnsFromTicks(t *testing.T) {
	e := newEvening(t, nil)
	v, _ := e.look(t)
	_, todo := covers(v.Answer)
	j, night := todo[0], v.Answer.Plan.Nights[0].Date
	if j.Labour.Of == "" {
		t.Fatalf("%+v", j)
	}
	if ok, err := e.Report(t.Context(), web.Report{Night: night, Kind: "begun", About: j.ID, Space: j.Space, What: j.What, At: e.clock}, true); err != nil || !ok || e.told.take() {
		t.Errorf("begun: %t, %v", ok, err)
	}
	planned := float64(j.Minutes * len(j.People))
	for i := range 6 { // five of other evenings and this one, each three times as fast as planned: invented
		tick := web.Tick{
			Night: time.Date(2031, 1, 9+i, 0, 0, 0, 0, time.UTC).Format(time.DateOnly), Job: j.ID, Space: "another", What: "another",
			At: e.clock, Labour: j.Labour, Minutes: planned / 3, People: 1,
		}
		if _, err := e.Tick(t.Context(), tick, true); err != nil {
			t.Fatal(err)
		}
	}
	e.clock = e.clock.Add(toldPause)
	v, _ = e.look(t)
	said := func(a *plan.Answer, part string) bool {
		return slices.ContainsFunc(a.Plan.Assumed, func(s string) bool { return strings.Contains(s, part) })
	}
	if !said(v.Answer, "from 6 jobs, was") || said(v.Answer, "labour: "+string(j.Labour.Of)+" = ") {
		t.Errorf("assumed %q", v.Answer.Plan.Assumed)
	}
	_, todo = covers(v.Answer)
	if len(todo) != 1 || float64(todo[0].Minutes*len(todo[0].People)) > planned/2+2 {
		t.Errorf("planned %g person-minutes before, now %+v", planned, todo)
	}
	if e.nursery.site().Labour.UsualPer100M2 != 20 {
		t.Error("the site itself is changed")
	}
}
