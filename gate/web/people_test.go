package web

import (
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"example.org/coldnight/gate/ledger"
	"example.org/coldnight/gate/people"
)

// joined is a nursery whose pages ask who one is.
type joined struct {
	*httptest.Server
	book *people.Book
	code string
}

func newJoined(t *testing.T) *joined {
	t.Helper()
	l, err := ledger.Open(t.Context(), filepath.Join(t.TempDir(), "l.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	j := &joined{}
	if j.book, j.code, err = people.Open(t.Context(), l, "Lower Mill", time.Now, slog.New(slog.DiscardHandler)); err != nil {
		t.Fatal(err)
	}
	src := &tickTaker{view: stories(t)["afternoon before a freeze"].view}
	j.Server = httptest.NewServer(New(src, Options{People: j.book}))
	t.Cleanup(j.Close)
	return j
}

// tickTaker is a source that takes every tick.
type tickTaker struct {
	view View
	last Tick
}

func (s *tickTaker) Tonight(context.Context) (View, error) { return s.view, nil }

func (s *tickTaker) Tick(_ context.Context, t Tick, _ bool) (bool, error) {
	s.last = t
	return true, nil
}

func (s *tickTaker) Report(context.Context, Report, bool) (bool, error) { return true, nil }

// phone is a browser without a screen.
func phone(t *testing.T) *http.Client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &http.Client{Jar: jar}
}

func (j *joined) send(t *testing.T, c *http.Client, path string, fields ...string) (int, string) {
	t.Helper()
	var r *http.Response
	var err error
	if len(fields) == 0 {
		r, err = c.Get(j.URL + path)
	} else {
		form := url.Values{}
		for i := 0; i < len(fields); i += 2 {
			form.Set(fields[i], fields[i+1])
		}
		r, err = c.PostForm(j.URL+path, form)
	}
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	b, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return r.StatusCode, string(b)
}

func TestNothingIsReadWithoutJoining(t *testing.T) {
	j := newJoined(t)
	for _, path := range []string{"/", "/plan.json", "/people", "/nowhere", "/people/invite", "/join/../plan.json", "//plan.json"} {
		status, body := j.send(t, phone(t), path)
		if strings.Contains(body, "Bed") || strings.Contains(body, `"jobs"`) {
			t.Errorf("%s is read by somebody who has not joined", path)
		}
		if doc := parse(t, body); status != 200 || len(find(doc, "input[name=code]")) != 1 {
			t.Errorf("%s: %d, no form to join", path, status)
		}
	}
	for _, path := range []string{"/tick", "/say", "/who", "/people/dismiss", "/people/end", "/sign-out"} {
		if status, _ := j.send(t, phone(t), path, "x", "y"); status != http.StatusUnauthorized {
			t.Errorf("POST %s without joining: %d", path, status)
		}
	}
	if status, body := j.send(t, phone(t), "/healthz"); status != 200 || body != "ok\n" {
		t.Errorf("healthz: %d %q", status, body)
	}
	if status, _ := j.send(t, phone(t), "/coldnight.css"); status != 200 {
		t.Errorf("the style of the joining page: %d", status)
	}
}

// An evening: the owner joins, shows a code, the crew joins and ticks, who only looks may not.
func TestJoiningAndRoles(t *testing.T) {
	j := newJoined(t)
	boss, bo, cy := phone(t), phone(t), phone(t)
	if status, body := j.send(t, boss, "/join", "code", "AAAA-AAAA", "name", "Ines", "password", "three plain words"); status != 422 || len(find(parse(t, body), "p.notice")) != 1 {
		t.Errorf("a wrong code: %d", status)
	}
	if status, body := j.send(t, boss, "/join", "code", j.code, "name", "Ines", "password", "three plain words"); status != 200 || len(find(parse(t, body), "#jobs")) != 1 {
		t.Fatalf("the owner is not in: %d", status)
	}
	invite := func(name, role string) string {
		status, body := j.send(t, boss, "/people/invite", "name", name, "role", role)
		at := find(parse(t, body), "b.address")
		if status != 200 || len(at) != 1 || len(find(parse(t, body), "svg.qr path.qr-ink")) != 1 {
			t.Fatalf("invitation of %s: %d\n%s", name, status, body)
		}
		u, err := url.Parse(words(at[0]))
		if err != nil {
			t.Fatal(err)
		}
		return u.Path
	}
	for _, p := range []struct {
		c          *http.Client
		name, role string
	}{{bo, "Bo", "crew"}, {cy, "Cy", "look"}} {
		path := invite(p.name, p.role)
		if status, body := j.send(t, p.c, path); status != 200 || len(find(parse(t, body), "input[name=secret]")) != 1 {
			t.Fatalf("%s: %d", path, status)
		}
		if status, body := j.send(t, p.c, "/join", "secret", strings.TrimPrefix(path, "/join/"), "name", p.name, "password", ""); status != 200 || len(find(parse(t, body), "#jobs")) != 1 {
			t.Fatalf("%s is not in: %d", p.name, status)
		}
		if status, _ := j.send(t, phone(t), path); status != 404 {
			t.Errorf("the invitation of %s works again: %d", p.name, status)
		}
	}
	_, body := j.send(t, bo, "/")
	doc := parse(t, body)
	night, _ := attr(find(doc, "form.tick input[name=night]")[0], "value")
	job, _ := attr(find(doc, "form.tick input[name=job]")[0], "value")
	for _, c := range []struct {
		who    *http.Client
		path   string
		fields []string
		want   int
	}{
		{bo, "/tick", []string{"night", night, "job", job, "do", "done"}, 200},
		{cy, "/tick", []string{"night", night, "job", job, "do", "done"}, 403},
		{bo, "/people/invite", []string{"name", "Di", "role", "owner"}, 403},
		{bo, "/people/dismiss", []string{"person", "1"}, 403},
		{cy, "/people", nil, 200},
		{cy, "/light", []string{"light", "night"}, 200},
		{boss, "/people/dismiss", []string{"person", "1"}, 422},
		{boss, "/people/dismiss", []string{"person", "three"}, 400},
		{boss, "/people/dismiss", []string{"person", "3"}, 200},
	} {
		if status, body := j.send(t, c.who, c.path, c.fields...); status != c.want {
			t.Errorf("%s %v: %d, want %d\n%s", c.path, c.fields, status, c.want, body)
		}
	}
	if _, body := j.send(t, cy, "/"); len(find(parse(t, body), "#jobs")) != 0 {
		t.Error("whose membership has ended still reads the plan")
	}
	_, body = j.send(t, boss, "/people")
	if doc := parse(t, body); len(find(doc, "ul.people li")) != 4 || len(find(doc, "details.assumed li")) < 6 {
		t.Errorf("people and deeds: %d, %d", len(find(doc, "ul.people li")), len(find(doc, "details.assumed li")))
	}
	if !strings.Contains(body, "ticked") {
		t.Error("Bo's tick is not written down")
	}
	if _, body = j.send(t, bo, "/people"); len(find(parse(t, body), "details.assumed")) != 0 || len(find(parse(t, body), "input[name=role]")) != 0 {
		t.Error("the crew sees what is the owner's")
	}
	if status, body := j.send(t, bo, "/sign-out", "x", "y"); status != 200 || len(find(parse(t, body), "form[action=/sign-in]")) != 1 {
		t.Errorf("signed out: %d", status)
	}
	for i := range 10 {
		if status, _ := j.send(t, phone(t), "/sign-in", "name", "Ines", "password", "guess number x"); status == http.StatusTooManyRequests {
			return
		} else if i == 9 {
			t.Error("nobody is stopped from guessing")
		}
	}
}

// Another site must not make this phone do anything.
func TestJoiningFromAnotherSite(t *testing.T) {
	j := newJoined(t)
	r, err := http.NewRequest("POST", j.URL+"/join", strings.NewReader("code="+j.code+"&name=Eve&password=three+plain+words"))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", "https://elsewhere.example")
	res, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	if res.StatusCode != http.StatusForbidden || !j.book.Unclaimed() {
		t.Errorf("status %d", res.StatusCode)
	}
}

// The pages of joining at the size of a phone and of a desk, by day and by night.
func TestPeoplePagesInBrowser(t *testing.T) {
	ctx := browser(t)
	shots := os.Getenv("COLDNIGHT_SHOTS")
	j := newJoined(t)
	n := 0
	see := func(name string) {
		t.Helper()
		for _, size := range [][2]int64{{360, 740}, {1280, 800}} {
			for _, light := range []string{"night=0", "night=1"} {
				at, err := chromedp.Run(ctx, chromedp.Location())
				if err != nil {
					t.Fatal(err)
				}
				at, _, _ = strings.Cut(at, "?")
				if name != "invitation" { // comes from a form, once
					if err := chromedp.Do(ctx, chromedp.Navigate(at+"?"+light)); err != nil {
						t.Fatal(err)
					}
				}
				if err := chromedp.Do(ctx, chromedp.EmulateViewport(size[0], size[1])); err != nil {
					t.Fatal(err)
				}
				text, err := chromedp.Run(ctx, chromedp.Evaluate[string](measureJS))
				if err != nil {
					t.Fatal(err)
				}
				var l look
				if err := json.Unmarshal([]byte(text), &l); err != nil {
					t.Fatal(err)
				}
				if l.Overflow > 0 || len(l.Wide)+len(l.Small)+len(l.Faint)+len(l.Tiny) > 0 {
					t.Errorf("%s at %d px: %+v", name, size[0], l)
				}
				n++
				if shots != "" {
					pic, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
					if err != nil {
						t.Fatal(err)
					}
					save(t, shots, "people-"+name+"-"+light+map[int64]string{360: "-phone.png", 1280: "-desk.png"}[size[0]], pic)
				}
			}
		}
	}
	do := func(a ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, a...); err != nil {
			t.Fatal(err)
		}
	}
	do(chromedp.EmulateViewport(360, 740), chromedp.Navigate(j.URL))
	see("claim")
	do(chromedp.SendKeys("#code", j.code), chromedp.SendKeys("#name", "Ines"), chromedp.SendKeys("#password", "three plain words"), chromedp.Click("button:not([name])"), chromedp.WaitVisible("#jobs"))
	do(chromedp.Navigate(j.URL + "/people"))
	see("people")
	do(chromedp.SendKeys("#name", "Bo"), chromedp.Click(".fill button"), chromedp.WaitVisible(".qr"))
	see("invitation")
	link, err := chromedp.Run(ctx, chromedp.Text(".address"))
	if err != nil {
		t.Fatal(err)
	}
	do(chromedp.Navigate(link))
	see("join")
	t.Logf("%d pages looked at", n)
}
