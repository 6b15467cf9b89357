package web

import (
	"context"
	"encoding/json"
	"errors"
	"net/http/httptest"
	"net/url"
	"os"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// bench is a Trier of a story: the forms are true, the nights it answers with are those of
// the story's own options.
type bench struct {
	view  View
	err   error         // of Try
	holds chan struct{} // Try waits for it, or for its context; nil: it does not
	mu    sync.Mutex
	asked []plan.Trial
}

func (b *bench) Trying(_ context.Context, space string) (*plan.Trying, error) {
	if b.view.Answer == nil {
		return nil, &plan.TrialError{What: "there is no plan yet"}
	}
	f := plan.Freeze{Scene: &night.Scene{Site: b.view.Site}, Now: b.view.Now, Members: []weather.Series{{Step: time.Hour}}}
	return plan.NewTrying(&f, b.view.Answer, space)
}

func (b *bench) Try(ctx context.Context, y *plan.Trying, t plan.Trial) (was, is *night.Outlook, err error) {
	b.mu.Lock()
	b.asked = append(b.asked, t)
	b.mu.Unlock()
	if b.holds != nil {
		select {
		case <-ctx.Done():
			return nil, nil, ctx.Err()
		case <-b.holds:
		}
	}
	for _, s := range b.view.Answer.Spaces {
		if s.Outlook.Space.Name == y.Space.Name {
			a, c := *s.Outlook, *s.Outlook
			a.Options, c.Options = []night.Result{a.Options[0], a.Options[s.Chosen]}, []night.Result{a.Options[0], a.Options[len(a.Options)-1]}
			return &a, &c, b.err
		}
	}
	return nil, nil, errors.New("no such space in the story")
}

// benchOf is the pages of a story with what-if.
func benchOf(t testing.TB, name string) (*bench, *httptest.Server) {
	t.Helper()
	st := stories(t)[name]
	if st.view.Site == nil {
		t.Fatalf("no story %q", name)
	}
	cloths := []site.ShedCloth{{Cloth: site.Cloth{WeightKgM2: 0.030}, Pieces: 4}, {Cloth: site.Cloth{Name: "bubble film beside the old potting shed"}, Pieces: 1}}
	st.view.Site.Shed.Cloths = cloths
	for i := range st.view.Site.Spaces {
		sp := &st.view.Site.Spaces[i]
		sp.Kind, sp.LengthM, sp.WidthM = site.Bed, 12.2, 1.5
	}
	if a := st.view.Answer; a != nil {
		sp := a.Spaces[0].Outlook.Space.Name
		a.Plan.Holds = []plan.Fastening{{Space: sp, Says: "9 clamps along the north side, 6 along the south", Caution: "above a gust of 14 m/s it may not stay", Reason: "enough clamps for all"}}
		a.Plan.Assumed = append(a.Plan.Assumed, sp+", Asparagus fern: limits of its genus")
		a.Spaces[0].Outlook.Assumed = []string{"the first day of the weather was run 5 times before"}
	}
	b := &bench{view: st.view}
	srv := httptest.NewServer(New(st, Options{Trier: b}))
	t.Cleanup(srv.Close)
	return b, srv
}

func TestSpacePage(t *testing.T) {
	b, srv := benchOf(t, "18 spaces, 3 nights")
	_, body := sends(t, srv, "/", nil)
	links := find(parse(t, body), "article a.button")
	if len(links) != 18 {
		t.Fatalf("%d spaces of tonight have a page", len(links))
	}
	sp := b.view.Answer.Spaces[0].Outlook.Space.Name
	_, body = sends(t, srv, spaceLink(sp), nil)
	doc := parse(t, body)
	wellMade(t, doc)
	for sel, want := range map[string]int{
		"article svg.strip": 3, "#groups li": 1, "#chosen li": 2, "#holds p": 3, "#jobs li": 1, "#jobs input[name=back]": 2, "form#try select": 6,
		"#tried article": 0, "script[src]": 1, "details.assumed li": 2, "nav a[aria-current]": 0,
	} {
		if got := len(find(doc, sel)); got != want && (sel != "#jobs input[name=back]" || got < want) {
			t.Errorf("%q: %d, want %d", sel, got, want)
		}
	}
	if len(b.asked) != 0 {
		t.Error("something was tried that nobody asked for")
	}
	if r, _ := sends(t, srv, "/space/Bed%2099", nil); r.StatusCode != 404 {
		t.Errorf("a space that is not there: %d", r.StatusCode)
	}
	if r, body := sends(t, srv, "/try.js", nil); r.StatusCode != 200 || !strings.HasPrefix(r.Header.Get("Content-Type"), "text/javascript") || len(body) > 2000 {
		t.Errorf("script: %d, %d bytes", r.StatusCode, len(body))
	}
}

func TestWhatIf(t *testing.T) {
	b, srv := benchOf(t, "afternoon before a freeze")
	at := spaceLink(b.view.Answer.Spaces[0].Outlook.Space.Name)
	r, body := sends(t, srv, at+"?c0=2&c1=0&vents=&sky=overcast&wind=windy&warmer=-2", nil)
	doc := parse(t, body)
	wellMade(t, doc)
	if r.StatusCode != 200 || len(find(doc, "#tried article svg.strip")) != 2 || len(find(doc, "#tried li")) < 2 {
		t.Fatalf("%d\n%s", r.StatusCode, body)
	}
	if len(b.asked) != 1 || b.asked[0].Layers[0] != 2 || b.asked[0].Sky != plan.Overcast || b.asked[0].Wind != plan.Windy || b.asked[0].WarmerK != -2 || b.asked[0].Vents != -1 {
		t.Errorf("asked: %+v", b.asked)
	}
	for _, sel := range []string{"option[value=overcast][selected]", "option[value=windy][selected]"} {
		if name, _, _ := strings.Cut(sel, "]["); len(find(doc, name+"]")) != 1 {
			t.Errorf("%s is not in the form", name)
		}
	}
	n := 0
	for _, o := range find(doc, "form#try option[selected]") {
		if v, _ := attr(o, "value"); v == "overcast" || v == "windy" || v == "-2" || v == "2" {
			n++
		}
	}
	if n != 4 {
		t.Errorf("%d of 4 choices still stand in the form", n)
	}
	for bad, want := range map[string]int{
		"?sky=green": 400, "?wind=overcast": 400, "?c0=many": 400, "?vents=-1": 400, "?vents=NaN": 400, "?warmer=x": 400, "?heat=warm": 400, "?sky=" + strings.Repeat("x", 3000): 400,
	} {
		if r, body := sends(t, srv, at+bad, nil); r.StatusCode != want || len(find(parse(t, body), "h1")) != 1 {
			t.Errorf("%.40s: %d, want %d", bad, r.StatusCode, want)
		}
	}
	b.err = &plan.TrialError{What: "nothing heats this space"}
	if r, body := sends(t, srv, at+"?sky=clear", nil); r.StatusCode != 422 || !strings.Contains(body, "Nothing heats this space.") {
		t.Errorf("what cannot be: %d", r.StatusCode)
	}
	b.err = errors.New("/var/lib/secret")
	if r, body := sends(t, srv, at+"?sky=clear", nil); r.StatusCode != 500 || strings.Contains(body, "secret") {
		t.Errorf("a fault: %d", r.StatusCode)
	}
}

// A second question from the same phone ends the first.
func TestWhatIfOneAtATime(t *testing.T) {
	b, srv := benchOf(t, "afternoon before a freeze")
	b.holds = make(chan struct{})
	at := spaceLink(b.view.Answer.Spaces[0].Outlook.Space.Name)
	first := make(chan int, 1)
	go func() {
		r, err := srv.Client().Get(srv.URL + at + "?sky=clear")
		if err != nil {
			first <- 0
			return
		}
		_ = r.Body.Close()
		first <- r.StatusCode
	}()
	for range 200 {
		b.mu.Lock()
		n := len(b.asked)
		b.mu.Unlock()
		if n == 1 {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	second := make(chan int, 1)
	go func() {
		r, err := srv.Client().Get(srv.URL + at + "?sky=overcast")
		if err != nil {
			second <- 0
			return
		}
		_ = r.Body.Close()
		second <- r.StatusCode
	}()
	if got := <-first; got != 409 {
		t.Errorf("the first: %d", got)
	}
	close(b.holds)
	if got := <-second; got != 200 {
		t.Errorf("the second: %d", got)
	}
}

// States of the page of a space that are not those of a whole plan.
func TestSpacePageStates(t *testing.T) {
	for name, want := range map[string]struct{ strips, notices, forms int }{
		"first plan being made": {0, 1, 0}, "no plan": {0, 2, 0}, "failing forecast": {1, 1, 1}, "no plants named": {1, 0, 1}, "long names": {1, 0, 1},
		"metric": {1, 0, 1}, "no freeze": {1, 0, 1}, "heated": {2, 0, 1}, "polar night": {1, 0, 1}, "clocks change": {1, 0, 1},
	} {
		b, srv := benchOf(t, name)
		r, body := sends(t, srv, spaceLink(b.view.Site.Spaces[0].Name), nil)
		doc := parse(t, body)
		wellMade(t, doc)
		if s, n, f := len(find(doc, "section.night svg.strip")), len(find(doc, "p.notice")), len(find(doc, "form#try")); r.StatusCode != 200 || s < want.strips || s == 0 != (want.strips == 0) || n != want.notices || f != want.forms {
			t.Errorf("%s: %d; %d strips, %d notices, %d forms", name, r.StatusCode, s, n, f)
		}
	}
}

// see looks at a page in a browser, in both sizes and lights.
func see(t *testing.T, ctx context.Context, name, address string) {
	t.Helper()
	shots := os.Getenv("COLDNIGHT_SHOTS")
	for _, size := range [][2]int64{{360, 740}, {1280, 800}} {
		for _, light := range []string{"night=0", "night=1"} {
			to, anchor, _ := strings.Cut(address, "#")
			sep := "?"
			if strings.Contains(to, "?") {
				sep = "&"
			}
			if err := chromedp.Do(ctx, chromedp.EmulateViewport(size[0], size[1]), chromedp.Navigate(to+sep+light+"#"+anchor),
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
			if l.Overflow > 0 || len(l.Wide)+len(l.Small)+len(l.Faint)+len(l.Tiny) > 0 || l.StripPx < 14.5 {
				t.Errorf("%s at %d px, %s: %+v", name, size[0], light, l)
			}
			if shots != "" {
				pic, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
				if err != nil {
					t.Fatal(err)
				}
				save(t, shots, name+"-"+light+"-"+strconv.FormatInt(size[0], 10)+".png", pic)
			}
		}
	}
}

func TestSpaceAndJobsInBrowser(t *testing.T) {
	ctx := browser(t)
	for _, story := range []string{"afternoon before a freeze", "long names", "heated"} {
		b, srv := benchOf(t, story)
		at := srv.URL + spaceLink(b.view.Site.Spaces[0].Name)
		see(t, ctx, "space-"+story, at)
		see(t, ctx, "what-if-"+story, at+"?c0=2&sky=clear")
		see(t, ctx, "jobs-"+story, srv.URL+"/jobs")
		if story != "long names" {
			continue
		}
		see(t, ctx, "jobs-by-person", srv.URL+"/jobs?by=person")
	}
	b, srv := benchOf(t, "afternoon before a freeze")
	at := srv.URL + spaceLink(b.view.Site.Spaces[0].Name)
	// A choice in a list is enough: the script asks again and swaps the drawing.
	if err := chromedp.Do(ctx, chromedp.Navigate(at), chromedp.Evaluate[chromedp.Void](`(() => { const s = document.getElementById('t-sky'); s.value = 'overcast'; s.dispatchEvent(new Event('change', {bubbles: true})); })()`),
		chromedp.WaitVisible("#tried article svg.strip")); err != nil {
		t.Fatal(err)
	}
	where, err := chromedp.Run(ctx, chromedp.Evaluate[string](`location.search`))
	if q, bad := url.ParseQuery(strings.TrimPrefix(where, "?")); err != nil || bad != nil || q.Get("sky") != "overcast" {
		t.Errorf("the address says %q: %v", where, err)
	}
	// Without script the button does it.
	if _, err := chromedp.Call(ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		t.Fatal(err)
	}
	if err := chromedp.Do(ctx, chromedp.Navigate(at), chromedp.Click("#try button"), chromedp.WaitVisible("#tried article svg.strip")); err != nil {
		t.Fatal(err)
	}
}
