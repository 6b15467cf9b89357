package web

import (
	"bufio"
	"context"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

// stream is a response that is read while it is written, in virtual time.
type stream struct {
	head  http.Header
	lines chan string
	until time.Time // of the last write
	stuck bool      // the phone takes nothing
	code  int
}

func newStream() *stream { return &stream{head: http.Header{}, lines: make(chan string, 1000)} }

func (s *stream) Header() http.Header                { return s.head }
func (s *stream) WriteHeader(code int)               { s.code = code }
func (s *stream) SetReadDeadline(time.Time) error    { return nil }
func (s *stream) SetWriteDeadline(t time.Time) error { s.until = t; return nil }
func (s *stream) FlushError() error                  { return nil }

func (s *stream) Write(b []byte) (int, error) {
	if s.stuck {
		time.Sleep(time.Until(s.until)) // as the network does
		return 0, context.DeadlineExceeded
	}
	for l := range strings.Lines(string(b)) {
		if l = strings.TrimSpace(l); l != "" {
			s.lines <- l
		}
	}
	return len(b), nil
}

// events are the names of what came since, and the last version.
func (s *stream) events(t *testing.T) (names []string, version string) {
	t.Helper()
	for {
		select {
		case l := <-s.lines:
			if n, ok := strings.CutPrefix(l, "event: "); ok {
				names = append(names, n)
			}
			if d, ok := strings.CutPrefix(l, "data: "); ok {
				var m map[string]string
				if err := json.Unmarshal([]byte(d), &m); err != nil || len(m) != 2 || m["version"] == "" || m["now"] == "" {
					t.Fatalf("data %q: %v", d, err)
				}
				version = m["version"]
			}
		default:
			return names, version
		}
	}
}

// listen opens a stream and returns how to end it and when it has ended.
func listen(h http.Handler, s *stream, header ...string) (stop func(), ended <-chan struct{}) {
	ctx, stop := context.WithCancel(context.Background())
	r := httptest.NewRequestWithContext(ctx, http.MethodGet, "/live", nil)
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	done := make(chan struct{})
	go func() { defer close(done); h.ServeHTTP(s, r) }()
	return stop, done
}

func isClosed(c <-chan struct{}) bool {
	select {
	case <-c:
		return true
	default:
		return false
	}
}

// A night of one stream: it says once that it is there, then each beat, and news at
// once; what was missed between two streams is told at the start of the second.
func TestLive(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		news := NewNews()
		h := New(story{}, Options{News: news})
		first := news.Version()
		s := newStream()
		stop, ended := listen(h, s, "Last-Event-ID", first)
		synctest.Wait()
		if got, v := s.events(t); strings.Join(got, " ") != "beat" || v != first {
			t.Errorf("at the start: %v, version %q", got, v)
		}
		time.Sleep(time.Minute + time.Second)
		synctest.Wait()
		if got, _ := s.events(t); strings.Join(got, " ") != "beat beat beat" {
			t.Errorf("in a quiet minute: %v", got)
		}
		news.Changed()
		synctest.Wait()
		got, second := s.events(t)
		if strings.Join(got, " ") != "news" || second == first {
			t.Errorf("after a change: %v, version %q", got, second)
		}
		for range 100 { // all at once: one event tells them
			news.Changed()
		}
		synctest.Wait()
		got, third := s.events(t)
		if len(got) == 0 || len(got) > 100 || got[0] != "news" || third != news.Version() {
			t.Errorf("after a hundred: %d events, version %q of %q", len(got), third, news.Version())
		}
		stop()
		synctest.Wait()
		if !isClosed(ended) {
			t.Error("the phone has gone, the stream has not")
		}
		for seen, want := range map[string]string{third: "beat", first: "news", "": "news", "nonsense\n": "news"} {
			s := newStream()
			stop, _ := listen(h, s, "Last-Event-ID", seen)
			synctest.Wait()
			if got, _ := s.events(t); strings.Join(got, " ") != want {
				t.Errorf("back with %q: %v, want %s", seen, got, want)
			}
			stop()
		}
		synctest.Wait()
		if news.all != 0 || len(news.open) != 0 {
			t.Errorf("%d streams are counted when none is open: %v", news.all, news.open)
		}
	})
}

// A few streams each, a number in all; a phone that takes nothing is let go; all end
// with the program.
func TestLiveIsBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		news := NewNews()
		h := New(story{}, Options{News: news})
		var stops []func()
		for i := range streamsEach + 1 {
			s := newStream()
			stop, _ := listen(h, s)
			stops = append(stops, stop)
			synctest.Wait()
			if want := map[bool]int{true: 0, false: http.StatusTooManyRequests}[i < streamsEach]; s.code != want || (want != 0) != (s.head.Get("Retry-After") != "") {
				t.Errorf("stream %d of one phone: status %d", i, s.code)
			}
		}
		stops[0]()
		synctest.Wait()
		slow := newStream()
		slow.stuck = true
		_, ended := listen(h, slow)
		time.Sleep(slowest + time.Second)
		synctest.Wait()
		if !isClosed(ended) || news.all != streamsEach-1 {
			t.Errorf("a phone that takes nothing is still waited for; %d streams", news.all)
		}
		for i := news.all; i < streamsAll; i++ {
			if _, ok := news.enter("phone" + string(rune('a'+i))); !ok {
				t.Fatalf("stream %d refused", i)
			}
		}
		if _, ok := news.enter("one more"); ok {
			t.Error("no bound for all together")
		}
		last := newStream()
		news.End()
		news.End()
		synctest.Wait()
		stop, over := listen(h, last)
		synctest.Wait()
		if !isClosed(over) || last.code != http.StatusTooManyRequests {
			t.Errorf("a stream after the end: %d", last.code)
		}
		stop()
		for _, stop := range stops {
			stop()
		}
	})
}

// Over a real connection with the limits of the real server, which are for pages: the
// stream outlives them, and the server's end does not wait for it.
func TestLiveOverTheWire(t *testing.T) {
	news := NewNews()
	srv := httptest.NewUnstartedServer(New(story{}, Options{News: news}))
	srv.Config.ReadTimeout, srv.Config.WriteTimeout = 150*time.Millisecond, 150*time.Millisecond
	srv.Config.RegisterOnShutdown(news.End)
	srv.Start()
	r, err := http.Get(srv.URL + "/live?since=" + news.Version())
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	if kind := r.Header.Get("Content-Type"); kind != "text/event-stream" || r.Header.Get("Cache-Control") != "no-store" {
		t.Errorf("%q, %q", kind, r.Header.Get("Cache-Control"))
	}
	lines := bufio.NewScanner(r.Body)
	next := func(want string) {
		t.Helper()
		for lines.Scan() {
			if e, ok := strings.CutPrefix(lines.Text(), "event: "); ok {
				if e != want {
					t.Errorf("event %q, want %q", e, want)
				}
				return
			}
		}
		t.Fatalf("the stream ended before %q: %v", want, lines.Err())
	}
	next("beat")
	timer := time.AfterFunc(500*time.Millisecond, news.Changed) // real time: the deadlines are the network's own
	defer timer.Stop()
	next("news")
	began := time.Now()
	if err := srv.Config.Shutdown(t.Context()); err != nil || time.Since(began) > 5*time.Second {
		t.Errorf("the end took %s: %v", time.Since(began), err)
	}
	for lines.Scan() {
	}
	srv.Close()
}

// Nobody listens who has not joined; and a stream ends when the phone is signed out.
func TestLiveEndsWithTheSession(t *testing.T) {
	j := newJoined(t)
	news := NewNews()
	srv := httptest.NewServer(New(&tickTaker{view: stories(t)["afternoon before a freeze"].view}, Options{People: j.book, News: news}))
	defer srv.Close()
	j.Server = srv
	if status, body := j.send(t, phone(t), "/live"); strings.Contains(body, "event:") {
		t.Errorf("news without joining: %d %s", status, body)
	}
	c := phone(t)
	j.send(t, c, "/join", "code", j.code, "name", "Ana", "password", "wet gloves at dawn")
	r, err := c.Get(srv.URL + "/live")
	if err != nil || r.StatusCode != 200 {
		t.Fatal(err, r.StatusCode)
	}
	defer r.Body.Close()
	lines := bufio.NewScanner(r.Body)
	for lines.Scan() && !strings.HasPrefix(lines.Text(), "data:") {
	}
	j.send(t, c, "/sign-out", "x", "y")
	news.Changed()
	for lines.Scan() {
		if strings.HasPrefix(lines.Text(), "event: news") {
			t.Error("news after signing out")
		}
	}
}

// The script is one file of our own with its content in its address; without news there
// is none, and nothing on the page is script.
func TestScript(t *testing.T) {
	st := stories(t)["afternoon before a freeze"]
	doc := parse(t, get(t, New(st, Options{News: NewNews()}), "/").Body.String())
	all := find(doc, "script")
	if len(all) != 1 || all[0].FirstChild != nil {
		t.Fatalf("%d scripts", len(all))
	}
	src, _ := attr(all[0], "src")
	w := get(t, New(st, Options{News: NewNews()}), src)
	if !strings.HasPrefix(src, "/coldnight.js?") || w.Code != 200 || w.Header().Get("Content-Type") != "text/javascript; charset=utf-8" || !strings.Contains(w.Header().Get("Cache-Control"), "immutable") {
		t.Errorf("%s: %d %v", src, w.Code, w.Header())
	}
	for _, bad := range []string{"eval(", "innerHTML", "insertAdjacentHTML", "document.write", "new Function"} {
		if strings.Contains(w.Body.String(), bad) {
			t.Errorf("the script uses %s", bad)
		}
	}
	for _, sel := range []string{"*[onclick]", "*[onload]", "*[style]"} {
		if len(find(doc, sel)) > 0 {
			t.Errorf("%s on the page", sel)
		}
	}
	if w := get(t, New(st, Options{}), "/coldnight.js"); w.Code != 404 {
		t.Errorf("a script without news: %d", w.Code)
	}
}

// Every number from outside says how old it is, in a form that grows.
func TestAges(t *testing.T) {
	for name, c := range map[string]struct{ ages, old int }{
		"afternoon before a freeze": {2, 0},
		"failing forecast":          {3, 2},
		"no plan":                   {0, 0},
	} {
		doc := parse(t, get(t, New(stories(t)[name], Options{}), "/").Body.String())
		ages, old := find(doc, "time[data-old]"), find(doc, "time.old")
		if len(ages) != c.ages || len(old) != c.old {
			t.Errorf("%s: %d ages, %d old", name, len(ages), len(old))
		}
		for _, a := range ages {
			at, _ := attr(a, "datetime")
			if _, err := time.Parse(time.RFC3339, at); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
}
