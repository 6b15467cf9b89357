package plan

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// withDraws gives every option of c n draws of loss, and makes a share of the spaces
// hold never-lose groups. A draw is a cold or mild night for all, and then differs by
// space and option; some protections only help in mild nights. Everything is invented.
func withDraws(c Choices, seed uint64, n int, first float64) Choices {
	r := rand.New(rand.NewPCG(seed, 7))
	cold := make([]float64, n)
	for d := range cold {
		cold[d] = r.NormFloat64()
	}
	for s := range c.Spaces {
		holds := r.Float64() < first
		own := 0.2 + 0.6*r.Float64()
		for o := range c.Spaces[s].Options {
			op := &c.Spaces[s].Options[o]
			steep := 0.2 + 1.3*r.Float64()
			op.LossByDraw = make([]float64, n)
			sum := 0.0
			for d := range op.LossByDraw {
				op.LossByDraw[d] = op.ExpectedLoss * math.Exp(steep*cold[d]+own*r.NormFloat64())
				sum += op.LossByDraw[d]
			}
			op.ExpectedLoss = sum / float64(n)
			if holds {
				op.FirstLoss = op.ExpectedLoss * (0.2 + 0.8*r.Float64())
			}
		}
	}
	return c
}

// smallSite is an invented question small enough to look at every plan.
func smallSite(seed uint64) Choices {
	r := rand.New(rand.NewPCG(seed, 3))
	cloths := []string{"30 g", "50 g"}
	c := Choices{Shelf: Shelf{Cups: map[string]int{"small": r.IntN(30)}, PersonMinutes: 20 + r.IntN(120)}}
	for range 1 + r.IntN(3) {
		c.Shelf.Cloth = append(c.Shelf.Cloth, Piece{
			Cloth: cloths[r.IntN(2)], LengthM: float64(3 + r.IntN(7)), WidthM: float64(1 + r.IntN(4)), Count: r.IntN(4), Condition: Condition(r.IntN(3)),
		})
	}
	for s := range 2 + r.IntN(4) {
		bare := 500 * r.Float64()
		sp := SpaceChoice{Space: string(rune('A' + s)), Options: []Option{{Key: "none", Words: "nothing", ExpectedLoss: bare}}}
		for o := range 1 + r.IntN(3) {
			op := Option{Key: string(rune('a' + o)), Words: "way " + string(rune('a'+o)), ExpectedLoss: bare * r.Float64(), Cost: 20 * r.Float64(), PersonMinutes: r.IntN(60)}
			if r.IntN(3) > 0 {
				op.Needs.Covers = []CoverArea{{LengthM: float64(2 + r.IntN(7)), WidthM: float64(1 + r.IntN(4)), Layers: 1 + r.IntN(2), Cloth: cloths[r.IntN(2)]}}
			} else {
				op.Needs.Cups = map[string]int{"small": r.IntN(20)}
			}
			sp.Options = append(sp.Options, op)
		}
		c.Spaces = append(c.Spaces, sp)
	}
	return c
}

// every walks all plans of m that fit the shed.
func every(m *Model, see func(cost, first, worst float64)) {
	everyPick(m, func(picks []Pick, cost, worst float64) { see(cost, m.firstLoss(picks), worst) })
}

func everyPick(m *Model, see func(picks []Pick, cost, worst float64)) {
	have := make([]int, len(m.res))
	for r := range have {
		have[r] = m.res[r].have
	}
	picks := make([]Pick, len(m.c.Spaces))
	var walk func(s int, cost float64)
	walk = func(s int, cost float64) {
		if s == len(picks) {
			worst, _ := worstTenth(m.lossByDraw(picks))
			see(picks, cost, worst)
			return
		}
		for i := m.start[s]; i < m.start[s+1]; i++ {
			a, ok := &m.alts[i], true
			for k := a.lo; k < a.hi; k++ {
				have[m.idx[k]] -= int(m.qty[k])
				ok = ok && have[m.idx[k]] >= 0
			}
			if ok {
				picks[s].Option = int(a.option)
				walk(s+1, cost+a.cost)
			}
			for k := a.lo; k < a.hi; k++ {
				have[m.idx[k]] += int(m.qty[k])
			}
		}
	}
	walk(0, 0)
}

func compiled(t *testing.T, c Choices, b Bounds) *Model {
	t.Helper()
	m, err := Compile(c, b)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Worked out by hand: 25 losses 0..24; a tenth of them is 2.5 draws: 24, 23 and half of 22.
func TestWorstTenthByHand(t *testing.T) {
	loss := make([]float64, 25)
	for d := range loss {
		loss[d] = float64((d * 7) % 25)
	}
	want := (24 + 23 + 0.5*22) / 2.5
	got, weight := worstTenth(loss)
	sum, mean := 0.0, 0.0
	for d, w := range weight {
		if w < 0 || w > 1/2.5+1e-12 {
			t.Errorf("weight %v", w)
		}
		sum += w
		mean += w * loss[d]
	}
	if !near(got, want) || !near(sum, 1) || !near(mean, got) {
		t.Errorf("worst tenth %v, want %v; weights sum to %v and give %v", got, want, sum, mean)
	}
	if got, _ := worstTenth([]float64{1, 5, 3}); got != 5 {
		t.Errorf("of three draws the worst tenth is %v, want the largest, 5", got)
	}
	if got, _ := worstTenth(nil); got != 0 {
		t.Errorf("of no draws: %v", got)
	}
}

// 200 invented sites, every plan looked at: without a limit, with one on the worst
// tenth, with the two words, and with never-lose groups first.
func TestRiskAgreesWithEveryPlan(t *testing.T) {
	limited, refused := 0, 0
	for seed := range uint64(200) {
		c := withDraws(smallSite(seed), seed, 12, 0)
		b := Bounds{Pieces: 3, Patterns: 8}
		m := compiled(t, c, b)
		usual := m.Solve(Limits{})
		best, least := inf, inf
		every(m, func(cost, _, worst float64) { best, least = min(best, cost), min(least, worst) })
		if !usual.Proven || !near(usual.Objective, best) || usual.Guard != nil {
			t.Fatalf("site %d: objective %v (proven %v), cheapest of all %v", seed, usual.Objective, usual.Proven, best)
		}
		for _, part := range []float64{0.2, 0.7, -0.3} {
			c.WorstTenth = least + part*(usual.WorstTenth-least)
			if part < 0 {
				c.WorstTenth = 0.9 * least
			}
			if c.WorstTenth == 0 {
				continue
			}
			m := compiled(t, c, b)
			a := m.Solve(Limits{})
			want := inf
			limit := c.WorstTenth
			if part < 0 {
				limit = least
				if !a.Guard.Unreachable || !near(a.Guard.Limit, least) && a.Guard.Limit > least*(1+leastNear) || a.Guard.LeastFloor > least*(1+1e-6) {
					t.Fatalf("site %d: %v asked, %v the least there is; %+v", seed, c.WorstTenth, least, a.Guard)
				}
				limit = a.Guard.Limit
				refused++
			}
			every(m, func(cost, _, worst float64) {
				if worst <= limit*(1+1e-9) {
					want = min(want, cost)
				}
			})
			if !a.Proven || !near(a.Objective, want) || a.WorstTenth > limit*(1+2*tailNear)+2*tailNear {
				t.Fatalf("site %d, limit %v: objective %v (proven %v), worst tenth %v; cheapest of all %v", seed, limit, a.Objective, a.Proven, a.WorstTenth, want)
			}
			if a.Objective > usual.Objective+1e-6 {
				limited++
			}
		}
		c.WorstTenth = 0
		for _, care := range []Care{Careful, VeryCareful} {
			c.Care = care
			m := compiled(t, c, b)
			a := m.Solve(Limits{})
			g := a.Guard
			if g.Least < least*(1-1e-9) || g.Least > least*(1+2*leastNear)+1e-9 || g.LeastFloor > least*(1+1e-6)+1e-6 {
				t.Fatalf("site %d, %s: least %v, floor %v; of all plans %v", seed, care, g.Least, g.LeastFloor, least)
			}
			want := inf
			every(m, func(cost, _, worst float64) {
				if worst <= g.Limit*(1+1e-9)+1e-9 {
					want = min(want, cost)
				}
			})
			if !a.Proven || !near(a.Objective, want) {
				t.Fatalf("site %d, %s: objective %v (proven %v), cheapest of all %v", seed, care, a.Objective, a.Proven, want)
			}
		}
	}
	if limited < 100 || refused < 100 {
		t.Errorf("only %d limits changed the plan and %d were out of reach; the sites are too easy", limited, refused)
	}
}

// Never-lose groups: the least loss of theirs over all plans, then the cheapest plan
// within the tolerance, on 200 invented sites.
func TestNeverLoseAgreesWithEveryPlan(t *testing.T) {
	changed := 0
	for seed := range uint64(200) {
		c := withDraws(smallSite(seed), seed, 6, 0.4)
		m := compiled(t, c, Bounds{Pieces: 3, Patterns: 8})
		a := m.Solve(Limits{})
		if !c.first() {
			if a.Guard != nil {
				t.Fatalf("site %d: a guard without never-lose groups", seed)
			}
			continue
		}
		plain, least, bare := inf, inf, 0.0
		every(m, func(cost, first, _ float64) { plain, least = min(plain, cost), min(least, first) })
		for _, s := range c.Spaces {
			bare += s.Options[0].FirstLoss
		}
		want := inf
		every(m, func(cost, first, _ float64) {
			if first <= least+firstTolerance*bare {
				want = min(want, cost)
			}
		})
		g := a.Guard
		if !a.Proven || !near(a.Objective, want) || !near(g.FirstLeast, least) || !near(g.FirstCost.AtMost, want-plain) || !near(g.FirstCost.AtLeast, want-plain) {
			t.Fatalf("site %d: objective %v, want %v; least %v, want %v; cost %+v, want %v", seed, a.Objective, want, g.FirstLeast, least, g.FirstCost, want-plain)
		}
		if want > plain+1e-6 {
			changed++
		}
	}
	if changed < 30 {
		t.Errorf("never-lose groups changed only %d of 200 plans", changed)
	}
}

func TestRiskRefusesWhatItCannotUse(t *testing.T) {
	good := withDraws(smallSite(1), 1, 6, 0.5)
	for name, spoil := range map[string]func(c *Choices){
		"unknown word":        func(c *Choices) { c.Care = "reckless" },
		"negative limit":      func(c *Choices) { c.WorstTenth = -1 },
		"other draws":         func(c *Choices) { c.Spaces[0].Options[0].LossByDraw = []float64{1} },
		"another mean":        func(c *Choices) { c.Spaces[0].Options[0].ExpectedLoss += 1 },
		"more first than all": func(c *Choices) { c.Spaces[0].Options[0].FirstLoss = 1e9 },
		"loss not a number":   func(c *Choices) { c.Spaces[0].Options[0].LossByDraw[2] = math.NaN() },
	} {
		c := good
		c.Spaces = slices.Clone(good.Spaces)
		c.Spaces[0].Options = slices.Clone(good.Spaces[0].Options)
		c.Spaces[0].Options[0].LossByDraw = slices.Clone(good.Spaces[0].Options[0].LossByDraw)
		spoil(&c)
		if _, err := Compile(c, Bounds{}); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
	c := smallSite(1)
	c.Care = Careful
	if _, err := Compile(c, Bounds{}); err == nil {
		t.Error("care without draws: taken")
	}
}
