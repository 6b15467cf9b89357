package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/gate/feed"
	"example.org/coldnight/gate/web"
)

// evening is a server of the invented nursery with a clock that the test moves.
type evening struct {
	*server
	dir, site, weather string
	clock              time.Time
	log                bytes.Buffer
}

func newEvening(t *testing.T, change func(*settings)) *evening {
	t.Helper()
	e := &evening{clock: time.Date(2031, 1, 14, 17, 0, 0, 0, time.UTC)}
	e.dir, e.site, e.weather = home(t)
	e.open(t, change)
	return e
}

func (e *evening) open(t *testing.T, change func(*settings)) {
	t.Helper()
	set := settings{
		site: e.site, weather: e.weather, addr: "127.0.0.1:0", data: filepath.Join(e.dir, "data"), draws: 2, seed: 1,
		now: func() time.Time { return e.clock }, logTo: &e.log, open: true, look: time.Minute, replan: time.Hour,
	}
	if change != nil {
		change(&set)
	}
	s, err := newServer(t.Context(), set)
	if err != nil {
		t.Fatal(err)
	}
	s.client.Sleep = func(context.Context, time.Duration) error { return nil }
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	e.server = s
}

// look refreshes once and returns what the page shows and how many plans are kept.
func (e *evening) look(t *testing.T) (v web.View, plans int) {
	t.Helper()
	e.refresh(t.Context())
	v, err := e.Tonight(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	kept, err := e.ledger.Plans(t.Context(), 100)
	if err != nil {
		t.Fatal(err)
	}
	return v, len(kept)
}

// A night at the desk: files change, break and are mended; the page always keeps
// the last good plan and says what is wrong.
func TestServerTakesUpChanges(t *testing.T) {
	e := newEvening(t, nil)
	if v, _ := e.Tonight(t.Context()); !v.Busy || v.Answer != nil || v.Site == nil {
		t.Errorf("before the first plan: %+v", v)
	}
	v, plans := e.look(t)
	if v.Answer == nil || v.Busy || v.Trouble != "" || v.Stale != "" || plans != 1 {
		t.Fatalf("first plan: %d kept, busy %t, trouble %q, stale %q", plans, v.Busy, v.Trouble, v.Stale)
	}
	first := v.Answer
	if v, plans = e.look(t); plans != 1 || v.Answer != first {
		t.Error("a new plan without news")
	}
	e.clock = e.clock.Add(61 * time.Minute)
	if v, plans = e.look(t); plans != 2 || v.Answer == first || !v.Answer.Plan.Now.Equal(e.clock) {
		t.Errorf("an hour later: %d plans, of %s", plans, v.Answer.Plan.Now)
	}

	put(t, e.weather, "time,air_c\n2031-01-14T18:00:00-05:00,cold\n")
	second := v.Answer
	if v, plans = e.look(t); plans != 2 || v.Answer != second || !strings.Contains(v.Trouble, `night.csv:2:2: air_c: "cold" is not a number`) {
		t.Errorf("half-written forecast: %d plans, trouble %q", plans, v.Trouble)
	}
	put(t, e.weather, nightCSV(-9))
	v, plans = e.look(t)
	if plans != 3 || v.Trouble != "" || lowest(v.Answer) >= lowest(second) {
		t.Errorf("colder forecast: %d plans, trouble %q, %g after %g", plans, v.Trouble, lowest(v.Answer), lowest(second))
	}

	third := v.Answer
	put(t, e.site, strings.Replace(bedTOML, `"20 ft"`, `"20 fathoms"`, 1))
	if v, plans = e.look(t); plans != 3 || v.Answer != third || !strings.Contains(v.Trouble, "bed.toml:") {
		t.Errorf("broken site: %d plans, trouble %q", plans, v.Trouble)
	}
	e.clock = e.clock.Add(2 * time.Hour)
	if v, plans = e.look(t); plans != 4 || v.Trouble == "" {
		t.Errorf("broken site, later: %d plans, trouble %q: the old site still needs a newer plan", plans, v.Trouble)
	}
	put(t, e.site, bedTOML)
	if v, plans = e.look(t); plans != 5 || v.Trouble != "" {
		t.Errorf("site as before: %d plans, trouble %q", plans, v.Trouble)
	}
	put(t, e.site, strings.Replace(bedTOML, "Bed 4", "Bed 7", 1))
	if v, plans = e.look(t); plans != 6 || v.Trouble != "" || v.Site.Spaces[0].Name != "Bed 7" {
		t.Errorf("mended site: %d plans, trouble %q", plans, v.Trouble)
	}
}

func lowest(a *plan.Answer) float64 { return a.Spaces[0].Outlook.Options[0].Worst.MinC.P50 }

// The power fails and the forecast's file is gone: the last one kept is used, and
// its age is said.
func TestRestartWithoutForecast(t *testing.T) {
	e := newEvening(t, nil)
	if v, _ := e.look(t); v.Answer == nil {
		t.Fatal("no first plan")
	}
	if err := os.Remove(e.weather); err != nil {
		t.Fatal(err)
	}
	e.clock = e.clock.Add(time.Hour)
	e.open(t, nil)
	v, plans := e.look(t)
	if v.Answer == nil || plans != 2 || !strings.Contains(v.Stale, "the last one kept is used") || v.Trouble == "" {
		t.Errorf("%d plans, stale %q, trouble %q", plans, v.Stale, v.Trouble)
	}
	put(t, e.weather, nightCSV(-4)) // the same text again
	if v, _ = e.look(t); v.Stale != "" || v.Trouble != "" {
		t.Errorf("file back: stale %q, trouble %q", v.Stale, v.Trouble)
	}
	// Nothing kept, nothing there.
	empty := newEvening(t, nil)
	if err := os.Remove(empty.weather); err != nil {
		t.Fatal(err)
	}
	if v, plans := empty.look(t); v.Answer != nil || plans != 0 || !strings.Contains(v.Trouble, "cannot be read") || v.Busy {
		t.Errorf("no forecast at all: %d plans, trouble %q, busy %t", plans, v.Trouble, v.Busy)
	}
}

// A service sends a forecast, then the line goes down: the night goes on with the
// last good one.
func TestServerFetches(t *testing.T) {
	up := true
	service := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !up {
			http.Error(w, "down", http.StatusServiceUnavailable)
			return
		}
		w.Write([]byte(norwegianJSON()))
	}))
	defer service.Close()
	e := newEvening(t, func(s *settings) {
		s.weather, s.fetch, s.services = "", "norway", feed.Addresses{Norwegian: service.URL}
	})
	v, plans := e.look(t)
	if v.Answer == nil || v.Stale != "" || v.Trouble != "" || plans != 1 {
		t.Fatalf("%d plans, stale %q, trouble %q", plans, v.Stale, v.Trouble)
	}
	kept, err := e.ledger.LatestForecast(t.Context(), "norway")
	if err != nil || !json.Valid(kept.Raw) {
		t.Errorf("the ledger's copy: %v", err)
	}
	up = false
	e.clock = e.clock.Add(61 * time.Minute)
	e.client.Now = func() time.Time { return e.clock.Add(24 * 365 * time.Hour) } // no copy is fresh
	if v, plans = e.look(t); v.Answer == nil || !strings.Contains(v.Stale, "busy or broken") || plans != 2 {
		t.Errorf("service down: %d plans, stale %q, trouble %q", plans, v.Stale, v.Trouble)
	}
}

// norwegianJSON is an invented answer of two days in that service's form.
func norwegianJSON() string {
	type object = map[string]any
	var series []object
	from := time.Date(2031, 1, 14, 17, 0, 0, 0, time.UTC)
	for h := range 48 {
		series = append(series, object{"time": from.Add(time.Duration(h) * time.Hour).Format(time.RFC3339), "data": object{
			"instant":      object{"details": object{"air_temperature": float64((h+16)%24)/3 - 4, "wind_speed": 1.5, "cloud_area_fraction": 5.0, "dew_point_temperature": -9.0}},
			"next_1_hours": object{"details": object{"precipitation_amount": 0.0}},
		}})
	}
	units := object{"air_temperature": "celsius", "wind_speed": "m/s", "cloud_area_fraction": "%", "dew_point_temperature": "celsius", "precipitation_amount": "mm"}
	b, _ := json.Marshal(object{"type": "Feature", "geometry": object{"type": "Point", "coordinates": []float64{-82, 34, 250}}, // strings and numbers always marshal
		"properties": object{"meta": object{"updated_at": "2031-01-14T16:30:00Z", "units": units}, "timeseries": series}})
	return string(b)
}

// A job is ticked from a phone, the plan is made anew, the power fails: the tick is
// there.
func TestTicksSurvive(t *testing.T) {
	e := newEvening(t, nil)
	v, _ := e.look(t)
	if v.Answer == nil || len(v.Answer.Plan.Jobs) == 0 {
		t.Fatal("no plan with a job to tick")
	}
	j := v.Answer.Plan.Jobs[0]
	press := func(do string) int {
		form := url.Values{"do": {do}, "night": {v.Answer.Plan.Nights[0].Date}, "job": {j.ID}}
		r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "/tick", strings.NewReader(form.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		w := httptest.NewRecorder()
		web.New(e.server, web.Options{}).ServeHTTP(w, r)
		return w.Code
	}
	page := func() string {
		w := httptest.NewRecorder()
		web.New(e.server, web.Options{}).ServeHTTP(w, httptest.NewRequestWithContext(t.Context(), http.MethodGet, "/", nil))
		return strings.ReplaceAll(w.Body.String(), "\u00a0", " ")
	}
	if code := press("done"); code != http.StatusSeeOther || !strings.Contains(page(), "Done at noon.") {
		t.Fatalf("tick: %d", code)
	}
	e.clock = e.clock.Add(61 * time.Minute)
	if _, plans := e.look(t); plans != 2 || !strings.Contains(page(), "Done at noon.") {
		t.Errorf("after %d plans the tick is gone", plans)
	}
	e.open(t, nil) // after a power cut, before the first plan
	if v, err := e.Tonight(t.Context()); err != nil || len(v.Ticks) != 0 || v.TicksLost {
		t.Errorf("no plan yet: %+v, %v", v.Ticks, err)
	}
	if v, _ := e.look(t); len(v.Ticks) != 1 || !strings.Contains(page(), "Done at noon.") {
		t.Errorf("after a restart: %+v", v.Ticks)
	}
	if changed, err := e.Tick(t.Context(), web.Tick{Night: "2031-01-14", Job: j.ID, At: e.clock}, true); err != nil || changed {
		t.Errorf("ticked again: changed %t, %v", changed, err)
	}
	if code := press("undo"); code != http.StatusSeeOther || strings.Contains(page(), "Done at noon.") {
		t.Errorf("taken back: %d", code)
	}
	if changed, err := e.Tick(t.Context(), web.Tick{Night: "2031-01-14", Job: j.ID}, false); err != nil || changed {
		t.Errorf("taken back again: changed %t, %v", changed, err)
	}
}

// The whole program in one process: it answers, keeps a plan, is backed up while
// it runs, and ends when it is told to.
func TestServerRuns(t *testing.T) {
	e := newEvening(t, nil)
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	e.refresh(ctx)
	ended := make(chan error, 1)
	go func() { ended <- e.Run(ctx) }()
	get := func(path string) (string, int) {
		r, err := http.Get(e.Addresses()[0] + path)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		b, err := io.ReadAll(r.Body)
		if err != nil {
			t.Fatal(err)
		}
		return string(b), r.StatusCode
	}
	if body, code := get("healthz"); code != 200 || body != "ok\n" {
		t.Errorf("healthz: %d %q", code, body)
	}
	if body, code := get(""); code != 200 || !strings.Contains(body, "Bed 4") {
		t.Errorf("page: %d, %d bytes", code, len(body))
	}
	var p plan.Plan
	if body, code := get("plan.json"); code != 200 || json.Unmarshal([]byte(body), &p) != nil || len(p.Nights) == 0 {
		t.Errorf("plan.json: %d", code)
	}
	copied, back := filepath.Join(e.dir, "copy.db"), filepath.Join(e.dir, "back.db")
	out, errs, code := invoke(t, "backup", e.ledger.Path(), copied)
	if code != 0 || !strings.Contains(out, "1 version of the site file, 1 forecast and 1 plan") {
		t.Errorf("backup: %s%s", out, errs)
	}
	if out, errs, code = invoke(t, "restore", copied, back); code != 0 || !strings.Contains(out, "1 plan") {
		t.Errorf("restore: %s%s", out, errs)
	}
	if _, errs, code = invoke(t, "restore", copied, back); code != 1 || !strings.Contains(errs, "already there") {
		t.Errorf("restore over a ledger: exit %d, %s", code, errs)
	}
	stop()
	if err := <-ended; err != nil {
		t.Errorf("end: %v", err)
	}
}
