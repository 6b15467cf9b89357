package web

import (
	"bytes"
	"net/http/httptest"
	"net/url"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
)

// newShelf is a desk whose plants can be looked at: the site of the demo.
func newShelf(t *testing.T) (*desk, *httptest.Server) {
	t.Helper()
	d, _ := newDesk(t)
	lib, err := plant.New()
	if err != nil {
		t.Fatal(err)
	}
	st := stories(t)["afternoon before a freeze"]
	if st.view.Site, _, err = site.Parse(d.text, "nursery.toml", site.Known{}); err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(New(st, Options{Site: d, Plants: lib}))
	t.Cleanup(srv.Close)
	return d, srv
}

func TestPlantsAreFound(t *testing.T) {
	_, srv := newShelf(t)
	count := func(q string) int {
		_, body := sends(t, srv, "/plants?q="+url.QueryEscape(q), nil)
		return len(find(parse(t, body), "ul.stock .why"))
	}
	all := count("")
	if all < 60 {
		t.Fatalf("%d groups", all)
	}
	for q, want := range map[string]func(int) bool{
		"bed 1":                  func(n int) bool { return n == 4 },
		"feijoa":                 func(n int) bool { return n >= 1 },
		"Rosmarinus officinalis": func(n int) bool { return n >= 1 }, // stands in the file as Salvia rosmarinus
		"no such xx":             func(n int) bool { return n == 0 },
	} {
		if n := count(q); !want(n) || n == all {
			t.Errorf("%q finds %d of %d", q, n, all)
		}
	}
}

// A list goes in: names with counts, a misspelling, one nobody knows.
func TestAListGoesIn(t *testing.T) {
	d, srv := newShelf(t)
	look := func(text string) string {
		t.Helper()
		form := url.Values{"space": {"Bed 1"}, "text": {text}, "pot": {"13 cm"}, "each": {"5"}}
		r, body := sends(t, srv, "/setup/list", form)
		if r.StatusCode != 200 {
			t.Fatalf("%d\n%s", r.StatusCode, body)
		}
		return body
	}
	body := look("40 Salvia elegans\nBoston fern, 12\nLavandula angustifola 9\nQuuxia nobodyknows 7\n")
	doc := parse(t, body)
	if len(find(doc, "fieldset")) != 4 || len(find(doc, "fieldset.look")) == 0 || len(find(doc, "fieldset.look")) == 4 {
		t.Errorf("%d rows, %d need a look", len(find(doc, "fieldset")), len(find(doc, "fieldset.look")))
	}
	form := filled(t, body)
	for name := range form { // radio buttons and boxes are not sent untouched
		if strings.HasPrefix(name, "drop-") || strings.HasPrefix(name, "pick-") {
			form.Del(name)
		}
	}
	before := d.text
	form.Set("word-3", "tender")
	if r, body := sends(t, srv, "/setup/list/write", form); r.StatusCode != 200 || r.Request.URL.Path != "/plants" {
		t.Fatalf("%d %s\n%s", r.StatusCode, r.Request.URL, body)
	}
	s, _, err := site.Parse(d.text, "nursery.toml", site.Known{})
	if err != nil {
		t.Fatal(err)
	}
	groups := s.Space("Bed 1").Groups
	if n := len(groups); n != 8 {
		t.Fatalf("Bed 1 has %d groups", n)
	}
	got := map[string]int{}
	for _, g := range groups[4:] {
		got[g.Plant] = g.Count
		if g.ValueEach != 5 || g.Pot.DiameterM != 0.13 {
			t.Errorf("%+v", g)
		}
	}
	for name, n := range map[string]int{"Salvia elegans": 40, "Boston fern": 12, "Quuxia nobodyknows": 7} {
		if got[name] != n {
			t.Errorf("%s: %d, want %d of %v", name, got[name], n, got)
		}
	}
	if len(d.past) != 1 || !bytes.Equal(d.past[0], before) {
		t.Errorf("%d versions for one list", len(d.past))
	}

	// A wrong row holds everything up and is said where it stands.
	before = d.text
	form = filled(t, look("12 Salvia elegans\n"))
	form.Del("drop-0")
	form.Set("pot-0", "13 furlongs")
	if r, body := sends(t, srv, "/setup/list/write", form); r.StatusCode != 422 || len(find(parse(t, body), "fieldset .warn")) != 1 || !bytes.Equal(d.text, before) {
		t.Errorf("a wrong pot: %d\n%s", r.StatusCode, body)
	}
	if r, _ := sends(t, srv, "/setup/list", url.Values{"text": {" \n# only a remark\n"}}); r.StatusCode != 422 {
		t.Errorf("an empty list: %d", r.StatusCode)
	}
}

func TestAGroupIsMoved(t *testing.T) {
	d, srv := newShelf(t)
	before, _, _ := site.Parse(d.text, "nursery.toml", site.Known{})
	dr, _ := site.NewDraft(d.text, "nursery.toml")
	n := dr.Find("space.group", "plant", "feijoa")
	form := url.Values{"v": {digest(d.text)[:16]}, "n": {itoa(n)}, "to": {"Bed 2"}}
	if r, body := sends(t, srv, "/setup/move", form); r.StatusCode != 200 {
		t.Fatalf("%d\n%s", r.StatusCode, body)
	}
	after, _, err := site.Parse(d.text, "nursery.toml", site.Known{})
	if err != nil || len(after.Space("Bed 1").Groups) != len(before.Space("Bed 1").Groups)-1 || len(after.Space("Bed 2").Groups) != len(before.Space("Bed 2").Groups)+1 {
		t.Errorf("%v", err)
	}
	if r, _ := sends(t, srv, "/setup/move", url.Values{"v": {digest(d.text)[:16]}, "n": {"0"}, "to": {"Bed 2"}}); r.StatusCode != 422 {
		t.Errorf("the nursery was moved: %d", r.StatusCode)
	}
}

func TestPlantsInBrowser(t *testing.T) {
	ctx := browser(t)
	_, srv := newShelf(t)
	looked := 0
	see := func(name string) {
		t.Helper()
		for _, w := range []int64{360, 1280} {
			if err := chromedp.Do(ctx, chromedp.EmulateViewport(w, 740)); err != nil {
				t.Fatal(err)
			}
			if l := measured(t, ctx); l.Overflow > 0 || len(l.Wide)+len(l.Small)+len(l.Faint)+len(l.Tiny) > 0 {
				t.Errorf("%s at %d px: %+v", name, w, l)
			}
			looked++
			if shots := os.Getenv("COLDNIGHT_SHOTS"); shots != "" {
				pic, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
				if err != nil {
					t.Fatal(err)
				}
				save(t, shots, "plants-"+name+"-"+itoa(int(w))+".png", pic)
			}
		}
	}
	do := func(a ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, a...); err != nil {
			t.Fatal(err)
		}
	}
	do(chromedp.Navigate(srv.URL+"/plants?q=bed+1"), chromedp.WaitVisible(".stock"))
	see("stock")
	do(chromedp.Navigate(srv.URL+"/setup/list?night=1"), chromedp.WaitVisible("#text"))
	see("list")
	do(chromedp.SendKeys("#text", "40 Boston fern\nLavandula angustifola 9\nQuuxia nobodyknows 7"), chromedp.Click("form.fill button"), chromedp.WaitVisible("fieldset"))
	see("understood")
	t.Logf("%d pages looked at", looked)
}
