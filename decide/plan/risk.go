package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Care is how much the bad cases count beside the mean of all.
type Care string

// The three words. What they ask for is a judgement.
const (
	Usual       Care = "usual"        // the mean of all cases alone
	Careful     Care = "careful"      // the worst tenth at most half way from the usual plan's to the least any plan reaches
	VeryCareful Care = "very careful" // the worst tenth within 5 % of the least any plan reaches, and never above careful's
)

// What the words mean, and how close an answer is taken as the same. Judgement.
const (
	worstShare     = 0.1   // share of the draws looked at as the bad ones
	carefulWay     = 0.5   // of the way from the usual plan to the least reachable
	veryNear       = 0.05  // above the least reachable, of it
	firstTolerance = 0.001 // never-lose groups: of their loss with nothing done, so that no roll is spent on cents
	tailNear       = 1e-6  // a worst tenth this close above its limit keeps it, of the limit
)

// Guard is what a plan had to hold beside the shed, and what that costs. All costs
// are differences between plans, each solved anew.
type Guard struct {
	Care  Care
	Asked float64 // limit asked for by number [money]; 0: none

	Limit       float64 // on the worst tenth; +Inf: none was needed [money]
	Unreachable bool    // no plan keeps the limit asked for, or none was found; Limit is the least found
	Least       float64 // least worst tenth of any plan found [money]; 0 where it was not looked for
	LeastFloor  float64 // no plan is below this [money]
	UsualTenth  float64 // worst tenth of the plan without care [money]
	CareCost    Between // how much dearer care makes the plan

	First        bool    // there are never-lose groups
	FirstLoss    float64 // most they may be expected to lose: the least there is, and the tolerance [money]
	FirstLeast   float64 // no plan loses less of them [money]
	FirstWithout float64 // what they would lose if they counted like all others [money]
	FirstCost    Between // how much dearer it is to put them first

	without []int // per space: option of the plan without care and without never-lose groups
}

// Between is an amount that lies between two; the same two where it is exact.
type Between struct{ AtLeast, AtMost float64 }

// dearer is how much dearer b is than a.
func dearer(a, b *Allocation) Between {
	low := max(0, b.Bound-a.Objective)
	return Between{low, max(low, b.Objective-a.Bound)}
}

// worstTenth returns the mean of the largest tenth of the losses, and the weights of
// the draws in it: they sum to one, and none is above 1/(0.1 n). Among all such
// weights these give the largest weighted sum. Of fewer than ten losses it is the
// largest. Zero without losses.
//
// Source: Rockafellar & Uryasev 2000 (conditional value at risk).
func worstTenth(loss []float64) (mean float64, weight []float64) {
	n := len(loss)
	if n == 0 {
		return 0, nil
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(loss[b], loss[a]) })
	weight = make([]float64, n)
	most := min(1, 1/(worstShare*float64(n)))
	left := 1.0
	for _, i := range order {
		weight[i] = min(most, left)
		mean += weight[i] * loss[i]
		if left -= weight[i]; left <= 1e-12 {
			break
		}
	}
	return mean, weight
}

// draws is how many draws the options carry.
func (c *Choices) draws() int {
	for _, s := range c.Spaces {
		for _, o := range s.Options {
			return len(o.LossByDraw)
		}
	}
	return 0
}

// guards reports whether anything must be held beside the shed.
func (c *Choices) guards() bool {
	if c.Care != "" && c.Care != Usual || c.WorstTenth > 0 {
		return true
	}
	return c.first()
}

// first reports whether a never-lose group can lose anything.
func (c *Choices) first() bool {
	for _, s := range c.Spaces {
		for _, o := range s.Options {
			if o.FirstLoss > 0 {
				return true
			}
		}
	}
	return false
}

func (c *Choices) validateRisk() error {
	if c.Care != "" && c.Care != Usual && c.Care != Careful && c.Care != VeryCareful {
		return &InputError{What: fmt.Sprintf("care %q; give %q, %q or %q", c.Care, Usual, Careful, VeryCareful)}
	}
	if !money(c.WorstTenth) {
		return &InputError{What: "the limit on the worst tenth must be money of zero or more; 0 means none"}
	}
	n := c.draws()
	if n == 0 && len(c.Spaces) > 0 && (c.WorstTenth > 0 || c.Care == Careful || c.Care == VeryCareful) {
		return &InputError{What: "care needs the loss of each draw; give every option its LossByDraw"}
	}
	for _, s := range c.Spaces {
		for _, o := range s.Options {
			bad := func(what string) error { return &InputError{Space: s.Space, Option: o.Key, What: what} }
			if len(o.LossByDraw) != n {
				return bad(fmt.Sprintf("%d draws of loss where others have %d; use the same draws everywhere", len(o.LossByDraw), n))
			}
			mean := 0.0
			for _, v := range o.LossByDraw {
				if !money(v) {
					return bad("the loss of a draw must be a number of zero or more")
				}
				mean += v / float64(n)
			}
			if n > 0 && math.Abs(mean-o.ExpectedLoss) > 1e-6*(1+o.ExpectedLoss) {
				return bad(fmt.Sprintf("the draws' mean loss is %g and the expected loss %g; they must be the same", mean, o.ExpectedLoss))
			}
			if !(o.FirstLoss >= 0 && o.FirstLoss <= o.ExpectedLoss*(1+1e-9)+1e-9) {
				return bad("the loss of never-lose groups must lie between zero and the expected loss")
			}
		}
	}
	return nil
}

// lossByDraw sums the losses of the picked options; nil without draws.
func (m *Model) lossByDraw(picks []Pick) []float64 {
	sum := make([]float64, m.c.draws())
	for s, p := range picks {
		for d, v := range m.c.Spaces[s].Options[p.Option].LossByDraw {
			sum[d] += v
		}
	}
	return sum
}

// firstLoss sums the never-lose part of the picked options' loss.
func (m *Model) firstLoss(picks []Pick) float64 {
	sum := 0.0
	for s, p := range picks {
		sum += m.c.Spaces[s].Options[p.Option].FirstLoss
	}
	return sum
}
