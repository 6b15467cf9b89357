package plan

import "fmt"

// guardWords says what care and never-lose groups ask of the plan a, and what it costs.
func (m *Model) guardWords(a *Allocation) []string {
	g := a.Guard
	if g == nil {
		return nil
	}
	var out []string
	if g.First {
		out = append(out, fmt.Sprintf("Never-lose groups come first: %s of them is still expected to be lost, %s if they counted like all others. That makes the whole plan %s.",
			m.amount(m.firstLoss(a.Picks)), m.amount(g.FirstWithout), m.dearerWords(g.FirstCost)))
	}
	if g.Care == Usual && g.Asked == 0 {
		return out
	}
	what := "Care"
	switch g.Care {
	case Careful:
		what = "Careful"
	case VeryCareful:
		what = "Very careful"
	}
	line := fmt.Sprintf("%s: in the worst tenth of cases the loss is %s on average, at most %s asked", what, m.amount(a.WorstTenth), m.amount(g.Limit))
	if !g.limited() {
		line = fmt.Sprintf("%s: in the worst tenth of cases the loss is %s on average", what, m.amount(a.WorstTenth))
	}
	line += fmt.Sprintf("; without this care it is %s", m.amount(g.UsualTenth))
	if g.Least > 0 || g.LeastFloor > 0 {
		line += fmt.Sprintf(". The least found for any plan is %s", m.amount(g.Least))
		if g.Least-g.LeastFloor > 0.005*g.Least+0.005 {
			line += fmt.Sprintf(", and none can be below %s", m.amount(g.LeastFloor))
		}
	}
	out = append(out, line+fmt.Sprintf(". The care makes the whole plan %s.", m.dearerWords(g.CareCost)))
	if g.Unreachable {
		how := "No plan holds"
		if g.Asked >= g.LeastFloor {
			how = "No plan was found that holds"
		}
		out = append(out, fmt.Sprintf("%s the worst tenth under the %s asked for; this is the plan for the least found, %s.", how, m.amount(g.Asked), m.amount(g.Limit)))
	}
	return out
}

// dearerWords writes what an addition costs.
func (m *Model) dearerWords(b Between) string {
	lo, hi := m.amount(b.AtLeast), m.amount(b.AtMost)
	switch {
	case b.AtMost < 0.005:
		return "no dearer (solved with and without)"
	case lo == hi:
		return hi + " dearer (solved with and without)"
	case b.AtLeast < 0.005:
		return "at most " + hi + " dearer (solved with and without, but stopped early)"
	}
	return lo + " to " + hi + " dearer (solved with and without, but stopped early)"
}

// guardHere says what space s would get without care and never-lose groups.
func (m *Model) guardHere(a *Allocation, s int) string {
	if a.Guard == nil || a.Guard.without[s] == a.Picks[s].Option {
		return ""
	}
	why := "care"
	switch asks := a.Guard.Care != Usual || a.Guard.Asked > 0; {
	case a.Guard.First && asks:
		why = "never-lose groups and care"
	case a.Guard.First:
		why = "never-lose groups"
	}
	return fmt.Sprintf(" Without %s it would be %q here.", why, m.c.Spaces[s].Options[a.Guard.without[s]].Words)
}

// wouldBreak says why no plan b with a forced option was found under the limits of loss of a,
// or beside what it is tied to.
func (m *Model) wouldBreak(a, b *Allocation, s, o int) string {
	what := ""
	if a.Guard != nil && a.Guard.limited() {
		what = fmt.Sprintf("the loss in the worst tenth of cases under %s", m.amount(a.Guard.Limit))
	}
	if a.Guard != nil && a.Guard.First {
		if what != "" {
			what += " and "
		}
		what += fmt.Sprintf("the loss of never-lose groups under %s", m.amount(a.Guard.FirstLoss))
	}
	if t := m.tiedWords(s, o); t != "" && what == "" {
		return "it can be done only where " + t + ", and no plan has both"
	}
	if what == "" {
		what = "every limit"
	}
	if b.Proven {
		return "no plan with it holds " + what
	}
	return "no plan with it was found that holds " + what
}
