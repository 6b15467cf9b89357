package paper

import (
	"slices"
	"strings"
)

// doneWords say that an errand is done: "Done 3:40 p.m., Ana"; "" when it is not.
func (s *Sheet) doneWords(e *errand) string {
	if e.done.IsZero() {
		return ""
	}
	out := "Done " + s.moment(e.block, e.done)
	if e.by != "" {
		out += ", " + e.by
	}
	return out
}

// asOf says of which moment the marks are, where something is marked.
func (s *Sheet) asOf(all []errand) string {
	if !slices.ContainsFunc(all, func(e errand) bool { return !e.done.IsZero() }) {
		return ""
	}
	return "What was ticked as done by " + s.voice().When(s.Answer.Plan.Now) + " is struck out. What was done since is not."
}

// tick crosses a box at (x, y), as a pen would.
func (f *sheaf) tick(x, y float64) {
	f.pdf.SetLineWidth(0.7)
	f.pdf.Line(x, y, x+boxMM, y+boxMM)
	f.pdf.Line(x, y+boxMM, x+boxMM, y)
}

// strike draws a line through the text of a column whose top is at y.
func (f *sheaf) strike(y float64, c column) {
	f.face(c.pt, c.bold)
	f.pdf.SetLineWidth(0.35)
	for i, l := range c.lines {
		if strings.TrimSpace(l) == "" {
			continue
		}
		at := y + (float64(i)+0.55)*lineOf(c.pt)
		f.pdf.Line(c.x, at, c.x+f.pdf.GetStringWidth(plain(l)), at)
	}
}
