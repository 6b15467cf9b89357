package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"unicode/utf8"

	"example.org/coldnight/internal/phrase"
)

// width of what is printed for people, in characters.
const width = 80

// page collects lines for people, none wider than [width] but for words that are
// wider by themselves.
type page struct{ strings.Builder }

// say writes a paragraph with a first and a hanging indent.
func (p *page) say(first, rest, text string) {
	line, used := first, 0
	for _, w := range strings.Fields(text) {
		if used > 0 && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(w) > width {
			p.WriteString(line + "\n")
			line, used = rest, 0
		}
		if used > 0 {
			line += " "
		}
		line += w
		used++
	}
	p.WriteString(strings.TrimRight(line, " ") + "\n")
}

// head writes a heading after an empty line.
func (p *page) head(text string) { fmt.Fprintf(p, "\n%s\n", strings.ToUpper(text)) }

// row writes cells in columns of the given widths; a negative width stands to
// the right.
func (p *page) row(widths []int, cells ...string) {
	var b strings.Builder
	for i, c := range cells {
		w, right := widths[i], widths[i] < 0
		if right {
			w = -w
		}
		c = clip(c, w)
		pad := strings.Repeat(" ", w-utf8.RuneCountInString(c))
		if i > 0 {
			b.WriteByte(' ')
		}
		if right {
			b.WriteString(pad + c)
		} else {
			b.WriteString(c + pad)
		}
	}
	p.WriteString(strings.TrimRight(b.String(), " ") + "\n")
}

// clip shortens a text to n characters.
func clip(s string, n int) string {
	if utf8.RuneCountInString(s) <= n {
		return s
	}
	return string([]rune(s)[:max(n-1, 0)]) + "…"
}

// listed joins words; of many it names the first few and counts the rest.
func listed(words []string, most int) string {
	return phrase.ListFew(words, most, func(n int) string { return phrase.Count(n, "other") })
}

// watched tells whether a person sees what is written there.
func watched(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// busy says on a terminal that an answer takes a while.
func (c *console) busy(format string, args ...any) {
	if watched(c.errs) {
		fmt.Fprintf(c.errs, format+"\n", args...)
	}
}

// foldedTo is how many assumptions are read at a glance.
const foldedTo = 10

// foldAssumed lists the first assumptions and says how the others are seen.
func (p *page) foldAssumed(list []string, all bool, more string) {
	if len(list) == 0 {
		return
	}
	n := len(list)
	if !all {
		n = min(n, foldedTo)
	}
	p.head("assumed")
	if n < len(list) {
		p.say("", "", fmt.Sprintf("The first %d of %d; %s.", n, len(list), more))
	}
	for _, s := range list[:n] {
		p.say("- ", "  ", s)
	}
}
