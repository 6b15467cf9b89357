package plan

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// tinyWithDraws draws a small question with draws of loss; limited puts an upper
// limit on the worst tenth, somewhere between hard and easy.
func tinyWithDraws(t *rapid.T, limited bool) Choices {
	c := withDraws(tiny(t), rapid.Uint64Range(0, 1000).Draw(t, "draws"), 12, 0)
	if limited {
		bare := make([]float64, 12)
		for _, s := range c.Spaces {
			for d, v := range s.Options[0].LossByDraw {
				bare[d] += v
			}
		}
		worst, _ := worstTenth(bare)
		c.WorstTenth = 1 + worst*rapid.Float64Range(0.2, 1.1).Draw(t, "limit")
	}
	return c
}

// all lists every set of pieces, so that one piece more never pushes another off the list.
var all = Bounds{Pieces: 3, Patterns: 10_000}

func solved(t *rapid.T, c Choices) (*Model, Allocation) {
	m, err := Compile(c, all)
	if err != nil {
		t.Fatal(err)
	}
	a := m.Solve(Limits{})
	if !a.Proven {
		t.Fatalf("not solved to the end: %v..%v", a.Bound, a.Objective)
	}
	checkAllocation(t, m, a)
	return m, a
}

// allowances are the limits between which a solving may draw its line for a plan's worst
// tenth: what keeps the limit is never ruled out, and what passes it by [tailNear] is never
// taken. Which of the plans between them is taken hangs on the rows it happened to need.
func allowances(limit float64) (strict, wide float64) {
	limit = min(limit, 1e12)
	return limit, limit*(1+tailNear) + tailNear
}

// cheapestHeld looks at every plan whose worst tenth keeps a limit.
func cheapestHeld(m *Model, limit float64, ok func(s, o int) bool) float64 {
	best := inf
	everyPick(m, func(picks []Pick, cost, worst float64) {
		for s, p := range picks {
			if !ok(s, p.Option) {
				return
			}
		}
		if worst <= limit {
			best = min(best, cost)
		}
	})
	return best
}

func anyPick(int, int) bool { return true }

// cent is how far two solvings of questions that cost so much may be apart: each ends
// within 1e-9 of what it costs ([search.worthwhile]), and sums are rounded.
func cent(costs ...float64) float64 {
	most := 0.0
	for _, v := range costs {
		if !math.IsInf(v, 0) {
			most = max(most, math.Abs(v))
		}
	}
	return 4e-9 * (1 + most)
}

// More cloth, cups or minutes never make the optimum worse, with and without a limit
// on the worst tenth. (A word for care or a never-lose group sets its limit by what
// can be reached, so there more of something can ask more, and cost more.)
func TestMoreIsNeverWorse(t *testing.T) {
	for _, limited := range []bool{false, true} {
		rapid.Check(t, func(t *rapid.T) {
			c := tinyWithDraws(t, limited)
			m, a := solved(t, c)
			more := c
			more.Shelf.Cloth = slices.Clone(c.Shelf.Cloth)
			switch what := rapid.IntRange(-2, len(c.Shelf.Cloth)-1).Draw(t, "what"); what {
			case -2:
				more.Shelf.PersonMinutes += rapid.IntRange(1, 60).Draw(t, "by")
			case -1:
				more.Shelf.Cups = map[string]int{"small": c.Shelf.Cups["small"] + rapid.IntRange(1, 10).Draw(t, "by")}
			default:
				more.Shelf.Cloth[what].Count++
			}
			_, b := solved(t, more)
			if limited && a.Guard.Unreachable {
				if b.Guard.Unreachable && b.Guard.Limit > a.Guard.Limit*(1+leastNear) {
					t.Fatalf("with more, the least worst tenth went from %v to %v", a.Guard.Limit, b.Guard.Limit)
				}
				return
			}
			most := a.Objective
			if limited {
				strict, _ := allowances(c.WorstTenth)
				if most = cheapestHeld(m, strict, anyPick); math.IsInf(most, 1) {
					return // the plan stands between the two limits; with more another may not
				}
			}
			if b.Objective > most+cent(most) || limited && b.Guard.Unreachable {
				t.Fatalf("with more, %v became %v", most, b.Objective)
			}
		})
	}
}

func TestOrderOfSpacesChangesNothing(t *testing.T) {
	for _, limited := range []bool{false, true} {
		rapid.Check(t, func(t *rapid.T) {
			c := tinyWithDraws(t, limited)
			m, a := solved(t, c)
			p := c
			p.Spaces = nil
			for _, i := range rapid.Permutation(indices(len(c.Spaces))).Draw(t, "order") {
				p.Spaces = append(p.Spaces, c.Spaces[i])
			}
			_, b := solved(t, p)
			if !limited {
				if math.Abs(a.Objective-b.Objective) > cent(a.Objective) {
					t.Fatalf("%v in one order, %v in another", a.Objective, b.Objective)
				}
				return
			}
			strict, wide := allowances(c.WorstTenth)
			high, low := cheapestHeld(m, strict, anyPick), cheapestHeld(m, wide, anyPick)
			for _, x := range []*Allocation{&a, &b} {
				if x.Guard.Unreachable && !math.IsInf(high, 1) || !x.Guard.Unreachable && (x.Objective < low-cent(low) || x.Objective > high+cent(high)) {
					t.Fatalf("%v in one order, %v in another; the truth is %v to %v", a.Objective, b.Objective, low, high)
				}
			}
		})
	}
}

func indices(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// Prices of refusals and worths under a limit of loss hold the truth, found by looking
// at every plan, between them; where no plan is left the refusal says so.
func TestPricesUnderCareBracketTheTruth(t *testing.T) {
	refused := 0
	rapid.Check(t, func(t *rapid.T) {
		c := tinyWithDraws(t, true)
		m, err := Compile(c, all)
		if err != nil {
			t.Fatal(err)
		}
		a, r := m.Decide(Limits{PriceNodes: 5000})
		strict, wide := allowances(a.Guard.Limit)
		for s := range r.Refused {
			for _, f := range r.Refused[s] {
				ok := func(at, o int) bool { return at != s || o == f.Option }
				high, low := cheapestHeld(m, strict, ok)-a.Objective, cheapestHeld(m, wide, ok)-a.Objective
				switch near := cent(a.Objective, low, high); {
				case f.CannotBe != "":
					if !math.IsInf(high, 1) {
						t.Fatalf("space %d option %d: %q, but it can be done", s, f.Option, f.CannotBe)
					}
					if strings.Contains(f.CannotBe, "worst tenth") {
						refused++
					}
				case high < f.AtLeast-near || low > f.AtMost+near:
					t.Fatalf("space %d option %d: price %v to %v outside %v..%v", s, f.Option, low, high, f.AtLeast, f.AtMost)
				}
			}
		}
		for i, w := range r.Worth {
			d := *m
			d.res = slices.Clone(m.res)
			d.res[i].have += w.Add
			low, high := a.Objective-cheapestHeld(&d, strict, anyPick), a.Objective-cheapestHeld(&d, wide, anyPick)
			if near := cent(a.Objective, low, high); high < w.AtLeast-near || low > w.AtMost+near {
				t.Fatalf("one more %s: worth %v to %v outside %v..%v", w.Item, low, high, w.AtLeast, w.AtMost)
			}
		}
	})
	if !testing.Short() && refused == 0 { // a short run draws a fifth
		t.Error("no refusal was for the worst tenth; the limits are too easy")
	}
}

// A tighter limit never makes the plan cheaper and never the worst tenth worse.
func TestMoreCareCostsMoreAndLosesLess(t *testing.T) {
	moved := 0
	for seed := range uint64(12) {
		c := withDraws(inventedNursery(seed, 10), seed, 20, 0)
		m := compiled(t, c, Bounds{Patterns: 8})
		last := m.Solve(Limits{Nodes: 20_000})
		from := last.WorstTenth
		for k := 1; k <= 6; k++ {
			c.WorstTenth = from * (1 - 0.025*float64(k))
			a := compiled(t, c, Bounds{Patterns: 8}).Solve(Limits{Nodes: 20_000})
			if !a.Proven {
				t.Fatalf("site %d, limit %v: not solved to the end: %v..%v", seed, c.WorstTenth, a.Bound, a.Objective)
			}
			if a.Objective < last.Objective*(1-1e-9) || a.WorstTenth > last.WorstTenth*(1+2*tailNear) {
				t.Errorf("site %d, limit %v: cost %v after %v, worst tenth %v after %v", seed, c.WorstTenth, a.Objective, last.Objective, a.WorstTenth, last.WorstTenth)
			}
			if a.Guard.Unreachable {
				break
			}
			if a.Objective > last.Objective {
				moved++
			}
			last = a
		}
	}
	if moved < 20 {
		t.Errorf("only %d limits moved the plan", moved)
	}
}

func TestCareIsTheSameTwiceAndWhicheverWayRound(t *testing.T) {
	for seed := range uint64(4) {
		c := withDraws(inventedNursery(seed, 12), seed, 24, 0.2)
		c.Care = Careful
		b := Bounds{Patterns: 8}
		a := compiled(t, c, b).Solve(Limits{Nodes: 20_000})
		again := compiled(t, c, b).Solve(Limits{Nodes: 20_000})
		if !reflect.DeepEqual(a.Picks, again.Picks) || a.Objective != again.Objective || !reflect.DeepEqual(a.Guard, again.Guard) {
			t.Errorf("site %d: another answer the second time", seed)
		}
		// The least worst tenth is known to half a percent, so the word's limit may move
		// with the order; a limit by number does not.
		c.Care, c.WorstTenth = Usual, a.Guard.Limit
		a = compiled(t, c, b).Solve(Limits{Nodes: 20_000})
		r := rand.New(rand.NewPCG(seed, 5))
		p := c
		p.Spaces = slices.Clone(c.Spaces)
		r.Shuffle(len(p.Spaces), func(i, j int) { p.Spaces[i], p.Spaces[j] = p.Spaces[j], p.Spaces[i] })
		other := compiled(t, p, b).Solve(Limits{Nodes: 20_000})
		if !a.Proven || !other.Proven || !near(a.Objective, other.Objective) {
			t.Errorf("site %d: %v in one order of spaces, %v in another (proven %v, %v)", seed, a.Objective, other.Objective, a.Proven, other.Proven)
		}
	}
}
