package web

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

// head answers in five seconds: get up or not, where, with what in hand.
type head struct {
	Act   string // "Go out now"
	Kind  string // "go", "later", "stay", "none": never told by colour alone
	Where string
	Door  string // what stands on the door there
	Do    []string
	Carry []string
	Who   string
	Late  string // latest start
	Then  string // what comes after
	Worst string // the group closest to harm
	Next  string // a later night that is worse
	Link  bool   // there are jobs below
}

// soon is how far ahead a job is "now": shoes and torch take that long.
const soon = 10 * time.Minute

func (w voice) noPlan(v View) head {
	switch {
	case len(v.Site.Spaces) == 0:
		return head{Act: "No spaces yet", Kind: "none", Worst: "Write the first bed, bench or house into the site file, with its length and width, and what stands in it."}
	case v.Busy:
		return head{Act: "Working it out", Kind: "none", Worst: "The first plan is being made" + making(v) + ". This page asks again by itself every few seconds."}
	}
	return head{Act: "No plan yet", Kind: "none", Worst: "Nothing is known about the coming night. Go by your own thermometer until there is a plan."}
}

// making is how far a plan has got, in brackets.
func making(v View) string {
	if v.Making == "" {
		return ""
	}
	return " (" + v.Making + ")"
}

func (w voice) head(v View, nights []nightPart) head {
	a := v.Answer
	if len(v.Site.Spaces) == 0 && len(a.Spaces) == 0 {
		return w.noPlan(v)
	}
	h := head{Worst: w.worst(nights), Next: worse(nights)}
	all := w.errands(v)
	todo := slices.DeleteFunc(slices.Clone(all), func(e errand) bool { return !e.todo(v.Now) })
	h.Link = len(a.Plan.Jobs) > 0
	if len(todo) == 0 {
		w.nothing(&h, v, nights)
		return h
	}
	first := todo[0]
	k := 1
	for k < len(todo) && (!todo[k].start.After(v.Now.Add(soon)) || todo[k].start.Equal(first.start)) {
		k++
	}
	if first.start.After(v.Now.Add(soon)) {
		h.Act, h.Kind = "Nothing to do before "+w.when(first.start), "later"
		if w.sleeping(v.Now) {
			h.Act = "Stay in bed until " + w.when(first.start)
		}
	} else {
		h.Act, h.Kind = "Go out now", "go"
	}
	var where, who []string
	late := first.latest
	for _, e := range todo[:k] {
		where = add(where, e.space)
		for _, p := range e.who {
			who = add(who, strings.TrimSuffix(p, "."))
		}
		if len(h.Carry) < 3 {
			h.Carry = add(h.Carry, e.carry)
		}
		if e.latest.Before(late) {
			late = e.latest
		}
	}
	for _, e := range todo[:k] {
		what := e.what
		if len(where) > 1 && what != "" {
			what = e.space + ": " + what
		}
		if len(h.Do) < 3 {
			h.Do = add(h.Do, phrase.Capital(what))
		}
	}
	shut, solo := w.behindDoors(v, todo[:k], where)
	if len(shut) > 0 {
		h.Door = phrase.Capital(plan.DoorWords) + "."
		if len(where) > 1 {
			h.Door = list(shut, 4) + ": " + h.Door
		}
	}
	switch {
	case solo && len(who) == 1:
		who = append(who, "a second person")
	case solo:
		who[len(who)-1] += ", in twos"
	}
	h.Where, h.Who = list(where, 4), list(who, 4)
	if !late.IsZero() {
		h.Late = w.when(late)
	}
	if len(todo) > k {
		h.Then = w.then(todo[k:])
	}
	return h
}

// nothing fills the head when no job is left.
func (w voice) nothing(h *head, v View, nights []nightPart) {
	h.Kind = "stay"
	h.Act = "Nothing to do"
	if w.sleeping(v.Now) {
		h.Act = "Stay in bed"
	}
	risk := 0
	if len(nights) > 0 {
		risk = len(nights[0].Risk)
	}
	switch {
	case !v.Answer.Freeze:
		h.Act, h.Then = "No freeze in sight", "Nothing to do. No night of the forecast comes near freezing."
	case len(v.Answer.Plan.Jobs) > 0:
		h.Then = ticked(v)
	case risk > 0:
		h.Then = "Some plants are at risk, and nothing on the shelf is worth its price for them."
	default:
		h.Then = "All plants should hold as they stand."
	}
}

// ticked says how the jobs of the plan stand when none is ahead.
func ticked(v View) string {
	n, open := len(v.Answer.Plan.Jobs), 0
	for _, j := range v.Answer.Plan.Jobs {
		if _, ok := tickOf(v, j); !ok {
			open++
		}
	}
	switch open {
	case 0:
		return "Every job of the plan is ticked as done."
	case n:
		return "Every job of the plan should be done by now."
	}
	return fmt.Sprintf("Every job of the plan should be done by now; %d of %d %s not ticked.", open, n, map[bool]string{true: "is", false: "are"}[open == 1])
}

// worst says which group is closest to harm tonight.
func (w voice) worst(nights []nightPart) string {
	if len(nights) == 0 {
		return ""
	}
	n := nights[0]
	var s *spaceNight
	for _, part := range [2][]spaceNight{n.Risk, n.Holds} {
		for i := range part {
			if t := &part[i]; s == nil || t.Harm > s.Harm || t.Harm == s.Harm && t.marginK < s.marginK {
				s = t
			}
		}
	}
	if s == nil {
		return ""
	}
	if s.Group == "" {
		return fmt.Sprintf("%s: %s", s.Name, s.Cold)
	}
	where := s.Name
	if s.part != "" {
		where += " " + s.part
	}
	if s.Harm == night.Holds {
		return fmt.Sprintf("Closest to harm: %s in %s. %s Expected to hold.", s.Group, where, s.Cold)
	}
	return fmt.Sprintf("%s: %s in %s. %s", phrase.Capital(s.Verdict), s.Group, where, s.Cold)
}

// worse names the later night in which the most spaces are likely to lose plants,
// when they are more than tonight.
func worse(nights []nightPart) string {
	likely := func(n nightPart) (k int) {
		for _, s := range n.Risk {
			if s.Harm >= night.LikelySpoil {
				k++
			}
		}
		return k
	}
	most, said := 0, ""
	for i, n := range nights {
		if k := likely(n); i == 0 {
			most = k
		} else if k > most {
			most = k
			said = fmt.Sprintf("Worse to come: the night of %s, with %d of %d spaces likely to lose plants.", n.Axis.from.Format("Monday 2 January"), k, n.Spaces)
		}
	}
	return said
}

// sleeping is the time when a phone is looked at from bed.
func (w voice) sleeping(t time.Time) bool {
	h := t.In(w.Zone).Hour()
	return h >= 21 || h < 7
}

// behindDoors names the spaces of an errand whose door has words on it, and tells
// whether one person alone would go in to a flame without a flue.
func (w voice) behindDoors(v View, now []errand, where []string) (shut []string, solo bool) {
	for _, d := range w.doors(v) {
		if d.Stands && slices.Contains(where, d.Space) {
			shut = append(shut, d.Space)
		}
		for _, e := range now {
			solo = solo || e.space == d.Space && len(e.who) == 1 && !e.round
		}
	}
	return shut, solo
}

// then says what comes after.
func (w voice) then(rest []errand) string {
	last := rest[0].latest
	for _, e := range rest {
		if e.latest.After(last) {
			last = e.latest
		}
	}
	n, what := len(rest), plural(len(rest), "job")
	if slices.ContainsFunc(rest, func(e errand) bool { return e.round }) {
		what = "jobs and rounds"
		if n == 1 {
			what = "round"
		}
	}
	return phrase.Stop(fmt.Sprintf("Then %d more %s, the last started by %s", n, what, w.when(last)))
}

func add(to []string, s string) []string {
	if s == "" || slices.Contains(to, s) {
		return to
	}
	return append(to, s)
}

func plural(n int, word string) string { return phrase.Plural(n, word) }
