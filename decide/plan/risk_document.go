package plan

// RiskLine is what care and never-lose groups asked of the plan, as the document has
// it. Money; null where it was not asked for or not looked for. A cost lies at most
// at the figure; Says tells where it is a bracket.
type RiskLine struct {
	Care            string   `json:"care"`
	WorstTenth      float64  `json:"worst_tenth"`       // mean loss of the worst tenth of the cases
	UsualWorstTenth float64  `json:"usual_worst_tenth"` // the same without care
	Limit           *float64 `json:"limit"`             // on the worst tenth
	Least           *float64 `json:"least"`             // least worst tenth of any plan found
	CareCost        *float64 `json:"care_cost"`         // loss + cost with care less without
	NeverLose       *float64 `json:"never_lose_loss"`   // still expected to be lost of never-lose groups
	NeverLoseCost   *float64 `json:"never_lose_cost"`   // loss + cost with them first less without
	Says            []string `json:"says"`
}

// riskOf writes the line of an allocation and its reasons.
func (m *Model) riskOf(a *Allocation, r *Reasons) RiskLine {
	out := RiskLine{Care: string(Usual), WorstTenth: a.WorstTenth, UsualWorstTenth: a.WorstTenth, Says: orEmpty(r.Guard)}
	g := a.Guard
	if g == nil {
		return out
	}
	out.Care, out.UsualWorstTenth = string(g.Care), g.UsualTenth
	if g.limited() {
		out.Limit, out.CareCost = &g.Limit, &g.CareCost.AtMost
	}
	if g.Least > 0 || g.LeastFloor > 0 {
		out.Least = &g.Least
	}
	if g.First {
		first := m.firstLoss(a.Picks)
		out.NeverLose, out.NeverLoseCost = &first, &g.FirstCost.AtMost
	}
	return out
}
