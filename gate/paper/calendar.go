package paper

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode"

	ics "github.com/arran4/golang-ical"

	"example.org/coldnight/internal/phrase"
)

// Of the entries of a calendar.
const (
	alarmBefore = "-PT15M"
	roundTakes  = 20 * time.Minute // a walk out and back. Judgement
)

// Calendar writes jobs and rounds as iCalendar (RFC 5545), times in UTC: of one
// person, or of all. The identity of an entry is its space, its night and the kind of
// work, so that the same work of a newer plan takes its place when it is read in
// again; work that is no longer in the plan stays until someone deletes it, but for
// calendars that subscribe.
func (s Sheet) Calendar(w io.Writer) error {
	if s.Site == nil || s.Answer == nil {
		return fmt.Errorf("paper: a calendar needs a site and a plan")
	}
	who, err := s.persons()
	if err != nil {
		return err
	}
	made := s.Answer.Plan.Now.UTC()
	name := s.Site.Name
	if s.Person != "" {
		name += ", " + phrase.List(who)
	}
	c := ics.NewCalendar()
	c.SetProductId("-//coldnight//run sheet//EN")
	c.SetMethod(ics.MethodPublish)
	c.SetCalscale("GREGORIAN")
	c.SetXWRCalName(ics.ToText(plain(name)))
	uids := map[string]int{}
	for _, e := range s.errands() {
		uid := s.uid(&e, uids)
		if s.Person != "" && !slices.ContainsFunc(who, e.does) {
			continue
		}
		ev := c.AddEvent(uid)
		ev.SetDtStampTime(made)
		ev.SetModifiedAt(made)
		ev.SetSequence(int(made.Unix() / 60))
		length := time.Duration(e.minutes) * time.Minute
		if e.round || e.cover {
			length = roundTakes
		}
		ev.SetStartAt(e.start)
		ev.SetEndAt(e.start.Add(length))
		summary := plain(phrase.Capital(e.what))
		if e.space != "" { // standing jobs may be anywhere
			summary = plain(e.space + ": " + e.what)
			ev.SetLocation(plain(e.space))
		}
		ev.SetSummary(summary)
		ev.SetDescription(s.describe(&e))
		al := ev.AddAlarm()
		al.SetAction(ics.ActionDisplay)
		al.SetTrigger(alarmBefore)
		al.SetDescription(s.alarmWords(&e, summary))
	}
	return c.SerializeTo(w, ics.WithNewLineWindows)
}

// alarmWords are what an alarm shows: a phone that is picked up at night shows nothing
// else, so what stands on the door stands here too.
func (s *Sheet) alarmWords(e *errand, summary string) string {
	if d := s.atDoor(e); d != "" {
		return summary + ". " + plain(d)
	}
	return summary
}

// describe is what stands below an entry.
func (s *Sheet) describe(e *errand) string {
	v := s.voice()
	var out []string
	say := func(text string) { out = append(out, plain(phrase.Stop(text))) }
	if len(e.who) > 0 {
		say(phrase.Capital(phrase.List(e.who)))
	} else {
		say("Nobody is on shift: say before dark who goes")
	}
	switch {
	case e.cover:
		say("About " + v.When(e.start))
	case e.round:
		say("Be there by " + v.When(e.start))
	default:
		say(fmt.Sprintf("%s, start by %s", phrase.Count(e.minutes, "minute"), v.When(e.latest)))
	}
	if e.carry != "" {
		say("Carry: " + e.carry)
	}
	if d := s.atDoor(e); d != "" {
		say(d)
	}
	if e.why != "" {
		say(phrase.Capital(e.why))
	}
	say(fmt.Sprintf("Plan made %s, from a forecast of %s", v.When(s.Answer.Plan.Now), v.When(s.Answer.Plan.Issued)))
	return strings.Join(out, "\n")
}

// uid is the identity of an errand: space, night and kind of work, with a number
// where there are several of these.
func (s *Sheet) uid(e *errand, seen map[string]int) string {
	night := e.block.date
	if e.round {
		night = s.evening(e.start)
	}
	space := e.space
	if e.cover {
		space = "" // which spaces go together is the plan's choice
	}
	key := strings.Join([]string{s.Site.Name, space, night, kind(e)}, "\x00")
	seen[key]++
	sum := sha256.Sum256(fmt.Appendf(nil, "%s\x00%d", key, seen[key]))
	return hex.EncodeToString(sum[:12]) + "@coldnight"
}

// kind is the work without what a newer plan may change about it: its first two
// words, up to the first number or sign.
func kind(e *errand) string {
	words := strings.FieldsFunc(strings.ToLower(e.what), func(r rune) bool { return !unicode.IsLetter(r) })
	return fmt.Sprint(e.round, words[:min(2, len(words))])
}
