package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// planWords is a plan for people, in the order in which they need it.
func planWords(n *nursery, a *plan.Answer, all bool) string {
	v := night.VoiceOf(n.site())
	var p page
	p.say("", "", phrase.Stop(fmt.Sprintf("%s. Plan made %s, from a forecast made %s", n.site().Name, v.When(a.Plan.Now), v.When(a.Plan.Issued))))
	for _, w := range a.Plan.Assumed {
		if strings.HasPrefix(w, weather.UnitsDoubt) { // first, before anyone reads "no freeze"
			p.say("", "", phrase.Stop(phrase.Capital(w)))
		}
	}
	p.say("", "", opening(v, a))
	for _, s := range a.Plan.Risk.Says {
		p.say("", "", phrase.Stop(phrase.Capital(s)))
	}
	p.changes(v, a)
	harmed, safe := sorted(a)
	if len(harmed) > 0 {
		p.head("at risk, even so")
		for _, s := range harmed {
			p.space(v, n.site(), a, s)
		}
	}
	if len(safe) > 0 {
		p.head("expected to hold")
		for _, s := range safe {
			p.space(v, n.site(), a, s)
		}
	}
	p.jobs(v, a)
	p.heat(v, n.site(), a, all)
	p.mornings(v, a, all)
	p.refusals(v, a, all)
	p.shelf(v, a)
	p.worth(a, all)
	p.head("take care")
	for _, w := range a.Cautions {
		p.say("- ", "  ", w)
	}
	p.foldAssumed(a.Plan.Assumed, all, "--all shows all")
	return p.String()
}

// opening answers first: is there a freeze, and when must somebody be out.
func opening(v night.Voice, a *plan.Answer) string {
	var nights []string
	for _, n := range a.Plan.Nights {
		if day, err := time.Parse(time.DateOnly, n.Date); err == nil {
			nights = append(nights, day.Format("Mon 2 Jan"))
		}
	}
	if !a.Freeze {
		return fmt.Sprintf("No freeze in sight. Looked at: night of %s.", listed(nights, 5))
	}
	word := "night"
	if len(nights) > 1 {
		word = "nights"
	}
	text := fmt.Sprintf("Freeze in the %s of %s. ", word, listed(nights, 5))
	walks := ""
	if r := a.Plan.Rounds; len(r) > 0 {
		walks = phrase.Stop(fmt.Sprintf(" %s to keep the heat on, the first by %s", phrase.Capital(phrase.Count(len(r), "round")), v.When(r[0].At)))
	}
	if len(open(a.Plan.Jobs)) == 0 {
		nothing := "Nothing to do."
		if walks != "" {
			nothing = "Nothing to do before dark."
		}
		return text + nothing + walks
	}
	jobs := byTime(open(a.Plan.Jobs))
	return phrase.Stop(fmt.Sprintf("%s%s to do, the first at %s", text, phrase.Capital(phrase.Count(len(jobs), "job")), v.When(jobs[0].Start))) + walks
}

// sorted parts the spaces at risk from those that hold, each the most harmed
// first.
func sorted(a *plan.Answer) (harmed, safe []*plan.SpaceAnswer) {
	for i := range a.Spaces {
		s := &a.Spaces[i]
		if s.Outlook.Harm(s.Chosen) > night.Holds {
			harmed = append(harmed, s)
		} else {
			safe = append(safe, s)
		}
	}
	loss := func(s *plan.SpaceAnswer) float64 { return s.Outlook.Options[s.Chosen].Loss }
	for _, list := range [][]*plan.SpaceAnswer{harmed, safe} {
		slices.SortStableFunc(list, func(x, y *plan.SpaceAnswer) int {
			return cmp.Or(cmp.Compare(y.Outlook.Harm(y.Chosen), x.Outlook.Harm(x.Chosen)), cmp.Compare(loss(y), loss(x)))
		})
	}
	return harmed, safe
}

// space is the sentence about a space, and what to put on and to light.
func (p *page) space(v night.Voice, st *site.Site, a *plan.Answer, s *plan.SpaceAnswer) {
	p.say("", "    ", v.Sentence(s.Outlook, s.Chosen))
	bare, r := &s.Outlook.Options[0], &s.Outlook.Options[s.Chosen]
	fuel, was := fuelMoney(st, r), fuelMoney(st, bare)
	if s.Chosen == 0 {
		switch {
		case r.Heat != nil:
			text := fmt.Sprintf("%s; expected loss %s", strings.Replace(phrase.Capital(r.Protection.Words), "Leave it", "Left", 1), v.Amount(r.Loss))
			if fuel >= 0.5 {
				text += ", fuel " + v.Amount(fuel)
			}
			p.say("    ", "    ", phrase.Stop(text))
		case r.Loss >= 0.5:
			p.say("    ", "    ", "Left as it is; expected loss "+v.Amount(r.Loss)+".")
		}
		return
	}
	text := "Put on: " + r.Protection.Words
	if r.Protection.Firing != bare.Protection.Firing || r.Protection.Prepared != nil || len(r.Protection.Away) > 0 {
		text = "With: " + r.Protection.Words // not all of it is put on
	}
	if c, ok := chosen(a, s.Outlook.Space.Name); ok && !c.From.IsZero() {
		text += ", before dark at " + v.Clock(c.From)
	}
	if text = phrase.Stop(text); r.Loss < bare.Loss-0.5 {
		text += " " + v.Bare(s.Outlook, s.Chosen)
	}
	loss := fmt.Sprintf("Expected loss %s instead of %s.", v.Amount(r.Loss), v.Amount(bare.Loss))
	if math.Max(r.Loss, bare.Loss) < 0.5 {
		loss = "Nothing is lost either way."
	}
	text += " " + loss
	if math.Max(fuel, was) >= 0.5 {
		text = fmt.Sprintf("%s, fuel %s instead of %s.", strings.TrimSuffix(text, "."), v.Amount(fuel), v.Amount(was))
	}
	p.say("    ", "    ", text)
}

// fuelMoney is what the fuel of an option costs, mean of the draws.
func fuelMoney(s *site.Site, r *night.Result) float64 {
	if r.Heat == nil {
		return 0
	}
	sum := 0.0
	for l := range r.Heat.Lines {
		price, _ := heating.Price(s, r.Protection.Firing.Lit[l].Heater)
		sum += price * r.Heat.Lines[l].Mean
	}
	return sum
}

func chosen(a *plan.Answer, space string) (plan.Chosen, bool) {
	for _, n := range a.Plan.Nights {
		for _, s := range n.Spaces {
			if s.Space == space && len(s.Chosen) > 0 {
				return s.Chosen[0], true
			}
		}
	}
	return plan.Chosen{}, false
}

func byTime(jobs []plan.Job) []plan.Job {
	out := slices.Clone(jobs)
	slices.SortStableFunc(out, func(x, y plan.Job) int { return x.Start.Compare(y.Start) })
	return out
}

// jobs are the work by the clock.
func (p *page) jobs(v night.Voice, a *plan.Answer) {
	if len(a.Plan.Jobs) == 0 {
		return
	}
	p.head("jobs")
	day := ""
	for _, j := range byTime(a.Plan.Jobs) {
		if d := v.Day(j.Start); d != day {
			day = d
			p.say("", "", day)
		}
		p.say(fmt.Sprintf("%-10s ", v.Clock(j.Start)), strings.Repeat(" ", 11), fmt.Sprintf("%s: %s", j.Space, phrase.Stop(j.What)))
		if !j.Done.IsZero() {
			p.say(strings.Repeat(" ", 11), strings.Repeat(" ", 11), phrase.Stop("Done at "+v.Clock(j.Done)))
			continue
		}
		p.say(strings.Repeat(" ", 11), strings.Repeat(" ", 11), phrase.Stop(fmt.Sprintf("%s; %s; start by %s", listed(j.People, 6), phrase.Count(j.Minutes, "minute"), v.Clock(j.Latest))))
		if j.Note != "" {
			p.say(strings.Repeat(" ", 11), strings.Repeat(" ", 11), phrase.Capital(j.Note))
		}
	}
}

// refusal is something that was not done, with its words.
type refusal struct {
	space, words string
	plan.Refused
}

// refusals are what was not done and what it would cost the whole plan: those
// nearest to being worth it first.
func (p *page) refusals(v night.Voice, a *plan.Answer, all bool) {
	var can, cannot []refusal
	for _, s := range a.Spaces {
		if s.Outlook.Options[0].Loss < 0.5 {
			continue // nothing to lose
		}
		for _, n := range a.Plan.Nights {
			for _, sn := range n.Spaces {
				if sn.Space != s.Outlook.Space.Name {
					continue
				}
				for _, r := range sn.Refused {
					e := refusal{sn.Space, optionWords(&s, r.Option), r}
					if r.Price == nil {
						cannot = append(cannot, e)
					} else {
						can = append(can, e)
					}
				}
			}
		}
	}
	if len(can)+len(cannot) == 0 {
		return
	}
	slices.SortStableFunc(can, func(x, y refusal) int { return cmp.Compare(*x.Price, *y.Price) })
	p.head("refused, and at what price")
	show := func(list []refusal, most int) {
		if all {
			most = len(list)
		}
		for _, r := range list[:min(most, len(list))] {
			p.say("", "    ", fmt.Sprintf("%s: %s. %s", r.space, r.words, r.Reason))
		}
		if k := len(list) - most; k > 0 {
			p.say("", "", fmt.Sprintf("(%d more; --all shows all)", k))
		}
	}
	show(can, 4)
	show(cannot, 2)
}

func optionWords(s *plan.SpaceAnswer, key string) string {
	for i := range s.Outlook.Options {
		if s.Outlook.Options[i].Protection.Key == key {
			return s.Outlook.Options[i].Protection.Words
		}
	}
	return key
}

// shelf is what the plan uses, and what it is worth as a whole.
func (p *page) shelf(v night.Voice, a *plan.Answer) {
	p.head("from the shelf")
	used := 0
	for _, s := range a.Plan.Supplies {
		if s.Used > 0 {
			used++
			p.say("- ", "  ", fmt.Sprintf("%s: %s of %s", s.Item, s.Amount(s.Used), s.Amount(s.Have)))
		}
	}
	if used == 0 {
		p.say("", "", "Nothing.")
	}
	p.head("what it comes to")
	bare := 0.0
	for _, s := range a.Spaces {
		bare += s.Outlook.Options[0].Loss
	}
	text := fmt.Sprintf("Expected loss and cost of this plan together: %s; with nothing done: %s.", v.Amount(a.Plan.Objective), v.Amount(bare))
	switch gain := a.Plan.Objective - a.Plan.Bound; {
	case gain < 0.5:
		text += " No way to use the shelf and the hands is better (proven)."
	default:
		text += fmt.Sprintf(" No plan can be better by more than %s (%d %%, proven).", v.Amount(gain), int(math.Ceil(100*a.Plan.Gap)))
	}
	p.say("", "", text)
}
