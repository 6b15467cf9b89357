package site

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// Problem is one thing wrong with a site file.
type Problem struct {
	File    string
	Line    int // from 1
	Column  int // from 1, in characters
	Text    string
	Hint    string // what to do
	Snippet string // the line and a caret under the place
}

// Problems is everything found wrong, in the order of the file.
type Problems []Problem

// Error returns the problem as `file:line:column: what; what to do`, without the snippet.
func (p Problem) Error() string {
	s := fmt.Sprintf("%s:%d:%d: %s", p.File, p.Line, p.Column, p.Text)
	if p.Hint != "" {
		s += "; " + p.Hint
	}
	return s
}

// most is how many problems are printed; the first mistakes often cause the rest.
const most = 30

// Error returns all problems, each with its line of the file and a caret under the place.
func (ps Problems) Error() string {
	var b strings.Builder
	for i, p := range ps {
		if i == most {
			fmt.Fprintf(&b, "and %d more\n", len(ps)-most)
			break
		}
		b.WriteString(p.Error() + "\n" + p.Snippet)
	}
	return strings.TrimSuffix(b.String(), "\n")
}

// span is a stretch of bytes of the file.
type span struct{ Off, Len int }

// page is the text of the file, for turning spans into lines and columns.
type page struct {
	name   string
	data   []byte
	starts []int // offset of each line
}

func newPage(name string, data []byte) *page {
	p := &page{name: name, data: data, starts: []int{0}}
	for i, c := range data {
		if c == '\n' {
			p.starts = append(p.starts, i+1)
		}
	}
	return p
}

// line returns the number of the line an offset is on, from 1.
func (p *page) line(off int) int {
	i, found := slices.BinarySearch(p.starts, off)
	if found {
		return i + 1
	}
	return i
}

// bounds returns where a line starts and ends.
func (p *page) bounds(line int) (start, end int) {
	if line < len(p.starts) {
		return p.starts[line-1], p.starts[line] - 1
	}
	return p.starts[line-1], len(p.data)
}

func (p *page) problem(at span, text, hint string) Problem {
	at.Off = min(max(at.Off, 0), len(p.data))
	line := p.line(at.Off)
	start, end := p.bounds(line)
	before := string(p.data[start:at.Off])
	under := string(p.data[at.Off:min(max(end, at.Off), at.Off+at.Len)])
	// A tab before the place stays a tab, so that the caret stands under it whatever the tab width.
	pad := strings.Map(func(r rune) rune {
		if r == '\t' {
			return r
		}
		return ' '
	}, before)
	shown := strings.TrimRight(string(p.data[start:end]), "\r")
	snippet := ""
	if strings.TrimSpace(shown) != "" {
		snippet = "    " + shown + "\n    " + pad + strings.Repeat("^", max(1, utf8.RuneCountInString(under))) + "\n"
	}
	return Problem{
		File: p.name, Line: line, Column: utf8.RuneCountInString(before) + 1, Text: text, Hint: hint,
		Snippet: snippet,
	}
}

func (ps Problems) sorted() Problems {
	slices.SortStableFunc(ps, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column), cmp.Compare(a.Text, b.Text))
	})
	return slices.Compact(ps)
}
