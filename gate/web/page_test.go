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
		"heated": {
			200, "go", "Go out now",
			map[string]int{"section.door": 1, "svg.fire": 4, "#jobs li": 4 + 1, "form.tick": 8, "details.hour": 3, "#drills li": 2, "#rounds li": 1, ".hazards li": 5, ".head .sign": 1, "article .sign": 2, "input[type=hidden]": 33},
			[]string{
				"Hoop house Do not enter alone, air it first.", "Until the job of its air openings is ticked as done.", "Two air openings of 132 sq in each, one low, one high; 31 sq in is open already, 101 sq in each is still to be cut.",
				"Door Do not enter alone, air it first.", "Who Ben and a second person", "Do Cut two air openings of 101 sq in each", "Take a second person along.",
				"Wall heater (propane, no flue), set to 41 °F. Burns from 5 p.m. to 8 a.m., hardest near 5 a.m.: almost full burn. Takes about 13.2 lb this night, 17.6 lb if it is a hard one.",
				"2 × unit heater (propane, with a flue), set to 45 °F.", "no store is written down", "1 layer of 30 g cloth on the hoops, on from 4 p.m. to 9 a.m.",
				"May run dry with nothing left to hang on, about 3 freezes like this in 10, from about 2 a.m., usually Wed 5 a.m.", "Get 2 more full cylinders of 19.8 lb: that covers 9 freezes in 10 like this.", "The cylinder gets too cold to give enough gas",
				"about 44 hours of burning at this pace, 35 flat out", "known by weight", "It costs about $12 more in fuel over the freeze.",
				"Without them its low-oxygen device would put it out about 6 freezes like this in 10, from about midnight on, usually 1 a.m.; that would cost about $410 more in plants, as nobody goes in to relight it.",
				"Carbon dioxide at most about 3,400 ppm, no hour above the 5,000 ppm of a working day; with the openings shut 32 hours.", "it stops with the mains: about $51.", "would burn 7 kg: no price in the site file.",
				"If the mains fail, 6 p.m. is the worst hour: about $8,478 lost. North bench is hurt first, maybe in 70 min.", "6 p.m. (the worst hour) North bench first, maybe in 70 min; about $8,478 lost",
				"Lavender may be at its limit in 70 min, usually not that night.", "Small generator to North bench", "North: 2.5 of 20 A, unit heater.", "Heat that does not need the mains: Hoop house.",
				"wall heater out from 6 p.m.: Lemon in tubs may be at its limit in 80 min, usually in 2 h. About $690 more lost. Two people, air it first. Nobody goes in alone to relight.",
				"change the cylinder of wall heater (air the house first, go in pairs, never alone)", "Carry One full 9 kg cylinder",
			},
		},
		"heated, openings ticked": {
			200, "later", "Nothing to do before 3 p.m.",
			map[string]int{"section.door": 0, "#jobs li.done": 1, "#jobs li.past": 0, "button.undo": 1, "article .sign": 0, ".hazards li": 5},
			[]string{"Done at 2:10 p.m., ticked by Ana.", "Air openings ticked as done at 2:10 p.m. by Ana. Keep both open while it burns. Its carbon monoxide still cannot be computed: alarm on, go in twos.", "no warm house is safe for that"},
		},
		"heated, a round ahead": {
			200, "later", "Stay in bed until 1:40 a.m.",
			map[string]int{"#jobs li.done": 5, "#jobs li.past": 0, "section.door": 0},
			[]string{"Where Hoop house", "Do Change the cylinder of wall heater (air the house first, go in pairs, never alone)", "Take one full 9 kg cylinder, spanner", "To do at 1:40 a.m.", "Needed about 7 freezes like this in 10."},
		},
		"heated, lit without openings": {
			200, "later", "Stay in bed until 01:40",
			map[string]int{"section.door": 1, ".head .sign": 1, "#jobs li.done": 1, "#jobs li.past": 4, "p.notice": 1},
			[]string{"It is ticked as lit, and its air openings are not done.", "What was ticked as done cannot be read", "850 cm² each", "should be done by now, and is not ticked"},
		},
		"broken": {500, "none", "This page could not be made. The plan itself is not harmed; the reason stands in the program's log.", map[string]int{"a.button": 1}, nil},
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
	for _, e := range find(doc, "script") { // our own file, and nothing in the page
		if src, _ := attr(e, "src"); !strings.HasPrefix(src, "/try.js?") || words(e) != "" {
			t.Errorf("a script on the page: %q", src)
		}
	}
	for _, sel := range [...]string{"*[style]", "style", "iframe", "img", "*[onclick]", "*[onload]"} {
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
	var b []byte
	for _, name := range [...]string{"page/tonight.html", "page/heat.html"} {
		part, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		b = append(b, part...)
	}
	for _, want := range [...]string{
		`viewBox="0 0 ` + num(stripW) + " " + num(stripH) + `"`, "20h" + num(stripW) + "v" + num(plotH) + "H0z",
		"h" + num(stripW) + "V" + num(plotEnd) + "H0z", `y="` + num(barTop) + `" width="{{.W}}" height="` + num(barH) + `"`,
	} {
		if !strings.Contains(string(b), want) {
			t.Errorf("the templates do not hold %q", want)
		}
	}
}
