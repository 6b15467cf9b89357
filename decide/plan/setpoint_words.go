package plan

import (
	"fmt"
	"math"
	"slices"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/site"
)

// setBy says set-points by the night: "the thermostats at 5.5 °C", or each with its night.
func (f *Freeze) setBy(set map[string]float64) string {
	v := f.voice()
	var words []string
	same := true
	dates := sortedKeys(set)
	for _, date := range dates {
		same = same && set[date] == set[dates[0]]
		words = append(words, fmt.Sprintf("%s in the night of %s", v.HalfDegrees(set[date]), dayOf(date)))
	}
	if same && len(dates) > 0 {
		return "the thermostats at " + v.HalfDegrees(set[dates[0]])
	}
	return "the thermostats at " + phrase.List(words)
}

// line is what is said and written of one house.
func (h *oddsSearch) line(s *SpaceAnswer, found *oddsWay, opt *Option, choice *SpaceChoice, decides string) SetPoints {
	least := &h.o.Options[s.Chosen]
	was := choice.option(least.Protection.Key)
	out := SetPoints{
		Space: choice.Space, Option: opt.Key, Cost: opt.Cost, Loss: opt.ExpectedLoss,
		LeastOption: was.Key, LeastCost: was.Cost, LeastLoss: was.ExpectedLoss,
		More: opt.Cost + opt.ExpectedLoss - was.Cost - was.ExpectedLoss, Nights: []SetPointNight{}, Says: []string{},
	}
	t := h.trialOf(found.result)
	for n, date := range h.dates {
		x := SetPointNight{Night: date, Decides: date == decides, TakenC: found.set[date], Fuel: t.fuel[n], Groups: []InLimits{}}
		if !found.none[n] {
			x.SetC = known(found.set[date])
		}
		if g := least.Protection.Firing; g != nil {
			if c, ok := dials(&least.Protection)[date]; ok {
				x.LeastC = known(c)
			} else {
				x.LeastC = known(dialOf(g))
			}
		}
		for g := range h.o.Stocks {
			in := InLimits{Group: h.o.Stocks[g].Name, Limit: h.limits[g], Odds: min(t.odds[n][g], 1)}
			if n < len(least.ByNight) {
				in.LeastOdds = known(least.ByNight[n][g])
			}
			if found.none[n] && found.full != nil {
				in.FullOdds = known(found.full.ByNight[n][g])
			}
			x.Groups = append(x.Groups, in)
		}
		out.Nights = append(out.Nights, x)
	}
	h.says(&out, found)
	return out
}

// says puts a house's set-points in words.
func (h *oddsSearch) says(p *SetPoints, found *oddsWay) {
	v := h.f.voice()
	held := map[string]float64{}
	differ := false
	var none []*SetPointNight
	for i := range p.Nights {
		n := &p.Nights[i]
		differ = differ || n.LeastC == nil || math.Abs(*n.LeastC-n.TakenC) > 0.05
		if n.SetC != nil {
			held[n.Night] = *n.SetC
			continue
		}
		none = append(none, n)
	}
	if len(none) > 0 {
		p.Says = append(p.Says, noneWords(v, none))
	}
	if len(held) > 0 {
		p.Says = append([]string{fmt.Sprintf("every group keeps within its odds with %s%s", h.f.setBy(held), p.closest(held))}, p.Says...)
	}
	if !differ {
		p.Says = append(p.Says, "least loss and cost together choose the same")
		return
	}
	other := "least loss and cost together would be"
	if p.More < -0.005 {
		other = "the best of the other ways is"
	}
	p.Says = append(p.Says, fmt.Sprintf("so set, the house costs %s, with %s expected to be lost; %s %s, with %s and %s: %s in all",
		v.Cents(p.Cost), v.Cents(p.Loss), other, h.o.Options[slices.IndexFunc(h.o.Options, func(r night.Result) bool { return r.Protection.Key == p.LeastOption })].Protection.Words,
		v.Cents(p.LeastCost), v.Cents(p.LeastLoss), moreWords(v, p.More)))
	if g, n := p.leastOver(); g != nil {
		p.Says = append(p.Says, fmt.Sprintf("that would leave %s unsaleable %s in the night of %s, and %s is its limit", g.Group, night.Chance(*g.LeastOdds, 1), dayOf(n.Night), site.OddsWords(g.Limit)))
	}
}

// noneWords says that no set-point holds in some nights, by the group that is worst off in
// the worst of them.
func noneWords(v night.Voice, nights []*SetPointNight) string {
	odds := func(g *InLimits) float64 {
		if g.FullOdds != nil {
			return *g.FullOdds
		}
		return g.Odds
	}
	var names []string
	var g *InLimits
	in := ""
	for _, n := range nights {
		names = append(names, dayOf(n.Night))
		if x := n.worst(odds); g == nil || odds(x)/x.Limit > odds(g)/g.Limit {
			g, in = x, dayOf(n.Night)
		}
	}
	how := "at best"
	if g.FullOdds != nil {
		how = "with its heaters at full burn all night"
	}
	word := "night"
	if len(names) > 1 {
		word = "nights"
	}
	return fmt.Sprintf("no set-point up to %s keeps every group within its odds in the %s of %s; in that of %s, %s, %s comes out unsaleable %s, and its limit is %s",
		v.HalfDegrees(dialOfUnits(v.Units).top()), word, phrase.List(names), in, how, g.Group, night.Chance(odds(g), 1), site.OddsWords(g.Limit))
}

// saySetPoints says after the choice which of the two the plan has.
func (f *Freeze) saySetPoints(a *Answer) {
	for i := range a.SetPoints {
		p := &a.SetPoints[i]
		s := slices.IndexFunc(a.Spaces, func(s SpaceAnswer) bool { return s.Outlook.Space.Name == p.Space })
		a.Spaces[s].SetPoints = p
		p.Takes = a.Spaces[s].Outlook.Options[a.Spaces[s].Chosen].Protection.Key == p.Option
		switch {
		case p.Takes && f.Scene.Site.HeatBy == site.HeatByOdds:
			p.Says = append(p.Says, "the plan keeps to the odds, as heat_by in the site file says")
		case p.Takes:
			p.Says = append(p.Says, "the plan takes the set-points by odds, as they cost least in all")
		case p.LeastOption != p.Option && math.Abs(p.More) > leastGain:
			p.Says = append(p.Says, "the plan goes by least loss and cost; heat_by = \"odds\" in [site] makes it keep to the odds")
		}
	}
}

func moreWords(v night.Voice, more float64) string {
	switch {
	case more > 0.005:
		return "the odds are " + v.Cents(more) + " dearer"
	case more < -0.005:
		return "the odds are " + v.Cents(-more) + " cheaper"
	}
	return "the same"
}

// worst is the group that is most above its limit, or least below.
func (n *SetPointNight) worst(odds func(*InLimits) float64) *InLimits {
	var out *InLimits
	for i := range n.Groups {
		if g := &n.Groups[i]; out == nil || odds(g)/g.Limit > odds(out)/out.Limit {
			out = g
		}
	}
	return out
}

// closest names the group that decides over the nights that hold.
func (p *SetPoints) closest(held map[string]float64) string {
	var out *InLimits
	for i := range p.Nights {
		if _, ok := held[p.Nights[i].Night]; !ok {
			continue
		}
		if g := p.Nights[i].worst(func(g *InLimits) float64 { return g.Odds }); out == nil || g.Odds/g.Limit > out.Odds/out.Limit {
			out = g
		}
	}
	if out == nil || out.Odds < out.Limit/10 {
		return ""
	}
	return fmt.Sprintf("; %s decides, unsaleable %s (limit %s)", out.Group, night.Chance(out.Odds, 1), site.OddsWords(out.Limit))
}

// leastOver is the group that least loss and cost leave most above its limit; nil: none.
func (p *SetPoints) leastOver() (out *InLimits, in *SetPointNight) {
	for i := range p.Nights {
		for k := range p.Nights[i].Groups {
			g := &p.Nights[i].Groups[k]
			if g.LeastOdds == nil || *g.LeastOdds <= g.Limit+1e-9 {
				continue
			}
			if out == nil || *g.LeastOdds/g.Limit > *out.LeastOdds/out.Limit {
				out, in = g, &p.Nights[i]
			}
		}
	}
	return out, in
}
