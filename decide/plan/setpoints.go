package plan

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/weather"
)

// refineDraws is how many draws a set-point of one night is tried with, where none were
// picked to stand for all.
const refineDraws = 8

// trialDraws are the draws that a trial is made with.
func (f *Freeze) trialDraws(ds []night.Draw) []night.Draw {
	if f.few == nil {
		return ds[:min(len(ds), refineDraws)]
	}
	out := make([]night.Draw, len(f.few))
	for i, k := range f.few {
		out[i] = ds[k]
	}
	return out
}

// refine looks for set-points of their own for the nights of a house whose chosen
// heat has a thermostat: each night's is tried alone, the best of each night are put
// together, and the result is run like any other option. It returns nothing when one
// set-point for all nights is as good.
func (f *Freeze) refine(ctx context.Context, s *SpaceAnswer, members []weather.Series, ds []night.Draw) (*night.Result, error) {
	o := s.Outlook
	r := &o.Options[s.Chosen]
	g := r.Protection.Firing
	nights := nightsOf(r)
	if g == nil || len(nights) < 2 || !slices.ContainsFunc(g.Lit, hasDial) {
		return nil, nil
	}
	own := dialOf(g)
	var tried []float64
	for _, c := range triedC {
		if math.Abs(c-own) >= 1 {
			tried = append(tried, c)
		}
	}
	// the night's own set-point, one at a time
	ps := []night.Protection{o.Options[0].Protection, r.Protection}
	for _, date := range nights {
		for _, c := range tried {
			ps = append(ps, f.onNights(r.Protection, map[string]float64{date: c}))
		}
	}
	trial, err := f.Scene.OutlookContext(ctx, night.Request{Space: o.Space, Protections: ps, Around: f.around, Kept: f.Kept, Members: members, Draws: f.trialDraws(ds), From: o.From, To: o.To})
	if err != nil {
		return nil, err
	}
	pays := func(x *night.Result) float64 { return x.Loss + f.burnCost(&x.Protection, x.Heat) }
	base := pays(&trial.Options[1])
	best := map[string]float64{}
	for n, date := range nights {
		low := base - leastGain
		for k, c := range tried {
			if v := pays(&trial.Options[2+n*len(tried)+k]); v < low {
				low, best[date] = v, c
			}
		}
	}
	if len(best) == 0 {
		return nil, nil
	}
	// together, on all draws
	p := f.onNights(r.Protection, best)
	full, err := f.Scene.OutlookContext(ctx, night.Request{
		Space: o.Space, Around: f.around, Kept: f.Kept, Protections: []night.Protection{o.Options[0].Protection, p}, Members: members, Draws: ds, From: o.From, To: o.To,
	})
	if err != nil {
		return nil, err
	}
	if out := &full.Options[1]; pays(out) < pays(r)-leastGain {
		return out, nil
	}
	return nil, nil
}

// byNight ends the key of set-points of single nights.
const byNight = "+by-night"

// leastGain is what turning a thermostat again must save [money]: the walk to it.
const leastGain = minuteCost * dialMinutes

func hasDial(l night.Lit) bool { return !math.IsInf(l.SetpointC, 1) }

// dialOf is the highest set-point of a firing [°C].
func dialOf(g *night.Firing) float64 {
	own := math.Inf(-1)
	for i := range g.Lit {
		if hasDial(g.Lit[i]) {
			own = math.Max(own, g.Lit[i].SetpointC)
		}
	}
	return own
}

func nightsOf(r *night.Result) []string {
	var out []string
	if len(r.Cells) > 0 {
		for _, n := range r.Cells[0].Nights {
			out = append(out, n.Date)
		}
	}
	return out
}

// onNights is a protection whose thermostats are set otherwise on some nights.
func (f *Freeze) onNights(p night.Protection, set map[string]float64) night.Protection {
	g := *p.Firing
	g.Lit = slices.Clone(g.Lit)
	for i := range g.Lit {
		if hasDial(g.Lit[i]) {
			g.Lit[i].Nights = set
		}
	}
	p.Firing = &g
	var words []string
	for _, date := range slices.Sorted(maps.Keys(set)) {
		name := date
		if day, err := time.Parse(time.DateOnly, date); err == nil {
			name = day.Format("Mon 2 Jan")
		}
		words = append(words, fmt.Sprintf("%s in the night of %s", f.voice().Degrees(set[date]), name))
	}
	p.Key += byNight
	p.Words += ", but " + strings.Join(words, ", ")
	return p
}

// refineAll tries set-points by the night in every heated house and adds what helps
// to the choice. It tells whether the plan must be made anew.
func (f *Freeze) refineAll(ctx context.Context, a *Answer, facts *Facts, members []weather.Series, ds []night.Draw, dusks []time.Time) (bool, error) {
	dusk := dusks[0]
	again := false
	for i := range a.Spaces {
		s := &a.Spaces[i]
		r, err := f.refine(ctx, s, members, ds)
		if err != nil || r == nil {
			if err != nil {
				return false, err
			}
			continue
		}
		again = true
		o := s.Outlook
		was := o.Options[s.Chosen].Protection.Key
		choice := &facts.Choices.Spaces[i]
		k := slices.IndexFunc(choice.Options, func(x Option) bool { return x.Key == was })
		opt := choice.Options[k]
		opt.Key, opt.Words, opt.ExpectedLoss = r.Protection.Key, r.Protection.Words, r.Loss
		like := f.option(&way{protection: r.Protection}, o, r)
		opt.LossByDraw, opt.FirstLoss, opt.Saleable, opt.Alive = like.LossByDraw, like.FirstLoss, like.Saleable, like.Alive
		opt.Cost += f.burnCost(&r.Protection, r.Heat) - f.burnCost(&o.Options[s.Chosen].Protection, o.Options[s.Chosen].Heat)
		f.takes(&opt.Needs, &r.Protection, r.Heat)
		set := dials(&r.Protection)
		w := way{tasks: slices.Clone(facts.Work[o.Space.Name][was]), later: slices.Clone(facts.Later[o.Space.Name][was]), minutes: opt.PersonMinutes, cost: opt.Cost}
		if c, ok := set[f.eveningOf(dusk)]; ok {
			f.turn(&w, o.Space.Name, f.dialWords(c), dusk)
		}
		f.turnLater(&w, o.Space.Name, dialOf(r.Protection.Firing), set, dusks)
		f.turnHome(&w, o.Space, r.Protection.Firing, dusks)
		f.onFirst(&w, dusk)
		opt.PersonMinutes, opt.Cost, opt.Later = w.minutes, math.Max(0, w.cost), minutesByWindow(w.later)
		choice.Options = append(choice.Options, opt)
		facts.Choices.alikeTied(o.Space.Name, was, opt.Key)
		o.Options = append(o.Options, *r)
		facts.Work[o.Space.Name][opt.Key], facts.Later[o.Space.Name][opt.Key] = w.tasks, w.later
		for n := range r.Cells[0].Nights {
			date := r.Cells[0].Nights[n].Date
			if at := slices.IndexFunc(facts.Nights, func(x NightFacts) bool { return x.Date == date }); at >= 0 {
				facts.Nights[at].Outcomes[o.Space.Name][opt.Key] = outcome(o, r, n, dusk)
			}
		}
	}
	return again, nil
}

// turnLater books the walk to the thermostats on each later evening whose night has
// another set-point than the night before.
func (f *Freeze) turnLater(w *way, space string, own float64, set map[string]float64, dusks []time.Time) {
	at := func(k int) float64 {
		if c, ok := set[f.eveningOf(dusks[k])]; ok {
			return c
		}
		return own
	}
	for k := 1; k < len(dusks); k++ {
		if at(k) != at(k-1) {
			f.onEvening(w, Task{What: f.dialWords(at(k)), Space: space}, dusks, k, -workBefore, 0, dialMinutes+f.Scene.Site.Labour.WalkPerSpace)
		}
	}
}

// dials are the set-points of single nights in a protection.
func dials(p *night.Protection) map[string]float64 {
	for i := range p.Firing.Lit {
		if n := p.Firing.Lit[i].Nights; len(n) > 0 {
			return n
		}
	}
	return nil
}
