package paper

import (
	"fmt"
	"strings"
	"time"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

// person lays out the sheet of one person: their work by block, in order.
func (s *Sheet) person(f *sheaf, name string, all []errand) {
	v := s.voice()
	f.page(name)
	f.say(30, true, name)
	f.say(bodyPt, false, s.headline())
	if w := shiftOf(s.Site, name); w != nil {
		at := func(min int) string { return v.Clock(time.Date(2000, 1, 1, 0, min, 0, 0, s.zone())) }
		f.say(bodyPt, false, fmt.Sprintf("On from %s to %s", at(w.FromMin), at(w.ToMin)))
	}
	var own []errand
	rounds, walks := 0, 0
	for _, e := range all {
		if e.does(name) {
			own = append(own, e)
		}
		switch {
		case len(e.who) > 0:
		case e.round:
			rounds++
		default:
			walks++
		}
	}
	if len(own) == 0 {
		f.y += 4
		f.say(headPt, true, "Nothing to do in this plan.")
	}
	for i := range own {
		if i == 0 || own[i].block != own[i-1].block {
			f.headOver(s.title(own[i].block), cardMM)
		}
		s.card(f, name, &own[i])
	}
	if open := nameless(rounds, walks); open != "" {
		f.y += 3
		f.say(bodyPt, true, open)
	}
	f.notes()
}

// nameless says what nobody is named for.
func nameless(rounds, walks int) string {
	var out []string
	if rounds > 0 {
		out = append(out, phrase.Count(rounds, "round"))
	}
	if walks > 0 {
		out = append(out, phrase.Count(walks, "walk")+" to take covers off or put them on again")
	}
	if len(out) == 0 {
		return ""
	}
	return "No name yet for " + phrase.List(out) + ": see the sheet for everybody, and say before dark who goes."
}

// cardMM is room for a card of a usual height.
const cardMM = 56.0

// card is one errand of a person: a box and the hour at the left, the place, what,
// with whom and what to carry at the right, the end with a line for the hour it was
// done.
func (s *Sheet) card(f *sheaf, name string, e *errand) {
	const left = 44.0
	x := side + left
	w := s.rest(f, x)
	var notes []string
	if e.minutes > 0 {
		notes = append(notes, phrase.Count(e.minutes, "minute"))
	}
	if name != "" {
		if with := e.with(name); len(with) > 0 && !e.round {
			notes = append(notes, "with "+phrase.List(with))
		} else if len(with) > 0 {
			notes = append(notes, "also on shift: "+phrase.List(with))
		}
	} else if len(e.who) > 0 {
		notes = append(notes, phrase.List(e.who))
	}
	var text []string
	if len(notes) > 0 {
		text = append(text, phrase.Capital(strings.Join(notes, "; "))+".")
	}
	if e.carry != "" {
		text = append(text, "Carry: "+phrase.Stop(e.carry))
	}
	if d := s.atDoor(e); d != "" {
		text = append(text, d)
	}
	if e.round && e.why != "" {
		text = append(text, phrase.Capital(phrase.Stop(e.why)))
	}
	for i := range text {
		text[i] = tie(text[i])
	}
	parts := []column{
		f.col(x, w, 16, true, e.space),
		f.col(x, w, bodyPt+1, false, tie(phrase.Stop(phrase.Capital(e.what)))),
		f.col(x, w, least, false, text...),
	}
	total := 14.0
	for _, p := range parts {
		total += high([]column{p})
	}
	if total < f.h-bottom-top-10 {
		f.need(total)
	}
	y := f.y
	f.row(0, f.col(side, left-3, 20, true, s.moment(e.block, e.start)))
	if !e.round {
		f.row(0, f.col(side, left-3, least, false, "start by "+s.moment(e.block, e.latest)))
	} else {
		f.row(0, f.col(side, left-3, least, false, "be there by then"))
	}
	f.y += 1
	f.box(side, f.y)
	done := s.doneWords(e)
	if done != "" {
		f.tick(side, f.y)
	}
	low := f.y + boxMM + 2
	f.y = y
	for i, p := range parts {
		if at := f.y; done != "" && i < 2 && f.room() > high([]column{p}) {
			f.strike(at, p)
		}
		f.row(0, p)
	}
	f.y += 3
	f.need(6)
	if done != "" {
		f.put(x, least, true, f.cut(done, least, true, w))
	} else {
		first, then := "Done at", "by"
		if len(e.who) == 0 {
			first, then = "Who", "done at"
		}
		f.put(x, least, false, first)
		f.blank(x+18, f.y+5, 32)
		f.put(x+54, least, false, then)
		f.blank(x+72, f.y+5, max(f.w-side-x-72, 10))
	}
	f.y = max(f.y+8, low)
	f.rule(0.1)
	f.y += 2
}

// doorOf tells whether words stand on the door of a space.
func (s *Sheet) doorOf(space string) bool {
	for _, h := range s.Answer.Houses {
		if h.Space.Name == space && h.Opening.NeedsIt {
			return true
		}
	}
	return false
}

// atDoor is what stands on the door there; whoever is alone takes somebody along.
func (s *Sheet) atDoor(e *errand) string {
	if e.cover { // spaces of the same hour together, each named
		var shut []string
		for _, name := range strings.Split(e.space, ", ") {
			if s.doorOf(name) {
				shut = append(shut, name)
			}
		}
		if len(shut) == 0 {
			return ""
		}
		return phrase.List(shut) + ": " + plan.DoorWords + "."
	}
	if !s.doorOf(e.space) {
		return ""
	}
	words := phrase.Capital(plan.DoorWords) + "."
	if len(e.who) < 2 && !e.round {
		words += " Take a second person along."
	}
	return words
}

// door is a page to hang on the door of a house in which a flame burns without a
// flue.
func (s *Sheet) door(f *sheaf, h *heating.House) {
	v, o := s.voice(), &h.Opening
	f.page(h.Space.Name + ", door")
	f.pdf.SetLineWidth(2.5)
	f.pdf.Rect(side, top, f.width(), f.h-bottom-top, "D")
	const in = 8.0
	x, w := side+in, f.width()-2*in
	f.y = top + in
	f.sayAt(x, w, f.fit(h.Space.Name, 40, w, 2), true, h.Space.Name)
	f.y += 8
	words := strings.ToUpper(plan.DoorWords)
	f.sayAt(x, w, f.fit(words, 62, w, 4), true, words)
	f.y += 8
	f.sayAt(x, w, 18, true, "A flame burns in here without a flue. Its carbon monoxide has no smell, and nobody can compute it.")
	f.y += 3
	f.sayAt(x, w, 16, false, "Two people. Alarm on. Never sleep in here.")
	f.y += 5
	open := fmt.Sprintf("Two air openings of %s each: %s.", areaOf(o.EachM2, v), o.Where)
	switch {
	case o.CutM2 <= 0:
		open += " They are there: keep them open."
	case o.HaveM2 > 0:
		open += fmt.Sprintf(" %s is open; %s each is still to be cut.", areaOf(o.HaveM2, v), areaOf(o.CutM2, v))
	}
	f.sayAt(x, w, 14, false, tie(open))
	f.y = max(f.y+6, f.h-bottom-30)
	if f.room() < 24 {
		return
	}
	f.box(x, f.y-1)
	f.put(x+boxMM+4, 14, false, "Both openings open and wedged")
	f.y += 15
	f.put(x, 14, false, "at")
	f.blank(x+8, f.y+5, 40)
	f.put(x+56, 14, false, "by")
	f.blank(x+64, f.y+5, w-64)
}

// fit is the largest type, at most pt, in which words keep to so many lines and no
// word is broken.
func (s *sheaf) fit(text string, pt, width float64, lines int) float64 {
	for ; pt > least; pt -= 2 {
		s.face(pt, true)
		whole := true
		for _, word := range strings.Fields(plain(text)) {
			whole = whole && s.pdf.GetStringWidth(word) <= width
		}
		if whole && len(s.wrap(text, pt, true, width)) <= lines {
			break
		}
	}
	return pt
}
