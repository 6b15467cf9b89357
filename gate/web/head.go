package web

import (
	"fmt"
	"slices"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
)

// head answers in five seconds: get up or not, where, with what in hand.
type head struct {
	Act   string // "Go out now"
	Kind  string // "go", "later", "stay", "none": never told by colour alone
	Where string
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
		return head{Act: "Working it out", Kind: "none", Worst: "The first plan is being made. This page asks again by itself every 15 seconds."}
	}
	return head{Act: "No plan yet", Kind: "none", Worst: "Nothing is known about the coming night. Go by your own thermometer until there is a plan."}
}

func (w voice) head(v View, nights []nightPart) head {
	a := v.Answer
	if len(v.Site.Spaces) == 0 && len(a.Spaces) == 0 {
		return w.noPlan(v)
	}
	h := head{Worst: w.worst(nights), Next: worse(nights)}
	var todo []plan.Job
	for _, j := range a.Plan.Jobs {
		if end(j).After(v.Now) {
			todo = append(todo, j)
		}
	}
	slices.SortStableFunc(todo, func(a, b plan.Job) int { return a.Start.Compare(b.Start) })
	h.Link = len(a.Plan.Jobs) > 0
	if len(todo) == 0 {
		w.nothing(&h, v, nights)
		return h
	}
	first := todo[0]
	k := 1
	for k < len(todo) && (!todo[k].Start.After(v.Now.Add(soon)) || todo[k].Start.Equal(first.Start)) {
		k++
	}
	if first.Start.After(v.Now.Add(soon)) {
		h.Act, h.Kind = "Nothing to do before "+w.when(first.Start), "later"
		if w.sleeping(v.Now) {
			h.Act = "Stay in bed until " + w.when(first.Start)
		}
	} else {
		h.Act, h.Kind = "Go out now", "go"
	}
	var where, who []string
	late := first.Latest
	for _, j := range todo[:k] {
		where = add(where, j.Space)
		for _, p := range j.People {
			who = add(who, p)
		}
		if carry := w.carry(a, j); len(h.Carry) < 3 {
			h.Carry = add(h.Carry, carry)
		}
		if j.Latest.Before(late) {
			late = j.Latest
		}
	}
	h.Where, h.Who = list(where, 4), list(who, 4)
	if !late.IsZero() {
		h.Late = w.when(late)
	}
	if n := len(todo) - k; n > 0 {
		h.Then = stop(fmt.Sprintf("Then %d more %s, the last started by %s", n, plural(n, "job"), w.when(lastLatest(todo[k:]))))
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
		h.Then = "Every job of the plan should be done by now."
	case risk > 0:
		h.Then = "Some plants are at risk, and nothing on the shelf is worth its price for them."
	default:
		h.Then = "All plants should hold as they stand."
	}
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
	return fmt.Sprintf("%s: %s in %s. %s", capital(s.Verdict), s.Group, where, s.Cold)
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

// carry is what to take for a job.
func (w voice) carry(a *plan.Answer, j plan.Job) string {
	for _, s := range a.Spaces {
		if s.Outlook.Space.Name == j.Space {
			if r := chosen(s); r != nil && s.Chosen > 0 {
				return r.Protection.Words
			}
		}
	}
	return j.What
}

// sleeping is the time when a phone is looked at from bed.
func (w voice) sleeping(t time.Time) bool {
	h := t.In(w.Zone).Hour()
	return h >= 21 || h < 7
}

func lastLatest(jobs []plan.Job) time.Time {
	var last time.Time
	for _, j := range jobs {
		if j.Latest.After(last) {
			last = j.Latest
		}
	}
	return last
}

func add(to []string, s string) []string {
	if s == "" || slices.Contains(to, s) {
		return to
	}
	return append(to, s)
}

func plural(n int, word string) string {
	if n == 1 {
		return word
	}
	return word + "s"
}
