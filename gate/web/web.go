package web

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"log/slog"
	"net/http"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/gate/people"
	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// Source has the newest plan.
type Source interface {
	Tonight(ctx context.Context) (View, error)
	// Tick keeps a tick, or takes it back, so that it is there after a restart;
	// changed is false when it was so already.
	Tick(ctx context.Context, t Tick, done bool) (changed bool, err error)
	// Report keeps what is said of the work beside that, or takes it back.
	Report(ctx context.Context, r Report, stands bool) (changed bool, err error)
}

// View is what there is to show.
type View struct {
	Site    *site.Site
	Now     time.Time
	Answer  *plan.Answer // nil until the first plan is made
	Busy    bool         // a newer plan is being made
	Making  string       // how far that has got, in words; "" when nothing is known
	Stale   string       // why the forecast is not a new one, in words; "" when it is
	Trouble string       // why there is no newer plan, in words; "" when there is

	Ticks     []Tick // that stand, of this night and later
	TicksLost bool   // they cannot be read

	Reports []Report // that stand, of this night and later
	Also    []Tick   // beside those that stand: of a second person, or from before it was said to be not done

	Weather []weather.Series // the plan was made from, member by member; nil when it is not at hand
}

// Options are the settings of the pages.
type Options struct {
	Log    *slog.Logger   // nil: nothing is logged
	People *people.Book   // who has joined; nil: open to everybody who reaches the address
	Plants *plant.Library // what is known of plants; nil: no page of plants
	Site   SiteKeeper     // for the pages that change the site file; nil: there are none
	Nights NightKeeper    // nights that are over; nil: no page of them
	Near   func() string  // this machine's address on the local network, or ""
	Trier  Trier          // for what-if on the page of a space; nil: there is none
	Stop   func()         // ends the plan that is being made; nil: pages have no button for it

	News  *News            // what open pages are told, and so the script; nil: pages are without script
	Queue Queue            // takes what phones kept without connection; nil: they keep nothing
	Now   func() time.Time // nil: the clock of this machine
	Trust *Trust           // of the pages by https; nil: there are none
}

//go:embed page
var assets embed.FS

// server holds what every request needs.
type server struct {
	src     Source
	stop    func()
	log     *slog.Logger
	pages   *template.Template
	css     []byte
	style   string // address of the style file; changes with its content
	js      []byte
	script  string // address of the script, in the same way; "" when there is none
	news    *News
	queue   Queue
	now     func() time.Time
	trust   *Trust
	book    *people.Book
	keeper  SiteKeeper
	library *plant.Library
	past    NightKeeper
	near    func() string
	trier   Trier
	turns   *turns

	tryJS     []byte
	tryScript string // address of the script for what if
}

// New returns the pages. It panics only when its own templates do not parse.
func New(src Source, o Options) http.Handler {
	css, err := assets.ReadFile("page/coldnight.css")
	if err != nil {
		panic("web: " + err.Error()) // embedded: cannot be missing
	}
	tryJS, err := assets.ReadFile("page/try.js")
	if err != nil {
		panic("web: " + err.Error())
	}
	s := &server{
		src: src, stop: o.Stop, log: o.Log, book: o.People, keeper: o.Site, library: o.Plants, near: o.Near, news: o.News, queue: o.Queue, now: o.Now, trust: o.Trust, css: css, style: "/coldnight.css?" + digest(css)[:8],
		past:  o.Nights,
		trier: o.Trier, turns: newTurns(), tryJS: tryJS, tryScript: "/try.js?" + digest(tryJS)[:8],
		pages: template.Must(template.ParseFS(assets, "page/*.html")),
	}
	if s.now == nil {
		s.now = time.Now
	}
	if s.log == nil {
		s.log = slog.New(slog.DiscardHandler)
	}
	mux := http.NewServeMux()
	mux.Handle("GET /{$}", s.page(s.tonight))
	mux.Handle("GET /plan.json", s.page(s.planJSON))
	mux.Handle("GET /coldnight.css", s.page(s.styles))
	mux.Handle("GET /try.js", s.page(s.tryFile))
	mux.Handle("GET /space/{name}", s.page(s.space))
	mux.Handle("GET /jobs", s.page(s.jobsPage))
	mux.Handle("POST /light", s.page(s.light))
	mux.Handle("POST /tick", s.page(s.tick))
	mux.Handle("POST /say", s.page(s.say))
	mux.Handle("POST /who", s.page(s.who))
	if s.news != nil {
		s.liveRoutes(mux)
	}
	if s.trust != nil {
		s.trustRoutes(mux)
	}
	s.placeRoutes(mux)
	if s.book != nil {
		s.peopleRoutes(mux)
	}
	if s.library != nil {
		s.plantRoutes(mux)
	}
	if s.keeper != nil {
		s.setupRoutes(mux)
	}
	if s.stop != nil {
		mux.Handle("POST /stop", s.page(s.halt))
	}
	mux.Handle("/", s.page(func(http.ResponseWriter, *http.Request) error {
		return refusal{http.StatusNotFound, "There is no such page here."}
	}))
	guard := http.NewCrossOriginProtection()
	guard.SetDenyHandler(s.page(func(http.ResponseWriter, *http.Request) error {
		return refusal{http.StatusForbidden, "That came from another site, so nothing was changed."}
	}))
	all := http.NewServeMux()
	all.Handle("GET /healthz", s.page(s.healthz)) // no session is read for it
	all.Handle("/", s.guarded(mux))
	return headers(guard.Handler(all))
}

// headers lets the page load nothing from elsewhere, run nothing but its own file and be framed by nobody.
func headers(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'none'; style-src 'self'; img-src 'self'; script-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
		next.ServeHTTP(w, r)
	})
}

// refusal is an error that may be shown as it is.
type refusal struct {
	status int
	words  string
}

func (e refusal) Error() string { return e.words }

// page turns a handler that returns an error into one that shows it: the only
// place where an error becomes a page. What is not a refusal is logged, not shown.
func (s *server) page(serve func(http.ResponseWriter, *http.Request) error) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		err := serve(w, r)
		if err == nil || r.Context().Err() != nil {
			return
		}
		var no refusal
		if !errors.As(err, &no) {
			s.log.Error("page not made", "path", r.URL.Path, "error", err)
			no = refusal{http.StatusInternalServerError, "This page could not be made. The plan itself is not harmed; the reason stands in the program's log."}
		}
		var b bytes.Buffer
		e := errorPage{Frame: s.frame(r), Status: no.status, Words: no.words}
		e.Title = http.StatusText(no.status)
		if err := s.pages.ExecuteTemplate(&b, "error.html", e); err != nil {
			http.Error(w, no.words, no.status)
			return
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.Header().Set("Cache-Control", "no-store")
		w.WriteHeader(no.status)
		w.Write(b.Bytes())
	})
}

func (s *server) tonight(w http.ResponseWriter, r *http.Request) error {
	f := s.frame(r) // its version is of before the view is read: at worst the page is fetched once more
	v, err := s.src.Tonight(r.Context())
	if err != nil {
		return err
	}
	p, err := newPage(v)
	if err != nil {
		return err
	}
	f.Title, f.Again = p.Title, p.Again
	p.Frame = f
	for i := range p.Jobs {
		p.Jobs[i].Queued = p.Script != ""
	}
	p.Ticking.Who = whoTicks(r)
	if p.Me != "" {
		p.Ticking = ticking{} // who ticks is who has joined
	}
	p.Stop = v.Busy && s.stop != nil
	if words, at := told(r); words != "" && at >= 0 {
		if k := slices.IndexFunc(p.Jobs, func(j jobLine) bool { return j.Anchor == jobAnchor(at) }); k >= 0 {
			p.Jobs[k].Told = words
		}
	}
	return s.render(w, r, http.StatusOK, "tonight.html", p)
}

// render sends a page made whole, or nothing of it.
func (s *server) render(w http.ResponseWriter, r *http.Request, status int, name string, page any) error {
	var b bytes.Buffer
	if err := s.pages.ExecuteTemplate(&b, name, page); err != nil {
		return err
	}
	h := w.Header()
	h.Add("Vary", "Cookie")
	if status == http.StatusOK && h.Get("Cache-Control") == "" {
		return send(w, r, "text/html; charset=utf-8", "no-cache", b.Bytes())
	}
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_, _ = w.Write(b.Bytes()) // the phone has gone: nobody to tell
	return nil
}

// here is the nursery's name, the moment, and its zone, as far as they can be read.
func (s *server) here(r *http.Request) (name string, now time.Time, zone *time.Location) {
	v, err := s.src.Tonight(r.Context())
	if err != nil || v.Site == nil {
		return "", v.Now, time.UTC
	}
	if zone = v.Site.Zone; zone == nil {
		zone = time.UTC
	}
	return v.Site.Name, v.Now, zone
}

// planJSON is the plan as `coldnight plan --json` writes it.
func (s *server) planJSON(w http.ResponseWriter, r *http.Request) error {
	v, err := s.src.Tonight(r.Context())
	if err != nil {
		return err
	}
	if v.Answer == nil {
		return refusal{http.StatusNotFound, "There is no plan yet."}
	}
	b, err := json.MarshalIndent(v.Answer.Plan, "", "  ")
	if err != nil {
		return err
	}
	return send(w, r, "application/json", "no-cache", append(b, '\n'))
}

func (s *server) styles(w http.ResponseWriter, r *http.Request) error {
	return send(w, r, "text/css; charset=utf-8", "public, max-age=31536000, immutable", s.css)
}

func (s *server) tryFile(w http.ResponseWriter, r *http.Request) error {
	return send(w, r, "text/javascript; charset=utf-8", "public, max-age=31536000, immutable", s.tryJS)
}

// healthz says that the program answers; it does not ask the source.
func (s *server) healthz(w http.ResponseWriter, r *http.Request) error {
	return send(w, r, "text/plain; charset=utf-8", "no-store", []byte("ok\n"))
}

// halt ends the plan that is being made; the plan shown stays.
func (s *server) halt(w http.ResponseWriter, r *http.Request) error {
	s.stop()
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}

// light keeps the choice of a light on this phone.
func (s *server) light(w http.ResponseWriter, r *http.Request) error {
	if err := form(w, r, 1<<10); err != nil {
		return err
	}
	c := &http.Cookie{Name: "light", Path: "/", HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: r.TLS != nil, MaxAge: 180 * 24 * 3600}
	switch v := r.PostForm.Get("light"); v {
	case "night", "day":
		c.Value = v
	case "phone":
		c.MaxAge = -1
	default:
		return refusal{http.StatusBadRequest, "The light is night, day or phone."}
	}
	http.SetCookie(w, c)
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}

// frame is the part of every page that depends on the request: ?night=1 and
// ?night=0 before the cookie, the cookie before the phone's own setting.
func (s *server) frame(r *http.Request) Frame {
	me := who(r.Context())
	f := Frame{Style: s.style, Stock: s.library != nil, Me: me.Name, SetUp: s.keeper != nil && (s.book == nil || me.Role == people.Owner)}
	if s.script != "" && (s.book == nil || me.Name != "") {
		f.Script, f.Version = s.script, s.news.Version()
	}
	f.Nav = s.nav(r, &f)
	if c, err := r.Cookie("light"); err == nil && (c.Value == "night" || c.Value == "day") {
		f.Light = c.Value
	}
	switch r.URL.Query().Get("night") {
	case "1":
		f.Light = "night"
	case "0":
		f.Light = "day"
	}
	return f
}

// send writes a whole body, or says that it has not changed. It is packed when the
// phone takes that: the far houses have little signal.
func send(w http.ResponseWriter, r *http.Request, kind, cache string, body []byte) error {
	h := w.Header()
	tag := `W/"` + digest(body)[:16] + `"` // weak: packed or not it is the same page
	h.Set("Content-Type", kind)
	h.Set("Cache-Control", cache)
	h.Set("ETag", tag)
	h.Add("Vary", "Accept-Encoding")
	for t := range strings.SplitSeq(r.Header.Get("If-None-Match"), ",") {
		if t = strings.TrimSpace(t); t == tag || t == "*" {
			w.WriteHeader(http.StatusNotModified)
			return nil
		}
	}
	if len(body) > 1400 && takesGzip(r.Header.Get("Accept-Encoding")) {
		var b bytes.Buffer
		z := gzip.NewWriter(&b)
		if _, err := z.Write(body); err != nil {
			return err
		}
		if err := z.Close(); err != nil {
			return err
		}
		h.Set("Content-Encoding", "gzip")
		body = b.Bytes()
	}
	h.Set("Content-Length", fmt.Sprint(len(body)))
	_, _ = w.Write(body) // the phone has gone: nobody to tell
	return nil
}

// takesGzip reads Accept-Encoding: gzip named, and not with q=0.
func takesGzip(accept string) bool {
	for part := range strings.SplitSeq(accept, ",") {
		name, q, _ := strings.Cut(strings.ReplaceAll(part, " ", ""), ";")
		if strings.EqualFold(name, "gzip") {
			return strings.Trim(strings.TrimPrefix(q, "q="), "0.") != "" || q == ""
		}
	}
	return false
}

func digest(b []byte) string {
	sum := sha256.Sum256(b)
	return base64.RawURLEncoding.EncodeToString(sum[:])
}
