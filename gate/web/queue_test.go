package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"
)

// phones is a book that also takes deliveries, in memory.
type phones struct {
	*book
	came map[string]Answer
	all  []Delivery
	full bool // nothing more can be kept
}

func newPhones(t *testing.T) *phones { return &phones{book: evening(t), came: map[string]Answer{}} }

func (s *phones) Delivered(_ context.Context, id string) (Answer, bool, error) {
	a, ok := s.came[id]
	return a, ok, nil
}

func (s *phones) Deliver(ctx context.Context, d Delivery, e Effect, tell func(Met) Answer) (Answer, error) {
	if s.full {
		return Answer{}, errors.New("the drive is full: secret")
	}
	var m Met
	switch {
	case e.Tick != nil:
		if at := slices.IndexFunc(s.view.Ticks, func(k Tick) bool { return k.Job == e.Tick.Job }); at >= 0 {
			m.Stood = s.view.Ticks[at]
		}
		m.Changed, _ = s.Tick(ctx, *e.Tick, !e.Ends)
		if !m.Changed && !e.Ends {
			s.view.Also = append(s.view.Also, *e.Tick)
		}
	case e.Report != nil:
		m.Changed, _ = s.Report(ctx, *e.Report, !e.Ends)
	}
	a := tell(m)
	s.came[d.ID] = a
	s.all = append(s.all, d)
	return a, nil
}

func (s *phones) handler() http.Handler {
	return New(s, Options{News: NewNews(), Queue: s, Now: func() time.Time { return s.view.Now }})
}

func queueID(i int) string { return fmt.Sprintf("%032x", i) }

func deliverJSON(t *testing.T, h http.Handler, body string, header ...string) (int, answered, string) {
	t.Helper()
	r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "/queue", strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	var a answered
	if w.Header().Get("Content-Type") == "application/json" {
		if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil {
			t.Fatalf("%v: %s", err, w.Body)
		}
	}
	return w.Code, a, w.Body.String()
}

func asJSON(t *testing.T, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// An hour in the far house with a clock that is a day wrong: the tick counts from when
// it was pressed, both clocks are noted, a second person's tick is kept and shown, and
// what is sent again is answered as before.
func TestQueue(t *testing.T) {
	s := newPhones(t)
	h := s.handler()
	j := s.opening(t)
	night := jobNight(s.view, j)
	wrong := s.view.Now.Add(-24 * time.Hour) // what the phone's clock says now
	tick := func(id int, ago time.Duration, do string) entry {
		return entry{ID: queueID(id), Kind: "tick", At: wrong.Add(-ago), Body: map[string]string{"do": do, "night": night, "job": j.ID}}
	}
	send := func(who string, entries ...entry) []answerTo {
		t.Helper()
		code, a, body := deliverJSON(t, h, asJSON(t, queued{Sent: wrong, Entries: entries}), "Cookie", "who="+who, "Sec-Fetch-Site", "same-origin")
		if code != 200 || len(a.Answers) != len(entries) {
			t.Fatalf("%d %s", code, body)
		}
		return a.Answers
	}
	report := entry{ID: queueID(2), Kind: "say", At: wrong.Add(-70 * time.Minute), Body: map[string]string{"do": "begun", "night": night, "job": j.ID}}
	first := send("Ana", report, tick(1, time.Hour, "done"))
	if first[0].State != kept || first[1].State != kept || first[1].ID != queueID(1) {
		t.Fatalf("%+v", first)
	}
	k := s.view.Ticks[0]
	if k.Who != "Ana" || !k.At.Equal(s.view.Now.Add(-time.Hour)) || k.Minutes != 10 {
		t.Errorf("the tick: %+v, at %s", k, s.view.Now.Sub(k.At))
	}
	if d := s.all[1]; !d.At.Equal(wrong.Add(-time.Hour)) || !d.Sent.Equal(wrong) || !d.Received.Equal(s.view.Now) || !d.Pressed.Equal(k.At) {
		t.Errorf("the clocks: %+v", d)
	}
	if again := send("Ana", report, tick(1, time.Hour, "done")); !slices.Equal(again, first) || len(s.all) != 2 {
		t.Errorf("sent again: %+v, %d kept", again, len(s.all))
	}
	if a := send("Ben", tick(3, 30*time.Minute, "done")); a[0].State != already || !strings.Contains(a[0].Words, "ticked already, by Ana") {
		t.Errorf("a second person: %+v", a)
	}
	page := words(parse(t, get(t, h, "/").Body.String()))
	for _, want := range []string{"Done at 1:20 p.m., ticked by Ana.", "Ben ticked it too, at 1:50 p.m."} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
}

// What is not right is refused with its reason, by entry, and the others are taken.
func TestQueueRefusesByEntry(t *testing.T) {
	s := newPhones(t)
	h := s.handler()
	j := s.opening(t)
	night := jobNight(s.view, j)
	good := map[string]string{"do": "done", "night": night, "job": j.ID}
	entries := []entry{
		{ID: queueID(1), Kind: "tick", Body: map[string]string{"do": "done", "night": night, "job": "gold"}},
		{ID: queueID(2), Kind: "tick", Body: map[string]string{"do": "maybe", "night": night, "job": j.ID}},
		{ID: queueID(3), Kind: "song", Body: good},
		{ID: queueID(4), Kind: "", Body: nil},
		{ID: queueID(5), Kind: "tick", Body: map[string]string{"do": strings.Repeat("x", mostField+1)}},
		{ID: queueID(6), Kind: "say", Body: map[string]string{"do": "torn 99", "night": night, "job": j.ID}},
		{ID: queueID(7), Kind: "tick", At: time.Date(1, 1, 1, 0, 0, 0, 0, time.UTC), Body: good},
		{ID: queueID(8), Kind: "tick", Body: map[string]string{"do": "done", "night": night, "job": "old name", "space": j.Space, "what": j.What}},
	}
	code, a, body := deliverJSON(t, h, asJSON(t, queued{Entries: entries}))
	if code != 200 || len(a.Answers) != len(entries) {
		t.Fatalf("%d %s", code, body)
	}
	for i, x := range a.Answers {
		want := map[bool]string{true: refused, false: kept}[i < 6]
		if i == 7 {
			want = already // the same work under its new name
		}
		if x.State != want || (want == refused) != (x.Words != "" && x.State == refused) {
			t.Errorf("entry %d: %+v, want %s", i, x, want)
		}
	}
	if len(s.view.Ticks) != 1 || len(s.all) != len(entries) {
		t.Errorf("%d ticks, %d of %d written down", len(s.view.Ticks), len(s.all), len(entries))
	}
}

// What no page of ours sends changes nothing, and an outage of the ledger leaves all on
// the phone.
func TestQueueRefused(t *testing.T) {
	s := newPhones(t)
	h := s.handler()
	one := asJSON(t, queued{Entries: []entry{{ID: queueID(1), Kind: "tick"}}})
	many := asJSON(t, queued{Entries: slices.Repeat([]entry{{ID: queueID(1), Kind: "tick"}}, mostEntries+1)})
	for name, c := range map[string]struct {
		body   string
		header []string
		status int
	}{
		"no JSON":        {"hello", nil, 400},
		"empty":          {"", nil, 400},
		"none":           {`{"entries":[]}`, nil, 400},
		"too many":       {many, nil, 400},
		"two":            {one + one, nil, 400},
		"odd id":         {strings.Replace(one, queueID(1), strings.Repeat("G", 32), 1), nil, 400},
		"unknown field":  {`{"x":1}`, nil, 400},
		"too long":       {`{"sent":"` + strings.Repeat("x", mostQueued) + `"}`, nil, 400},
		"a form":         {one, []string{"Content-Type", "application/x-www-form-urlencoded"}, 415},
		"from elsewhere": {one, []string{"Sec-Fetch-Site", "cross-site"}, 403},
		"other origin":   {one, []string{"Origin", "http://other.example"}, 403},
	} {
		if code, _, body := deliverJSON(t, h, c.body, c.header...); code != c.status || len(s.all) != 0 {
			t.Errorf("%s: %d %s", name, code, body)
		}
	}
	s.full = true
	if code, a, body := deliverJSON(t, h, one); code != 503 || len(a.Answers) != 0 || strings.Contains(body, "secret") {
		t.Errorf("a full drive: %d %s", code, body)
	}
	if w := get(t, New(s, Options{News: NewNews()}), "/queue"); w.Code != 404 && w.Code != 405 {
		t.Errorf("no queue: %d", w.Code)
	}
}

// Nobody sends who has not joined.
func TestQueueAsksWhoOneIs(t *testing.T) {
	j := newJoined(t)
	r, err := phone(t).Post(j.URL+"/queue", "application/json", strings.NewReader("{}"))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	if r.StatusCode != http.StatusUnauthorized {
		t.Error(r.StatusCode)
	}
}

// The phone's clock may be wrong, not how long something waited.
func TestPressed(t *testing.T) {
	now := time.Date(2031, 1, 14, 20, 0, 0, 0, time.UTC) // invented
	for name, c := range map[string]struct {
		at, sent time.Duration // from now
		want     time.Duration
	}{
		"right":           {-time.Hour, 0, -time.Hour},
		"a day behind":    {-25 * time.Hour, -24 * time.Hour, -time.Hour},
		"a day ahead":     {23 * time.Hour, 24 * time.Hour, -time.Hour},
		"set back since":  {time.Hour, 0, 0},
		"years in queue":  {-9000 * time.Hour, 0, 0},
		"no clock at all": {0, 0, 0},
	} {
		if got := pressed(now.Add(c.at), now.Add(c.sent), now); !got.Equal(now.Add(c.want)) {
			t.Errorf("%s: %s, want %s", name, got.Sub(now), c.want)
		}
	}
	if got := pressed(time.Time{}, now, now); !got.Equal(now) {
		t.Error("the zero time")
	}
}

// Whatever comes is answered by a form of ours, and what is answered was in it.
func FuzzQueue(f *testing.F) {
	seeds := []string{
		`{"sent":"2031-01-14T20:00:00Z","entries":[{"id":"` + queueID(1) + `","kind":"tick","at":"2031-01-14T19:00:00Z","body":{"do":"done","night":"2031-01-14","job":"1"}}]}`,
		`{"entries":[{"id":"` + queueID(2) + `","kind":"say","at":"9999-12-31T23:59:59Z","body":{"do":"late 60"}}]}`,
		`{"entries":[{"id":"` + queueID(3) + `","kind":"\ud800","body":{"a":"\u0000"}}]}`,
		`{"sent":"0000-01-01T00:00:00Z","entries":[{"id":"` + queueID(4) + `"}]}`,
		`{"entries":[{"id":"x"}]}`, `{"entries":null}`, `[]`, `{`, ``, "\xff",
	}
	if len(seeds) != 10 {
		f.Fatal(len(seeds))
	}
	for _, s := range seeds {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		q, err := readQueue(strings.NewReader(string(b)))
		if (err != nil) != (len(q.Entries) == 0) {
			t.Fatalf("%d entries, %v", len(q.Entries), err)
		}
		if err != nil {
			if !errors.Is(err, errMalformed) {
				t.Fatal(err)
			}
			return
		}
		now := time.Date(2031, 1, 14, 20, 0, 0, 0, time.UTC)
		s := &phones{book: &book{view: View{Now: now}}, came: map[string]Answer{}}
		code, a, _ := deliverJSON(t, New(s, Options{News: NewNews(), Queue: s, Now: func() time.Time { return now }}), string(b))
		if code != 200 || len(a.Answers) != len(q.Entries) {
			t.Fatalf("%d, %d answers to %d", code, len(a.Answers), len(q.Entries))
		}
		for _, d := range s.all {
			if d.Pressed.After(d.Received) || d.At.Year() < 1970 || d.At.Year() > 9999 || d.Kind == "" || !idForm.MatchString(d.ID) {
				t.Fatalf("%+v", d)
			}
		}
	})
}
