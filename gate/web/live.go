package web

import (
	"crypto/rand"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"sync"
	"time"
)

// News tells the pages that are open that there is something new: a plan, a tick, a
// report. It says that, and nothing else; a page that hears it asks again. The zero
// value is not ready: make it with NewNews. It is safe for concurrent use.
type News struct {
	start string // another one after each start of the program

	mu    sync.Mutex
	count uint64
	next  chan struct{} // closed at the next change
	ended chan struct{} // closed when the program ends
	over  bool
	open  map[string]int // streams of each phone
	all   int
}

// How many streams there may be: a phone with a few tabs, and a nursery with a few
// phones. Each costs a connection and two looks into the ledger in each beat.
const (
	streamsEach = 4
	streamsAll  = 64
)

// NewNews returns news of a program that has just started.
func NewNews() *News {
	return &News{start: rand.Text()[:8], next: make(chan struct{}), ended: make(chan struct{}), open: map[string]int{}}
}

// Changed says that there is something new. It never waits.
func (n *News) Changed() {
	n.mu.Lock()
	defer n.mu.Unlock()
	n.count++
	close(n.next)
	n.next = make(chan struct{})
}

// Version is a text that is another one after each change, and after each start.
func (n *News) Version() string {
	v, _ := n.now()
	return v
}

// End ends every stream, so that the program need not wait for them.
func (n *News) End() {
	n.mu.Lock()
	defer n.mu.Unlock()
	if !n.over {
		n.over = true
		close(n.ended)
	}
}

func (n *News) now() (version string, next <-chan struct{}) {
	n.mu.Lock()
	defer n.mu.Unlock()
	return n.start + "-" + strconv.FormatUint(n.count, 10), n.next
}

// enter lets one more stream of a phone begin; leave ends it.
func (n *News) enter(phone string) (leave func(), ok bool) {
	n.mu.Lock()
	defer n.mu.Unlock()
	if n.over || n.all >= streamsAll || n.open[phone] >= streamsEach {
		return nil, false
	}
	n.all++
	n.open[phone]++
	return func() {
		n.mu.Lock()
		defer n.mu.Unlock()
		n.all--
		if n.open[phone]--; n.open[phone] == 0 {
			delete(n.open, phone)
		}
	}, true
}

// A stream says every beat that it is there, so that a phone notices when it is not:
// in the far house a connection may end without a word. A phone that takes nothing
// for as long as slowest is let go; it asks again when it can.
const (
	beat      = 20 * time.Second
	slowest   = 10 * time.Second
	askAgain  = 3 * time.Second  // after a stream that broke
	comesBack = 10 * time.Second // after one that was refused
)

// live is the stream of news, as server-sent events: "news" when there is some, "beat"
// when there is none. Each carries the version and the moment, by which a page knows
// how old its numbers are whatever the clock of the phone says.
func (s *server) live(w http.ResponseWriter, r *http.Request) error {
	leave, ok := s.news.enter(s.phoneOf(r))
	if !ok {
		w.Header().Set("Retry-After", strconv.Itoa(int(comesBack.Seconds())))
		return refusal{http.StatusTooManyRequests, "Too many pages of this nursery are open just now. Close one; this page asks again by itself."}
	}
	defer leave()
	c := http.NewResponseController(w)
	// the server's own limits are for pages, which end
	if err := c.SetReadDeadline(time.Time{}); err != nil {
		return fmt.Errorf("stream of news: %w", err)
	}
	h := w.Header()
	h.Set("Content-Type", "text/event-stream")
	h.Set("Cache-Control", "no-store")
	seen := r.Header.Get("Last-Event-ID")
	if seen == "" {
		seen = r.URL.Query().Get("since")
	}
	say := func(event, version string) bool {
		data, err := json.Marshal(map[string]string{"version": version, "now": s.now().UTC().Format(time.RFC3339)})
		if err != nil {
			return false // two texts: cannot be
		}
		if c.SetWriteDeadline(time.Now().Add(slowest)) != nil {
			return false
		}
		_, err = fmt.Fprintf(w, "event: %s\nid: %s\ndata: %s\n\n", event, version, data)
		return err == nil && c.Flush() == nil
	}
	if _, err := fmt.Fprintf(w, "retry: %d\n\n", askAgain.Milliseconds()); err != nil {
		return nil // gone already
	}
	beats := time.NewTicker(beat)
	defer beats.Stop()
	event := "beat" // the first tells the phone that it is connected
	for {
		version, next := s.news.now()
		if version != seen {
			event = "news"
		}
		if event != "" && !say(event, version) {
			return nil // slow, or gone: nobody to tell
		}
		seen, event = version, ""
		select {
		case <-r.Context().Done():
			return nil
		case <-s.news.ended:
			return nil
		case <-next:
		case <-beats.C:
			event = "beat"
		}
		if !s.stillIn(r) {
			return nil
		}
	}
}

// phoneOf tells phones apart: by their session, or by their address where nobody joins.
func (s *server) phoneOf(r *http.Request) string {
	if s.book != nil {
		return s.book.Device(r.Context())
	}
	return from(r)
}

// stillIn tells whether the phone that asked a while ago may still read.
func (s *server) stillIn(r *http.Request) bool {
	if s.book == nil {
		return true
	}
	ok, err := s.book.Still(r.Context())
	if err != nil {
		s.log.Error("session not read", "error", err)
	}
	return ok && err == nil
}

// liveRoutes adds the script and what it talks to.
func (s *server) liveRoutes(mux *http.ServeMux) {
	js, err := assets.ReadFile("page/coldnight.js")
	if err != nil {
		panic("web: " + err.Error()) // embedded: cannot be missing
	}
	s.js, s.script = js, "/coldnight.js?"+digest(js)[:8]
	mux.Handle("GET /coldnight.js", s.page(func(w http.ResponseWriter, r *http.Request) error {
		return send(w, r, "text/javascript; charset=utf-8", "public, max-age=31536000, immutable", s.js)
	}))
	worker, err := assets.ReadFile("page/service.js")
	if err != nil {
		panic("web: " + err.Error())
	}
	mux.Handle("GET /service.js", s.page(func(w http.ResponseWriter, r *http.Request) error {
		return send(w, r, "text/javascript; charset=utf-8", "no-cache", worker) // at one address, so that a newer one takes its place
	}))
	mux.Handle("GET /live", s.page(s.live))
	if s.queue != nil {
		mux.Handle("POST /queue", s.page(s.deliver))
	}
}
