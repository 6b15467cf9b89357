package web

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// The button stands on the page while a plan is made and somebody can end it; the page
// says how far it has got and what a first look is worth.
func TestStopButton(t *testing.T) {
	usual := stories(t)["newer plan being made"]
	usual.view.Making = "a first look at every space: 6 of 18 spaces"
	stopped := 0
	h := New(usual, Options{Stop: func() { stopped++ }})
	page := get(t, h, "/").Body.String()
	for _, want := range []string{`action="/stop"`, "6 of 18 spaces"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page has no %q", want)
		}
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest(http.MethodPost, "/stop", nil))
	if w.Code != http.StatusSeeOther || stopped != 1 {
		t.Errorf("the button answers %d and stopped %d", w.Code, stopped)
	}
	if page := get(t, New(usual, Options{}), "/").Body.String(); strings.Contains(page, "/stop") {
		t.Error("a button that nobody answers")
	}
	usual.view.Answer.First = 4
	if page := get(t, New(usual, Options{}), "/").Body.String(); !strings.Contains(page, "This is a first look, made from 4 ways") {
		t.Error("the first look is not said to be one")
	}
	usual.view.Busy = false
	if page := get(t, New(usual, Options{}), "/").Body.String(); !strings.Contains(page, "no better plan is being worked out") {
		t.Error("a first look that was stopped is not said to be one")
	}
}
