package web

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
)

func (s *server) plantRoutes(mux *http.ServeMux) {
	mux.Handle("GET /plants", s.page(s.plants))
	if s.keeper == nil {
		return
	}
	mux.Handle("GET /setup/list", s.page(s.listForm))
	mux.Handle("POST /setup/list", s.page(s.listLooked))
	mux.Handle("POST /setup/list/write", s.page(s.listWritten))
	mux.Handle("POST /setup/move", s.page(s.moveGroup))
}

// plantsPage is all stock, to be searched.
type plantsPage struct {
	Frame
	Site   string
	Query  string
	Also   string // the name under which the query is known, if another
	V      string
	Groups []stockLine
	Count  int
	Worth  string
	Spaces []string
	Told   string
}

// stockLine is one group.
type stockLine struct {
	Name, Space, Size, Worth, Known, Limit string
	Never                                  bool
	N                                      int // its table in the site file; -1: cannot be changed here
}

// plants lists the stock; ?q= searches names, synonyms and spaces.
func (s *server) plants(w http.ResponseWriter, r *http.Request) error {
	v, err := s.src.Tonight(r.Context())
	if err != nil {
		return err
	}
	if v.Site == nil {
		return refusal{http.StatusServiceUnavailable, "The site file has not been read yet. Load the page again in a minute."}
	}
	p := plantsPage{Frame: s.frame(r), Site: v.Site.Name, Query: strings.TrimSpace(r.URL.Query().Get("q")), Told: toldSetup(r.URL.Query().Get("told"))}
	p.Title = "Plants"
	var lines map[int]int // line of the file -> table
	if p.SetUp {
		lines = map[int]int{}
		d, version, err := s.draft(r)
		if err == nil {
			p.V = version
			for i, t := range d.Tables() {
				lines[t.Line] = i
			}
		}
	}
	voice := newVoice(v)
	asked, _ := s.library.Find(p.Query)
	if p.Query != "" && asked.Key != "" && !strings.EqualFold(asked.Taxon, p.Query) && asked.Taxon != "" {
		p.Also = asked.Taxon
	}
	total := 0.0
	for i := range v.Site.Spaces {
		sp := &v.Site.Spaces[i]
		p.Spaces = append(p.Spaces, sp.Name)
		for k := range sp.Groups {
			g := &sp.Groups[k]
			res := s.library.Resolve(plant.Query{Name: g.Plant, Word: g.Word, OwnSaleableC: g.SaleableC, OwnAliveC: g.AliveC})
			name := cmp.Or(g.Plant, g.Word+" plants")
			if !stockFits(p.Query, asked, name, sp.Name, &res) {
				continue
			}
			worth := sp.WorthOf(k)
			total += worth
			p.Count += g.Count
			l := stockLine{
				Name: name, Space: sp.Name, Worth: money(worth, v.Site.Money), Never: g.NeverLose, N: -1, Known: known(&res),
				Limit: fmt.Sprintf("half are spoilt at about %s, half die at about %s", voice.degrees(res.Saleable.MidC), voice.degrees(res.Alive.MidC)),
			}
			if g.Count > 0 {
				l.Size = phrase.Count(g.Count, "plant")
			}
			if n, ok := lines[g.Line]; ok && g.Line > 0 {
				l.N = n
			}
			p.Groups = append(p.Groups, l)
		}
	}
	p.Worth = money(total, v.Site.Money)
	return s.render(w, r, http.StatusOK, "plants.html", p)
}

// stockFits tells whether a group is what is searched for: by its name, by the name it
// is known under, by a synonym of it, or by where it stands.
func stockFits(query string, asked plant.Match, name, space string, res *plant.Resolved) bool {
	if query == "" {
		return true
	}
	q := strings.ToLower(query)
	for _, s := range []string{name, space, res.Match.Taxon, res.Match.Via, res.Match.Group} {
		if strings.Contains(strings.ToLower(s), q) {
			return true
		}
	}
	return asked.Key != "" && asked.Species && res.Found && strings.EqualFold(asked.Taxon, res.Match.Taxon)
}

// known says how surely a plant's limits are known.
func known(r *plant.Resolved) string {
	switch r.Step {
	case plant.StepOwn:
		return "your own limit"
	case plant.StepSpecies:
		return "records of the species"
	case plant.StepGenus:
		return "records of its genus"
	case plant.StepClass:
		return "its class of plants only"
	case plant.StepWord:
		return "your word for it"
	}
	return "nothing known: say how tender it is"
}

func money(v float64, word string) string {
	return strings.TrimSpace(strconv.FormatFloat(v, 'f', 0, 64) + " " + word)
}

// listPage takes a list of plants: typed, pasted or from a file.
type listPage struct {
	Frame
	Site   string
	Wrong  string
	V      string
	Text   string
	Space  string
	Spaces []string
	Rows   []listRow // what was understood; nil on the empty form
	Words  []string
	Asks   int // rows that need a look
}

// listRow is one line of a list as it was understood.
type listRow struct {
	I               int
	Text            string
	Name, Count     string
	Each, Pot, Word string
	Read, Known     string // what it is taken for, how surely
	Maybe           []string
	Look            bool // needs a look
	Wrong           string
}

// mostRead is how long a list may be [bytes].
const mostRead = 1 << 20

func (s *server) listForm(w http.ResponseWriter, r *http.Request) error {
	p, err := s.newList(r)
	if err != nil {
		return err
	}
	p.Space = r.URL.Query().Get("space")
	return s.render(w, r, http.StatusOK, "list.html", p)
}

func (s *server) newList(r *http.Request) (*listPage, error) {
	d, version, err := s.draft(r)
	if err != nil {
		return nil, err
	}
	name, _, _ := s.here(r)
	p := &listPage{Frame: s.frame(r), Site: name, V: version, Words: plant.Words()}
	p.Title = "A list of plants"
	for _, t := range d.Tables() {
		if t.Path == "space" {
			p.Spaces = append(p.Spaces, t.Value("name"))
		}
	}
	return p, nil
}

// listLooked shows what was understood of a list, line by line.
func (s *server) listLooked(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, mostRead)
	if err := r.ParseMultipartForm(mostRead); err != nil && !errors.Is(err, http.ErrNotMultipart) {
		return refusal{http.StatusRequestEntityTooLarge, "The list is too long or could not be read. Give it in parts."}
	}
	p, err := s.newList(r)
	if err != nil {
		return err
	}
	p.Text, p.Space = r.PostForm.Get("text"), r.PostForm.Get("space")
	if f, _, err := r.FormFile("file"); err == nil {
		b, err := io.ReadAll(f)
		if err = errors.Join(err, f.Close()); err != nil {
			return err
		}
		p.Text += "\n" + string(b)
	}
	read, err := plant.ReadList(p.Text)
	if err != nil {
		p.Wrong = phrase.Capital(err.Error()) + "."
		return s.render(w, r, http.StatusUnprocessableEntity, "list.html", p)
	}
	if len(read) == 0 {
		p.Wrong = "There is no plant in the list. Write one name on each line."
		return s.render(w, r, http.StatusUnprocessableEntity, "list.html", p)
	}
	for i, l := range read {
		row := listRow{I: i, Text: l.Text, Name: l.Name, Pot: cmp.Or(l.Pot, strings.TrimSpace(r.PostForm.Get("pot"))), Each: strings.TrimSpace(r.PostForm.Get("each"))}
		if l.Count > 0 {
			row.Count = strconv.Itoa(l.Count)
		}
		if l.Each > 0 {
			row.Each = strconv.FormatFloat(l.Each, 'f', -1, 64)
		}
		p.Rows = append(p.Rows, row)
	}
	s.look(p)
	return s.render(w, r, http.StatusOK, "list.html", p)
}

// look finds what each row is taken for, those that need a look first.
func (s *server) look(p *listPage) {
	p.Asks = 0
	for i := range p.Rows {
		row := &p.Rows[i]
		res := s.library.Resolve(plant.Query{Name: row.Name, Word: row.Word})
		row.Read, row.Known, row.Maybe = res.Match.Taxon, known(&res), res.Match.DidYouMean
		row.Look = row.Wrong != "" || row.Count == "" || len(row.Maybe) > 0 || row.Word == "" && (!res.Found || res.Step == plant.StepNothing)
		if row.Look {
			p.Asks++
		}
	}
	slices.SortStableFunc(p.Rows, func(a, b listRow) int {
		switch {
		case a.Look == b.Look:
			return 0
		case a.Look:
			return -1
		}
		return 1
	})
}

// listWritten writes the rows into a space of the site file, all or none.
func (s *server) listWritten(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, mostRead)
	if err := r.ParseForm(); err != nil {
		return refusal{http.StatusRequestEntityTooLarge, "The list is too long or could not be read. Give it in parts."}
	}
	f := r.PostForm
	d, err := s.draftOf(r, f.Get("v"))
	if err != nil {
		return err
	}
	p, err := s.newList(r)
	if err != nil {
		return err
	}
	p.Space = f.Get("space")
	under := d.Find("space", "name", p.Space)
	if under < 0 {
		return refusal{http.StatusUnprocessableEntity, "There is no space called " + strconv.Quote(p.Space) + ". Nothing was written."}
	}
	rows, changed, at, err := addRows(d, under, f)
	if err != nil {
		return err
	}
	p.Rows = rows
	if len(at) == 0 {
		return refusal{http.StatusUnprocessableEntity, "Every row was left out, so nothing was written."}
	}
	err = s.put(r, d, changed, fmt.Sprintf("added %s to %s", phrase.Count(len(at), "group"), p.Space))
	var ps site.Problems
	if errors.As(err, &ps) {
		p.place(ps, changed, at)
		s.look(p)
		return s.render(w, r, http.StatusUnprocessableEntity, "list.html", p)
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/plants?told=set&q="+url.QueryEscape(p.Space), http.StatusSeeOther)
	return nil
}

// addRows adds the rows of a form below a space. at says in which table each row landed.
func addRows(d *site.Draft, under int, f url.Values) (rows []listRow, out *site.Draft, at map[int]int, err error) {
	out, at = d, map[int]int{}
	for i := range 3000 {
		n := strconv.Itoa(i)
		if !f.Has("name-" + n) {
			continue
		}
		row := listRow{I: i, Name: f.Get("name-" + n), Text: f.Get("text-" + n), Count: f.Get("count-" + n), Each: f.Get("each-" + n), Pot: f.Get("pot-" + n), Word: f.Get("word-" + n)}
		if pick := f.Get("pick-" + n); pick != "" {
			row.Name = pick
		}
		rows = append(rows, row)
		if f.Get("drop-"+n) != "" || strings.TrimSpace(row.Name) == "" {
			continue
		}
		var k int
		out, k, err = out.Add("space.group", under, map[string]string{"plant": row.Name, "word": row.Word, "count": row.Count, "value_each": row.Each, "pot": row.Pot})
		if err != nil {
			return nil, nil, nil, unwritten(err)
		}
		at[k] = len(rows) - 1
	}
	return rows, out, at, nil
}

// place puts each problem at the row it is about.
func (p *listPage) place(ps site.Problems, d *site.Draft, at map[int]int) {
	ts := d.Tables()
	for _, q := range ps {
		k := -1
		for i := range ts {
			if ts[i].Line <= q.Line {
				k = i
			}
		}
		words := phrase.Capital(q.Text) + "; " + q.Hint + "."
		if i, ok := at[k]; ok {
			p.Rows[i].Wrong = strings.TrimSpace(p.Rows[i].Wrong + " " + words)
		} else {
			p.Wrong = strings.TrimSpace(p.Wrong + " " + words)
		}
	}
	if p.Wrong == "" {
		p.Wrong = "Nothing was written yet: the rows at the top need a look."
	}
}

// moveGroup puts a group below another space, as it is written.
func (s *server) moveGroup(w http.ResponseWriter, r *http.Request) error {
	d, n, err := s.changeOf(w, r)
	if err != nil {
		return err
	}
	t := d.Tables()[n]
	to := r.PostForm.Get("to")
	if t.Path != "space.group" {
		return refusal{http.StatusUnprocessableEntity, "Only a group of plants is moved. Nothing was changed."}
	}
	values := map[string]string{}
	for _, e := range t.Entries {
		values[e.Key] = e.Text
	}
	changed, err := d.Remove(n)
	if err != nil {
		return err
	}
	under := changed.Find("space", "name", to)
	if under < 0 {
		return refusal{http.StatusUnprocessableEntity, "There is no space called " + strconv.Quote(to) + ". Nothing was changed."}
	}
	if changed, _, err = changed.Add("space.group", under, values); err != nil {
		return unwritten(err)
	}
	err = s.put(r, d, changed, "moved "+nameOf(&t)+" to "+to)
	var ps site.Problems
	if errors.As(err, &ps) {
		return refusal{http.StatusUnprocessableEntity, "It cannot stand there as it is written, so nothing was changed: " + phrase.Capital(ps[0].Text) + "; " + ps[0].Hint + "."}
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/plants?told=set&q="+url.QueryEscape(to), http.StatusSeeOther)
	return nil
}
