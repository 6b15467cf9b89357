package web

import (
	"compress/gzip"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// get asks a handler for a page.
func get(t testing.TB, h http.Handler, path string, header ...string) *httptest.ResponseRecorder {
	t.Helper()
	r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, path, nil)
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// Every state of the page: what it must hold, and what it must not.
func TestStories(t *testing.T) {
	cases := map[string]struct {
		status int
		kind   string // of the head
		act    string
		counts map[string]int
		says   []string
	}{
		"afternoon before a freeze": {
			200, "later", "Nothing to do before 3 p.m.",
			map[string]int{"section.night": 1, "details.later": 0, "article": 5, "svg.strip": 5, "#jobs li": 3, "#jobs li.past": 0, "p.notice": 0, "meta[http-equiv]": 0, ".head dd.where": 1},
			[]string{"Take 1 layer of 30 g cloth on the hoops", "Who Ana and Ben", "Start by 4:40 p.m.", "First to suffer: Asparagus fern on the north edge, spoiled about 8 nights in 10.", "What is let go", "the whole plan would be $14 dearer", "Plan made 12 minutes ago, from a forecast made 100 minutes ago"},
		},
		"time to go out":      {200, "go", "Go out now", map[string]int{".head dd.where": 1}, []string{"Where Bed 4", "Then 2 more jobs, the last started by 4:55 p.m."}},
		"middle of the night": {200, "stay", "Stay in bed", map[string]int{".head dd.where": 0, "#jobs li.past": 3, "g#now": 1}, []string{"Every job of the plan should be done by now.", "Likely spoils: Asparagus fern in Bed 4 on the north edge."}},
		"nothing worth doing": {200, "stay", "Nothing to do", map[string]int{"#jobs": 0, "article.h3": 1}, []string{"nothing on the shelf is worth its price"}},
		"no freeze":           {200, "stay", "No freeze in sight", map[string]int{"article.h0": 5, "article": 5}, []string{"All expected to hold"}},
		"18 spaces, 3 nights": {200, "later", "Nothing to do before 3 p.m.", map[string]int{"section.night": 1, "section.night article": 18, "details.later": 2, "details.later article": 36, "svg.strip": 54, "article details table": 54}, nil},
		"18 spaces":           {200, "later", "Nothing to do before 3 p.m.", map[string]int{"article": 18, "details.later": 0}, nil},
		"worse to come": {
			200, "later", "Nothing to do before 3 p.m.",
			map[string]int{"article": 10, "details.later": 1, "p.next": 1},
			[]string{"Worse to come: the night of Wednesday 15 January, with 4 of 5 spaces likely to lose plants.", "The night of Wed 15 Jan is worse."},
		},
		"long names":            {200, "later", "Nothing to do before 3 p.m.", map[string]int{"article": 5}, nil},
		"metric":                {200, "later", "Nothing to do before 15:00", map[string]int{"article": 5}, []string{"°C", "€", "near 05:00", "noon"}},
		"southern hemisphere":   {200, "later", "Nothing to do before 15:00", map[string]int{"article": 5}, []string{"Monday 14 July"}},
		"clocks change":         {200, "later", "Nothing to do before 3 p.m.", map[string]int{"article": 5}, []string{"Saturday 8 March"}},
		"polar night":           {200, "later", "Nothing to do before 15:00", map[string]int{"article": 5, "path.sun": 0}, nil},
		"empty site":            {200, "none", "No spaces yet", map[string]int{"article": 0, "svg": 0, "section": 1}, []string{"Write the first bed"}},
		"first plan being made": {200, "none", "Working it out", map[string]int{"meta[http-equiv=refresh]": 1, "article": 0}, nil},
		"no plan":               {200, "none", "No plan yet", map[string]int{"p.notice": 1}, []string{"fetch a newer one", "your own thermometer"}},
		"newer plan being made": {200, "later", "Nothing to do before 3 p.m.", map[string]int{"p.notice": 1, "meta[http-equiv]": 0}, []string{"A newer plan is being worked out"}},
		"failing forecast":      {200, "later", "Nothing to do before 3 p.m.", map[string]int{"p.notice": 1}, []string{"The forecast is old, made 26 hours ago: the service could not be reached"}},
		"no plants named":       {200, "later", "Nothing to do before 3 p.m.", map[string]int{"article": 5, "path.spoil": 0}, []string{"no plants named"}},
		"broken":                {500, "none", "This page could not be made. The plan itself is not harmed; the reason stands in the program's log.", map[string]int{"a.button": 1}, nil},
	}
	all := stories(t)
	if len(all) != len(cases) {
		t.Errorf("%d stories, %d looked at", len(all), len(cases))
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			st, ok := all[name]
			if !ok {
				t.Fatal("no such story")
			}
			w := get(t, New(st, Options{}), "/")
			if w.Code != c.status {
				t.Fatalf("status %d, want %d", w.Code, c.status)
			}
			doc := parse(t, w.Body.String())
			wellMade(t, doc)
			if got := find(doc, ".head."+c.kind); len(got) != 1 {
				t.Errorf("head %q found %d times", c.kind, len(got))
			}
			if h := find(doc, "h1"); len(h) != 1 || words(h[0]) != c.act {
				t.Errorf("h1 %q, want %q", words(h[0]), c.act)
			}
			for sel, want := range c.counts {
				if got := len(find(doc, sel)); got != want {
					t.Errorf("%q found %d times, want %d", sel, got, want)
				}
			}
			text := words(doc)
			for _, s := range c.says {
				if !strings.Contains(text, s) {
					t.Errorf("does not say %q", s)
				}
			}
			if strings.Contains(text, "NaN") || strings.Contains(text, "secret") || strings.Contains(text, "..") || strings.Contains(text, "%!") {
				t.Errorf("text holds what it must not: %s", text)
			}
		})
	}
}

// wellMade is what holds for every page.
func wellMade(t *testing.T, doc *html.Node) {
	t.Helper()
	for _, sel := range [...]string{"script", "*[style]", "style", "iframe", "img", "*[onclick]", "*[onload]"} {
		if n := find(doc, sel); len(n) > 0 {
			t.Errorf("%d of %q on the page", len(n), sel)
		}
	}
	ids := map[string]bool{}
	for _, n := range find(doc, "*[id]") {
		id, _ := attr(n, "id")
		if ids[id] {
			t.Errorf("id %q twice", id)
		}
		ids[id] = true
	}
	inside := regexp.MustCompile(`url\(#([^)]+)\)`)
	for _, n := range find(doc, "*") {
		for _, a := range n.Attr {
			if to, ok := strings.CutPrefix(a.Val, "#"); ok && a.Key == "href" && !ids[to] {
				t.Errorf("%s leads to #%s, which is not there", n.Data, to)
			}
			if m := inside.FindStringSubmatch(a.Val); m != nil && !ids[m[1]] {
				t.Errorf("%s uses #%s, which is not there", n.Data, m[1])
			}
			if strings.Contains(a.Val, "ZgotmplZ") || strings.Contains(a.Val, "NaN") || strings.Contains(a.Val, "Inf") {
				t.Errorf("%s %s=%q", n.Data, a.Key, a.Val)
			}
		}
	}
	for _, n := range find(doc, "svg.strip") {
		if say, _ := attr(n, "aria-label"); say == "" {
			t.Error("a strip without words")
		}
	}
	for _, sel := range [...]string{"html[lang]", "title", "main", "h1", "meta[name=viewport]"} {
		if len(find(doc, sel)) != 1 {
			t.Errorf("%q is not there once", sel)
		}
	}
}

// The page must come through a bad signal: for 18 spaces under 100 kB with its style
// even unpacked; packed, with three nights, a few seconds of the slowest mobile data.
func TestFirstPageIsLight(t *testing.T) {
	all := stories(t)
	size := func(story string) (plain, packed, style int) {
		h := New(all[story], Options{})
		page := get(t, h, "/").Body.String()
		link := find(parse(t, page), "link[rel=stylesheet]")
		href, _ := attr(link[0], "href")
		css := get(t, h, href).Body.Len()
		w := get(t, h, "/", "Accept-Encoding", "gzip")
		if w.Header().Get("Content-Encoding") != "gzip" {
			t.Error("not packed for a phone that takes gzip")
		}
		n := w.Body.Len()
		z, err := gzip.NewReader(w.Body)
		if err != nil {
			t.Fatal(err)
		}
		if again, err := io.ReadAll(z); err != nil || string(again) != page {
			t.Errorf("the packed page is another page: %v", err)
		}
		t.Logf("%s: page %d bytes, packed %d, style %d", story, len(page), n, css)
		return len(page), n, css
	}
	if plain, _, style := size("18 spaces"); plain+style > 100_000 {
		t.Errorf("18 spaces, one night: %d bytes", plain+style)
	}
	if plain, packed, style := size("18 spaces, 3 nights"); packed+style > 25_000 || plain > 150_000 {
		t.Errorf("18 spaces, 3 nights: %d bytes on the way, %d unpacked", packed+style, plain)
	}
}

// The templates hold the strip's sizes as numbers: they must be those of the code.
func TestStripSizes(t *testing.T) {
	b, err := os.ReadFile("page/tonight.html")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range [...]string{
		`viewBox="0 0 ` + num(stripW) + " " + num(stripH) + `"`, "20h" + num(stripW) + "v" + num(plotH) + "H0z",
		"h" + num(stripW) + "V" + num(plotEnd) + "H0z", `y="` + num(barTop) + `" width="{{.W}}" height="` + num(barH) + `"`,
	} {
		if !strings.Contains(string(b), want) {
			t.Errorf("tonight.html does not hold %q", want)
		}
	}
}
