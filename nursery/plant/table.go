package plant

import (
	"bytes"
	"embed"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

//go:embed data/*.csv
var data embed.FS

// Grade is how well a record is founded: A controlled experiment, B university
// or agency, C compiled class, D grower or garden, M from memory.
type Grade string

// Row is one record of the library.
type Row struct {
	Line       int      // line in the table, from 1
	Taxon      string   // as published
	Names      []string // names it speaks for; empty for a whole class
	Synonyms   []string // botanical
	Trade      []string // trade names
	Group      string   // tolerance class
	Organ      string
	Meaning    Meaning
	ValueC     float64 // °C (a difference for RelativeShift)
	Acclimated string  // yes, no, partly, unknown, n/a
	Setting    []string
	DurationH  float64 // hours, 0 when not stated
	Grade      Grade
	Weak       bool // the only source is a shop, a forum, a private or unsigned page
	Suspect    bool // shown, never counted
	Conflicts  []string
	Remark     string
	Source     string // key of Source
	Seen       string // seen, second-hand, memory
	Use        Use

	keys []string // Names, normalised
}

func (r *Row) has(setting string) bool {
	for _, s := range r.Setting {
		if s == setting {
			return true
		}
	}
	return false
}

// Source is where records come from.
type Source struct {
	Key, Title, By, Year, Kind, Address string
}

// Conflict is a disagreement kept visible. Values are °C as reported.
type Conflict struct {
	Key, Name, Values, Cause string
	Rows                     []Row
}

// TableError is a fault in one of the library's tables.
type TableError struct {
	File   string
	Line   int
	Column string
	Fault  string
	Hint   string
}

func (e *TableError) Error() string {
	at := fmt.Sprintf("%s:%d", e.File, e.Line)
	if e.Column != "" {
		at += ": column " + e.Column
	}
	return at + ": " + e.Fault + "; " + e.Hint
}

// table reads a CSV with a fixed header and hands out each record with its line.
func table(file string, r io.Reader, header string, each func(line int, f func(string) string) error) error {
	cr := csv.NewReader(r)
	cr.FieldsPerRecord = -1
	want := strings.Split(header, ",")
	at := make(map[string]int, len(want))
	for i, w := range want {
		at[w] = i
	}
	for first := true; ; first = false {
		rec, err := cr.Read()
		if errors.Is(err, io.EOF) {
			if first {
				return &TableError{file, 1, "", "empty table", "start with the header " + header}
			}
			return nil
		}
		line, _ := 0, 0
		if err != nil {
			var pe *csv.ParseError
			if errors.As(err, &pe) {
				line = pe.Line
			}
			return &TableError{file, line, "", "not readable as comma separated text (" + err.Error() + ")", "check the quotes"}
		}
		line, _ = cr.FieldPos(0)
		if first {
			if strings.TrimPrefix(strings.Join(rec, ","), "\ufeff") != header {
				return &TableError{file, line, "", "other header", "use " + header}
			}
			continue
		}
		if len(rec) != len(want) {
			return &TableError{file, line, "", fmt.Sprintf("%d fields instead of %d", len(rec), len(want)), "quote fields that hold a comma"}
		}
		if err := each(line, func(col string) string { return rec[at[col]] }); err != nil {
			return err
		}
	}
}

const rowHeader = "taxon,names,synonyms,trade,group,organ,meaning,value_c,acclimated,setting,duration_h,grade,weak,suspect,conflict,remark,source,seen"

// ParseRows reads tolerance records. Every meaning must be known and every
// value a finite number between -90 and 60 °C.
func ParseRows(file string, r io.Reader) ([]Row, error) {
	var rows []Row
	err := table(file, r, rowHeader, func(line int, f func(string) string) error {
		bad := func(col, hint string) error {
			return &TableError{file, line, col, fmt.Sprintf("cannot use %q", f(col)), hint}
		}
		row := Row{
			Line: line, Taxon: f("taxon"), Group: f("group"), Organ: f("organ"), Meaning: Meaning(f("meaning")),
			Acclimated: f("acclimated"), Grade: Grade(f("grade")), Weak: f("weak") == "weak", Suspect: f("suspect") == "suspect",
			Remark: f("remark"), Source: f("source"), Seen: f("seen"),
			Synonyms: list(f("synonyms")), Trade: list(f("trade")), Setting: list(f("setting")), Conflicts: list(f("conflict")),
		}
		switch n := f("names"); n {
		case "*":
		case "":
			row.Names = []string{row.Taxon}
		default:
			row.Names = list(n)
		}
		if strings.TrimSpace(row.Taxon) == "" {
			return bad("taxon", "write the name of the plant")
		}
		v, err := strconv.ParseFloat(f("value_c"), 64)
		if err != nil || math.IsNaN(v) || v < -90 || v > 60 {
			return bad("value_c", "write degrees Celsius between -90 and 60")
		}
		row.ValueC = v
		if d := f("duration_h"); d != "" {
			h, err := strconv.ParseFloat(d, 64)
			if err != nil || !(h > 0 && h < 1e5) {
				return bad("duration_h", "write hours, or leave it empty")
			}
			row.DurationH = h
		}
		if !strings.Contains("ABCDM", string(row.Grade)) || len(row.Grade) != 1 {
			return bad("grade", "use A, B, C, D or M")
		}
		switch row.Acclimated {
		case "yes", "no", "partly", "unknown", "n/a":
		default:
			return bad("acclimated", "use yes, no, partly, unknown or n/a")
		}
		use, ok := row.Meaning.Use(row.Organ, row.ValueC)
		if !ok {
			return bad("meaning", "use one of the meanings listed in the package text")
		}
		row.Use = use
		rows = append(rows, row)
		return nil
	})
	return rows, err
}

func parseSources(file string, r io.Reader) (map[string]Source, error) {
	m := make(map[string]Source)
	err := table(file, r, "key,title,author_or_institution,year,kind,source", func(line int, f func(string) string) error {
		k := f("key")
		if _, twice := m[k]; twice || k == "" {
			return &TableError{file, line, "key", fmt.Sprintf("key %q is empty or used twice", k), "choose another"}
		}
		m[k] = Source{k, f("title"), f("author_or_institution"), f("year"), f("kind"), f("source")}
		return nil
	})
	return m, err
}

func parseConflicts(file string, r io.Reader) ([]Conflict, error) {
	var cs []Conflict
	err := table(file, r, "key,name,values,cause", func(_ int, f func(string) string) error {
		cs = append(cs, Conflict{Key: f("key"), Name: f("name"), Values: f("values"), Cause: f("cause")})
		return nil
	})
	return cs, err
}

// list splits a field at semicolons, dropping blanks.
func list(s string) []string {
	var out []string
	for _, p := range strings.Split(s, ";") {
		if p = strings.TrimSpace(p); p != "" {
			out = append(out, p)
		}
	}
	return out
}

func open(name string) (io.Reader, error) {
	b, err := data.ReadFile("data/" + name)
	return bytes.NewReader(b), err
}
