package web

import (
	"bytes"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// How to trust the nursery's own authority, and how to take that back, for each kind of
// device; asked of owners, and of nobody without it.
func TestTrust(t *testing.T) {
	st := stories(t)["afternoon before a freeze"]
	root := []byte("invented certificate")
	h := New(st, Options{Trust: &Trust{Root: root, Name: "coldnight Lower Mill", Fingerprint: "AB:CD", Addresses: func() []string { return []string{"https://shed.local:8378/"} }}})
	doc := parse(t, get(t, h, "/trust").Body.String())
	wellMade(t, doc)
	devices := find(doc, "section.device")
	if len(devices) != 4 || len(find(doc, "svg.qr")) != 1 || len(find(doc, "a[href=https://shed.local:8378/]")) != 1 {
		t.Errorf("%d devices", len(devices))
	}
	for _, d := range devices {
		if n := len(find(d, "ol")); n != 2 || len(find(d, "li")) < 5 {
			t.Errorf("%s: %d lists", words(d), n)
		}
		to, _ := attr(find(d, "a.button")[0], "href")
		w := get(t, h, to)
		if w.Code != 200 || w.Header().Get("Content-Type") != "application/x-x509-ca-cert" || !bytes.Equal(w.Body.Bytes(), root) || !strings.Contains(w.Header().Get("Content-Disposition"), "coldnight-root.c") {
			t.Errorf("%s: %d %v", to, w.Code, w.Header())
		}
	}
	if w := get(t, New(st, Options{}), "/trust"); w.Code != 404 {
		t.Errorf("without https: %d", w.Code)
	}
	j := newJoined(t)
	for _, path := range []string{"/trust", "/trust/root.crt"} {
		if status, body := j.send(t, phone(t), path); !strings.Contains(body, "This nursery has no owner yet") {
			t.Errorf("%s without joining: %d", path, status)
		}
	}
}

func TestTrustInBrowser(t *testing.T) {
	tab := browser(t)
	srv := httptest.NewServer(New(stories(t)["metric"], Options{Trust: &Trust{Root: []byte("x"), Name: "coldnight Lower Mill 2031-01-14", Fingerprint: strings.Repeat("AB:", 31) + "AB", Addresses: func() []string { return []string{"https://shed.local:8378/"} }}}))
	defer srv.Close()
	for _, path := range []string{"/trust?night=0", "/trust?night=1"} {
		if err := chromedp.Do(tab, chromedp.EmulateViewport(360, 740), chromedp.Navigate(srv.URL+path)); err != nil {
			t.Fatal(err)
		}
		if l := measured(t, tab); l.Overflow > 0 || len(l.Wide)+len(l.Small)+len(l.Faint)+len(l.Tiny) > 0 {
			t.Errorf("%s: %+v", path, l)
		}
	}
}
