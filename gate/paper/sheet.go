package paper

import (
	"fmt"
	"io"
	"slices"
	"time"

	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/site"
)

// PDF writes the run sheet: first what everybody needs, then a sheet per person, the
// night, what to hang on doors, and the night strips of the spaces at risk. For one
// person it is their sheet, the night and the cautions. The paper is A4, or Letter
// where the units are customary.
func (s Sheet) PDF(w io.Writer) error {
	if s.Site == nil || s.Answer == nil {
		return fmt.Errorf("paper: a sheet needs a site and a plan")
	}
	who, err := s.persons()
	if err != nil {
		return err
	}
	pages := s.lay(who, 0).pdf.PageNo()
	return s.lay(who, pages).pdf.Output(w)
}

// lay lays the sheets out; of is the number of pages, 0 to count them.
func (s *Sheet) lay(who []string, of int) *sheaf {
	v, p := s.voice(), &s.Answer.Plan
	f := newSheaf(s.Site.Units, s.Site.Name+", run sheet of "+v.When(p.Now), p.Now, of)
	f.foot[0] = f.cut(s.Site.Name, least, false, f.width()-45)
	f.foot[1] = f.cut(fmt.Sprintf("Plan made %s, from a forecast of %s", v.When(p.Now), v.When(p.Issued)), least, false, f.width())
	all := s.errands()
	if s.Person == "" {
		s.everybody(f, all)
	}
	for _, name := range who {
		s.person(f, name, all)
	}
	s.night(f, all)
	if s.Person == "" {
		for _, h := range s.Answer.Houses {
			if h.Opening.NeedsIt {
				s.door(f, h)
			}
		}
		s.strips(f)
	} else {
		s.cautions(f)
	}
	return f
}

// headline answers first: is there a freeze, and when.
func (s *Sheet) headline() string {
	var days []string
	for _, n := range s.Answer.Plan.Nights {
		if d, err := time.Parse(time.DateOnly, n.Date); err == nil {
			days = append(days, d.Format("Mon 2 Jan"))
		}
	}
	span := phrase.List(days)
	if len(days) > 2 {
		span = days[0] + " to " + days[len(days)-1]
	}
	switch {
	case !s.Answer.Freeze:
		return "No freeze in sight"
	case len(days) == 1:
		return "Freeze in the night of " + span
	}
	return fmt.Sprintf("Freeze in %s, %s", phrase.Count(len(days), "night"), span)
}

// everybody lays out what all need: how cold, who does what when, what to beware of.
func (s *Sheet) everybody(f *sheaf, all []errand) {
	v := s.voice()
	f.page("Everybody")
	f.say(f.fit(s.headline(), 26, f.width(), 1), true, s.headline())
	f.y += 2
	harmed, held := s.sorted()
	switch {
	case len(harmed) > 0:
		f.say(bodyPt+1, false, tie(v.Sentence(harmed[0].Outlook, harmed[0].Chosen)))
	case len(held) > 0:
		f.say(bodyPt+1, false, "All plants are expected to hold. "+tie(v.Sentence(held[0].Outlook, held[0].Chosen)))
	}
	s.coldestHours(f)
	f.head("Who does what, when")
	if as := s.asOf(all); as != "" {
		f.say(bodyPt, true, as)
	}
	if len(all) == 0 {
		f.say(bodyPt, false, "Nothing to do.")
	}
	for i := range all {
		if i == 0 || all[i].block != all[i-1].block {
			s.blockHead(f, all[i].block, i == 0)
		}
		s.line(f, &all[i])
	}
	s.risks(f, harmed, held)
	s.gets(f)
	s.setPoints(f)
	s.cautions(f)
	f.calls("Called first, and number:", "Then:", "Gas or power trouble:")
	f.notes()
}

// blockHead is the heading of a block in the table of everybody.
func (s *Sheet) blockHead(f *sheaf, b block, first bool) {
	f.need(lineOf(14) + 2*lineOf(least) + 16)
	if !first {
		f.y += 2
	}
	f.say(14, true, s.title(b))
	f.y += 1
}

// line is one errand in the table of everybody: a box, the hour, who, where and what.
func (s *Sheet) line(f *sheaf, e *errand) {
	x := side + boxMM + 4
	const clockW, whoW = 36.0, 37.0
	by := ""
	switch {
	case e.cover:
		by = "about"
	case !e.round:
		by = "by " + s.moment(e.block, e.latest)
	}
	who := "Who?"
	if len(e.who) > 0 {
		who = phrase.List(e.who)
	}
	what := phrase.Capital(e.what)
	if e.minutes > 0 {
		what = fmt.Sprintf("%s %s.", phrase.Stop(what), phrase.Count(e.minutes, "minute"))
	}
	if d := s.atDoor(e); d != "" {
		what = phrase.Stop(what) + " " + d
	}
	at := f.col(x, clockW, hourPt, true, s.moment(e.block, e.start))
	if by != "" {
		at.lines = append(at.lines, "") // room for the latest start
	}
	place := f.col(x+clockW+whoW, s.rest(f, x+clockW+whoW), bodyPt, true, e.space)
	text := f.col(x+clockW+whoW, s.rest(f, x+clockW+whoW), least, false, tie(what))
	skip := float64(len(place.lines)) * lineOf(bodyPt)
	low := max(skip+high([]column{text}), boxMM, lineOf(hourPt)*float64(len(at.lines)))
	if low < f.h-bottom-top-10 {
		f.need(low + 1.5)
	}
	f.box(side, f.y+0.7)
	y := f.y
	done := s.doneWords(e)
	if done != "" {
		f.tick(side, f.y+0.7)
		if low < f.room() {
			f.strike(y, place)
			f.strike(y+skip, text)
		}
		who = done
	}
	if by != "" {
		at.lines = at.lines[:len(at.lines)-1]
		f.y += lineOf(hourPt) * float64(len(at.lines))
		f.put(x, least, false, f.cut(by, least, false, clockW))
		f.y = y
	}
	f.row(0, at)
	f.y = y
	f.row(0, f.col(x+clockW, whoW-3, least, done != "", who))
	if len(e.who) == 0 && done == "" {
		f.blank(x+clockW, y+boxMM+1, whoW-4)
	}
	f.y = y
	f.row(0, place)
	f.row(0, text)
	f.y = max(f.y, y+low) + 1.5
	f.rule(0.1)
	f.y += 1.5
}

func (s *Sheet) rest(f *sheaf, x float64) float64 { return f.w - side - x }

// cautions are said once on the sheet, the deadliest first.
func (s *Sheet) cautions(f *sheaf) {
	f.head("Take care")
	for _, c := range s.Answer.Cautions {
		f.item(least, c)
	}
}

// shiftOf are the hours of the crew's line that a person stands in.
func shiftOf(s *site.Site, person string) *site.Worker {
	for i := range s.Crew {
		if slices.Contains(inLine(&s.Crew[i]), person) {
			return &s.Crew[i]
		}
	}
	return nil
}
