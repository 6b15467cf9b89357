package plan

import (
	"cmp"
	"math/rand/v2"
	"os"
	"slices"
	"testing"
)

// rule chooses an option for each space of freeze f: from the model, which says what
// fits, and from the winter, of which it may look at what a grower knows.
type rule struct {
	name   string
	simple bool // one of the four
	pick   func(w *winter, f int, left []float64, m *Model) []int
}

// wish is an option wanted for a space.
type wish struct{ space, option int }

// grant gives wishes in their order where the shed still has enough; the first wish
// granted for a space stands.
func grant(m *Model, wishes []wish) []int {
	picks := make([]int, len(m.c.Spaces))
	used := make([]int, len(m.res))
next:
	for _, w := range wishes {
		if picks[w.space] != 0 {
			continue
		}
		best := int32(-1)
		for i := m.start[w.space]; i < m.start[w.space+1]; i++ {
			a := &m.alts[i]
			if int(a.option) != w.option || best >= 0 && a.area >= m.alts[best].area {
				continue
			}
			fits := true
			for k := a.lo; k < a.hi; k++ {
				fits = fits && used[m.idx[k]]+int(m.qty[k]) <= m.res[m.idx[k]].have
			}
			if fits {
				best = i
			}
		}
		if best < 0 {
			continue next
		}
		for k := m.alts[best].lo; k < m.alts[best].hi; k++ {
			used[m.idx[k]] += int(m.qty[k])
		}
		picks[w.space] = w.option
	}
	return picks
}

// warmest lists the options of winterOptions, the one that gains most first.
func warmest() []int {
	o := winterOptions()
	out := indices(len(o))[1:]
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(o[b].nominal, o[a].nominal) })
	return out
}

// mostFor wishes the warmest that can be had for the spaces in the given order.
func mostFor(order []int) []wish {
	var out []wish
	for _, s := range order {
		for _, o := range warmest() {
			out = append(out, wish{s, o})
		}
	}
	return out
}

// grower is what a good grower does: the forecast low (and, where knows is set, each
// bed's own offset) plus the degrees of a layer against each kind's limit; the least
// cover that reaches it, most value saved per square metre of cloth first; and what
// cloth is left over beds that are in danger all the same, dearest first.
func grower(knows bool) func(w *winter, f int, left []float64, m *Model) []int {
	return func(w *winter, f int, left []float64, m *Model) []int {
		options := winterOptions()
		type want struct {
			wish
			worth float64
		}
		var wants []want
		var danger []int
		for i := range w.spaces {
			s := &w.spaces[i]
			low := w.lows[f]
			if knows {
				low += s.offsetK
			}
			if low >= s.saleC {
				continue
			}
			danger = append(danger, i)
			for k := len(warmest()) - 1; k >= 0; k-- {
				o := &options[warmest()[k]]
				if low+o.nominal >= s.saleC {
					area := float64(o.layers) * (s.lengthM + 1.2) * (s.widthM + 1.2)
					wants = append(wants, want{wish{i, warmest()[k]}, left[i] / area})
				}
			}
		}
		slices.SortStableFunc(wants, func(a, b want) int { return cmp.Compare(b.worth, a.worth) })
		var wishes []wish
		for _, x := range wants {
			wishes = append(wishes, x.wish)
		}
		slices.SortStableFunc(danger, func(a, b int) int { return cmp.Compare(left[b], left[a]) })
		return grant(m, append(wishes, mostFor(danger)...))
	}
}

func planned(care Care) func(w *winter, f int, left []float64, m *Model) []int {
	return func(w *winter, f int, left []float64, _ *Model) []int { return cheapestOf(w.choices(f, left, care)) }
}

func cheapestOf(c Choices) []int {
	m, err := Compile(c, Bounds{Patterns: 16})
	if err != nil {
		panic(err)
	}
	a := m.Solve(Limits{Nodes: 1000, Gap: 1e-3})
	out := make([]int, len(a.Picks))
	for i, p := range a.Picks {
		out[i] = p.Option
	}
	return out
}

func rules() []rule {
	return []rule{
		{"plan", false, planned(Usual)},
		{"plan, very careful", false, planned(VeryCareful)},
		{"cover all, in order", true, func(w *winter, _ int, _ []float64, m *Model) []int { return grant(m, mostFor(indices(len(w.spaces)))) }},
		{"most valuable first", true, func(w *winter, _ int, left []float64, m *Model) []int {
			order := indices(len(left))
			slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(left[b], left[a]) })
			return grant(m, mostFor(order))
		}},
		{"one layer everywhere", true, func(w *winter, _ int, _ []float64, m *Model) []int {
			var wishes []wish
			for s := range w.spaces {
				wishes = append(wishes, wish{s, 1}, wish{s, 3}, wish{s, 5})
			}
			return grant(m, wishes)
		}},
		{"nothing", true, func(w *winter, _ int, _ []float64, _ *Model) []int { return make([]int, len(w.spaces)) }},
		{"good grower", false, grower(false)},
		{"good grower who knows his cold beds", false, grower(true)},
		{"in hindsight", false, func(w *winter, f int, left []float64, _ *Model) []int { return cheapestOf(w.hindsight(f, left)) }},
	}
}

// TestDecisionValue lives through 200 invented winters with scarce cloth under the plan
// and under simple rules, all from the same forecasts: in a truth wider than the plan
// believes (winters_world_test.go), and in the one it believes. Every winter counts.
// The aims, 15 % below the good grower and 25 % below the best of the other rules, are
// reported; what is asserted is that no rule is surely better than the plan.
func TestDecisionValue(t *testing.T) {
	if os.Getenv("COLDNIGHT_LONG") == "" {
		t.Skip("200 winters, twice: set COLDNIGHT_LONG=1 to run them")
	}
	t.Run("wider truth", func(t *testing.T) { liveThrough(t, func(w winter) winter { return w }) })
	t.Run("as believed", func(t *testing.T) { liveThrough(t, winter.asBelieved) })
}

func liveThrough(t *testing.T, truth func(winter) winter) {
	rs := rules()
	loss := make([][]float64, len(rs)) // [rule][winter]
	freezes := 0
	for k := range uint64(winters) {
		w := truth(makeWinter(k))
		freezes += len(w.lows)
		for i, r := range rs {
			left := make([]float64, len(w.spaces))
			for s := range left {
				left[s] = w.spaces[s].value
			}
			sum := 0.0
			for f := range w.lows {
				m := compiled(t, w.choices(f, left, Usual), Bounds{Patterns: 16})
				sum += w.live(f, left, r.pick(&w, f, left, m))
			}
			loss[i] = append(loss[i], sum)
		}
	}
	at := func(name string) int { return slices.IndexFunc(rs, func(r rule) bool { return r.name == name }) }
	nothing, hindsight := mean(loss[at("nothing")]), mean(loss[at("in hindsight")])
	t.Logf("%d winters, %d freezes; loss and cost per winter", winters, freezes)
	best, bestMean := -1, inf
	for i, r := range rs {
		s := slices.Clone(loss[i])
		slices.Sort(s)
		part := func(p float64) float64 { return s[int(p*float64(len(s)-1))] }
		worst, _ := worstTenth(s)
		less, low, high := saved(loss[0], loss[i])
		ahead := 0
		for k := range loss[i] {
			if loss[0][k] < loss[i][k] {
				ahead++
			}
		}
		t.Logf("%-36s mean %6.0f (%3.0f %% of what hindsight saves); 10 %% %6.0f, half %6.0f, 90 %% %6.0f, worst tenth %6.0f; the plan loses %5.1f %% less (95 %%: %.1f to %.1f), ahead in %d winters",
			r.name, mean(s), 100*(nothing-mean(s))/(nothing-hindsight), part(0.1), part(0.5), part(0.9), worst, 100*less, 100*low, 100*high, ahead)
		if r.simple && mean(s) < bestMean {
			best, bestMean = i, mean(s)
		}
		if r.name != "in hindsight" && high < 0 {
			t.Errorf("%q is surely better than the plan: it loses %.1f %% less (95 %%: %.1f to %.1f)", r.name, -100*less, -100*high, -100*low)
		}
	}
	grower, _, _ := saved(loss[0], loss[at("good grower")])
	simple, _, _ := saved(loss[0], loss[best])
	t.Logf("aims: 15 %% below the good grower: %.1f %%; 25 %% below the best of the other four (%s): %.1f %%", 100*grower, rs[best].name, 100*simple)
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

// saved is by which share a loses less than b over all winters, and the middle 95 % of
// that when winters are drawn anew 2000 times (bootstrap, percentile).
func saved(a, b []float64) (share, low, high float64) {
	r := rand.New(rand.NewPCG(1, 1))
	share = 1 - mean(a)/mean(b)
	var all []float64
	for range 2000 {
		x, y := 0.0, 0.0
		for range a {
			k := r.IntN(len(a))
			x, y = x+a[k], y+b[k]
		}
		all = append(all, 1-x/y)
	}
	slices.Sort(all)
	return share, all[50], all[1949]
}
