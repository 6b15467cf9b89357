package web

import (
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/plan"
)

// book is a Source that remembers ticks.
type book struct {
	view View
	err  error
}

func (b *book) Tonight(context.Context) (View, error) { return b.view, nil }

func (b *book) Tick(_ context.Context, t Tick, done bool) (bool, error) {
	at := slices.IndexFunc(b.view.Ticks, func(k Tick) bool { return k.Night == t.Night && k.Job == t.Job })
	switch {
	case b.err != nil:
		return false, b.err
	case done == (at >= 0):
		return false, nil
	case done:
		b.view.Ticks = append(b.view.Ticks, t)
	default:
		b.view.Ticks = slices.Delete(b.view.Ticks, at, at+1)
	}
	return true, nil
}

func (b *book) Report(_ context.Context, r Report, stands bool) (bool, error) {
	at := slices.IndexFunc(b.view.Reports, func(o Report) bool { return o.same(&r) })
	switch {
	case b.err != nil:
		return false, b.err
	case stands == (at >= 0):
		return false, nil
	case stands:
		b.view.Reports = append(b.view.Reports, r)
	default:
		b.view.Reports = slices.Delete(b.view.Reports, at, at+1)
	}
	return true, nil
}

// evening is a book of the afternoon before a freeze, with heat.
func evening(t *testing.T) *book { return &book{view: stories(t)["heated"].view} }

// opening is the job of the air openings.
func (b *book) opening(t *testing.T) plan.Job {
	t.Helper()
	at := slices.IndexFunc(b.view.Answer.Plan.Jobs, func(j plan.Job) bool { return strings.HasPrefix(j.What, "cut ") })
	if at < 0 {
		t.Fatal("no job cuts an opening")
	}
	return b.view.Answer.Plan.Jobs[at]
}

func press(t *testing.T, h http.Handler, path string, form url.Values, header ...string) *httptest.ResponseRecorder {
	t.Helper()
	r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func tickForm(do, night, job string) url.Values {
	return url.Values{"do": {do}, "night": {night}, "job": {job}}
}

// The button on the page, pressed as it stands there: the job reads as done with its
// hour, the words leave the door, and both come back when the tick is taken back.
func TestTickFromThePage(t *testing.T) {
	b := evening(t)
	h := New(b, Options{})
	for round, c := range [...]struct {
		button string
		doors  int
		told   string
		says   string
	}{
		{"done", 1, "done", "Done at 2:20 p.m., ticked by Ana Müller."},
		{"undo", 0, "undo", "Until the job of its air openings is ticked as done."},
		{"done", 1, "done", "Keep both open while it burns."},
	} {
		doc := parse(t, get(t, h, "/").Body.String())
		if n := len(find(doc, "section.door")); n != c.doors {
			t.Errorf("press %d: %d doors before it, want %d", round, n, c.doors)
		}
		form := url.Values{}
		for _, f := range find(doc, "form.tick") {
			if in := find(f, "input[name=job]"); len(in) == 1 {
				if id, _ := attr(in[0], "value"); id != b.opening(t).ID {
					continue
				}
			}
			for _, e := range append(find(f, "input"), find(f, "button")...) {
				name, _ := attr(e, "name")
				value, _ := attr(e, "value")
				form.Set(name, value)
			}
		}
		if form.Get("do") != c.button {
			t.Fatalf("press %d: the button says %q, want %q", round, form.Get("do"), c.button)
		}
		w := press(t, h, "/tick", form, "Sec-Fetch-Site", "same-origin", "Cookie", "who=Ana+M%C3%BCller")
		to := w.Header().Get("Location")
		if w.Code != http.StatusSeeOther || !strings.HasPrefix(to, "/?") || !strings.Contains(to, "told="+c.told+"#") {
			t.Fatalf("press %d: %d to %q", round, w.Code, to)
		}
		path, anchor, _ := strings.Cut(to, "#")
		after := parse(t, get(t, h, path).Body.String())
		if n := find(after, "#"+anchor); len(n) != 1 || !strings.Contains(words(n[0]), "Cut two air openings") {
			t.Errorf("press %d: leads to %q, which is not the job", round, anchor)
		}
		if !strings.Contains(words(after), c.says) {
			t.Errorf("press %d: does not say %q", round, c.says)
		}
	}
}

// What cannot be ticked says so, and changes nothing.
func TestTickRefused(t *testing.T) {
	b := evening(t)
	h := New(b, Options{})
	j := b.opening(t)
	night := jobNight(b.view, j)
	same := []string{"Sec-Fetch-Site", "same-origin"}
	for name, c := range map[string]struct {
		form   url.Values
		header []string
		status int
		says   string
	}{
		"unknown job":       {tickForm("done", night, "gold"), same, 404, "no such job now"},
		"no job":            {tickForm("done", night, ""), same, 404, "no such job now"},
		"yesterday's":       {tickForm("done", "2031-01-13", j.ID), same, 410, "was for the night of Monday 13 January, which is over"},
		"another night":     {tickForm("done", "2031-01-15", j.ID), same, 404, "no such job now"},
		"no night":          {tickForm("done", "", j.ID), same, 400, "names no night"},
		"neither":           {tickForm("maybe", night, j.ID), same, 400, "done or not done"},
		"too long":          {tickForm("done", night, strings.Repeat("x", 9000)), same, 400, "could not be read"},
		"from elsewhere":    {tickForm("done", night, j.ID), []string{"Sec-Fetch-Site", "cross-site"}, 403, "another site"},
		"from other origin": {tickForm("done", night, j.ID), []string{"Origin", "http://other.example"}, 403, "another site"},
	} {
		w := press(t, h, "/tick", c.form, c.header...)
		if body := words(parse(t, w.Body.String())); w.Code != c.status || !strings.Contains(body, c.says) {
			t.Errorf("%s: %d, %s", name, w.Code, body)
		}
	}
	if w := get(t, h, "/tick"); w.Code != 405 && w.Code != 404 {
		t.Errorf("asked for instead of sent: %d", w.Code)
	}
	if len(b.view.Ticks) != 0 {
		t.Errorf("ticks: %+v", b.view.Ticks)
	}
	b.err = errors.New("the drive is full: /var/lib/secret")
	if w := press(t, h, "/tick", tickForm("done", night, j.ID), same...); w.Code != 500 || !strings.Contains(w.Body.String(), "write it on paper") || strings.Contains(w.Body.String(), "secret") {
		t.Errorf("a full drive: %d %s", w.Code, w.Body)
	}
	b.view.Answer = nil
	if w := press(t, h, "/tick", tickForm("done", night, j.ID), same...); w.Code != 404 || !strings.Contains(w.Body.String(), "no plan yet") {
		t.Errorf("no plan: %d", w.Code)
	}
}

// A second press says so, and the first hour stands.
func TestTickTwice(t *testing.T) {
	b := evening(t)
	h := New(b, Options{})
	j := b.opening(t)
	send := func(do string) string {
		w := press(t, h, "/tick", tickForm(do, jobNight(b.view, j), j.ID), "Sec-Fetch-Site", "same-origin")
		path, _, _ := strings.Cut(w.Header().Get("Location"), "#")
		return words(parse(t, get(t, h, path).Body.String()))
	}
	if s := send("undo"); !strings.Contains(s, "It was not ticked; nothing was changed.") {
		t.Error("taking back what is not there is not said")
	}
	send("done")
	b.view.Now = b.view.Now.Add(time.Hour)
	if s := send("done"); !strings.Contains(s, "It was ticked already; the first hour stands.") || !strings.Contains(s, "Done at 2:20 p.m.") || len(b.view.Ticks) != 1 {
		t.Errorf("a second press: %d ticks", len(b.view.Ticks))
	}
	for _, odd := range [...]string{"/?told=already&at=99", "/?told=already&at=-1", "/?told=already&at=x", "/?told=%3Cscript%3E&at=0"} {
		if w := get(t, h, odd); w.Code != 200 || strings.Contains(w.Body.String(), "ticked already") {
			t.Errorf("%s: %d", odd, w.Code)
		}
	}
}

// The plan is made anew through the night: which ticks still hold.
func TestTicksOutliveThePlan(t *testing.T) {
	for name, c := range map[string]struct {
		change func(v *View, j *plan.Job)
		done   bool
	}{
		"same plan":                   {func(*View, *plan.Job) {}, true},
		"later that night":            {func(v *View, _ *plan.Job) { v.Now = v.Now.Add(11 * time.Hour) }, true},
		"another hour":                {func(_ *View, j *plan.Job) { j.Start, j.Latest = j.Start.Add(time.Hour), j.Latest.Add(time.Hour) }, true},
		"another way, the same work":  {func(_ *View, j *plan.Job) { j.ID = "Hoop house/30-g-x2+lit/4" }, true},
		"the same name, a larger one": {func(_ *View, j *plan.Job) { j.What = "cut two air openings of 200 sq in each" }, false},
		"the same work elsewhere":     {func(_ *View, j *plan.Job) { j.Space = "North bench" }, false},
		"the next night": {func(v *View, j *plan.Job) {
			j.Start, j.Latest = j.Start.AddDate(0, 0, 1), j.Latest.AddDate(0, 0, 1)
			v.Answer.Plan.Nights = v.Answer.Plan.Nights[1:]
		}, false},
	} {
		b := evening(t)
		tickAll(&b.view, "cut ", b.view.Now)
		id := b.opening(t).ID
		at := slices.IndexFunc(b.view.Answer.Plan.Jobs, func(j plan.Job) bool { return j.ID == id })
		c.change(&b.view, &b.view.Answer.Plan.Jobs[at])
		if _, done := tickOf(b.view, b.view.Answer.Plan.Jobs[at]); done != c.done {
			t.Errorf("%s: done %t, want %t", name, done, c.done)
		}
	}
}

// Two jobs of the same words in one plan are two: ticking one leaves the other.
func TestTickOfTwins(t *testing.T) {
	b := evening(t)
	twin := b.opening(t)
	twin.ID += "b"
	b.view.Answer.Plan.Jobs = append(b.view.Answer.Plan.Jobs, twin)
	tickAll(&b.view, "cut ", b.view.Now)
	b.view.Ticks = b.view.Ticks[:1]
	if _, done := tickOf(b.view, twin); done {
		t.Error("the twin reads as done")
	}
}

// Where nothing is to be cut, the words leave the door when somebody has seen that the
// openings are open, not when the fire is lit; where the plan has no job for it, never.
func TestDoorWithoutCutting(t *testing.T) {
	b := evening(t)
	h := b.view.Answer.Houses[0]
	h.Opening.HaveM2, h.Opening.CutM2 = h.Opening.EachM2, 0
	b.view.Answer.Plan.Jobs = slices.DeleteFunc(b.view.Answer.Plan.Jobs, func(j plan.Job) bool { return strings.HasPrefix(j.What, "cut ") })
	stands := func() bool {
		d := newVoice(b.view).doors(b.view)
		return len(d) == 1 && d[0].Stands
	}
	jobs := b.view.Answer.Plan.Jobs
	k := slices.IndexFunc(jobs, func(j plan.Job) bool { return strings.HasPrefix(j.What, "light ") })
	see := jobs[k]
	see.ID, see.What = "see", plan.SeeOpenings
	b.view.Answer.Plan.Jobs = append(jobs, see)
	tickAll(&b.view, "light ", b.view.Now)
	if !stands() {
		t.Error("the words went when the fire was lit")
	}
	tickAll(&b.view, plan.SeeOpenings, b.view.Now)
	if stands() {
		t.Error("words after the openings were seen")
	}
	b.view.Answer.Plan.Jobs = nil
	if !stands() {
		t.Error("no words without a job")
	}
}

func TestWhoTicks(t *testing.T) {
	h := New(evening(t), Options{})
	same := []string{"Sec-Fetch-Site", "same-origin"}
	w := press(t, h, "/who", url.Values{"who": {"Zoë; \"x\""}}, same...)
	c := w.Result().Cookies()
	if w.Code != 303 || len(c) != 1 || !c[0].HttpOnly || c[0].SameSite != http.SameSiteLaxMode {
		t.Fatalf("%d, %v", w.Code, c)
	}
	page := words(parse(t, get(t, h, "/", "Cookie", "who="+c[0].Value).Body.String()))
	if !strings.Contains(page, `Zoë; "x" ticks on this phone`) {
		t.Error("the name does not come back")
	}
	if w := press(t, h, "/who", url.Values{"who": {""}}, same...); w.Code != 303 || w.Result().Cookies()[0].MaxAge >= 0 {
		t.Errorf("nobody: %d", w.Code)
	}
	for name, w := range map[string]*httptest.ResponseRecorder{
		"too long":       press(t, h, "/who", url.Values{"who": {strings.Repeat("x", 61)}}, same...),
		"from elsewhere": press(t, h, "/who", url.Values{"who": {"Ana"}}, "Sec-Fetch-Site", "cross-site"),
	} {
		if w.Code < 400 || len(w.Result().Cookies()) > 0 {
			t.Errorf("%s: %d", name, w.Code)
		}
	}
	for _, odd := range [...]string{"who=%zz", "who=" + strings.Repeat("x", 100)} {
		if w := get(t, h, "/", "Cookie", odd); w.Code != 200 || !strings.Contains(w.Body.String(), "Who ticks on this phone?") {
			t.Errorf("%s: %d", odd, w.Code)
		}
	}
}
