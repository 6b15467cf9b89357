package plan

import (
	"testing"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
)

func TestSiteFileSaysCareAndNeverLose(t *testing.T) {
	for risk, want := range map[site.Risk]Care{"": "", site.UsualRisk: Usual, site.CarefulRisk: Careful, site.VeryCareful: VeryCareful} {
		if got := careOf(&site.Site{Risk: risk}); got != want {
			t.Errorf("risk %q is care %q, want %q", risk, got, want)
		}
	}
	o := &night.Outlook{Stocks: []night.Stock{{Group: &site.Group{}}, {Group: &site.Group{NeverLose: true}}, {Group: &site.Group{NeverLose: true}}}}
	r := &night.Result{Odds: []night.Odds{{Loss: 5}, {Loss: 7}, {Loss: 11}}, Loss: 23}
	if got := firstLossOf(o, r); got != 18 { // 7 + 11
		t.Errorf("loss of never-lose groups %v, want 18", got)
	}
	c := riskyBeds()
	if said := careAssumed(&c); len(said) != 0 {
		t.Errorf("usual: %q", said)
	}
	c.Care, c.Spaces[0].Options[0].FirstLoss = Careful, 1
	if said := careAssumed(&c); len(said) != 2 {
		t.Errorf("careful with never-lose groups: %q", said)
	}
}
