package paper

import "slices"

// lineMM is from one line to write on to the next.
const lineMM = 10.0

// calls are lines to write on, each behind a word, all on one page.
func (s *sheaf) calls(words ...string) {
	s.need(lineOf(headPt) + 8 + lineMM*float64(len(words)))
	s.head("To call")
	for _, w := range words {
		s.put(side, least, false, w)
		x := side + s.pdf.GetStringWidth(w) + 2
		s.blank(x, s.y+lineMM-4, s.w-side-x)
		s.y += lineMM
	}
}

// notes are a few lines to write on in the rest of the page, if there is some.
func (s *sheaf) notes() {
	if s.room() < lineOf(headPt)+8+2*lineMM {
		return
	}
	s.head("Notes")
	for n := 0; n < 8 && s.room() >= lineMM; n++ {
		s.blank(side, s.y+lineMM-4, s.width())
		s.y += lineMM
	}
}

// column is a cell of a row.
type column struct {
	x, w  float64
	pt    float64
	bold  bool
	lines []string
}

// col breaks text for a column.
func (s *sheaf) col(x, w, pt float64, bold bool, texts ...string) column {
	c := column{x: x, w: w, pt: pt, bold: bold}
	for _, t := range texts {
		c.lines = append(c.lines, s.wrap(t, pt, bold, w)...)
	}
	return c
}

// row writes columns side by side, kept on one page unless they are higher than one,
// and moves below them, at least by low.
func (s *sheaf) row(low float64, cols ...column) {
	if full := s.h - bottom - top - 10; high(cols) <= full {
		h := max(low, high(cols))
		s.need(h)
		s.lay(cols)
		s.y += h
		return
	}
	for high(cols) > 0 {
		now := slices.Clone(cols)
		for i := range cols {
			c := &cols[i]
			n := min(max(int(s.room()/lineOf(c.pt)), 1), len(c.lines))
			now[i].lines, c.lines = c.lines[:n], c.lines[n:]
		}
		s.lay(now)
		s.y += high(now)
		if high(cols) > 0 {
			s.need(s.h)
		}
	}
}

// lay writes columns with their tops at y.
func (s *sheaf) lay(cols []column) {
	from := s.y
	for _, c := range cols {
		s.y = from
		for _, l := range c.lines {
			s.put(c.x, c.pt, c.bold, l)
			s.y += lineOf(c.pt)
		}
	}
	s.y = from
}

// high is the height of columns.
func high(cols []column) float64 {
	h := 0.0
	for _, c := range cols {
		h = max(h, float64(len(c.lines))*lineOf(c.pt))
	}
	return h
}
