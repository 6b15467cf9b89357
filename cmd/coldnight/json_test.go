package main

import (
	"encoding/json"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/gate/web"
)

// Every command that answers people answers programs too: one JSON document on standard output and nothing beside it.
// The demo is in demo.txtar.
func TestJSONEverywhere(t *testing.T) {
	e := newEvening(t, nil)
	if v, _ := e.look(t); v.Answer == nil {
		t.Fatal("no plan")
	}
	ledger, copied, back := filepath.Join(e.dir, "data", "coldnight.db"), filepath.Join(e.dir, "copy.db"), filepath.Join(e.dir, "back.db")
	planned := []string{"--weather", e.weather, "--draws", "1", "--now", "2031-01-14T13:00:00"}
	for _, c := range []struct {
		args []string
		into any
	}{
		{[]string{"check", e.site}, new(map[string]any)},
		{[]string{"simulate", e.site, "--space", "Bed 4", "--weather", e.weather}, new(map[string]any)},
		{append([]string{"plan", e.site}, planned...), new(plan.Plan)},
		{append([]string{"sheet", e.site}, planned...), new(plan.Plan)},
		{[]string{"backup", ledger, copied}, new(holding)},
		{[]string{"restore", copied, back}, new(holding)},
	} {
		out, errs, code := invoke(t, append(c.args, "--json")...)
		d := json.NewDecoder(strings.NewReader(out))
		d.DisallowUnknownFields()
		if err := d.Decode(c.into); code != 0 || err != nil || d.More() {
			t.Errorf("%s: exit %d, %v, %s\n%.300s", c.args[0], code, err, errs, out)
		}
		switch got := c.into.(type) {
		case *plan.Plan:
			if len(got.Nights) == 0 || len(got.Jobs) == 0 {
				t.Errorf("%s: an empty plan", c.args[0])
			}
		case *holding:
			if want := (holding{File: got.File, Version: got.Version, Sites: 1, Forecasts: 1, Plans: 1}); *got != want || got.Version < 1 || !strings.HasSuffix(got.File, ".db") {
				t.Errorf("%s: %+v, want %+v", c.args[0], got, want)
			}
		}
	}
	for _, args := range [][]string{
		{"demo", "--json"},
		append([]string{"sheet", e.site, "--json", "--calendar"}, planned...),
		append([]string{"plan", e.site, "--before", "x", "--ledger", "y"}, planned...),
	} {
		if _, errs, code := invoke(t, args...); code != 2 {
			t.Errorf("%v: exit %d, %s", args, code, errs)
		}
	}
}

// The command line follows the ledger of a server that may be running: what is ticked there stands in the plan as
// done, by whom, and is not asked for again; a file that is no ledger is refused.
func TestPlanFollowsTheLedger(t *testing.T) {
	e := newEvening(t, nil)
	v, _ := e.look(t)
	_, todo := covers(v.Answer)
	j := todo[0]
	e.clock = e.clock.Add(30 * time.Minute)
	tick := web.Tick{Night: v.Answer.Plan.Nights[0].Date, Job: j.ID, Space: j.Space, What: j.What, Who: "Ana", At: e.clock}
	if _, err := e.Tick(t.Context(), tick, true); err != nil {
		t.Fatal(err)
	}
	ledger := filepath.Join(e.dir, "data", "coldnight.db")
	base := []string{"--weather", e.weather, "--draws", "2", "--now", e.clock.Add(time.Minute).Format(time.RFC3339), "--json"}
	var plans [2]plan.Plan
	for i, command := range []string{"plan", "sheet"} {
		out, errs, code := invoke(t, append([]string{command, e.site, "--ledger", ledger}, base...)...)
		if err := json.Unmarshal([]byte(out), &plans[i]); code != 0 || err != nil {
			t.Fatalf("%s: exit %d, %v, %s", command, code, err, errs)
		}
	}
	done, open := covers(&plan.Answer{Plan: plans[0]})
	if len(done) != 1 || len(open) != 0 || done[0].By != "Ana" || !done[0].Done.Equal(tick.At) {
		t.Errorf("done %+v, open %+v", done, open)
	}
	if !reflect.DeepEqual(plans[0], plans[1]) {
		t.Error("plan and sheet differ")
	}
	for _, bad := range []string{filepath.Join(e.dir, "none.db"), e.dir, e.site} {
		if _, errs, code := invoke(t, append([]string{"plan", e.site, "--ledger", bad}, base...)...); code != 1 || errs == "" {
			t.Errorf("%s: exit %d, %s", bad, code, errs)
		}
	}
}
