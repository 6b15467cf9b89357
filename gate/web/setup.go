package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/site"
)

// SiteKeeper keeps the site file for the pages that change it.
type SiteKeeper interface {
	// SiteText is the file as it is now, and its name for messages.
	SiteText(ctx context.Context) (text []byte, name string, err error)
	// PutSiteText puts a text in place of was. One that is not right is site.Problems;
	// when the file is no longer was it is ErrSiteChanged. Nothing is written then.
	PutSiteText(ctx context.Context, text, was []byte) error
	// SitePast lists the versions that were kept, the newest first.
	SitePast(ctx context.Context, most int) ([]SiteVersion, error)
	// SiteAt is the text of a version.
	SiteAt(ctx context.Context, id int64) ([]byte, error)
}

// SiteVersion is a site file as it once was.
type SiteVersion struct {
	ID   int64
	Kept time.Time
}

// ErrSiteChanged says that somebody else changed the site file in between.
var ErrSiteChanged = errors.New("the site file was changed by somebody else in between")

// shownPast is how many earlier versions are listed.
const shownPast = 30

func (s *server) setupRoutes(mux *http.ServeMux) {
	mux.Handle("GET /setup", s.page(s.setup))
	mux.Handle("GET /setup/table", s.page(s.setupTable))
	mux.Handle("POST /setup/table", s.page(s.setTable))
	mux.Handle("GET /setup/new", s.page(s.setupNew))
	mux.Handle("POST /setup/new", s.page(s.addTable))
	mux.Handle("POST /setup/remove", s.page(s.removeTable))
	mux.Handle("GET /setup/past", s.page(s.setupPast))
	mux.Handle("POST /setup/back", s.page(s.setupBack))
}

// draft reads the site file for a change. version is what a form must bring back, so
// that it never changes another file than the one it shows.
func (s *server) draft(r *http.Request) (d *site.Draft, version string, err error) {
	text, name, err := s.keeper.SiteText(r.Context())
	if err != nil {
		return nil, "", err
	}
	d, err = site.NewDraft(text, name)
	if err != nil {
		return nil, "", refusal{http.StatusConflict, "The site file cannot be read, so it cannot be changed here: " + err.Error()}
	}
	return d, digest(text)[:16], nil
}

// draftOf is draft for a form that was made from a version.
func (s *server) draftOf(r *http.Request, version string) (*site.Draft, error) {
	d, now, err := s.draft(r)
	if err == nil && version != now {
		return nil, changedMeanwhile()
	}
	return d, err
}

func changedMeanwhile() error {
	return refusal{http.StatusConflict, "The site file was changed since that page was loaded, so nothing was written. Open Set up again; what you typed is still there when you go back."}
}

// setup lists what the file says, by kind.
func (s *server) setup(w http.ResponseWriter, r *http.Request) error {
	d, version, err := s.draft(r)
	if err != nil {
		return err
	}
	p := newSetup(d, version)
	p.Frame = s.frame(r)
	p.Site, _, _ = s.here(r)
	p.Title, p.Told = "Set up", toldSetup(r.URL.Query().Get("told"))
	return s.render(w, r, http.StatusOK, "setup.html", p)
}

func toldSetup(what string) string {
	switch what {
	case "set":
		return "Written into the site file. The plan is worked out anew within a minute."
	case "removed":
		return "Taken out of the site file. The earlier version is kept, see Earlier versions."
	case "back":
		return "The earlier version is the site file again."
	}
	return ""
}

// setupTable is the form of one table.
func (s *server) setupTable(w http.ResponseWriter, r *http.Request) error {
	d, version, err := s.draft(r)
	if err != nil {
		return err
	}
	if v := r.URL.Query().Get("v"); v != "" && v != version {
		http.Redirect(w, r, "/setup", http.StatusSeeOther)
		return nil
	}
	n, err := tableNumber(d, r.URL.Query().Get("n"))
	if err != nil {
		return err
	}
	p := editPage(d, version, n)
	p.Told = toldSetup(r.URL.Query().Get("told"))
	return s.showTable(w, r, http.StatusOK, p)
}

func tableNumber(d *site.Draft, text string) (int, error) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 || n >= len(d.Tables()) {
		return 0, refusal{http.StatusNotFound, "That part of the site file is not there any more. Open Set up again."}
	}
	return n, nil
}

// changeOf reads a form that is about one table: the file it was made from, and which.
func (s *server) changeOf(w http.ResponseWriter, r *http.Request) (d *site.Draft, n int, err error) {
	if err := bigForm(w, r); err != nil {
		return nil, 0, err
	}
	if d, err = s.draftOf(r, r.PostForm.Get("v")); err != nil {
		return nil, 0, err
	}
	n, err = tableNumber(d, r.PostForm.Get("n"))
	return d, n, err
}

// unwritten is an error of a changed draft that can be shown as it is.
func unwritten(err error) error {
	return refusal{http.StatusUnprocessableEntity, phrase.Capital(err.Error()) + "."}
}

func (s *server) showTable(w http.ResponseWriter, r *http.Request, status int, p *tablePage) error {
	title := p.Title
	p.Frame = s.frame(r)
	p.Site, _, _ = s.here(r)
	p.Title = title
	return s.render(w, r, status, "table.html", p)
}

// setTable writes a form into the file, or shows it again with what is wrong.
func (s *server) setTable(w http.ResponseWriter, r *http.Request) error {
	d, n, err := s.changeOf(w, r)
	if err != nil {
		return err
	}
	changed, err := d.Set(n, typed(r.PostForm, d.Tables()[n].Path))
	if err != nil {
		return unwritten(err)
	}
	err = s.put(r, d, changed, "changed "+nameOf(&d.Tables()[n]))
	var ps site.Problems
	if errors.As(err, &ps) {
		p := editPage(d, r.PostForm.Get("v"), n)
		p.wrong(ps, changed, n, r.PostForm)
		return s.showTable(w, r, http.StatusUnprocessableEntity, p)
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/setup/table?told=set&n="+strconv.Itoa(n), http.StatusSeeOther)
	return nil
}

// setupNew is the empty form of a new table.
func (s *server) setupNew(w http.ResponseWriter, r *http.Request) error {
	d, version, err := s.draft(r)
	if err != nil {
		return err
	}
	p, err := freshPage(d, version, r.URL.Query())
	if err != nil {
		return err
	}
	return s.showTable(w, r, http.StatusOK, p)
}

func (s *server) addTable(w http.ResponseWriter, r *http.Request) error {
	if err := bigForm(w, r); err != nil {
		return err
	}
	d, err := s.draftOf(r, r.PostForm.Get("v"))
	if err != nil {
		return err
	}
	path := r.PostForm.Get("path")
	under, err := strconv.Atoi(r.PostForm.Get("under"))
	if err != nil {
		under = -1
	}
	changed, at, err := d.Add(path, under, typed(r.PostForm, path))
	if err != nil {
		return unwritten(err)
	}
	err = s.put(r, d, changed, "added "+nameOf(&changed.Tables()[at]))
	var ps site.Problems
	if errors.As(err, &ps) {
		p, bad := freshPage(d, r.PostForm.Get("v"), url.Values{"path": {path}, "under": {strconv.Itoa(under)}})
		if bad != nil {
			return bad
		}
		p.wrong(ps, changed, at, r.PostForm)
		return s.showTable(w, r, http.StatusUnprocessableEntity, p)
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/setup/table?told=set&n="+strconv.Itoa(at), http.StatusSeeOther)
	return nil
}

func (s *server) removeTable(w http.ResponseWriter, r *http.Request) error {
	d, n, err := s.changeOf(w, r)
	if err != nil {
		return err
	}
	changed, err := d.Remove(n)
	if err != nil {
		return err
	}
	err = s.put(r, d, changed, "took out "+nameOf(&d.Tables()[n]))
	var ps site.Problems
	if errors.As(err, &ps) {
		return refusal{http.StatusUnprocessableEntity, "Without it the site file is not right, so nothing was changed: " + phrase.Capital(ps[0].Text) + "; " + ps[0].Hint + "."}
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/setup?told=removed", http.StatusSeeOther)
	return nil
}

// put writes a changed draft and notes who did it.
func (s *server) put(r *http.Request, was, now *site.Draft, what string) error {
	err := s.keeper.PutSiteText(r.Context(), now.Bytes(), was.Bytes())
	if errors.Is(err, ErrSiteChanged) {
		return changedMeanwhile()
	}
	if err == nil && s.book != nil {
		s.book.Note(r.Context(), who(r.Context()).Name, what, "site file")
	}
	return err
}

// pastPage lists earlier versions.
type pastPage struct {
	Frame
	Site     string
	V        string
	Versions []pastLine
}

type pastLine struct {
	ID       int64
	At, When string
	Now      bool
}

func (s *server) setupPast(w http.ResponseWriter, r *http.Request) error {
	_, version, err := s.draft(r)
	var no refusal
	if err != nil && !errors.As(err, &no) { // a file that cannot be read is a reason to go back
		return err
	}
	past, err := s.keeper.SitePast(r.Context(), shownPast)
	if err != nil {
		return err
	}
	name, _, zone := s.here(r)
	p := pastPage{Frame: s.frame(r), Site: name, V: version}
	p.Title = "Earlier versions"
	for i, v := range past {
		at := v.Kept.In(zone)
		p.Versions = append(p.Versions, pastLine{v.ID, at.Format(time.RFC3339), at.Format("Monday 2 January 2006, 15:04"), i == 0})
	}
	return s.render(w, r, http.StatusOK, "past.html", p)
}

// setupBack makes an earlier version the site file again, as a new version.
func (s *server) setupBack(w http.ResponseWriter, r *http.Request) error {
	if err := bigForm(w, r); err != nil {
		return err
	}
	id, err := strconv.ParseInt(r.PostForm.Get("id"), 10, 64)
	if err != nil {
		return refusal{http.StatusBadRequest, "That form names no version. Nothing was changed."}
	}
	was, _, err := s.keeper.SiteText(r.Context())
	if err != nil {
		return err
	}
	if r.PostForm.Get("v") != "" && r.PostForm.Get("v") != digest(was)[:16] {
		return changedMeanwhile()
	}
	text, err := s.keeper.SiteAt(r.Context(), id)
	if err != nil {
		return refusal{http.StatusNotFound, "That version is not kept. Nothing was changed."}
	}
	switch err := s.keeper.PutSiteText(r.Context(), text, was); {
	case errors.Is(err, ErrSiteChanged):
		return changedMeanwhile()
	case err != nil:
		return refusal{http.StatusUnprocessableEntity, "That version is not right for this program any more, so nothing was changed: " + err.Error()}
	}
	if s.book != nil {
		s.book.Note(r.Context(), who(r.Context()).Name, "went back to an earlier version", "site file, version "+fmt.Sprint(id))
	}
	http.Redirect(w, r, "/setup?told=back", http.StatusSeeOther)
	return nil
}

// bigForm reads a form of a page that may hold a long list.
func bigForm(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, 256<<10)
	if err := r.ParseForm(); err != nil {
		return refusal{http.StatusBadRequest, "The form could not be read, or is too long. Nothing was changed."}
	}
	return nil
}

// typed is what a form says for the keys of a table; its names start with "k-".
func typed(form url.Values, path string) map[string]string {
	out := map[string]string{}
	for _, f := range site.FieldsOf(path) {
		if v, asked := form["k-"+f.Key]; asked {
			out[f.Key] = strings.Join(v, ", ")
		}
	}
	return out
}
