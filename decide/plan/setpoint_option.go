package plan

import (
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
)

// oddsOption is the way as an option of the choice, with its work.
func (f *Freeze) oddsOption(h *oddsSearch, found *oddsWay, o *night.Outlook, base int, choice *SpaceChoice, facts *Facts, dusks []time.Time) (Option, way) {
	was := o.Options[base].Protection.Key
	r := found.result
	opt := *choice.option(was)
	opt.Key, opt.Words, opt.ExpectedLoss = r.Protection.Key, r.Protection.Words, r.Loss
	like := f.option(&way{protection: r.Protection}, o, r)
	opt.LossByDraw, opt.FirstLoss, opt.Saleable, opt.Alive = like.LossByDraw, like.FirstLoss, like.Saleable, like.Alive
	f.takes(&opt.Needs, &r.Protection, r.Heat)
	opt.Cost += f.burnCost(&r.Protection, r.Heat) - f.burnCost(&o.Options[base].Protection, o.Options[base].Heat)
	w := way{tasks: slices.Clone(facts.Work[choice.Space][was]), later: slices.Clone(facts.Later[choice.Space][was]), minutes: opt.PersonMinutes, cost: opt.Cost}
	f.setDials(&w, choice.Space, found.set, h.own, dusks)
	opt.PersonMinutes, opt.Cost, opt.Later = w.minutes, math.Max(0, w.cost), minutesByWindow(w.later)
	facts.Choices.alikeTied(choice.Space, was, opt.Key)
	return opt, w
}

// setDials books the walks to the thermostats of a space, in place of those that are
// booked: on every evening whose night has another set-point than they stand at.
func (f *Freeze) setDials(w *way, space string, set map[string]float64, standC float64, dusks []time.Time) {
	atDial := func(t Task) bool { return strings.HasPrefix(t.What, dialTask) || strings.HasPrefix(t.What, offTask) }
	drop := func(tasks []Task, first bool) []Task {
		return slices.DeleteFunc(tasks, func(t Task) bool {
			if !atDial(t) {
				return false
			}
			if first {
				w.minutes -= t.Minutes * t.People
			}
			w.cost -= minuteCost * float64(t.Minutes*t.People)
			return true
		})
	}
	w.tasks, w.later = drop(w.tasks, true), drop(w.later, false)
	minutes := dialMinutes + f.Scene.Site.Labour.WalkPerSpace
	for k, dusk := range dusks {
		c, ok := set[f.eveningOf(dusk)]
		if !ok || c == standC {
			continue
		}
		standC = c
		if k == 0 {
			w.add(Task{What: f.dialWords(c), Space: space}, 1, minutes, dusk)
			continue
		}
		f.onEvening(w, Task{What: f.dialWords(c), Space: space}, dusks, k, -workBefore, 0, minutes)
	}
	f.onFirst(w, dusks[0])
}

// offer adds an option that was found later to the facts of a choice.
func (f *Facts) offer(i int, o *night.Outlook, r *night.Result, opt Option, w way, dusk time.Time) {
	choice := &f.Choices.Spaces[i]
	choice.Options = append(choice.Options, opt)
	o.Options = append(o.Options, *r)
	f.Work[choice.Space][opt.Key], f.Later[choice.Space][opt.Key] = w.tasks, w.later
	for n := range r.Cells[0].Nights {
		date := r.Cells[0].Nights[n].Date
		if at := slices.IndexFunc(f.Nights, func(x NightFacts) bool { return x.Date == date }); at >= 0 {
			f.Nights[at].Outcomes[choice.Space][opt.Key] = outcome(o, r, n, dusk)
		}
	}
}
