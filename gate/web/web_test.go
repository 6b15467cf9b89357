package web

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"example.org/coldnight/decide/plan"
)

func TestHeaders(t *testing.T) {
	h := New(stories(t)["afternoon before a freeze"], Options{})
	for _, path := range [...]string{"/", "/coldnight.css", "/plan.json", "/healthz", "/nowhere"} {
		w := get(t, h, path)
		for key, want := range map[string]string{
			"Content-Security-Policy": "default-src 'none'; style-src 'self'; img-src 'self'; script-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
			"X-Content-Type-Options":  "nosniff", "Referrer-Policy": "no-referrer",
		} {
			if got := w.Header().Get(key); got != want {
				t.Errorf("%s: %s: %q", path, key, got)
			}
		}
	}
	if w := get(t, h, "/healthz"); w.Code != 200 || w.Body.String() != "ok\n" {
		t.Errorf("healthz: %d %q", w.Code, w.Body)
	}
	if w := get(t, h, "/nowhere"); w.Code != 404 || len(find(parse(t, w.Body.String()), "h1")) != 1 {
		t.Errorf("nowhere: %d", w.Code)
	}
}

func TestUnchangedPageIsNotSentAgain(t *testing.T) {
	h := New(stories(t)["afternoon before a freeze"], Options{})
	for _, path := range [...]string{"/", "/plan.json", "/coldnight.css"} {
		tag := get(t, h, path).Header().Get("ETag")
		w := get(t, h, path, "If-None-Match", `"other", `+tag)
		if tag == "" || w.Code != http.StatusNotModified || w.Body.Len() != 0 {
			t.Errorf("%s: tag %q, status %d, %d bytes", path, tag, w.Code, w.Body.Len())
		}
	}
	day, night := get(t, h, "/?night=0").Header().Get("ETag"), get(t, h, "/?night=1").Header().Get("ETag")
	if day == night {
		t.Error("day and night have one tag")
	}
}

func TestTakesGzip(t *testing.T) {
	for accept, want := range map[string]bool{"": false, "gzip": true, "br, gzip;q=0.5": true, "gzip;q=0": false, "gzip; q=0.000": false, "deflate": false, "GZIP": true} {
		if got := takesGzip(accept); got != want {
			t.Errorf("%q: %v", accept, got)
		}
	}
}

func TestPlanJSON(t *testing.T) {
	all := stories(t)
	w := get(t, New(all["metric"], Options{}), "/plan.json")
	var p plan.Plan
	if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || len(p.Nights) != 1 || len(p.Jobs) != 3 {
		t.Errorf("%v: %d nights, %d jobs", err, len(p.Nights), len(p.Jobs))
	}
	if got := w.Header().Get("Content-Type"); got != "application/json" {
		t.Errorf("content type %q", got)
	}
	if w := get(t, New(all["no plan"], Options{}), "/plan.json"); w.Code != 404 {
		t.Errorf("no plan: %d", w.Code)
	}
}

func TestLight(t *testing.T) {
	h := New(stories(t)["afternoon before a freeze"], Options{})
	post := func(body string, header ...string) *httptest.ResponseRecorder {
		r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "/light", strings.NewReader(body))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		for i := 0; i+1 < len(header); i += 2 {
			r.Header.Set(header[i], header[i+1])
		}
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		return w
	}
	w := post("light=night", "Sec-Fetch-Site", "same-origin")
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/" {
		t.Fatalf("%d to %q", w.Code, w.Header().Get("Location"))
	}
	c := w.Result().Cookies()
	if len(c) != 1 || !c[0].HttpOnly || c[0].SameSite != http.SameSiteLaxMode || c[0].Value != "night" {
		t.Fatalf("cookie %v", c)
	}
	light := func(path, cookie string) string {
		doc := parse(t, get(t, h, path, "Cookie", cookie).Body.String())
		class, _ := attr(find(doc, "html")[0], "class")
		return class
	}
	for _, x := range [...]struct{ path, cookie, want string }{
		{"/", "", ""},
		{"/", "light=night", "night"},
		{"/", "light=day", "day"},
		{"/?night=1", "light=day", "night"},
		{"/?night=0", "light=night", "day"},
		{"/", `light="><script>`, ""},
		{"/?night=%3Cscript%3E", "", ""},
	} {
		if got := light(x.path, x.cookie); got != x.want {
			t.Errorf("%s with %q: %q, want %q", x.path, x.cookie, got, x.want)
		}
	}
	if w := post("light=phone"); w.Code != 303 || w.Result().Cookies()[0].MaxAge >= 0 {
		t.Errorf("the cookie stays: %d", w.Code)
	}
	if w := post("light=purple"); w.Code != 400 {
		t.Errorf("purple: %d", w.Code)
	}
	if w := post("light=night&x=" + strings.Repeat("y", 5000)); w.Code != 400 {
		t.Errorf("a long form: %d", w.Code)
	}
	if w := post("light=night", "Sec-Fetch-Site", "cross-site"); w.Code != 403 || len(w.Result().Cookies()) != 0 {
		t.Errorf("from another site: %d", w.Code)
	}
	if w := post("light=night", "Origin", "http://other.example"); w.Code != 403 {
		t.Errorf("from another origin: %d", w.Code)
	}
}

// Names come out as they went in: as text, whatever they hold.
func TestNastyNames(t *testing.T) {
	if n := len(nastyNames()); n != 16 { // also the seeds of FuzzNames
		t.Errorf("%d nasty names", n)
	}
	for _, nasty := range nastyNames() {
		checkNasty(t, nasty)
	}
}

func nastyNames() []string {
	return []string{
		`<script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `' onmouseover='x`, `</svg></details><script>x</script>`, `{{.}} {{template "open"}}`,
		"\u202eneila\u202c bed", "שלום حديقة", "a\u0000b", "\xff\xfe bed", strings.Repeat("W", 3000), strings.Repeat("bed ", 800), "javascript:alert(1)", "&lt;b&gt;", "", " ", "🌵",
	}
}

func FuzzNames(f *testing.F) {
	for _, n := range nastyNames() {
		f.Add(n)
	}
	f.Fuzz(func(t *testing.T, name string) { checkNasty(t, name) })
}

func checkNasty(t *testing.T, nasty string) {
	t.Helper()
	st := stories(t)["failing forecast"]
	v := st.view
	v.Site.Name, v.Stale, v.Trouble, v.Site.Money = nasty, nasty, nasty, nasty
	for i := range v.Answer.Spaces {
		o := v.Answer.Spaces[i].Outlook
		o.Space.Name = nasty
		for k := range o.Stocks {
			o.Stocks[k].Name = nasty
		}
		for k := range o.Options {
			o.Options[k].Protection.Words = nasty
		}
		v.Answer.Plan.Nights[0].Spaces[i].Space = nasty
	}
	p := &v.Answer.Plan
	for i := range p.Jobs {
		p.Jobs[i].What, p.Jobs[i].Space, p.Jobs[i].Why, p.Jobs[i].People = nasty, nasty, nasty, []string{nasty, nasty}
	}
	p.Assumed = []string{nasty}
	p.Supplies = []plan.SupplyLine{{Item: nasty, Have: 1, Used: 1}}
	w := get(t, New(story{view: v}, Options{}), "/")
	if w.Code != 200 {
		t.Fatalf("%.40q: status %d", nasty, w.Code)
	}
	doc := parse(t, w.Body.String())
	wellMade(t, doc)
	if n := len(find(doc, "article")); n != 5 {
		t.Errorf("%.40q: %d spaces on the page", nasty, n)
	}
	links, want := find(doc, "a"), 12 // jobs, again, data; four at the foot; a page of each space
	if nasty == "" {
		want = 7
	}
	for _, a := range links {
		if to, _ := attr(a, "href"); !strings.HasPrefix(to, "/") && !strings.HasPrefix(to, "#") || strings.HasPrefix(to, "//") {
			t.Errorf("%.40q: a link to %.60q", nasty, to)
		}
	}
	if n := len(links); n != want {
		t.Errorf("%.40q: %d links on the page", nasty, n)
	}
}
