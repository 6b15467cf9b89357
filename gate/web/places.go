package web

import (
	"context"
	"errors"
	"net/http"
	"strings"
	"time"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/site"
)

// NightKeeper keeps the plans and ticks of nights that are over. A night is the local date of its evening.
type NightKeeper interface {
	// NightMonths lists the months ("2031-01") with nights before a date, the newest first.
	NightMonths(ctx context.Context, before string) ([]string, error)
	// Nights lists the nights from a date on and before another, the newest first.
	Nights(ctx context.Context, from, before string) ([]string, error)
	// NightKept is what is kept of a night: the last plan made before dusk, or the first later one.
	// It is ErrNoNight when no plan speaks of it.
	NightKept(ctx context.Context, night string, dusk time.Time) (NightKept, error)
}

// NightKept is a night as its plan foresaw it.
type NightKept struct {
	Date  string
	Made  time.Time  // the moment the plan was made for
	Plans int        // that speak of the night
	Plan  *plan.Plan // nil when what is kept cannot be read
	Ticks []Tick     // that stand
}

// ErrNoNight says that no plan is kept for a night.
var ErrNoNight = errors.New("no plan is kept for that night")

// placeRoutes are the pages of what stands and lies where: shed, map, nights past.
func (s *server) placeRoutes(mux *http.ServeMux) {
	mux.Handle("GET /shed", s.page(s.shed))
	mux.Handle("GET /map", s.page(s.drawn))
	if s.keeper != nil {
		mux.Handle("POST /setup/place", s.page(s.place))
	}
	if s.past != nil {
		mux.Handle("GET /nights", s.page(s.nights))
		mux.Handle("GET /nights/{date}", s.page(s.night))
	}
}

// known is the view once a site file has been read.
func (s *server) known(r *http.Request) (View, error) {
	v, err := s.src.Tonight(r.Context())
	if err == nil && v.Site == nil {
		err = refusal{http.StatusServiceUnavailable, "The site file has not been read yet. Load the page again in a minute."}
	}
	return v, err
}

// tables are the tables of the site file by their line, for who may change it; nil for others.
func (s *server) tables(r *http.Request, f *Frame) (lines map[int]int, version string, d *site.Draft) {
	if !f.SetUp {
		return nil, "", nil
	}
	d, version, err := s.draft(r)
	if err != nil {
		return nil, "", nil // the page still shows what is there
	}
	lines = map[int]int{}
	for i, t := range d.Tables() {
		lines[t.Line] = i
	}
	return lines, version, d
}

func (s *server) shed(w http.ResponseWriter, r *http.Request) error {
	v, err := s.known(r)
	if err != nil {
		return err
	}
	f := s.frame(r)
	lines, version, d := s.tables(r, &f)
	p := newShed(v, lines)
	f.Title = p.Title
	p.Frame, p.V = f, version
	if d != nil {
		p.adds(d)
	}
	return s.render(w, r, http.StatusOK, "shed.html", p)
}

func (s *server) drawn(w http.ResponseWriter, r *http.Request) error {
	p, err := s.newDrawn(r)
	if err != nil {
		return err
	}
	p.Told = toldSetup(r.URL.Query().Get("told"))
	p.Put.Space = r.URL.Query().Get("space")
	return s.render(w, r, http.StatusOK, "map.html", p)
}

func (s *server) newDrawn(r *http.Request) (*mapPage, error) {
	v, err := s.known(r)
	if err != nil {
		return nil, err
	}
	f := s.frame(r)
	_, version, _ := s.tables(r, &f)
	p := newMap(v, spaceLink)
	f.Title = p.Title
	p.Frame, p.V = f, version
	return p, nil
}

// place writes where a space lies into the site file.
func (s *server) place(w http.ResponseWriter, r *http.Request) error {
	if err := form(w, r, smallForm); err != nil {
		return err
	}
	form := r.PostForm
	d, err := s.draftOf(r, form.Get("v"))
	if err != nil {
		return err
	}
	name := form.Get("space")
	n := d.Find("space", "name", name)
	if n < 0 {
		return refusal{http.StatusUnprocessableEntity, "There is no space called " + name + ". Nothing was changed."}
	}
	changed, err := d.Set(n, map[string]string{"east": form.Get("east"), "north": form.Get("north")})
	if err != nil {
		return refusal{http.StatusUnprocessableEntity, phrase.Capital(err.Error()) + "."}
	}
	err = s.put(r, d, changed, "placed "+name+" on the map")
	var ps site.Problems
	if errors.As(err, &ps) {
		p, bad := s.newDrawn(r)
		if bad != nil {
			return bad
		}
		p.Put.Space, p.Put.East, p.Put.North = name, form.Get("east"), form.Get("north")
		for _, q := range ps {
			p.Put.Wrong = append(p.Put.Wrong, phrase.Stop(phrase.Capital(strings.TrimSuffix(q.Text+"; "+q.Hint, "; "))))
		}
		return s.render(w, r, http.StatusUnprocessableEntity, "map.html", p)
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/map?told=set", http.StatusSeeOther)
	return nil
}
