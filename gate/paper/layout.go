package paper

import (
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-pdf/fpdf"

	"example.org/coldnight/measure"
)

// Sizes of type [pt] and of the page [mm]. Read at arm's length, by a lamp, with cold
// hands: nothing is smaller than least, hours are never smaller than hourPt.
const (
	least  = 12.0
	bodyPt = 13.0
	headPt = 17.0
	hourPt = 18.0

	side   = 15.0 // margin left and right
	top    = 15.0
	bottom = 26.0 // margin, with the foot in it
	boxMM  = 8.0  // side of a box to tick in gloves
)

// sheaf lays out pages from the top down, in millimetres.
type sheaf struct {
	pdf  *fpdf.Fpdf
	w, h float64 // of a page
	y    float64 // where the next thing goes
	foot [2]string
	of   int    // pages in all; 0 while they are being counted
	on   string // what a page that goes on is headed with
}

// newSheaf is an empty sheaf on the paper of the units.
func newSheaf(u measure.Units, title string, made time.Time, of int) *sheaf {
	size := fpdf.PageSizeA4
	if u == measure.Customary {
		size = fpdf.PageSizeLetter
	}
	s := &sheaf{pdf: fpdf.New(fpdf.OrientationPortrait, fpdf.UnitMillimeter, size, ""), of: of}
	s.w, s.h = s.pdf.GetPageSize()
	s.pdf.SetCatalogSort(true)
	s.pdf.SetCreationDate(made.UTC())
	s.pdf.SetModificationDate(made.UTC())
	s.pdf.SetProducer("coldnight", true)
	s.pdf.SetTitle(plain(title), true)
	s.pdf.SetAutoPageBreak(false, 0)
	s.pdf.SetMargins(side, top, side)
	s.pdf.SetCellMargin(0)
	s.pdf.AddUTF8FontFromBytes("sans", "", liberationsansregular.TTF)
	s.pdf.AddUTF8FontFromBytes("sans", "B", liberationsansbold.TTF)
	s.pdf.SetDrawColor(0, 0, 0)
	s.pdf.SetFillColor(0, 0, 0)
	return s
}

// lineOf is the height of a line of type [mm].
func lineOf(pt float64) float64 { return pt * 1.22 * 25.4 / 72 }

// width is what is between the margins.
func (s *sheaf) width() float64 { return s.w - 2*side }

func (s *sheaf) room() float64 { return s.h - bottom - s.y }

// page starts a page; on heads the pages that follow when it overflows.
func (s *sheaf) page(on string) {
	s.on = on
	s.begin()
}

func (s *sheaf) begin() {
	s.pdf.AddPage()
	s.y = s.h - bottom + 6
	s.rule(0.3)
	s.y += 1
	s.put(side, least, false, s.foot[0])
	if s.of > 0 {
		n := "page " + strconv.Itoa(s.pdf.PageNo()) + " of " + strconv.Itoa(s.of)
		s.face(least, true)
		s.put(s.w-side-s.pdf.GetStringWidth(n), least, true, n)
	}
	s.y += lineOf(least)
	s.put(side, least, false, s.foot[1])
	s.y = top
}

// need makes sure of so much height, on the next page if there is none on this.
func (s *sheaf) need(mm float64) {
	if s.room() >= mm || s.y <= top+lineOf(least)+1 {
		return
	}
	s.begin()
	if s.on != "" {
		s.put(side, least, true, s.cut(s.on+", goes on", least, true, s.width()))
		s.y += lineOf(least) + 2
	}
}

func (s *sheaf) face(pt float64, bold bool) {
	style := ""
	if bold {
		style = "B"
	}
	s.pdf.SetFont("sans", style, pt)
}

// put writes one line with its top at y, and does not move.
func (s *sheaf) put(x, pt float64, bold bool, text string) {
	s.face(pt, bold)
	s.pdf.Text(x, s.y+0.8*lineOf(pt), strings.ReplaceAll(plain(text), nbsp, " "))
}

// wrap breaks text into lines; a word wider than the line is broken too.
func (s *sheaf) wrap(text string, pt float64, bold bool, width float64) []string {
	s.face(pt, bold)
	fits := func(t string) bool { return s.pdf.GetStringWidth(t) <= width }
	var out []string
	line := ""
	for _, word := range strings.FieldsFunc(plain(text), func(r rune) bool { return r == ' ' }) {
		switch {
		case line != "" && fits(line+" "+word):
			line += " " + word
			continue
		case line != "":
			out = append(out, line)
		}
		for !fits(word) {
			n := 0
			for i, r := range word {
				if end := i + utf8.RuneLen(r); n == 0 || fits(word[:end]) {
					n = end
				} else {
					break
				}
			}
			if n == len(word) {
				break // a single letter wider than the line
			}
			out = append(out, word[:n])
			word = word[n:]
		}
		line = word
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// cut shortens text to one line.
func (s *sheaf) cut(text string, pt float64, bold bool, width float64) string {
	lines := s.wrap(text, pt, bold, width)
	if len(lines) < 2 {
		return strings.Join(lines, "")
	}
	s.face(pt, bold)
	r := []rune(lines[0])
	for len(r) > 0 && s.pdf.GetStringWidth(string(r)+"…") > width {
		r = r[:len(r)-1]
	}
	return string(r) + "…"
}

// say writes a paragraph over the whole width and moves below it.
func (s *sheaf) say(pt float64, bold bool, text string) { s.sayAt(side, s.width(), pt, bold, text) }

func (s *sheaf) sayAt(x, width, pt float64, bold bool, text string) {
	for _, l := range s.wrap(text, pt, bold, width) {
		s.need(lineOf(pt))
		s.put(x, pt, bold, l)
		s.y += lineOf(pt)
	}
}

// item writes a paragraph behind a dash.
func (s *sheaf) item(pt float64, text string) {
	whole := high([]column{s.col(side+5, s.width()-5, pt, false, text)})
	if whole > s.h-bottom-top-10 {
		whole = lineOf(pt) // longer than a page: it runs on
	}
	s.need(whole)
	s.put(side, pt, false, "–")
	s.sayAt(side+5, s.width()-5, pt, false, text)
	s.y += 0.8
}

// head writes a heading with room for a few lines under it.
func (s *sheaf) head(text string) { s.headOver(text, 18) }

// headOver writes a heading that stays with what comes below it, so high.
func (s *sheaf) headOver(text string, mm float64) {
	if s.y > top+lineOf(least)+3 {
		s.y += 4
	}
	s.need(lineOf(headPt) + 4 + mm)
	s.say(headPt, true, text)
	s.y += 0.5
	s.rule(0.5)
	s.y += 1.5
}

// rule draws a line over the whole width.
func (s *sheaf) rule(thick float64) {
	s.pdf.SetLineWidth(thick)
	s.pdf.Line(side, s.y, s.w-side, s.y)
}

// box draws a box to tick with a pen.
func (s *sheaf) box(x, y float64) {
	s.pdf.SetLineWidth(0.5)
	s.pdf.Rect(x, y, boxMM, boxMM, "D")
}

// blank draws a line to write on from x to x+w, its foot at y.
func (s *sheaf) blank(x, y, w float64) {
	s.pdf.SetLineWidth(0.25)
	s.pdf.Line(x, y, x+w, y)
}
