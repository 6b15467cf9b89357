package web

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// yard is a nursery that several phones use at once, over a link that can be cut.
type yard struct {
	mu sync.Mutex
	*phones
	news  *News
	began time.Time
	start time.Time
	*httptest.Server
	link *link
}

func newYard(t *testing.T) *yard {
	t.Helper()
	y := &yard{phones: newPhones(t), news: NewNews(), began: time.Now()}
	y.start = y.view.Now
	y.Server = httptest.NewUnstartedServer(New(y, Options{News: y.news, Queue: y, Now: y.now}))
	y.link = &link{Listener: y.Listener}
	y.Listener = y.link
	y.Config.RegisterOnShutdown(y.news.End)
	y.Start()
	t.Cleanup(func() {
		y.news.End()
		y.CloseClientConnections()
		y.Close()
	})
	return y
}

func (y *yard) now() time.Time { return y.start.Add(time.Since(y.began)) }

func (y *yard) Tonight(ctx context.Context) (View, error) {
	y.mu.Lock()
	defer y.mu.Unlock()
	v, err := y.phones.Tonight(ctx)
	v.Now, v.Ticks, v.Reports, v.Also = y.now(), slices.Clone(v.Ticks), slices.Clone(v.Reports), slices.Clone(v.Also)
	return v, err
}

func (y *yard) Delivered(ctx context.Context, id string) (Answer, bool, error) {
	y.mu.Lock()
	defer y.mu.Unlock()
	return y.phones.Delivered(ctx, id)
}

func (y *yard) Deliver(ctx context.Context, d Delivery, e Effect, tell func(Met) Answer) (Answer, error) {
	y.mu.Lock()
	defer y.mu.Unlock()
	defer y.news.Changed()
	return y.phones.Deliver(ctx, d, e, tell)
}

// link is a listener whose cable can be pulled: what is open breaks, what comes is not
// answered.
type link struct {
	net.Listener
	mu   sync.Mutex
	down bool
	open []net.Conn
}

func (l *link) Accept() (net.Conn, error) {
	for {
		c, err := l.Listener.Accept()
		if err != nil {
			return nil, err
		}
		l.mu.Lock()
		down := l.down
		if !down {
			l.open = append(l.open, c)
		}
		l.mu.Unlock()
		if !down {
			return c, nil
		}
		c.Close()
	}
}

func (l *link) cut(down bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.down = down; down {
		for _, c := range l.open {
			c.Close()
		}
		l.open = nil
	}
}

// jobs are the buttons that tick, on the page.
const tickButtons = `#jobs li form.tick[data-queue=tick] button[value=done]`

func eval[T any](t *testing.T, tab context.Context, js string) T {
	t.Helper()
	x, err := chromedp.Run(tab, chromedp.Evaluate[T](js))
	if err != nil {
		t.Fatalf("%s: %v", js, err)
	}
	return x
}

// until waits for something on the page.
func until(t *testing.T, tab context.Context, js string) {
	t.Helper()
	if _, err := chromedp.Run(tab, chromedp.Poll[bool](js, chromedp.WithPollingTimeout(20*time.Second))); err != nil {
		text, _ := chromedp.Run(tab, chromedp.Evaluate[string](`document.querySelector('#line')?.innerText + ' | hidden ' + document.hidden + ' | ' + document.querySelectorAll('p.waits').length + ' wait'`))
		t.Fatalf("waiting for %s: %v; the page says %s", js, err, text)
	}
}

// Two phones at once: a tick on one appears on the other, which keeps what was open and
// where it was.
func TestTwoPhones(t *testing.T) {
	one := browser(t)
	y := newYard(t)
	open := func(tab context.Context) {
		t.Helper()
		if err := chromedp.Do(tab, chromedp.EmulateViewport(360, 740, chromedp.EmulateMobile), chromedp.Navigate(y.URL+"/")); err != nil {
			t.Fatal(err)
		}
	}
	open(one)
	two, stop := chromedp.NewContext(one)
	defer stop()
	open(two)
	jobs := eval[int](t, two, `window.stays = true, document.querySelector('#said, .changes, details.key').open = true, document.querySelectorAll('`+tickButtons+`').length`)
	if jobs < 2 {
		t.Fatalf("%d jobs to tick", jobs)
	}
	eval[chromedp.Void](t, two, `document.querySelector('#job1').scrollIntoView()`)
	before := eval[float64](t, two, `document.querySelector('#job1').getBoundingClientRect().top`)
	eval[chromedp.Void](t, one, `document.querySelector('`+tickButtons+`').click()`)
	until(t, one, `document.querySelectorAll('#jobs li.done').length === 1`)
	until(t, two, `document.querySelectorAll('#jobs li.done').length === 1`)
	if !eval[bool](t, two, `window.stays === true`) {
		t.Error("the second page was loaded anew")
	}
	if !eval[bool](t, two, `document.querySelector('#said, .changes, details.key').open`) {
		t.Error("what was open is shut")
	}
	if after := eval[float64](t, two, `document.querySelector('#job1').getBoundingClientRect().top`); after < before-2 || after > before+2 {
		t.Errorf("the page jumped from %g to %g", before, after)
	}
	if n := eval[int](t, one, `document.querySelectorAll('#line p').length + document.querySelectorAll('p.waits').length`); n != 0 {
		t.Error("the first page still says that something waits")
	}
	// and back again, from the second
	eval[chromedp.Void](t, two, `document.querySelector('#jobs li.done button.undo').click()`)
	until(t, one, `document.querySelectorAll('#jobs li.done').length === 0`)
	if l := measured(t, two); len(l.Small) > 0 || len(l.Faint) > 0 || l.Overflow > 0 {
		t.Errorf("%+v", l)
	}
}

// A whole evening of ticks in the far house: all are kept on the phone, with words that
// say so, and come in their order when the phone is back.
func TestEveningWithoutSignal(t *testing.T) {
	tab := browser(t)
	y := newYard(t)
	if err := chromedp.Do(tab, chromedp.EmulateViewport(360, 740, chromedp.EmulateMobile), chromedp.Navigate(y.URL+"/")); err != nil {
		t.Fatal(err)
	}
	jobs := eval[int](t, tab, `document.querySelectorAll('`+tickButtons+`').length`)
	y.link.cut(true)
	for i := range jobs {
		eval[chromedp.Void](t, tab, fmt.Sprintf(`document.querySelector('#job%d button[value=done]').click()`, i))
	}
	until(t, tab, fmt.Sprintf(`document.querySelectorAll('p.waits').length === %d && !!document.querySelector('#line .lost') && !!document.querySelector('#line .waiting')`, jobs))
	// one was a slip of the thumb, and is taken back
	eval[chromedp.Void](t, tab, `document.querySelector('#job0 button.undo').click()`)
	text := eval[string](t, tab, `document.querySelector('#line').innerText`)
	if !strings.Contains(text, fmt.Sprintf("%d ticks wait to be sent.", jobs+1)) || !strings.Contains(text, "No connection since ") {
		t.Errorf("the page says %q", text)
	}
	if n := eval[int](t, tab, `JSON.parse(localStorage.getItem('coldnight-queue:')).length`); n != jobs+1 {
		t.Errorf("%d of %d are in the store", n, jobs+1)
	}
	if l := measured(t, tab); len(l.Small) > 0 || len(l.Faint) > 0 || len(l.Tiny) > 0 || l.Overflow > 0 {
		t.Errorf("%+v", l)
	}
	if shots := os.Getenv("COLDNIGHT_SHOTS"); shots != "" {
		eval[chromedp.Void](t, tab, `scrollTo(0, 0)`)
		pic, err := chromedp.Run(tab, chromedp.FullScreenshot(100))
		if err != nil {
			t.Fatal(err)
		}
		save(t, shots, "without-signal.png", pic)
	}
	if len(y.all) != 0 {
		t.Fatalf("%d came over a link that is cut", len(y.all))
	}
	y.link.cut(false)
	eval[chromedp.Void](t, tab, `void dispatchEvent(new Event('online'))`) // as the phone says; else within a minute
	until(t, tab, fmt.Sprintf(`document.querySelectorAll('#jobs li.done').length === %d && !document.querySelector('#line p') && !document.querySelector('p.waits')`, jobs-1))
	y.mu.Lock()
	defer y.mu.Unlock()
	if len(y.all) != jobs+1 || len(y.came) != jobs+1 {
		t.Fatalf("%d presses, %d came, %d ids", jobs+1, len(y.all), len(y.came))
	}
	for i, d := range y.all {
		want := fmt.Sprintf(`"job":%q`, y.view.Answer.Plan.Jobs[i%jobs].ID)
		if !strings.Contains(d.Body, want) || !d.Pressed.Before(d.Received) || i > 0 && d.Pressed.Before(y.all[i-1].Pressed) {
			t.Errorf("%d: %s pressed %s, want %s", i, d.Body, d.Pressed, want)
		}
		if d.At.Year() == d.Received.Year() { // the phone's clock is today's, the nursery's is invented
			t.Errorf("%d: the phone's own clock is not noted: %s", i, d.At)
		}
	}
	if n := eval[string](t, tab, `localStorage.getItem('coldnight-queue:')`); n != "[]" {
		t.Errorf("still in the store: %s", n)
	}
}

// The link works only one way: what the program kept and the phone did not hear of is
// sent again, and counts once.
func TestAnswerLostInBrowser(t *testing.T) {
	tab := browser(t)
	y := newYard(t)
	lost := 0
	inner := y.Config.Handler
	y.Config.Handler = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/queue" && lost < 2 {
			lost++
			inner.ServeHTTP(httptest.NewRecorder(), r)
			panic(http.ErrAbortHandler)
		}
		inner.ServeHTTP(w, r)
	})
	if err := chromedp.Do(tab, chromedp.EmulateViewport(360, 740), chromedp.Navigate(y.URL+"/")); err != nil {
		t.Fatal(err)
	}
	eval[chromedp.Void](t, tab, `document.querySelector('`+tickButtons+`').click()`)
	until(t, tab, `document.querySelectorAll('#jobs li.done').length === 1 && !document.querySelector('p.waits')`)
	y.mu.Lock()
	defer y.mu.Unlock()
	if lost != 2 || len(y.all) != 1 || len(y.view.Ticks) != 1 {
		t.Errorf("%d answers lost, %d kept, %d ticks", lost, len(y.all), len(y.view.Ticks))
	}
}

// The page of jobs hears of the page of tonight.
func TestJobsPageIsLive(t *testing.T) {
	one := browser(t)
	y := newYard(t)
	open := func(tab context.Context, path string) {
		t.Helper()
		if err := chromedp.Do(tab, chromedp.EmulateViewport(360, 740), chromedp.Navigate(y.URL+path)); err != nil {
			t.Fatal(err)
		}
	}
	open(one, "/")
	two, stop := chromedp.NewContext(one) // once the browser runs
	defer stop()
	open(two, "/jobs")
	eval[chromedp.Void](t, one, `document.querySelector('`+tickButtons+`').click()`)
	until(t, two, `document.querySelectorAll('ol.jobs li.done').length === 1`)
	eval[chromedp.Void](t, two, `document.querySelector('ol.jobs li.done button.undo').click()`)
	until(t, one, `document.querySelectorAll('#jobs li.done').length === 0`)
}
