package web

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/plan"
	"golang.org/x/net/html"
)

// cloth is a job that lays cloth, and its list entry on the page.
func (b *book) cloth(t *testing.T) plan.Job {
	t.Helper()
	at := slices.IndexFunc(b.view.Answer.Plan.Jobs, func(j plan.Job) bool { return plan.LaysCloth(j) && len(j.Takes) > 0 && j.Labour.Of != "" })
	if at < 0 {
		t.Fatal("no job lays cloth")
	}
	return b.view.Answer.Plan.Jobs[at]
}

// buttons are the forms of the page that hold a button of that value, as they would be sent.
func buttons(doc *html.Node, job, do string) []url.Values {
	var out []url.Values
	for _, f := range find(doc, "form") {
		form := url.Values{}
		for _, e := range find(f, "input") {
			name, _ := attr(e, "name")
			value, _ := attr(e, "value")
			form.Set(name, value)
		}
		if job != "" && form.Get("job") != job {
			continue
		}
		for _, e := range find(f, "button") {
			if value, _ := attr(e, "value"); value == do {
				name, _ := attr(e, "name")
				form.Set(name, value)
				out = append(out, form)
			}
		}
	}
	return out
}

// Pressed as they stand on the page: a job is begun and done, and its minutes are kept; it is late, skipped, torn; a
// person is missing; and each is taken back.
func TestSayFromThePage(t *testing.T) {
	b := evening(t)
	h := New(b, Options{})
	j := b.cloth(t)
	send := func(path, job, do string) string {
		t.Helper()
		forms := buttons(parse(t, get(t, h, "/").Body.String()), job, do)
		if len(forms) == 0 {
			t.Fatalf("no button says %q", do)
		}
		w := press(t, h, path, forms[0], "Sec-Fetch-Site", "same-origin", "Cookie", "who=Ana")
		if w.Code != http.StatusSeeOther {
			t.Fatalf("%s: %d %s", do, w.Code, w.Body)
		}
		return get(t, h, "/").Body.String()
	}
	began := b.view.Now
	if s := send("/say", j.ID, "begun"); !strings.Contains(s, "Begun at") || len(buttons(parse(t, s), j.ID, "begun")) != 0 {
		t.Error("begun is not shown, or may be said twice")
	}
	b.view.Now = began.Add(22 * time.Minute)
	send("/tick", j.ID, "done")
	if k := b.view.Ticks[0]; k.Minutes != 22 || k.People != len(j.People) || k.Labour != j.Labour || k.Who != "Ana" {
		t.Errorf("the tick: %+v", k)
	}
	send("/tick", j.ID, "undo")
	if s := send("/say", "", "undo begun"); strings.Contains(s, "Begun at") || len(b.view.Reports) != 0 {
		t.Errorf("begun is taken back: %+v", b.view.Reports)
	}

	send("/say", j.ID, "late 60")
	if r := b.view.Reports[0]; r.Kind != late || r.Until.Before(b.view.Now.Add(time.Hour)) || r.Who != "Ana" {
		t.Errorf("late: %+v", r)
	}
	send("/say", j.ID, "skipped")
	send("/say", j.ID, "torn 0")
	if r := b.view.Reports[2]; r.Item != j.Takes[0].Item {
		t.Errorf("torn: %+v", r)
	}
	who := b.view.hands()[0]
	if w := press(t, h, "/say", url.Values{"do": {"missing"}, "person": {who}}); w.Code != http.StatusSeeOther {
		t.Fatal(w.Code)
	}
	page := get(t, h, "/").Body.String()
	for _, want := range []string{"Late, not before", "Skipped, said at", "is torn, said at", " is not here, said at"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	for _, kind := range []string{late, skipped, torn, missing} {
		send("/say", "", "undo "+kind)
	}
	if len(b.view.Reports) != 0 || strings.Contains(get(t, h, "/").Body.String(), `id="said"`) {
		t.Errorf("after all is taken back: %+v", b.view.Reports)
	}
}

// Minutes may be typed instead; what cannot be is refused and changes nothing.
func TestTypedMinutes(t *testing.T) {
	b := evening(t)
	h := New(b, Options{})
	j := b.cloth(t)
	form := tickForm("done", jobNight(b.view, j), j.ID)
	for _, bad := range [][2]string{{"minutes", "-3"}, {"minutes", "soon"}, {"minutes", "1e9"}, {"people", "0"}, {"people", "NaN"}, {"minutes", "Inf"}} {
		f := url.Values{bad[0]: {bad[1]}}
		for k, x := range form {
			f[k] = x
		}
		if w := press(t, h, "/tick", f); w.Code != http.StatusBadRequest || len(b.view.Ticks) != 0 || !strings.Contains(w.Body.String(), "Nothing was changed") {
			t.Errorf("%s %q: %d, %d ticks", bad[0], bad[1], w.Code, len(b.view.Ticks))
		}
	}
	form.Set("minutes", " 12,5 ")
	form.Set("people", "3")
	if w := press(t, h, "/tick", form); w.Code != http.StatusSeeOther || b.view.Ticks[0].Minutes != 12.5 || b.view.Ticks[0].People != 3 {
		t.Errorf("%d, %+v", w.Code, b.view.Ticks)
	}
}

// What the form cannot mean is refused, and a ledger that cannot be written is said.
func TestSayRefused(t *testing.T) {
	b := evening(t)
	h := New(b, Options{})
	j := b.cloth(t)
	night := jobNight(b.view, j)
	for _, c := range []struct {
		form url.Values
		want int
	}{
		{tickForm("lost", night, j.ID), http.StatusBadRequest},
		{tickForm("late", night, j.ID), http.StatusBadRequest},
		{tickForm("late -5", night, j.ID), http.StatusBadRequest},
		{tickForm("late 100000", night, j.ID), http.StatusBadRequest},
		{tickForm("torn 99", night, j.ID), http.StatusBadRequest},
		{tickForm("torn -1", night, j.ID), http.StatusBadRequest},
		{tickForm("begun", night, "no such job"), http.StatusNotFound},
		{tickForm("begun", "tonight", j.ID), http.StatusBadRequest},
		{tickForm("undo begun", night, j.ID), http.StatusNotFound},
		{url.Values{"do": {"missing"}, "person": {"nobody"}}, http.StatusNotFound},
	} {
		if w := press(t, h, "/say", c.form); w.Code != c.want || len(b.view.Reports) != 0 {
			t.Errorf("%v: %d, want %d; %+v", c.form, w.Code, c.want, b.view.Reports)
		}
	}
	if w := press(t, h, "/say", tickForm("begun", night, j.ID), "Sec-Fetch-Site", "cross-site"); w.Code != http.StatusForbidden {
		t.Errorf("from another site: %d", w.Code)
	}
	b.err = errors.New("disk full")
	if w := press(t, h, "/say", tickForm("begun", night, j.ID)); w.Code != http.StatusInternalServerError || !strings.Contains(w.Body.String(), "write it on paper") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}

// Whatever a phone sends to /say and /tick: no crash, no report about a job that the plan does not have, and no
// minutes that cannot be.
func FuzzForms(f *testing.F) {
	seeds := []string{
		"do=begun&night=2031-01-14&job=x", "do=late+60", "do=torn+0&job=", "do=undo+late&night=&about=&space=", "do=missing&person=Ana",
		"do=done&minutes=1e308&people=-1", "do=%00&night=%ff", "do=done&minutes=NaN",
	}
	for _, s := range seeds {
		f.Add(s)
	}
	if len(seeds) != 8 {
		f.Fatalf("%d seeds, want 8", len(seeds))
	}
	view := stories(f)["heated"].view
	f.Fuzz(func(t *testing.T, body string) {
		b := &book{view: view}
		b.view.Ticks, b.view.Reports = nil, nil
		h := New(b, Options{})
		form, _ := url.ParseQuery(body)
		j := b.cloth(t)
		for _, path := range []string{"/say", "/tick"} {
			for _, full := range []bool{false, true} {
				if full {
					form.Set("night", jobNight(b.view, j))
					form.Set("job", j.ID)
				}
				if w := press(t, h, path, form); w.Code >= 500 || w.Code == http.StatusOK {
					t.Fatalf("%s %q: %d", path, form, w.Code)
				}
			}
		}
		for _, r := range b.view.Reports {
			if r.Kind != missing && r.About != j.ID {
				t.Fatalf("%+v", r)
			}
		}
		for _, k := range b.view.Ticks {
			if k.Minutes < 0 || k.Minutes > 24*60 || k.People < 0 || k.People > 200 {
				t.Fatalf("%+v", k)
			}
		}
	})
}
