package plan

import (
	"context"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// withinOdds ends the key of the way whose thermostats keep every group within its odds.
const withinOdds = "+within-odds"

// mendRounds is how often set-points that held night by night and fail together are
// turned up a mark.
const mendRounds = 3

// oddsSearch looks for the set-points of one house.
type oddsSearch struct {
	f      *Freeze
	o      *night.Outlook
	base   night.Protection
	dates  []string
	limits []float64
	run    func(ps []night.Protection) ([]night.Result, error)
	own    float64 // what its thermostats stand at; NaN: it is lit by hand
}

// oddsWay is what was found.
type oddsWay struct {
	set    map[string]float64 // by night [°C]
	none   []bool             // by night: no set-point keeps within
	result *night.Result
	full   *night.Result // at full burn; nil where it was not needed
}

// oddsAll finds the set-points by odds of every heated house, and offers them to the
// plan where the site file asks for them or where they cost less in all. It tells
// whether the plan must be made anew.
func (f *Freeze) oddsAll(ctx context.Context, a *Answer, facts *Facts, members []weather.Series, ds []night.Draw, dusks []time.Time) (bool, error) {
	again := false
	a.SetPoints = nil
	if !a.Freeze {
		return false, nil
	}
	for i := range a.Spaces {
		s := &a.Spaces[i]
		choice := &facts.Choices.Spaces[i]
		base := dialled(s, choice)
		if base < 0 || len(s.Outlook.Stocks) == 0 || len(nightsOf(&s.Outlook.Options[base])) == 0 {
			continue
		}
		h := f.searchIn(ctx, s.Outlook, base, members, ds)
		found, err := h.search()
		if err != nil {
			return false, err
		}
		opt, w := f.oddsOption(h, found, s.Outlook, base, choice, facts, dusks)
		line := h.line(s, found, &opt, choice, f.decidingNight(s))
		if by := f.Scene.Site.HeatBy; by == site.HeatByOdds || line.More < -leastGain {
			facts.offer(i, s.Outlook, found.result, opt, w, dusks[0])
			again = true
			if by == site.HeatByOdds {
				facts.hold(choice.Space, opt.Key)
			}
		}
		a.SetPoints = append(a.SetPoints, line)
	}
	return again, nil
}

// dialled is the option whose thermostats are set: the chosen one, without set-points
// of single nights; where it lights none, that of least loss and cost that does; -1 for none.
func dialled(s *SpaceAnswer, choice *SpaceChoice) int {
	o := s.Outlook
	has := func(k int) bool {
		g := o.Options[k].Protection.Firing
		return g != nil && slices.ContainsFunc(g.Lit, hasDial)
	}
	if key := o.Options[s.Chosen].Protection.Key; has(s.Chosen) {
		plain := strings.Replace(key, byNight, "", 1)
		if k := slices.IndexFunc(o.Options, func(r night.Result) bool { return r.Protection.Key == plain }); k >= 0 {
			return k
		}
		return s.Chosen
	}
	best, low := -1, math.Inf(1)
	for k := range o.Options {
		x := choice.option(o.Options[k].Protection.Key)
		if x != nil && !x.Wish && has(k) && x.ExpectedLoss+x.Cost < low {
			best, low = k, x.ExpectedLoss+x.Cost
		}
	}
	return best
}

func (s *SpaceChoice) option(key string) *Option {
	if k := slices.IndexFunc(s.Options, func(x Option) bool { return x.Key == key }); k >= 0 {
		return &s.Options[k]
	}
	return nil
}

func (f *Freeze) searchIn(ctx context.Context, o *night.Outlook, base int, members []weather.Series, ds []night.Draw) *oddsSearch {
	h := &oddsSearch{f: f, o: o, base: o.Options[base].Protection, dates: nightsOf(&o.Options[base]), own: math.NaN()}
	if auto := f.Scene.Automatic(o.Space); auto != nil {
		h.own = dialOf(auto)
	}
	for g := range o.Stocks {
		h.limits = append(h.limits, f.Scene.Site.OddsOf(o.Stocks[g].Group))
	}
	h.run = func(ps []night.Protection) ([]night.Result, error) {
		out, err := f.Scene.OutlookContext(ctx, night.Request{
			Space: o.Space, Protections: append([]night.Protection{o.Options[0].Protection}, ps...), Around: f.around, Kept: f.Kept,
			Members: members, Draws: ds, From: o.From, To: o.To,
		})
		if err != nil {
			return nil, err
		}
		return out.Options[1:], nil
	}
	return h
}

// search finds the cheapest set-point of each night that keeps every group within its
// odds, and runs the nights together.
func (h *oddsSearch) search() (*oddsWay, error) {
	d := dialOfUnits(h.f.Scene.Site.Units)
	var own *trial
	found, first, err := d.coolest(len(h.dates), h.limits, func(marks [][]int) ([]trial, error) {
		ps := make([]night.Protection, len(marks))
		for i := range marks {
			set := map[string]float64{}
			for n, date := range h.dates {
				set[date] = d.celsius(marks[i][n])
			}
			ps[i] = h.at(set)
		}
		if own == nil && !math.IsNaN(h.own) {
			ps = append(ps, h.at(h.every(h.own)))
		}
		rs, err := h.run(ps)
		if err != nil {
			return nil, err
		}
		out := make([]trial, len(rs))
		for i := range rs {
			out[i] = h.trialOf(&rs[i])
		}
		if len(out) > len(marks) {
			own = &out[len(marks)]
		}
		return out[:len(marks)], nil
	})
	if err != nil {
		return nil, err
	}
	w := &oddsWay{set: map[string]float64{}, none: make([]bool, len(h.dates))}
	walk := minuteCost * (dialMinutes + h.f.Scene.Site.Labour.WalkPerSpace)
	marks := make([]int, len(h.dates))
	for n, date := range h.dates {
		if marks[n] = found[n].mark; marks[n] == noMark {
			w.none[n], marks[n] = true, d.leastBad(n, h.limits, first)
		}
		w.set[date] = d.celsius(marks[n])
		if !w.none[n] && own != nil && excess(own.odds[n], h.limits) <= 0 && own.fuel[n]-found[n].fuel < walk {
			w.set[date] = h.own // the walk to the thermostat costs more than it spares
		}
	}
	for round := 0; ; round++ {
		ps := []night.Protection{h.at(w.set)}
		if slices.Contains(w.none, true) {
			ps = append(ps, h.full())
		}
		rs, err := h.run(ps)
		if err != nil {
			return nil, err
		}
		w.result = &rs[0]
		if len(rs) > 1 {
			w.full = &rs[1]
		}
		mended := false
		for n, date := range h.dates {
			if w.none[n] || excess(rs[0].ByNight[n], h.limits) <= 0 {
				continue
			}
			mended = true
			if round == mendRounds {
				w.none[n] = true // nights that do not hold together are none
				continue
			}
			marks[n]++
			w.set[date] = d.celsius(marks[n])
		}
		if !mended {
			return w, nil
		}
	}
}

// every is one set-point for all nights.
func (h *oddsSearch) every(c float64) map[string]float64 {
	set := map[string]float64{}
	for _, date := range h.dates {
		set[date] = c
	}
	return set
}

// trialOf reads a run by the night.
func (h *oddsSearch) trialOf(r *night.Result) trial {
	t := trial{odds: r.ByNight, fuel: make([]float64, len(h.dates))}
	if r.Heat == nil {
		return t
	}
	for l := range r.Heat.Lines {
		price, _ := heating.Price(h.f.Scene.Site, r.Protection.Firing.Lit[l].Heater)
		for n := range r.Heat.Lines[l].Nights {
			t.fuel[n] += price * r.Heat.Lines[l].Nights[n].Mean
		}
	}
	return t
}

// at is the way with its thermostats set by the night.
func (h *oddsSearch) at(set map[string]float64) night.Protection {
	p := h.base
	g := *p.Firing
	g.Lit = slices.Clone(g.Lit)
	one, same := set[h.dates[0]], true
	for _, c := range set {
		same = same && c == one
	}
	for i := range g.Lit {
		switch {
		case !hasDial(g.Lit[i]):
		case same:
			g.Lit[i].SetpointC, g.Lit[i].Nights = one, nil
		default:
			g.Lit[i].Nights = set
		}
	}
	p.Firing = &g
	p.Key = strings.Replace(p.Key, byNight, "", 1) + withinOdds
	words, _, _ := strings.Cut(p.Words, ", but ")
	p.Words = words + ", but " + h.f.setBy(set)
	return p
}

// full is the way with every heater burning all it can.
func (h *oddsSearch) full() night.Protection {
	p := h.base
	g := *p.Firing
	g.Lit = slices.Clone(g.Lit)
	for i := range g.Lit {
		g.Lit[i].SetpointC, g.Lit[i].Nights = math.Inf(1), nil
	}
	p.Firing = &g
	return p
}
