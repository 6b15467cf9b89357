package web

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"rsc.io/qr"

	"example.org/coldnight/gate/people"
	"example.org/coldnight/internal/phrase"
)

// joinPage is where somebody joins or signs in: all that is shown to who has not.
type joinPage struct {
	Frame
	Site   string
	Claim  bool   // the nursery has no owner yet
	Secret string // of an invitation
	Name   string
	Role   string
	Must   bool   // a password is needed
	Told   string // what was wrong with the last try
}

// peoplePage is who has joined, with what, and what they did.
type peoplePage struct {
	Frame
	Site    string
	Me      string
	Owner   bool
	People  []personLine
	Devices []deviceLine
	Deeds   []deedLine
	Roles   []roleChoice
	Told    string
	Trust   bool // an owner's phone may be made to trust the pages by https
}

type personLine struct {
	ID    int64
	Name  string
	Role  string
	Since string
	Me    bool
}

type deviceLine struct {
	ID, Who, Name, Seen string
	This                bool
}

type deedLine struct{ At, When, Who, What, About string }

type roleChoice struct{ Key, Words string }

// invitePage shows an invitation, once.
type invitePage struct {
	Frame
	Site, Name, Role, Until string
	Link                    string
	Side                    int    // of the code's square, with its quiet edge
	Dark                    string // path of the dark squares
}

// asks is who asks, in a context.
type asks struct{}

// who is the person at this phone; the zero Person when the pages are open to all.
func who(ctx context.Context) people.Person {
	p, _ := ctx.Value(asks{}).(people.Person)
	return p
}

// may says what a role may ask for; an owner may everything.
func may(role people.Role, method, path string) bool {
	switch {
	case role == people.Owner:
		return true
	case path == "/sign-out" || path == "/light" || path == "/people/end":
		return true
	case strings.HasPrefix(path, "/setup") || path == "/people/invite" || path == "/people/dismiss":
		return false
	}
	return method == http.MethodGet || method == http.MethodHead || role == people.Crew
}

// guarded lets through only who has joined. Open to all are the page for joining, the
// style of that page, and whether the program answers.
func (s *server) guarded(next http.Handler) http.Handler {
	if s.book == nil {
		return next
	}
	return s.book.Load(s.page(func(w http.ResponseWriter, r *http.Request) error {
		if path := r.URL.Path; path == "/join" || strings.HasPrefix(path, "/join/") || path == "/sign-in" || path == "/coldnight.css" || path == "/light" {
			next.ServeHTTP(w, r)
			return nil
		}
		p, ok, err := s.book.Who(r.Context())
		if err != nil {
			return err
		}
		if !ok {
			if r.Method != http.MethodGet {
				return refusal{http.StatusUnauthorized, "This phone is not signed in, so nothing was changed. Open the first page and sign in; then do it again."}
			}
			http.Redirect(w, r, "/join", http.StatusSeeOther)
			return nil
		}
		if !may(p.Role, r.Method, r.URL.Path) {
			return refusal{http.StatusForbidden, "That is for " + forWhom(r.URL.Path) + ". Nothing was changed."}
		}
		w.Header().Add("Vary", "Cookie")
		next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), asks{}, p)))
		return nil
	}))
}

func forWhom(path string) string {
	if strings.HasPrefix(path, "/setup") || strings.HasPrefix(path, "/people") {
		return "an owner"
	}
	return "the crew"
}

// peopleRoutes adds the pages of joining and of who has joined.
func (s *server) peopleRoutes(mux *http.ServeMux) {
	mux.Handle("GET /join", s.page(s.join))
	mux.Handle("GET /join/{secret}", s.page(s.join))
	mux.Handle("POST /join", s.page(s.joins))
	mux.Handle("POST /sign-in", s.page(s.signIn))
	mux.Handle("POST /sign-out", s.page(s.signOut))
	mux.Handle("GET /people", s.page(s.people))
	mux.Handle("POST /people/invite", s.page(s.invite))
	mux.Handle("POST /people/dismiss", s.page(s.dismiss))
	mux.Handle("POST /people/end", s.page(s.endDevice))
}

// join shows the page for joining, with what was wrong with the last try.
func (s *server) join(w http.ResponseWriter, r *http.Request) error {
	return s.showJoin(w, r, r.PathValue("secret"), "")
}

func (s *server) showJoin(w http.ResponseWriter, r *http.Request, secret, wrong string) error {
	site, _, _ := s.here(r)
	p := joinPage{Frame: s.frame(r), Site: site, Claim: s.book.Unclaimed(), Secret: secret, Told: wrong}
	p.Title = "Join"
	status := http.StatusOK
	if secret != "" {
		name, role, err := s.book.Invited(r.Context(), from(r), secret)
		var no *people.Refusal
		switch {
		case errors.As(err, &no):
			p.Secret, status = "", http.StatusNotFound
			if p.Told == "" {
				p.Told = sentence(no)
			}
		case err != nil:
			return err
		}
		p.Name, p.Role, p.Must = name, phrase.Capital(role.Words()), role == people.Owner
	}
	if wrong != "" {
		status = http.StatusUnprocessableEntity
	}
	return s.render(w, r, status, "join.html", p)
}

func sentence(no *people.Refusal) string {
	return phrase.Capital(no.What) + ": " + no.Do + "."
}

// joins takes the form of an owner's code or of an invitation.
func (s *server) joins(w http.ResponseWriter, r *http.Request) error {
	if err := form(w, r, smallForm); err != nil {
		return err
	}
	f := r.PostForm
	secret := f.Get("secret")
	var p people.Person
	var err error
	if secret == "" {
		p, err = s.book.Claim(r.Context(), from(r), f.Get("code"), f.Get("name"), f.Get("password"))
	} else {
		p, err = s.book.Join(r.Context(), from(r), secret, f.Get("name"), f.Get("password"))
	}
	return s.entered(w, r, p, err, secret)
}

func (s *server) signIn(w http.ResponseWriter, r *http.Request) error {
	if err := form(w, r, smallForm); err != nil {
		return err
	}
	p, err := s.book.SignIn(r.Context(), from(r), r.PostForm.Get("name"), r.PostForm.Get("password"))
	return s.entered(w, r, p, err, "")
}

// entered signs the phone in, or shows what was wrong.
func (s *server) entered(w http.ResponseWriter, r *http.Request, p people.Person, err error, secret string) error {
	var no *people.Refusal
	if errors.As(err, &no) {
		if no.Wait > 0 {
			w.Header().Set("Retry-After", strconv.Itoa(int(math.Ceil(no.Wait.Seconds()))))
			return refusal{http.StatusTooManyRequests, sentence(no)}
		}
		return s.showJoin(w, r, secret, sentence(no))
	}
	if err != nil {
		return err
	}
	if err := s.book.Enter(r.Context(), p, deviceName(r.UserAgent())); err != nil {
		return err
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}

func (s *server) signOut(w http.ResponseWriter, r *http.Request) error {
	if err := s.book.Leave(r.Context()); err != nil {
		return err
	}
	w.Header().Set("Clear-Site-Data", `"cache", "storage"`)
	http.Redirect(w, r, "/join", http.StatusSeeOther)
	return nil
}

// most deeds that are shown.
const shownDeeds = 60

func (s *server) people(w http.ResponseWriter, r *http.Request) error {
	me := who(r.Context())
	site, now, zone := s.here(r)
	p := peoplePage{Frame: s.frame(r), Site: site, Me: me.Name, Owner: me.Role == people.Owner}
	p.Title = "People"
	all, err := s.book.All(r.Context())
	if err != nil {
		return err
	}
	names := map[int64]string{}
	for _, a := range all {
		names[a.ID] = a.Name
		p.People = append(p.People, personLine{a.ID, a.Name, a.Role.Words(), a.Joined.In(zone).Format("2 January 2006"), a.ID == me.ID})
	}
	devices, err := s.book.Devices(r.Context())
	if err != nil {
		return err
	}
	for _, d := range devices {
		if p.Owner || d.Person == me.ID {
			p.Devices = append(p.Devices, deviceLine{d.ID, names[d.Person], d.Name, ago(max(0, now.Sub(d.Seen))), d.This})
		}
	}
	if p.Owner {
		p.Trust = s.trust != nil
		for _, role := range []people.Role{people.Crew, people.Look, people.Owner} {
			p.Roles = append(p.Roles, roleChoice{string(role), role.Words()})
		}
		deeds, err := s.book.Deeds(r.Context(), shownDeeds)
		if err != nil {
			return err
		}
		for _, d := range deeds {
			at := d.At.In(zone)
			p.Deeds = append(p.Deeds, deedLine{at.Format(time.RFC3339), at.Format("Mon 2 Jan 15:04"), d.Who, d.What, d.About})
		}
	}
	return s.render(w, r, http.StatusOK, "people.html", p)
}

func (s *server) invite(w http.ResponseWriter, r *http.Request) error {
	if err := form(w, r, smallForm); err != nil {
		return err
	}
	role := people.Role(r.PostForm.Get("role"))
	secret, until, err := s.book.Invite(r.Context(), who(r.Context()), r.PostForm.Get("name"), role)
	if err != nil {
		return asRefusal(err)
	}
	site, _, zone := s.here(r)
	p := invitePage{Frame: s.frame(r), Site: site, Name: r.PostForm.Get("name"), Role: phrase.Capital(role.Words()), Until: until.In(zone).Format("Monday 15:04")}
	p.Title = "Invitation"
	p.Link = s.base(r) + "/join/" + url.PathEscape(secret)
	code, err := qr.Encode(p.Link, qr.M)
	if err != nil {
		return fmt.Errorf("QR code of an invitation: %w", err)
	}
	p.Side, p.Dark = squares(code)
	w.Header().Set("Cache-Control", "no-store")
	return s.render(w, r, http.StatusOK, "invite.html", p)
}

// quiet is the white edge that a QR code needs [squares], ISO/IEC 18004.
const quiet = 4

// squares draws a QR code, one unit a square.
func squares(c *qr.Code) (side int, path string) {
	var b strings.Builder
	for y := range c.Size {
		for x := 0; x < c.Size; x++ {
			n := 0
			for x+n < c.Size && c.Black(x+n, y) {
				n++
			}
			if n > 0 {
				fmt.Fprintf(&b, "M%d %dh%dv1h-%dz", x+quiet, y+quiet, n, n)
				x += n
			}
		}
	}
	return c.Size + 2*quiet, b.String()
}

func (s *server) dismiss(w http.ResponseWriter, r *http.Request) error {
	if err := form(w, r, smallForm); err != nil {
		return err
	}
	id, err := strconv.ParseInt(r.PostForm.Get("person"), 10, 64)
	if err != nil {
		return refusal{http.StatusBadRequest, "That form names nobody. Nothing was changed."}
	}
	if err := s.book.Dismiss(r.Context(), who(r.Context()), id); err != nil {
		return asRefusal(err)
	}
	http.Redirect(w, r, "/people", http.StatusSeeOther)
	return nil
}

func (s *server) endDevice(w http.ResponseWriter, r *http.Request) error {
	if err := form(w, r, smallForm); err != nil {
		return err
	}
	if err := s.book.EndDevice(r.Context(), who(r.Context()), r.PostForm.Get("device")); err != nil {
		return asRefusal(err)
	}
	http.Redirect(w, r, "/people", http.StatusSeeOther)
	return nil
}

func asRefusal(err error) error {
	var no *people.Refusal
	if errors.As(err, &no) {
		return refusal{http.StatusUnprocessableEntity, sentence(no)}
	}
	return err
}

// smallForm is how long a form of a few fields may be [bytes].
const smallForm = 8 << 10

// form reads a form of at most so many bytes.
func form(w http.ResponseWriter, r *http.Request, most int64) error {
	r.Body = http.MaxBytesReader(w, r.Body, most)
	if err := r.ParseForm(); err != nil {
		return refusal{http.StatusBadRequest, "The form could not be read. Go back and press the button again."}
	}
	return nil
}

// from is the address a request comes from, without its port. A proxy in between would
// hide it; the program is not made to stand behind one.
func from(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}

// base is the address under which phones find these pages: as this one was found, but
// the machine's address on the network where that was the machine itself.
func (s *server) base(r *http.Request) string {
	scheme := "http://"
	if r.TLS != nil {
		scheme = "https://"
	}
	host, port, err := net.SplitHostPort(r.Host)
	if err != nil {
		host = r.Host
	}
	if ip := net.ParseIP(host); (host == "localhost" || ip != nil && ip.IsLoopback()) && s.near != nil {
		if out := s.near(); out != "" {
			return scheme + net.JoinHostPort(out, port)
		}
	}
	return scheme + r.Host
}

// deviceName is what a browser calls the thing it runs on, short enough for a list.
func deviceName(agent string) string {
	if _, in, ok := strings.Cut(agent, "("); ok {
		in, _, _ = strings.Cut(in, ")")
		return in
	}
	return agent
}
