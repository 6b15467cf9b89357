package main

import (
	"context"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/gate/web"
)

// The page of a space asks the simulation, with the very weather of the plan that is shown.
func TestServerTriesASpace(t *testing.T) {
	e := newEvening(t, nil)
	var no *plan.TrialError
	if _, err := e.Trying(t.Context(), "Bed 4"); !errors.As(err, &no) {
		t.Errorf("before the first plan: %v", err)
	}
	v, _ := e.look(t)
	if v.Answer == nil {
		t.Fatal("no plan")
	}
	pages := httptest.NewServer(web.New(e, web.Options{Trier: e}))
	defer pages.Close()
	for path, want := range map[string][2]any{
		"/space/Bed%204":                       {200, `id="try"`},
		"/space/Bed%204?sky=overcast":          {200, `aria-label="Night strip`},
		"/space/Bed%204?heat=8":                {422, "Nothing heats this space"},
		"/space/Bed%204?sky=overcast&warmer=x": {400, "can be tried"},
		"/space/Bed%207":                       {404, "no space of that name"},
	} {
		r, err := http.Get(pages.URL + path)
		if err != nil {
			t.Fatal(err)
		}
		body, err := io.ReadAll(r.Body)
		_ = r.Body.Close()
		if err != nil || r.StatusCode != want[0] || !strings.Contains(string(body), want[1].(string)) {
			t.Errorf("%s: %d, %v", path, r.StatusCode, err)
		}
	}
	y, err := e.Trying(t.Context(), "Bed 4")
	if err != nil {
		t.Fatal(err)
	}
	warmer := y.Chosen
	warmer.WarmerK = 2
	was, is, err := e.Try(t.Context(), y, warmer)
	if err != nil || is.Options[1].Cells[0].Nights[0].Min[0].P50 < was.Options[1].Cells[0].Nights[0].Min[0].P50+0.5 {
		t.Errorf("2 K warmer: %v", err)
	}
	if again, _, err := e.Try(t.Context(), y, warmer); err != nil || again != was {
		t.Errorf("what was chosen is run anew each time: %v", err)
	}
	gone, stop := context.WithCancel(t.Context())
	stop()
	if _, _, err := e.Try(gone, y, warmer); !errors.Is(err, context.Canceled) {
		t.Errorf("nobody waits any more: %v", err)
	}
}
