package plan

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// Screening. Judgement, held to the full run by TestScreeningLosesLittle.
const (
	leastScreened = 8  // with fewer draws all are looked at from the start
	screenMargin  = 2  // standard errors by which a guess may be too high
	screenRounds  = 24 // of choosing and looking closer
)

// look is a freeze being looked at: every space under a few draws, and what may still
// win under all of them.
type look struct {
	f       *Freeze
	members []weather.Series
	draws   []night.Draw
	few     []int // places of the representative draws; nil: all from the start
	dusks   []time.Time
	spaces  []candidate

	wished [][]Option         // by space: ways that need one more of something
	lacks  map[string]Counted // what they need
}

// candidate is a space and what is known of each way to treat it.
type candidate struct {
	space *site.Space
	ways  []way
	ready *night.Ready
	few   []night.Result  // under the representative draws, by way
	all   []*night.Result // under every draw; nil where that was not needed
}

// fewOf is how many draws of n stand for all.
func fewOf(n int) int { return int(math.Sqrt(float64(n))) + 1 }

// representatives picks the draws that stand for all: layers of equal size by the
// coldest air of the span, and in each one with less wind than most about then or one
// with more, in turn.
func representatives(members []weather.Series, draws []night.Draw, from, to time.Time) []int {
	if len(draws) < leastScreened {
		return nil
	}
	type day struct {
		draw       int
		cold, wind float64
	}
	days := make([]day, len(draws))
	for k, d := range draws {
		days[k] = day{draw: k}
		days[k].cold, days[k].wind = coldestOf(members[d.Member%len(members)], from, to)
	}
	slices.SortStableFunc(days, func(a, b day) int { return cmp.Compare(a.cold, b.cold) })
	n := fewOf(len(draws))
	out := make([]int, n)
	for j := range n {
		layer := days[j*len(days)/n : (j+1)*len(days)/n]
		slices.SortStableFunc(layer, func(a, b day) int { return cmp.Compare(a.wind, b.wind) })
		out[j] = layer[len(layer)*(1+2*(j%2))/4].draw
	}
	slices.Sort(out)
	return out
}

// coldestOf is the coldest air of a series in a span [°C] and the mean wind of the hours
// about it [m/s].
func coldestOf(s weather.Series, from, to time.Time) (coldC, windMS float64) {
	i, j, err := night.Span(s, from, to)
	if err != nil {
		return math.Inf(1), 0
	}
	at := i
	for k := i; k <= j; k++ {
		if s.Rows[k].AirC < s.Rows[at].AirC {
			at = k
		}
	}
	near := s.Rows[max(i, at-6) : min(j, at+2)+1]
	for k := range near {
		windMS += near[k].WindMS / float64(len(near))
	}
	return s.Rows[at].AirC, windMS
}

// first looks at every way under the representative draws, or all.
func (l *look) first(ctx context.Context, tell func(Stage)) error {
	for i := range l.spaces {
		c := &l.spaces[i]
		tell(Stage{Doing: l.firstWords(), Done: i, Of: len(l.spaces)})
		all := make([]int, len(c.ways))
		for k := range all {
			all[k] = k
		}
		r, err := c.ready.Run(ctx, all, l.few)
		if err != nil {
			return err
		}
		c.all = make([]*night.Result, len(r))
		if c.few = r; l.few == nil {
			for k := range r {
				c.all[k] = &r[k]
			}
		}
	}
	return nil
}

func (l *look) firstWords() string {
	if l.few == nil {
		return "every space"
	}
	return fmt.Sprintf("a first look at every space, %d of %d ways the weather may turn out", len(l.few), len(l.draws))
}

// closer looks at ways under all draws: want by space.
func (l *look) closer(ctx context.Context, want [][]int, tell func(Stage)) error {
	n, done := 0, 0
	for i := range want {
		want[i] = slices.DeleteFunc(want[i], func(k int) bool { return k < 0 || l.spaces[i].all[k] != nil })
		slices.Sort(want[i])
		if want[i] = slices.Compact(want[i]); len(want[i]) > 0 {
			n++
		}
	}
	for i, ks := range want {
		if len(ks) == 0 {
			continue
		}
		tell(Stage{Doing: "what may still win, closer", Done: done, Of: n})
		done++
		r, err := l.spaces[i].ready.Run(ctx, ks, nil)
		if err != nil {
			return err
		}
		for j, k := range ks {
			l.spaces[i].all[k] = &r[j]
		}
	}
	return nil
}

// narrow looks closer at doing nothing, at what the first look chose and what the plan
// before had, and then, as long as that changes the choice, at whatever would be chosen
// if every guess were as much too high as it may be. What has not been looked at closely
// then would not be chosen even so.
func (l *look) narrow(ctx context.Context, base Facts, tell func(Stage)) error {
	if l.few == nil {
		return nil
	}
	picks, err := l.picks(base, (*candidate).first)
	if err != nil {
		return err
	}
	for i := range picks {
		picks[i] = append(picks[i], 0)
		if l.f.Before != nil {
			picks[i] = append(picks[i], l.wayOf(i, l.f.Before.optionOf(l.spaces[i].space.Name)))
		}
	}
	for range screenRounds {
		if err := l.closer(ctx, picks, tell); err != nil {
			return err
		}
		picks, err = l.picks(base, func(c *candidate) []night.Result { return c.guesses(l.few, len(l.draws), screenMargin) })
		if err != nil {
			return err
		}
		if l.known(picks) {
			break
		}
	}
	return nil
}

// known tells whether all of the ways picked have been looked at closely.
func (l *look) known(picks [][]int) bool {
	for i, ks := range picks {
		for _, k := range ks {
			if k >= 0 && l.spaces[i].all[k] == nil {
				return false
			}
		}
	}
	return true
}

// picks solves the choice with some results in hand, without reasons and clock.
func (l *look) picks(base Facts, of func(*candidate) []night.Result) ([][]int, error) {
	facts := l.facts(new(Answer), base, of)
	before, done := l.f.followed()
	facts = facts.after(before, done, l.f.voice(), l.f.uncover)
	m, err := facts.Model(l.f.Bounds)
	if err != nil {
		return nil, err
	}
	a := m.Solve(l.f.Limits)
	out := make([][]int, len(l.spaces))
	for i := range a.Picks {
		out[i] = []int{l.wayOf(i, a.Picks[i].Key)}
	}
	return out, nil
}

// wayOf finds a way of space i by its key, or that which a way with groups carried away is
// made of; -1 for none.
func (l *look) wayOf(i int, key string) int {
	c := &l.spaces[i]
	if k := l.f.carried; k != nil {
		if of, ok := k.base[c.space.Name][key]; ok {
			key = of
		}
	}
	return slices.IndexFunc(c.ways, func(w way) bool { return w.protection.Key == key })
}

// first are the results of the first look.
func (c *candidate) first() []night.Result { return slices.Clone(c.few) }

// results are what is known of every way: looked at closely or guessed.
func (l *look) results(c *candidate) []night.Result { return c.guesses(l.few, len(l.draws), 0) }

// guesses are the results of a space, those not looked at closely guessed, less so many
// standard errors of the guess.
func (c *candidate) guesses(few []int, n int, margin float64) []night.Result {
	out := make([]night.Result, len(c.all))
	for k, r := range c.all {
		if r != nil {
			out[k] = *r
			continue
		}
		out[k] = c.guess(k, few, n, margin)
	}
	return out
}

// guess is what a way would lose under all n draws, from what it lost under a few of
// them and a way that was looked at under all: the nearest that loses no less there, or
// doing nothing. The ratio of what both lost in the few is taken for all (ratio estimator,
// Cochran 1977, Sampling Techniques, ch. 6; its error eq 6.9).
func (c *candidate) guess(k int, few []int, n int, margin float64) night.Result {
	r := c.few[k]
	sum := func(j int) float64 {
		s := 0.0
		for _, v := range c.few[j].LossByDraw {
			s += v
		}
		return s
	}
	own, ref := sum(k), 0
	for j := range c.all {
		if c.all[j] != nil && sum(j) >= own && (sum(ref) < own || sum(j) < sum(ref)) {
			ref = j
		}
	}
	ratio := 1.0 // nothing was lost in the few: nothing is known of what it saves
	if s := sum(ref); s > 0 {
		ratio = own / s
	}
	by := make([]float64, n)
	loss := 0.0
	for d, v := range c.all[ref].LossByDraw {
		by[d] = ratio * v
		loss += by[d] / float64(n)
	}
	low := loss
	if m := len(few); margin > 0 && m > 1 {
		e := 0.0
		for i, v := range r.LossByDraw {
			d := v - ratio*c.few[ref].LossByDraw[i]
			e += d * d
		}
		low = max(0, loss-margin*math.Sqrt(e/float64(m-1)/float64(m)*(1-float64(m)/float64(n))))
		if sum(ref) == 0 {
			low = 0
		}
	}
	share := ratio
	if loss > 0 {
		share *= low / loss
	}
	for d := range by {
		by[d] = share * c.all[ref].LossByDraw[d]
	}
	r.Odds, r.ByStock = slices.Clone(r.Odds), make([][]float64, len(r.Odds))
	for g := range r.Odds {
		r.ByStock[g], r.Odds[g].Loss = scaled(c.all[ref].ByStock[g], share)
	}
	r.Guests = slices.Clone(r.Guests)
	for g := range r.Guests {
		r.Guests[g] = hosted(&r.Guests[g], &c.few[ref].Guests[g], &c.all[ref].Guests[g])
	}
	r.Loss, r.LossByDraw = low, by
	return r
}

// scaled is some losses times a share, and their mean.
func scaled(of []float64, share float64) (out []float64, mean float64) {
	out = make([]float64, len(of))
	for d, v := range of {
		out[d] = share * v
		mean += out[d] / float64(len(of))
	}
	return out, mean
}

// hosted is how a guest would fare under all draws, from how it fared in a few and how it
// fared in both under another way.
func hosted(few, refFew, refAll *night.Hosted) night.Hosted {
	own, ref := 0.0, 0.0
	for i := range few.LossByDraw {
		own += few.LossByDraw[i]
		ref += refFew.LossByDraw[i]
	}
	share := 1.0
	if ref > 0 {
		share = own / ref
	}
	out := *few
	out.LossByDraw, out.Odds.Loss = scaled(refAll.LossByDraw, share)
	return out
}

// optionOf is what a plan chose for a space; "" for none.
func (p *Plan) optionOf(space string) string {
	for _, n := range p.Nights {
		for _, s := range n.Spaces {
			if s.Space == space && len(s.Chosen) > 0 {
				return s.Chosen[0].Option
			}
		}
	}
	return ""
}

// screenAssumed says what was looked at with a few draws only.
func (l *look) screenAssumed() []string {
	rough, all := 0, 0
	for i := range l.spaces {
		all += len(l.spaces[i].all)
		for _, r := range l.spaces[i].all {
			if r == nil {
				rough++
			}
		}
	}
	if rough == 0 {
		return nil
	}
	return []string{fmt.Sprintf("%d of %d ways to treat a space could not win and were looked at under %d of the %d ways the weather may turn out; the loss given for them is a guess from these",
		rough, all, len(l.few), len(l.draws))}
}
