package site

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// Table is one table of a site file as it stands in the text.
type Table struct {
	Path    string // "space", "space.group"
	Line    int    // of its header, from 1
	Under   int    // the table it belongs to, as an index into the list; -1 for none
	Entries []Entry

	from int // where it starts, with the remarks right above it
}

// Entry is one key of a table with its value as a form shows it.
type Entry struct {
	Key  string
	Text string // without its quotes; the parts of a list with ", " between
	Line int

	key    span
	lo, hi int // the value in the text
}

// Value is what is written for a key of a table; "" when it is not there.
func (t *Table) Value(key string) string {
	for _, e := range t.Entries {
		if e.Key == key {
			return e.Text
		}
	}
	return ""
}

// Draft is the text of a site file while it is changed table by table. What is not
// changed keeps every byte: remarks, order, empty lines. A change gives a new draft;
// whether the file is still right is for [Parse] to say.
type Draft struct {
	page   *page
	tables []Table
}

// NewDraft finds the tables of a text. The error says which line is no TOML.
func NewDraft(text []byte, filename string) (*Draft, error) {
	d := decoder{page: newPage(filename, bytes.Clone(text))}
	if _, whole := d.syntax(); !whole || len(d.problems) > 0 {
		return nil, d.problems.sorted()
	}
	out := &Draft{page: d.page}
	var p unstable.Parser
	p.Reset(d.data)
	for p.NextExpression() {
		switch e := p.Expression(); e.Kind {
		case unstable.Table, unstable.ArrayTable:
			out.header(e)
		case unstable.KeyValue:
			if n := len(out.tables); n > 0 {
				out.tables[n-1].Entries = append(out.tables[n-1].Entries, out.entry(e))
			}
		}
	}
	if err := p.Error(); err != nil { // syntax has accepted the text, so this is not expected
		return nil, Problems{d.problem(span{}, "this file cannot be read: "+err.Error(), "a line is: key = \"value\"")}
	}
	return out, nil
}

// Bytes is the text.
func (d *Draft) Bytes() []byte { return bytes.Clone(d.page.data) }

// Tables lists the tables in the order of the file.
func (d *Draft) Tables() []Table { return slices.Clone(d.tables) }

// Find is the first table of a path whose key has that value, letter case aside, or -1.
func (d *Draft) Find(path, key, text string) int {
	return slices.IndexFunc(d.tables, func(t Table) bool { return t.Path == path && plain(t.Value(key)) == plain(text) })
}

func (d *Draft) header(e *unstable.Node) {
	var path []string
	off := 0
	for it := e.Key(); it.Next(); {
		path = append(path, string(it.Node().Data))
		off = int(it.Node().Raw.Offset)
	}
	t := Table{Path: strings.Join(path, "."), Line: d.page.line(off), Under: -1}
	for i := len(d.tables) - 1; i >= 0 && t.Under < 0; i-- {
		if strings.HasPrefix(t.Path, d.tables[i].Path+".") {
			t.Under = i
		}
	}
	start, _ := d.page.bounds(t.Line)
	t.from = start
	for l := t.Line - 1; l >= 1; l-- { // remarks right above belong to it
		s, end := d.page.bounds(l)
		if !strings.HasPrefix(strings.TrimSpace(string(d.page.data[s:end])), "#") {
			break
		}
		t.from = s
	}
	d.tables = append(d.tables, t)
}

func (d *Draft) entry(e *unstable.Node) Entry {
	var keys []string
	out := Entry{}
	for it := e.Key(); it.Next(); {
		r := it.Node().Raw
		if len(keys) == 0 {
			out.key.Off = int(r.Offset)
		}
		keys = append(keys, string(it.Node().Data))
		out.key.Len = int(r.Offset+r.Length) - out.key.Off
	}
	out.Key = strings.Join(keys, ".")
	out.Line = d.page.line(out.key.Off)
	rest := d.page.data[out.key.Off+out.key.Len:]
	eq := bytes.IndexByte(rest, '=')
	out.lo = out.key.Off + out.key.Len + eq + 1
	for out.lo < len(d.page.data) && (d.page.data[out.lo] == ' ' || d.page.data[out.lo] == '\t') {
		out.lo++
	}
	out.hi = out.lo + valueLen(d.page.data[out.lo:])
	v := e.Value()
	out.Text = string(v.Data)
	if v.Kind == unstable.Array {
		var parts []string
		for it := v.Children(); it.Next(); {
			if it.Node().Kind != unstable.Comment {
				parts = append(parts, string(it.Node().Data))
			}
		}
		out.Text = strings.Join(parts, ", ")
	}
	return out
}

// valueLen is how many bytes the value at the start of b takes. b is valid TOML.
func valueLen(b []byte) int {
	depth := 0
	for i := 0; i < len(b); i++ {
		switch c := b[i]; c {
		case '"', '\'':
			i += stringLen(b[i:]) - 1
			if depth == 0 {
				return i + 1
			}
		case '[', '{':
			depth++
		case ']', '}':
			if depth--; depth <= 0 {
				return i + 1
			}
		case '#', '\n':
			if depth == 0 {
				return len(bytes.TrimRight(b[:i], " \t\r"))
			}
			if c == '#' {
				for i+1 < len(b) && b[i+1] != '\n' {
					i++
				}
			}
		}
	}
	return len(bytes.TrimRight(b, " \t\r"))
}

// stringLen is how many bytes the string at the start of b takes, its quotes included.
func stringLen(b []byte) int {
	q := b[0]
	n := 1
	if len(b) >= 3 && b[1] == q && b[2] == q {
		n = 3
	}
	for i := n; i < len(b); i++ {
		if q == '"' && b[i] == '\\' {
			i++
			continue
		}
		if !bytes.HasPrefix(b[i:], bytes.Repeat([]byte{q}, n)) {
			continue
		}
		i += n
		for k := 0; n == 3 && k < 2 && i < len(b) && b[i] == q; k++ {
			i++ // up to two quotes may stand before the closing three
		}
		return i
	}
	return len(b)
}

// errNoTable tells a form that is older than the file.
var errNoTable = errors.New("that part of the site file is not there any more; load the page again")

// Set writes values into a table: a changed one in place of the old, a new one below the
// last, and takes out those that are "". Values are written as the keys of the table want
// them; a key the table does not know is an error.
func (d *Draft) Set(table int, values map[string]string) (*Draft, error) {
	if table < 0 || table >= len(d.tables) {
		return nil, errNoTable
	}
	t := &d.tables[table]
	var cuts []cut
	var fresh strings.Builder
	nl := d.newline()
	for _, f := range FieldsOf(t.Path) {
		text, asked := values[f.Key]
		if !asked {
			continue
		}
		text = strings.TrimSpace(text)
		i := slices.IndexFunc(t.Entries, func(e Entry) bool { return e.Key == f.Key })
		switch {
		case i < 0 && text != "":
			fresh.WriteString(f.Key + " = " + f.write(text) + nl)
		case i >= 0 && text == "":
			lo, hi := d.wholeLines(t.Entries[i])
			cuts = append(cuts, cut{lo, hi, ""})
		case i >= 0 && text != t.Entries[i].Text:
			cuts = append(cuts, cut{t.Entries[i].lo, t.Entries[i].hi, f.write(text)})
		}
	}
	for key := range values {
		if !slices.ContainsFunc(FieldsOf(t.Path), func(f Field) bool { return f.Key == key }) {
			return nil, fmt.Errorf("there is no key %s in %s", quote(key), headerOf(t.Path))
		}
	}
	if fresh.Len() > 0 {
		at := d.lastLine(t)
		text := fresh.String()
		if at == len(d.page.data) && at > 0 && d.page.data[at-1] != '\n' {
			text = nl + text
		}
		cuts = append(cuts, cut{at, at, text})
	}
	return d.with(cuts)
}

// Add writes a new table of a path with its values: below the tables of the one it belongs
// to (under, -1 for none), after the last of its kind, or at the end. It returns where it is.
func (d *Draft) Add(path string, under int, values map[string]string) (*Draft, int, error) {
	header := headerOf(path)
	if header == "" {
		return nil, 0, fmt.Errorf("a site file has no table %s", quote(path))
	}
	parent := path[:max(strings.LastIndexByte(path, '.'), 0)]
	list := strings.HasPrefix(headerOf(parent), "[[")
	if list && (under < 0 || under >= len(d.tables) || d.tables[under].Path != parent) {
		return nil, 0, errNoTable
	}
	before := d.after(path, under, list)
	for _, t := range d.tables {
		if single := !strings.HasPrefix(header, "[["); single && t.Path == path && (!list || t.Under == under) {
			return nil, 0, fmt.Errorf("there is already a %s, in line %d; change that one", header, t.Line)
		}
	}
	nl := d.newline()
	text := nl + header + nl
	for _, f := range FieldsOf(path) {
		if v := strings.TrimSpace(values[f.Key]); v != "" {
			text += f.Key + " = " + f.write(v) + nl
		}
	}
	at := len(d.page.data)
	if before >= 0 {
		at = d.lastLine(&d.tables[before])
	}
	if at > 0 && d.page.data[at-1] != '\n' {
		text = nl + text
	}
	out, err := d.with([]cut{{at, at, text}})
	return out, before + 1, err
}

// after is the table behind which a new one belongs, or -1 when there is none.
func (d *Draft) after(path string, under int, list bool) int {
	if list {
		return d.family(under) - 1
	}
	last := -1
	top, _, _ := strings.Cut(path, ".")
	for i, t := range d.tables {
		if t.Path == top || strings.HasPrefix(t.Path, top+".") {
			last = i
		}
	}
	if last < 0 {
		last = len(d.tables) - 1
	}
	return last
}

// family is the first table behind one and all that belong to it.
func (d *Draft) family(table int) int {
	i := table + 1
	for i < len(d.tables) && strings.HasPrefix(d.tables[i].Path, d.tables[table].Path+".") {
		i++
	}
	return i
}

// Remove takes out a table with all that belong to it and the remarks right above it.
func (d *Draft) Remove(table int) (*Draft, error) {
	if table < 0 || table >= len(d.tables) {
		return nil, errNoTable
	}
	end := d.lastLine(&d.tables[d.family(table)-1])
	for end < len(d.page.data) { // and the empty lines behind
		_, e := d.page.bounds(d.page.line(end))
		if len(bytes.TrimSpace(d.page.data[end:e])) > 0 {
			break
		}
		end = min(e+1, len(d.page.data))
	}
	return d.with([]cut{{d.tables[table].from, end, ""}})
}

// cut replaces bytes of the text.
type cut struct {
	lo, hi int
	text   string
}

func (d *Draft) with(cuts []cut) (*Draft, error) {
	slices.SortStableFunc(cuts, func(a, b cut) int { return a.lo - b.lo })
	var out []byte
	at := 0
	for _, c := range cuts {
		out = append(append(out, d.page.data[at:c.lo]...), c.text...)
		at = c.hi
	}
	return NewDraft(append(out, d.page.data[at:]...), d.page.name)
}

// wholeLines is the lines an entry stands on.
func (d *Draft) wholeLines(e Entry) (lo, hi int) {
	lo, _ = d.page.bounds(d.page.line(e.key.Off))
	_, hi = d.page.bounds(d.page.line(e.hi))
	return lo, min(hi+1, len(d.page.data))
}

// lastLine is where the next key of a table goes: behind its last one, or its header.
func (d *Draft) lastLine(t *Table) int {
	line := t.Line
	if n := len(t.Entries); n > 0 {
		line = d.page.line(t.Entries[n-1].hi)
	}
	_, end := d.page.bounds(line)
	return min(end+1, len(d.page.data))
}

// newline is how lines end in this file.
func (d *Draft) newline() string {
	if i := bytes.IndexByte(d.page.data, '\n'); i > 0 && d.page.data[i-1] == '\r' {
		return "\r\n"
	}
	return "\n"
}

// valid reports whether a value can stand as TOML by itself.
func valid(text string) bool {
	var v map[string]any
	return !strings.ContainsAny(text, "\r\n") && toml.Unmarshal([]byte("v = "+text), &v) == nil && len(v) == 1
}
