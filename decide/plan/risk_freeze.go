package plan

import (
	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
)

// careOf is the care the site file asks for.
func careOf(s *site.Site) Care { return Care(s.Risk) }

// firstLossOf is the part of a result's expected loss that falls on never-lose groups.
func firstLossOf(o *night.Outlook, r *night.Result) float64 {
	sum := 0.0
	for g := range o.Stocks {
		if o.Stocks[g].Group.NeverLose {
			sum += r.Odds[g].Loss
		}
	}
	return min(sum, r.Loss)
}

// careAssumed says what the words of care, and never-lose groups, are taken to mean.
func careAssumed(c *Choices) []string {
	var out []string
	switch c.Care {
	case Careful:
		out = append(out, "careful is taken to mean: the mean loss of the worst tenth of the cases at most half way from the usual plan's to the least that any plan reaches (judgement)")
	case VeryCareful:
		out = append(out, "very careful is taken to mean: the mean loss of the worst tenth of the cases within 5 % of the least that any plan reaches, and at most half way to it from the usual plan's (judgement)")
	}
	if c.first() {
		out = append(out, "never-lose groups come before all others up to 0.1 % of what they would lose with nothing done, so that nothing is spent on cents (judgement)")
	}
	return out
}
