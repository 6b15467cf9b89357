package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/gate/web"
)

// pocket is a phone with its queue, as the script of the pages keeps it, and with a
// clock that is wrong by some hours.
type pocket struct {
	who   string
	wrong time.Duration
	queue []waiting
	told  map[string]string // what was answered, by id
}

type waiting struct {
	ID   string            `json:"id"`
	Kind string            `json:"kind"`
	At   time.Time         `json:"at"`
	Body map[string]string `json:"body"`
}

// press is what somebody did, and when it really was.
type press struct {
	id, who string
	at      time.Time
}

// send tries to deliver the oldest few. The link fails before the program has them, or
// after it has kept them and before the phone hears of it.
func (p *pocket) send(t *rapid.T, h http.Handler, now time.Time, before, after bool) {
	if len(p.queue) == 0 || before {
		return
	}
	part := p.queue[:min(len(p.queue), 3)]
	b, err := json.Marshal(map[string]any{"sent": now.Add(p.wrong), "entries": part})
	if err != nil {
		t.Fatal(err)
	}
	r := httptest.NewRequest(http.MethodPost, "/queue", bytes.NewReader(b))
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Cookie", "who="+p.who)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	var got struct {
		Answers []struct{ ID, State, Words string }
	}
	if err := json.Unmarshal(w.Body.Bytes(), &got); err != nil || len(got.Answers) != len(part) {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	for i, a := range got.Answers {
		if a.ID != part[i].ID || a.State == "refused" {
			t.Fatalf("answer %+v to %+v", a, part[i])
		}
		if was, ok := p.told[a.ID]; ok && was != a.State+a.Words {
			t.Fatalf("%s was answered %q, then %q", a.ID, was, a.State+a.Words)
		}
		p.told[a.ID] = a.State + a.Words // what was said once, heard or not
	}
	if !after {
		p.queue = p.queue[len(part):]
	}
}

// An evening in the far houses, in virtual time: the link drops what is sent, or the
// answer to it. Everything that was pressed is kept once, in the order in which each
// phone pressed it, with the moment it was really pressed.
func TestLossyLink(t *testing.T) {
	e := newEvening(t, nil)
	v, _ := e.look(t)
	at := slices.IndexFunc(v.Answer.Plan.Jobs, func(j plan.Job) bool { return plan.LaysCloth(j) && len(j.Takes) > 0 })
	if at < 0 {
		t.Fatal("no job lays cloth")
	}
	job := v.Answer.Plan.Jobs[at]
	night := v.Answer.Plan.Nights[0].Date
	h := e.pages()
	made := 0
	evening := e.clock
	rapid.Check(t, func(t *rapid.T) {
		e.clock = evening
		past, err := e.ledger.Deliveries(context.Background(), 1<<20)
		if err != nil {
			t.Fatal(err)
		}
		torn := func() (n int) {
			v, err := e.Tonight(context.Background())
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range v.Reports {
				if r.Kind == "torn" {
					n++
				}
			}
			return n
		}
		tornBefore, tornPressed := torn(), 0
		phones := []*pocket{
			{who: "Ana", told: map[string]string{}, wrong: time.Duration(rapid.IntRange(-40, 40).Draw(t, "clock of Ana")) * time.Hour},
			{who: "Ben", told: map[string]string{}, wrong: time.Duration(rapid.IntRange(-40, 40).Draw(t, "clock of Ben")) * time.Minute},
		}
		var pressed []press
		for range rapid.IntRange(1, 12).Draw(t, "steps") {
			p := phones[rapid.IntRange(0, 1).Draw(t, "phone")]
			if rapid.Bool().Draw(t, "press") {
				made++
				does := rapid.SampledFrom([]string{"done", "undo", "torn 0", "begun"}).Draw(t, "does")
				kind := map[bool]string{true: "tick", false: "say"}[does == "done" || does == "undo"]
				if does == "torn 0" {
					tornPressed++
				}
				id := fmt.Sprintf("%032x", made)
				p.queue = append(p.queue, waiting{id, kind, e.clock.Add(p.wrong), map[string]string{"do": does, "night": night, "job": job.ID}})
				pressed = append(pressed, press{id, p.who, e.clock})
			} else {
				p.send(t, h, e.clock, rapid.Bool().Draw(t, "lost on the way"), rapid.Bool().Draw(t, "answer lost"))
			}
			e.clock = e.clock.Add(time.Duration(rapid.IntRange(0, 90).Draw(t, "seconds")) * time.Second)
		}
		for _, p := range phones { // the walk back to the house
			for len(p.queue) > 0 {
				p.send(t, h, e.clock, false, false)
			}
		}
		all, err := e.ledger.Deliveries(context.Background(), 1<<20)
		if err != nil {
			t.Fatal(err)
		}
		came := all[len(past):]
		if len(came) != len(pressed) {
			t.Fatalf("%d presses, %d kept", len(pressed), len(came))
		}
		for _, who := range []string{"Ana", "Ben"} {
			k := 0
			for _, d := range came {
				if d.Who != who {
					continue
				}
				for pressed[k].who != who {
					k++
				}
				if d.ID != pressed[k].id || !d.Pressed.Equal(pressed[k].at) {
					t.Fatalf("%s: %s pressed at %s stands where %s of %s belongs", who, d.ID, d.Pressed, pressed[k].id, pressed[k].at)
				}
				k++
			}
		}
		if got := torn() - tornBefore; got != tornPressed {
			t.Fatalf("%d pieces said to be torn, %d counted", tornPressed, got)
		}
	})
	t.Logf("%d presses", made)
}

// Every change tells the open pages, once it can be read.
func TestNewsOfEverything(t *testing.T) {
	e := newEvening(t, nil)
	was := e.news.Version()
	fresh := func(what string, want bool) {
		t.Helper()
		if now := e.news.Version(); (now != was) != want {
			t.Errorf("%s: news %t, want %t", what, now != was, want)
		}
		was = e.news.Version()
	}
	v, _ := e.look(t)
	fresh("a plan", true)
	e.look(t)
	fresh("a look without news", false)
	j := v.Answer.Plan.Jobs[0]
	tick := web.Tick{Night: v.Answer.Plan.Nights[0].Date, Job: j.ID, Space: j.Space, What: j.What, Who: "Ana", At: e.clock}
	for _, c := range []struct {
		who  string
		done bool
		want bool
	}{{"Ana", true, true}, {"Ben", true, true}, {"Ana", false, true}, {"Ana", false, false}} {
		tick.Who = c.who
		if _, err := e.Tick(context.Background(), tick, c.done); err != nil {
			t.Fatal(err)
		}
		fresh(fmt.Sprintf("%+v", c), c.want)
	}
	if v, err := e.Tonight(context.Background()); err != nil || len(v.Also) != 1 || v.Also[0].Who != "Ben" {
		t.Errorf("both are kept: %+v, %v", v.Also, err)
	}
}
