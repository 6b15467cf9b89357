package site

import (
	"reflect"
	"strconv"
	"strings"
)

// Field is what a site file may say under one key of a table: what a form asks for.
type Field struct {
	Key     string
	Doc     string   // what it says
	Example string   // as typed into a form
	Accepts string   // how it is written, in words; "" for free text
	Choices []string // when it is one of these words
	LeftOut string   // what holds when it is not given
	Must    bool     // it has to be given

	is string
}

// FieldsOf lists the keys of a table in the order of the reference; nil for a path there is not.
func FieldsOf(path string) []Field {
	var out []Field
	eachTable(func(p, _ string, t reflect.Type) {
		if p != path {
			return
		}
		for f := range t.Fields() {
			if f.Type != reflect.TypeFor[value]() {
				continue
			}
			is, eg := f.Tag.Get("is"), f.Tag.Get("eg")
			words := choices(is)
			if is == "when" {
				words = []string{"always", "evening-morning"}
			}
			out = append(out, Field{
				Key: f.Tag.Get("toml"), Doc: f.Tag.Get("doc"), Example: unwritten(eg), Accepts: accepts(is),
				Choices: words, LeftOut: f.Tag.Get("else"), Must: f.Tag.Get("else") == "must be given", is: is,
			})
		}
	})
	return out
}

// unwritten is an example without what only the file needs.
func unwritten(eg string) string {
	return strings.TrimSpace(strings.NewReplacer(`"`, "", "[", "", "]", "").Replace(eg))
}

// Flag reports whether the value is true or false.
func (f *Field) Flag() bool { return f.is == "flag" }

// Numeric reports whether the value is a plain number.
func (f *Field) Numeric() bool { return f.is == "number" || f.is == "count" || f.is == "money" }

// List reports whether there may be several values, with commas between.
func (f *Field) List() bool { return f.is == "compasses" || f.is == "names" }

// write is the value as TOML. What is no number where one is wanted goes into quotes, for Parse to complain about.
func (f *Field) write(text string) string {
	switch f.is {
	case "flag", "number", "count", "money":
		if f.is == "money" || f.is == "count" || f.is == "number" {
			if _, err := strconv.ParseFloat(text, 64); err != nil {
				return quoted(text)
			}
		}
		if valid(text) {
			return text
		}
	case "compasses", "names":
		return list(strings.Split(text, ","))
	case "left", "masses":
		if strings.Contains(text, ",") {
			return list(strings.Split(text, ","))
		}
	}
	return quoted(text)
}

func list(parts []string) string {
	var out []string
	for _, p := range parts {
		if p = strings.TrimSpace(p); p != "" {
			out = append(out, quoted(p))
		}
	}
	return "[" + listed(out) + "]"
}

// TableKind is a kind of table that a site file may have.
type TableKind struct {
	Path  string // "space.group"
	Under string // "space"; "" for one that belongs to the file
	Many  bool   // may stand several times
	Doc   string
	In    bool // has keys of its own
}

// TableKinds lists them in the order of the reference.
func TableKinds() []TableKind {
	var out []TableKind
	eachTable(func(path, header string, t reflect.Type) {
		k := TableKind{Path: path, Many: strings.HasPrefix(header, "[["), Doc: tableDoc(path), In: len(keysOf(t, false)) > 0}
		if i := strings.LastIndexByte(path, '.'); i > 0 {
			k.Under = path[:i]
		}
		out = append(out, k)
	})
	return out
}
