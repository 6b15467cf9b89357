package web

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"example.org/coldnight/demo"
	"example.org/coldnight/nursery/site"
)

// desk keeps a site file in memory, as the program does on the disk.
type desk struct {
	text []byte
	past [][]byte
	full bool // the disk
}

func (d *desk) SiteText(context.Context) ([]byte, string, error) { return d.text, "nursery.toml", nil }

func (d *desk) PutSiteText(_ context.Context, text, was []byte) error {
	if d.full {
		return errors.New("disk full")
	}
	if !bytes.Equal(was, d.text) {
		return ErrSiteChanged
	}
	if _, _, err := site.Parse(text, "nursery.toml", site.Known{}); err != nil {
		return err
	}
	d.past = append(d.past, d.text)
	d.text = text
	return nil
}

func (d *desk) SitePast(_ context.Context, most int) ([]SiteVersion, error) {
	var out []SiteVersion
	for i := len(d.past) - 1; i >= 0 && len(out) < most; i-- {
		out = append(out, SiteVersion{ID: int64(i), Kept: time.Date(2031, 1, 14, 12, i, 0, 0, time.UTC)})
	}
	return append([]SiteVersion{{ID: int64(len(d.past)), Kept: time.Date(2031, 1, 14, 13, 0, 0, 0, time.UTC)}}, out...), nil
}

func (d *desk) SiteAt(_ context.Context, id int64) ([]byte, error) {
	if id < 0 || id >= int64(len(d.past)) {
		return nil, errors.New("none")
	}
	return d.past[id], nil
}

func newDesk(t *testing.T) (*desk, *httptest.Server) {
	t.Helper()
	d := &desk{text: demo.Site()}
	srv := httptest.NewServer(New(stories(t)["afternoon before a freeze"], Options{Site: d}))
	t.Cleanup(srv.Close)
	return d, srv
}

// sends is a form sent to the desk; it returns where one ends up.
func sends(t *testing.T, srv *httptest.Server, path string, form url.Values) (*http.Response, string) {
	t.Helper()
	var r *http.Response
	var err error
	if form == nil {
		r, err = http.Get(srv.URL + path)
	} else {
		r, err = http.PostForm(srv.URL+path, form)
	}
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return r, string(body)
}

// filled is what a browser would send for the form of a page.
func filled(t *testing.T, body string) url.Values {
	t.Helper()
	out := url.Values{}
	doc := parse(t, body)
	for _, n := range find(doc, "form.fill input") {
		name, _ := attr(n, "name")
		v, _ := attr(n, "value")
		out.Set(name, v)
	}
	for _, n := range find(doc, "form.fill select") {
		name, _ := attr(n, "name")
		out.Set(name, "")
		for _, o := range find(n, "option[selected]") {
			v, _ := attr(o, "value")
			out.Set(name, v)
		}
	}
	return out
}

// Every form of the demo, opened and sent back untouched, leaves the file as it is, byte for byte.
func TestEveryFormSentBackUntouched(t *testing.T) {
	d, srv := newDesk(t)
	dr, err := site.NewDraft(d.text, "nursery.toml")
	if err != nil {
		t.Fatal(err)
	}
	for i, tb := range dr.Tables() {
		r, body := sends(t, srv, "/setup/table?n="+strconv.Itoa(i), nil)
		if r.StatusCode != 200 || len(find(parse(t, body), "form.fill .field")) != len(site.FieldsOf(tb.Path)) {
			t.Fatalf("[%s] in line %d: %d", tb.Path, tb.Line, r.StatusCode)
		}
		if r, body := sends(t, srv, "/setup/table", filled(t, body)); r.StatusCode != 200 {
			t.Fatalf("[%s] in line %d sent back: %d\n%s", tb.Path, tb.Line, r.StatusCode, body)
		}
		if !bytes.Equal(d.text, demo.Site()) {
			t.Fatalf("[%s] in line %d sent back untouched changed the file", tb.Path, tb.Line)
		}
	}
}

func TestSetUpChangesTheFile(t *testing.T) {
	d, srv := newDesk(t)
	_, body := sends(t, srv, "/setup", nil)
	if doc := parse(t, body); len(find(doc, "ul.list a")) < 40 || len(find(doc, "a.button")) < 8 {
		t.Fatalf("set-up lists %d things", len(find(doc, "ul.list a")))
	}
	dr, _ := site.NewDraft(d.text, "nursery.toml")
	bed := dr.Find("space", "name", "Bed 1")
	page := "/setup/table?n=" + strconv.Itoa(bed)

	_, body = sends(t, srv, page, nil)
	form := filled(t, body)
	form.Set("k-length", "30 m")
	if r, _ := sends(t, srv, "/setup/table", form); r.StatusCode != 200 || r.Request.URL.Path != "/setup/table" {
		t.Fatalf("written: %d %s", r.StatusCode, r.Request.URL)
	}
	s, _, err := site.Parse(d.text, "nursery.toml", site.Known{})
	if err != nil || s.Space("Bed 1").LengthM != 30 {
		t.Fatalf("length %v, %v", s.Space("Bed 1").LengthM, err)
	}
	if r, _ := sends(t, srv, "/setup/table", form); r.StatusCode != http.StatusConflict {
		t.Errorf("a form of an older file: %d", r.StatusCode)
	}

	// What is wrong stands at its field, what was typed is still there, the file is as before.
	before := d.text
	_, body = sends(t, srv, page, nil)
	form = filled(t, body)
	form.Set("k-width", "1.2")
	form.Set("k-kind", "bead")
	r, body := sends(t, srv, "/setup/table", form)
	doc := parse(t, body)
	if r.StatusCode != 422 || len(find(doc, "#w-width")) != 1 || len(find(doc, "#w-kind")) != 1 || len(find(doc, "#w-length")) != 0 || !bytes.Equal(d.text, before) {
		t.Errorf("a wrong width and kind: %d\n%s", r.StatusCode, body)
	}
	if v, _ := attr(find(doc, "#k-width")[0], "value"); v != "1.2" {
		t.Errorf("what was typed is gone: %q", v)
	}

	// A new group of plants, then taken out again.
	_, body = sends(t, srv, "/setup/new?path=space.group&under="+strconv.Itoa(bed), nil)
	form = filled(t, body)
	for k, v := range map[string]string{"plant": "Salvia elegans", "count": "40", "value_each": "5", "pot": "13 cm"} {
		form.Set("k-"+k, v)
	}
	r, _ = sends(t, srv, "/setup/new", form)
	s, _, err = site.Parse(d.text, "nursery.toml", site.Known{})
	groups := s.Space("Bed 1").Groups
	if r.StatusCode != 200 || err != nil || groups[len(groups)-1].Plant != "Salvia elegans" {
		t.Fatalf("new group: %d, %v", r.StatusCode, err)
	}
	v, n := digest(d.text)[:16], r.Request.URL.Query().Get("n")
	if r, _ := sends(t, srv, "/setup/remove", url.Values{"v": {v}, "n": {n}}); r.StatusCode != 200 || !bytes.Equal(d.text, before) {
		t.Errorf("added and taken out again, the file is another")
	}
	if r, _ := sends(t, srv, "/setup/remove", url.Values{"v": {digest(d.text)[:16]}, "n": {"0"}}); r.StatusCode != 422 || !bytes.Equal(d.text, before) {
		t.Errorf("the nursery itself was taken out: %d", r.StatusCode)
	}

	// Back to the first version.
	_, body = sends(t, srv, "/setup/past", nil)
	if got := len(find(parse(t, body), "form[action=/setup/back]")); got != len(d.past) {
		t.Errorf("%d earlier versions to go back to, want %d", got, len(d.past))
	}
	if r, _ := sends(t, srv, "/setup/back", url.Values{"id": {"0"}, "v": {digest(d.text)[:16]}}); r.StatusCode != 200 || !bytes.Equal(d.text, demo.Site()) {
		t.Errorf("back: %d", r.StatusCode)
	}
	d.full = true
	_, body = sends(t, srv, page, nil)
	form = filled(t, body)
	form.Set("k-length", "31 m")
	if r, _ := sends(t, srv, "/setup/table", form); r.StatusCode != 500 || !bytes.Equal(d.text, demo.Site()) {
		t.Errorf("a full disk: %d", r.StatusCode)
	}
}

// A first file: nothing but a name and a place, then a space and its plants, by forms alone.
func TestFirstSpaceByForms(t *testing.T) {
	d, srv := newDesk(t)
	d.text = []byte("[site]\nname = \"New\"\nlatitude = 34\nlongitude = -82\ntimezone = \"America/New_York\"\nunits = \"us\"\n\n[[space]]\nname = \"Bed\"\nkind = \"bed\"\nlength = \"9 ft\"\nwidth = \"4 ft\"\nworth = 100\n[[space.mix]]\nword = \"hardy\"\nshare = \"100 %\"\n")
	for _, add := range []struct{ path, under, want string }{
		{"crew", "-1", "[[crew]]"}, {"shed.cloth", "-1", "[[shed.cloth]]"}, {"space.shelter", "1", "[[space.shelter]]"},
	} {
		_, body := sends(t, srv, "/setup/new?path="+add.path+"&under="+add.under, nil)
		form := filled(t, body)
		for _, f := range site.FieldsOf(add.path) {
			if f.Must {
				form.Set("k-"+f.Key, f.Example) // the example of the reference is a right value
			}
		}
		r, body := sends(t, srv, "/setup/new", form)
		if r.StatusCode != 200 || !strings.Contains(string(d.text), add.want) {
			t.Errorf("%s: %d\n%s\n%s", add.path, r.StatusCode, body, d.text)
		}
	}
	for _, bad := range []string{"/setup/new?path=greenhouse", "/setup/new?path=space.group&under=x", "/setup/table?n=99", "/setup/table?n=x"} {
		if r, _ := sends(t, srv, bad, nil); r.StatusCode != 404 {
			t.Errorf("%s: %d", bad, r.StatusCode)
		}
	}
}

func TestSetUpInBrowser(t *testing.T) {
	ctx := browser(t)
	shots := os.Getenv("COLDNIGHT_SHOTS")
	d, srv := newDesk(t)
	dr, _ := site.NewDraft(d.text, "nursery.toml")
	n := 0
	for name, path := range map[string]string{
		"setup": "/setup", "space": "/setup/table?n=" + strconv.Itoa(dr.Find("space", "name", "Bed 1")), "new": "/setup/new?path=heater", "past": "/setup/past",
	} {
		for _, size := range [][2]int64{{360, 740}, {1280, 800}} {
			sep := "?"
			if strings.Contains(path, "?") {
				sep = "&"
			}
			for _, light := range []string{"night=0", "night=1"} {
				if err := chromedp.Do(ctx, chromedp.EmulateViewport(size[0], size[1]), chromedp.Navigate(srv.URL+path+sep+light),
					chromedp.Evaluate[chromedp.Void](`document.querySelectorAll('details').forEach(d => d.open = true)`)); err != nil {
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
					t.Errorf("%s at %d px, %s: %+v", name, size[0], light, l)
				}
				n++
				if shots != "" {
					pic, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
					if err != nil {
						t.Fatal(err)
					}
					save(t, shots, "setup-"+name+"-"+light+"-"+strconv.FormatInt(size[0], 10)+".png", pic)
				}
			}
		}
	}
	t.Logf("%d pages looked at", n)
}
