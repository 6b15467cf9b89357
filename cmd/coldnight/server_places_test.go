package main

import (
	"errors"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/gate/ledger"
	"example.org/coldnight/gate/web"
)

// A night that is over is read back from the ledger: the plan as it stood before dusk, and what was ticked.
func TestNightsPastAreKept(t *testing.T) {
	e := newEvening(t, nil)
	v, _ := e.look(t)
	if v.Answer == nil || len(v.Weather) == 0 || len(v.Weather[0].Rows) == 0 {
		t.Fatalf("no plan, or without its weather: %d series", len(v.Weather))
	}
	date := v.Answer.Plan.Nights[0].Date
	ctx := t.Context()
	dusk := e.clock.Add(time.Hour)
	k, err := e.NightKept(ctx, date, dusk)
	if err != nil || k.Plan == nil || len(k.Plan.Nights) != len(v.Answer.Plan.Nights) || !k.Made.Equal(e.clock) {
		t.Fatalf("%+v, %v", k, err)
	}
	if _, _, err := e.ledger.PutTick(ctx, ledger.Tick{Night: date, Job: "x", What: "sweep", Done: e.clock}); err != nil {
		t.Fatal(err)
	}
	if k, err = e.NightKept(ctx, date, dusk); err != nil || len(k.Ticks) != 1 || k.Ticks[0].What != "sweep" {
		t.Errorf("%+v, %v", k.Ticks, err)
	}
	if _, err := e.NightKept(ctx, "2020-01-01", dusk); !errors.Is(err, web.ErrNoNight) {
		t.Errorf("a night of no plan: %v", err)
	}
	// One that cannot be read, by a newer program or a broken one, is said to be so.
	site, err := e.ledger.LatestSite(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := e.ledger.PutPlan(ctx, ledger.Plan{PlanHead: ledger.PlanHead{Issued: dusk, Now: dusk, SiteHash: site.Hash}, JSON: []byte(`{"nights":[{"date":"` + date + `"}],"jobs":7}`)}); err != nil {
		t.Fatal(err)
	}
	if k, err = e.NightKept(ctx, date, dusk); err != nil || k.Plan != nil || len(k.Ticks) != 1 || k.Plans != 2 {
		t.Errorf("%+v, %v", k, err)
	}
	e.clock = e.clock.AddDate(0, 0, 3)
	w := httptest.NewRecorder()
	web.New(e.server, web.Options{Nights: e.server}).ServeHTTP(w, httptest.NewRequest("GET", "/nights", nil))
	if w.Code != 200 || !strings.Contains(w.Body.String(), "/nights/"+date) || !strings.Contains(w.Body.String(), "cannot be read") {
		t.Errorf("%d\n%s", w.Code, w.Body)
	}
}
