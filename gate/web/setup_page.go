package web

import (
	"cmp"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/site"
)

// setupPage is what the site file says, by kind of table.
type setupPage struct {
	Frame
	Site  string
	Told  string
	V     string
	Parts []setupPart
}

// setupPart is one kind of table of the file's own.
type setupPart struct {
	Name string // "Spaces"
	Doc  string
	Rows []setupRow
	Add  []setupAdd
}

// setupRow is one table; In are the kinds that stand below it, counted.
type setupRow struct {
	N    int
	Name string
	Sum  string
}

type setupAdd struct {
	Words string
	Link  string
}

// tablePage is the form of one table.
type tablePage struct {
	Frame
	Site   string
	Told   string
	V      string
	N      int    // -1 for a new one
	Path   string // of a new one
	Under  int
	Head   string
	Doc    string
	Wrong  []string // of the whole, not of one field
	Fields []fieldLine
	More   []fieldLine // seldom wanted
	Rows   []setupRow  // tables below this one
	Add    []setupAdd
	Parent *setupRow // the table this one belongs to
	Last   bool      // it must not be taken out: there is only one, and it is needed
}

// fieldLine is one key of a form.
type fieldLine struct {
	Key, Name, Doc string
	Value          string
	Example        string
	LeftOut        string
	Choices        []string
	Flag, Must     bool
	Wrong          string
	Numeric        bool
}

// heading is a kind of table in growers' words: one, several.
func heading(path string) (one, many string) {
	words := map[string][2]string{
		"site": {"the nursery", "The nursery"}, "space": {"space", "Spaces"}, "space.house": {"what is built over it", "What is built over it"},
		"space.shelter": {"wall, hedge or house beside it", "Walls, hedges and houses beside it"}, "space.cover": {"cover that lies there", "Covers that lie there"},
		"space.group": {"group of plants", "Plants"}, "space.mix": {"part of the plants, by how tender", "Plants, by how tender"},
		"shed": {"clamps, pins and weights", "Clamps, pins and weights"}, "shed.cloth": {"stack of cloth", "Cloth"}, "shed.cup": {"box of cups", "Cups"},
		"shed.panel": {"stack of wind panels", "Wind panels"}, "shed.curtain": {"piece of curtain cloth", "Curtain cloth"},
		"crew": {"person or shift", "Who can work"}, "labour": {"how long work takes", "How long work takes"}, "heater": {"heater", "Heaters"},
		"fan": {"fan", "Fans"}, "cylinder": {"set of cylinders", "Cylinders"}, "circuit": {"circuit", "Circuits"},
		"backup": {"generator or battery", "Generators and batteries"}, "prices": {"what fuel costs", "What fuel costs"},
	}
	if w, ok := words[path]; ok {
		return w[0], w[1]
	}
	plain := strings.ReplaceAll(path[strings.LastIndexByte(path, '.')+1:], "_", " ")
	return plain, phrase.Capital(plain)
}

// nameOf is what a grower calls a table.
func nameOf(t *site.Table) string {
	for _, key := range []string{"name", "plant", "cloth", "kind", "what", "word"} {
		if v := t.Value(key); v != "" {
			return v
		}
	}
	one, _ := heading(t.Path)
	return one
}

// sumOf says the size of a table in a few words.
func sumOf(d *site.Draft, n int) string {
	ts := d.Tables()
	t := &ts[n]
	var out []string
	for _, key := range []string{"kind", "space", "count", "pieces", "people", "length", "width", "from", "to", "power", "input", "amps"} {
		v := t.Value(key)
		switch {
		case v == "" || v == nameOf(t):
		case key == "width" && t.Value("length") != "":
			out[len(out)-1] += " × " + v
		case key == "to" && t.Value("from") != "":
			out[len(out)-1] += " to " + v
		case key == "count" || key == "pieces" || key == "people":
			out = append(out, v+"×")
		default:
			out = append(out, v)
		}
	}
	groups := 0
	for i := range ts {
		if ts[i].Under == n && (ts[i].Path == "space.group" || ts[i].Path == "space.mix") {
			groups++
		}
	}
	if groups > 0 {
		out = append(out, phrase.Count(groups, "group"))
	}
	return strings.Join(out, ", ")
}

func newSetup(d *site.Draft, version string) *setupPage {
	p := &setupPage{V: version}
	for _, k := range site.TableKinds() {
		if k.Under != "" && k.Under != "shed" || !k.In {
			continue
		}
		_, many := heading(k.Path)
		part := setupPart{Name: many, Doc: k.Doc, Rows: rowsOf(d, k.Path, -2)}
		if k.Many || len(part.Rows) == 0 {
			part.Add = []setupAdd{addLink(k, -1)}
		}
		p.Parts = append(p.Parts, part)
	}
	return p
}

// rowsOf lists the tables of a path under one; -2 for any.
func rowsOf(d *site.Draft, path string, under int) []setupRow {
	var out []setupRow
	for i, t := range d.Tables() {
		if t.Path == path && (under == -2 || t.Under == under) {
			out = append(out, setupRow{i, nameOf(&t), sumOf(d, i)})
		}
	}
	return out
}

func addLink(k site.TableKind, under int) setupAdd {
	one, _ := heading(k.Path)
	q := url.Values{"path": {k.Path}}
	if under >= 0 {
		q.Set("under", strconv.Itoa(under))
	}
	return setupAdd{"Add: " + one, "/setup/new?" + q.Encode()}
}

// editPage is the form of a table that is there.
func editPage(d *site.Draft, version string, n int) *tablePage {
	ts := d.Tables()
	t := &ts[n]
	p := &tablePage{V: version, N: n, Path: t.Path, Under: t.Under, Head: phrase.Capital(nameOf(t)), Last: t.Path == "site"}
	p.Title = p.Head
	p.fields(t)
	for _, k := range site.TableKinds() {
		if k.Path == t.Path {
			p.Doc = k.Doc
		}
		if k.Under != t.Path || k.Under == "shed" {
			continue
		}
		rows := rowsOf(d, k.Path, n)
		for i := range rows {
			one, _ := heading(k.Path)
			rows[i].Sum = strings.TrimPrefix(rows[i].Sum+"; "+one, "; ")
		}
		p.Rows = append(p.Rows, rows...)
		if k.Many || len(rows) == 0 {
			p.Add = append(p.Add, addLink(k, n))
		}
	}
	if t.Under >= 0 && ts[t.Under].Path != "shed" {
		p.Parent = &setupRow{N: t.Under, Name: nameOf(&ts[t.Under])}
	}
	return p
}

// freshPage is the form of a table that is not there yet.
func freshPage(d *site.Draft, version string, q url.Values) (*tablePage, error) {
	path := q.Get("path")
	under, err := strconv.Atoi(cmp.Or(q.Get("under"), "-1"))
	i := slices.IndexFunc(site.TableKinds(), func(k site.TableKind) bool { return k.Path == path && k.In })
	if i < 0 || err != nil {
		return nil, refusal{404, "A site file has no such part. Open Set up again."}
	}
	one, _ := heading(path)
	p := &tablePage{V: version, N: -1, Path: path, Under: under, Head: "Add: " + one, Doc: site.TableKinds()[i].Doc}
	p.Title = p.Head
	if ts := d.Tables(); under >= 0 && under < len(ts) {
		p.Parent = &setupRow{N: under, Name: nameOf(&ts[under])}
	}
	p.fields(&site.Table{Path: path})
	return p, nil
}

// fields puts what must be given, and what is given, before the rest.
func (p *tablePage) fields(t *site.Table) {
	for _, f := range site.FieldsOf(t.Path) {
		l := fieldLine{
			Key: f.Key, Name: phrase.Capital(strings.ReplaceAll(f.Key, "_", " ")), Doc: f.Doc, Value: t.Value(f.Key), Example: f.Example,
			LeftOut: f.LeftOut, Choices: f.Choices, Flag: f.Flag(), Must: f.Must, Numeric: f.Numeric(),
		}
		if f.List() {
			l.Choices = nil // several may be given, with commas
		}
		if f.Flag() {
			l.Choices = []string{"true", "false"}
		}
		if l.Must {
			l.LeftOut = ""
		}
		if l.Must || l.Value != "" || first(t.Path, f.Key) {
			p.Fields = append(p.Fields, l)
		} else {
			p.More = append(p.More, l)
		}
	}
}

// first are keys that most growers fill in though they may be left out.
func first(path, key string) bool {
	switch path {
	case "space":
		return key == "height" || key == "pots" || key == "worth"
	case "space.group":
		return key == "plant" || key == "count" || key == "value_each" || key == "pot" || key == "never_lose"
	case "heater":
		return key == "space" || key == "fuel" || key == "setpoint"
	case "shed.cloth":
		return key == "pieces"
	case "shed", "prices", "labour":
		return true
	}
	return false
}

// wrong puts what was typed back into the form, and each problem where it belongs.
func (p *tablePage) wrong(ps site.Problems, d *site.Draft, n int, form url.Values) {
	t := d.Tables()[n]
	lines := map[int]string{}
	for _, e := range t.Entries {
		lines[e.Line] = e.Key
	}
	said := map[string]string{}
	for _, q := range ps {
		words := phrase.Capital(q.Text)
		if q.Hint != "" {
			words += "; " + q.Hint
		}
		switch key := lines[q.Line]; {
		case key != "":
			said[key] = words
		case q.Line == t.Line:
			p.Wrong = append(p.Wrong, words+".")
		default:
			p.Wrong = append(p.Wrong, "Line "+strconv.Itoa(q.Line)+" of the site file: "+words+".")
		}
	}
	fill := func(list []fieldLine) (kept, up []fieldLine) {
		for _, f := range list {
			if v, ok := form["k-"+f.Key]; ok {
				f.Value = strings.Join(v, ", ")
			}
			if f.Wrong = said[f.Key]; f.Wrong != "" {
				f.Wrong += "."
				up = append(up, f)
			} else {
				kept = append(kept, f)
			}
		}
		return kept, up
	}
	rest, up := fill(p.Fields)
	p.Fields = append(up, rest...)
	more, alsoUp := fill(p.More)
	p.Fields, p.More = append(alsoUp, p.Fields...), more
}
