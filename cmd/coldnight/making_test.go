package main

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/gate/web"
)

// While a plan is made the page says how far it has got; the button ends it, and the
// plan that was there stays.
func TestStoppedPlan(t *testing.T) {
	e := newEvening(t, func(s *settings) { s.draws = 60 })
	over := make(chan struct{})
	go func() { e.refresh(t.Context()); close(over) }()
	h := web.New(e, web.Options{Stop: e.halt})
	for seen := false; !seen; {
		select {
		case <-over:
			t.Fatal("the plan was whole before anybody could stop it")
		case <-time.After(time.Millisecond):
		}
		v, err := e.Tonight(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		seen = v.Busy && v.Making != ""
	}
	press := func() *httptest.ResponseRecorder {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequestWithContext(t.Context(), http.MethodPost, "/stop", nil))
		return w
	}
	if w := press(); w.Code != http.StatusSeeOther {
		t.Errorf("the button answers %d", w.Code)
	}
	<-over
	v, err := e.Tonight(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if v.Busy || v.Making != "" || !strings.Contains(v.Trouble, "stopped") || v.Answer != nil && v.Answer.First == 0 {
		t.Errorf("after the button: busy %v, making %q, trouble %q, plan %v", v.Busy, v.Making, v.Trouble, v.Answer != nil)
	}
	press() // nothing to stop any more
}

// A first look is shown where there is no whole plan, and never in place of one.
func TestFirstLookIsShown(t *testing.T) {
	e := newEvening(t, nil)
	first := plan.Stage{Doing: "a first plan", First: &plan.Answer{First: 4}}
	e.tell(t.Context(), e.nursery.site(), first)
	if v, _ := e.Tonight(t.Context()); v.Answer != first.First {
		t.Error("the first look is not shown")
	}
	whole := &plan.Answer{}
	e.show(func(v *web.View) { v.Answer = whole })
	e.tell(t.Context(), e.nursery.site(), first)
	if v, _ := e.Tonight(t.Context()); v.Answer != whole {
		t.Error("the first look is shown in place of a whole plan")
	}
}
