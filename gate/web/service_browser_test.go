package web

import (
	"crypto/sha256"
	"crypto/tls"
	"encoding/base64"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"example.org/coldnight/gate/vouch"
)

// By https, with a certificate of the nursery's own authority: the page of tonight opens
// in the far house though nothing answers, says from when it is, takes ticks, and sends
// them when the phone is back; what people and Set up show is never kept.
func TestPageKeptForTheFarHouse(t *testing.T) {
	if testing.Short() {
		t.Skip("no browser in short tests")
	}
	a, err := vouch.Open(t.TempDir(), "Lower Mill", time.Now, func() []string { return []string{"127.0.0.1"} })
	if err != nil {
		t.Fatal(err)
	}
	cert, err := a.Certificate(nil)
	if err != nil {
		t.Fatal(err)
	}
	// a phone would trust the root; the browser of a test is told to take this one key
	pin := sha256.Sum256(cert.Leaf.RawSubjectPublicKeyInfo)
	tab := browser(t, chromedp.Flag("ignore-certificate-errors-spki-list", base64.StdEncoding.EncodeToString(pin[:])))

	y := &yard{phones: newPhones(t), news: NewNews(), began: time.Now()}
	y.start = y.view.Now
	pages := New(y, Options{News: y.news, Queue: y, Now: y.now})
	y.Server = httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/sign-out" { // as the pages of people do it
			http.Redirect(w, r, "/join", http.StatusSeeOther)
			return
		}
		if r.URL.Path == "/people" || r.URL.Path == "/join" {
			fmt.Fprint(w, `<!doctype html><title>People</title><main>who has joined</main>`)
			return
		}
		pages.ServeHTTP(w, r)
	}))
	y.link = &link{Listener: y.Listener}
	y.Listener = y.link
	y.TLS = &tls.Config{Certificates: []tls.Certificate{*cert}} // the test server would put its own before a function
	y.StartTLS()
	t.Cleanup(func() {
		y.news.End()
		y.CloseClientConnections()
		y.Close()
	})
	open := func(path string) error {
		return chromedp.Do(tab, chromedp.EmulateViewport(360, 740, chromedp.EmulateMobile), chromedp.Navigate(y.URL+path))
	}
	if err := open("/"); err != nil {
		t.Fatal(err)
	}
	keeps := `(async () => (await (await caches.open('coldnight-1')).keys()).map(r => new URL(r.url).pathname).sort().join(' '))()`
	stored := func() string {
		t.Helper()
		s, err := chromedp.Run(tab, chromedp.Evaluate[string](keeps, chromedp.EvalAwaitPromise))
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	for range 100 {
		if strings.Contains(stored(), "/ ") && strings.Contains(stored(), "coldnight.js") {
			break
		}
		time.Sleep(50 * time.Millisecond) // the browser's own work, in real time
	}
	if err := open("/people"); err != nil {
		t.Fatal(err)
	}
	if s := stored(); strings.Contains(s, "people") || !strings.Contains(s, "coldnight.css") {
		t.Fatalf("the store holds %s", s)
	}
	y.link.cut(true)
	if err := open("/"); err != nil {
		t.Fatalf("the page does not open without connection: %v", err)
	}
	until(t, tab, `!!document.querySelector('main[data-kept]') && !!document.querySelector('#line .lost')`)
	eval[chromedp.Void](t, tab, `document.querySelector('`+tickButtons+`').click()`)
	until(t, tab, `document.querySelectorAll('p.waits').length === 1`)
	if err := open("/"); err != nil { // opened again: what waits still waits
		t.Fatal(err)
	}
	until(t, tab, `document.querySelectorAll('p.waits').length === 1`)
	y.link.cut(false)
	eval[chromedp.Void](t, tab, `void dispatchEvent(new Event('online'))`)
	until(t, tab, `document.querySelectorAll('#jobs li.done').length === 1 && !document.querySelector('#line p') && !document.querySelector('main[data-kept]')`)
	y.mu.Lock()
	if len(y.all) != 1 {
		t.Errorf("%d ticks came", len(y.all))
	}
	y.mu.Unlock()
	eval[chromedp.Void](t, tab, `(() => { const f = document.createElement('form'); f.method = 'post'; f.action = '/sign-out'; document.body.append(f); const b = document.createElement('button'); f.append(b); b.click(); })()`)
	for range 100 {
		if eval[bool](t, tab, `location.pathname === '/join'`) && stored() == "" {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Errorf("after signing out the store holds %q", stored())
}
