package web

import (
	"context"
	"fmt"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/chromedp/chromedp"

	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
)

// Operators of the keystroke-level model [s]: Card, Moran & Newell, The Psychology of
// Human-Computer Interaction, 1983, ch. 8: a key by an average typist who is no secretary,
// pointing, a press, the hand between keys and pointer, and making up one's mind.
const (
	opKey   = 0.28
	opPoint = 1.10
	opPress = 0.10
	opHome  = 0.40
	opMind  = 1.35
)

// hand counts what a person does at the pages.
type hand struct {
	t             *testing.T
	ctx           context.Context
	do            func(a ...chromedp.Action[chromedp.Void])
	keys, taps    int
	minds, homing int
}

// tap presses what a selector finds: make up one's mind, point, press.
func (h *hand) tap(sel string) {
	h.t.Helper()
	h.taps++
	h.minds++
	h.do(chromedp.Click(sel))
}

// types goes to a field and writes into it.
func (h *hand) types(sel, text string) {
	h.t.Helper()
	h.taps++
	h.minds++
	h.homing += 2
	h.keys += utf8.RuneCountInString(text)
	if len(text) > 40 { // letter by letter the browser takes minutes for it; the keys are counted all the same
		h.set(sel, text)
		return
	}
	h.do(chromedp.SendKeys(sel, text))
}

// set puts a value into a field.
func (h *hand) set(sel, value string) {
	h.t.Helper()
	ok, err := chromedp.Run(h.ctx, chromedp.Evaluate[bool](fmt.Sprintf(`(e => { e.value = %q; return e.value === %q })(document.querySelector(%q))`, value, value, sel)))
	if err != nil || !ok {
		h.t.Fatalf("%s has no %q: %v", sel, value, err)
	}
}

// picks chooses in a list: open it, point at the word.
func (h *hand) picks(sel, value string) {
	h.t.Helper()
	h.taps += 2
	h.minds++
	h.set(sel, value)
}

func (h *hand) minutes() float64 {
	return (opKey*float64(h.keys) + (opPoint+opPress)*float64(h.taps) + opMind*float64(h.minds) + opHome*float64(h.homing)) / 60
}

// One evening: 12 spaces and 300 plants from a file that holds nothing but one bed, typed
// letter by letter, no list pasted. Aim: 60 minutes, and enough for a first plan after 10.
func TestOneEvening(t *testing.T) {
	ctx := browser(t)
	d, srv := newShelf(t)
	text, err := os.ReadFile("../../packaging/nursery.toml")
	if err != nil {
		t.Fatal(err)
	}
	d.text = text
	lib, err := plant.New()
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{}
	var all []string
	for _, r := range lib.Rows() {
		if n := strings.TrimSpace(r.Taxon); n != "" && !names[n] && len(n) < 30 && !strings.ContainsAny(n, "0123456789/;,(") {
			names[n] = true
			all = append(all, n)
		}
	}
	if len(all) < 288 {
		t.Fatalf("only %d names", len(all))
	}
	h := &hand{t: t, ctx: ctx, do: func(a ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, a...); err != nil {
			t.Fatal(err)
		}
	}}
	h.do(chromedp.EmulateViewport(360, 740))
	first := 0.0
	for i := range 12 {
		name := fmt.Sprintf("Row %d", i+1)
		h.do(chromedp.Navigate(srv.URL + "/setup"))
		h.tap(`a[href="/setup/new?path=space"]`)
		h.do(chromedp.WaitVisible("#k-name"))
		h.types("#k-name", name)
		h.picks("#k-kind", "bed")
		h.types("#k-length", "60 ft")
		h.types("#k-width", "5 ft")
		h.tap("form.fill > button")
		h.do(chromedp.WaitVisible("[role=status]"))
		var lines []string
		for k := range 25 {
			n := (i*25 + k) % len(all)
			lines = append(lines, fmt.Sprintf("%d %s", 10+k, strings.ToLower(all[n])))
		}
		h.do(chromedp.Navigate(srv.URL + "/plants"))
		h.tap(`a[href="/setup/list"]`)
		h.do(chromedp.WaitVisible("#text"))
		h.picks("#space", name)
		h.types("#text", strings.Join(lines, "\n"))
		h.types("#pot", "6 in")
		h.types("#each", "8")
		h.tap("form.fill > button")
		h.do(chromedp.WaitVisible("fieldset"))
		h.tap("form.fill > button")
		h.do(chromedp.WaitVisible(".stock"))
		if i == 0 {
			first = h.minutes()
		}
	}
	s, _, err := site.Parse(d.text, "nursery.toml", site.Known{})
	if err != nil {
		t.Fatal(err)
	}
	groups := 0
	for i := range s.Spaces {
		if s.Spaces[i].Name != "Bed 1" {
			groups += len(s.Spaces[i].Groups)
		}
	}
	if len(s.Spaces) != 13 || groups != 300 {
		t.Errorf("%d spaces, %d groups", len(s.Spaces)-1, groups)
	}
	t.Logf("%d keys, %d taps: %.0f minutes for 12 spaces and 300 names; a first plan after %.1f", h.keys, h.taps, h.minutes(), first)
	if h.minutes() > 60 || first > 10 {
		t.Errorf("%.0f minutes in all, %.1f to a first plan; the aims are 60 and 10", h.minutes(), first)
	}
}
