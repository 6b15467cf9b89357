package plan

import (
	"math"
	"strings"
	"testing"
)

// riskyBeds is twoBeds with ten draws: nine mild, in which Bed 1 is the one to cover,
// and one cold, in which Bed 2 loses more. The worst tenth is the cold draw.
func riskyBeds() Choices {
	c := twoBeds().Choices
	c.Shelf.PersonMinutes = 540
	draws := func(o *Option, mild, cold float64) {
		o.LossByDraw = []float64{mild, mild, mild, mild, cold, mild, mild, mild, mild, mild}
		o.ExpectedLoss = 0.9*mild + 0.1*cold
	}
	b1, b2 := c.Spaces[0].Options, c.Spaces[1].Options
	draws(&b1[0], 300, 400)
	draws(&b1[1], 100, 300)
	draws(&b1[2], 90, 250)
	draws(&b2[0], 100, 2000)
	draws(&b2[1], 20, 1000)
	draws(&b2[2], 10, 900)
	return c
}

// Worked out by hand. Cloth on Bed 1: loss 0.9 (100+100) + 0.1 (300+2000) = 410, and 4
// for the work: 414; worst tenth 2300. On Bed 2: 0.9 (300+20) + 0.1 (400+1000) = 428,
// and 4: 432; worst tenth 1400. Nothing: 600, 2400. One piece, so no other plan.
func TestCareInWords(t *testing.T) {
	m := compiled(t, riskyBeds(), Bounds{})
	if a := m.Solve(Limits{}); a.Picks[0].Key != "1x30" || !near(a.Objective, 414) || !near(a.WorstTenth, 2300) {
		t.Fatalf("usual: %v, objective %v, worst tenth %v", a.Picks, a.Objective, a.WorstTenth)
	}
	c := riskyBeds()
	c.Care = Careful // half way from 2300 to 1400: 1850
	m = compiled(t, c, Bounds{})
	a, r := m.Decide(Limits{})
	if a.Picks[1].Key != "1x30" || !near(a.Objective, 432) || !near(a.WorstTenth, 1400) || !near(a.Guard.Limit, 1850) || !near(a.Guard.CareCost.AtMost, 18) {
		t.Fatalf("careful: %v, objective %v, worst tenth %v, %+v", a.Picks, a.Objective, a.WorstTenth, a.Guard)
	}
	const says = "Careful: in the worst tenth of cases the loss is $1,400 on average, at most $1,850 asked; without this care it is $2,300. " +
		"The least found for any plan is $1,400. The care makes the whole plan $18 dearer (solved with and without)."
	if len(r.Guard) != 1 || r.Guard[0] != says {
		t.Errorf("\n got %q\nwant %q", r.Guard, says)
	}
	if want := `Without care it would be "nothing done" here.`; !strings.HasSuffix(r.Why[1], want) {
		t.Errorf("Bed 2: %q", r.Why[1])
	}
	if got := r.Refused[0][0].CannotBe; got != "no plan with it holds the loss in the worst tenth of cases under $1,850" {
		t.Errorf("one layer on Bed 1: %q", got)
	}
	// A second piece: cloth on both, 0.9 (100+20) + 0.1 (300+1000) + 8 = 246, worst tenth
	// 1300, so 186 better.
	if w := r.Worth[0]; !w.Exact || !near(w.AtMost, 186) {
		t.Errorf("one more piece: %+v", w)
	}
	line := m.riskOf(&a, &r)
	if line.Care != "careful" || *line.Limit != a.Guard.Limit || *line.Least != 1400 || *line.CareCost != a.Guard.CareCost.AtMost || line.NeverLose != nil || len(line.Says) != 1 {
		t.Errorf("%+v", line)
	}

	c.Care, c.WorstTenth = Usual, 900
	m = compiled(t, c, Bounds{})
	a, r = m.Decide(Limits{})
	if !a.Guard.Unreachable || !near(a.Guard.Limit, 1400) || !near(a.Objective, 432) ||
		!strings.Contains(strings.Join(r.Guard, " "), "No plan holds the worst tenth under the $900 asked for; this is the plan for the least found, $1,400.") {
		t.Errorf("900 asked: %+v, objective %v, %q", a.Guard, a.Objective, r.Guard)
	}
}

// The same two beds with mother plants in Bed 2: 250 of its loss with nothing done, 50
// of it under one layer. They get the cloth, which makes the plan 432 - 414 = 18 dearer.
func TestNeverLoseInWords(t *testing.T) {
	c := riskyBeds()
	for o, first := range []float64{250, 50, 40} {
		c.Spaces[1].Options[o].FirstLoss = first
	}
	m := compiled(t, c, Bounds{})
	a, r := m.Decide(Limits{})
	if a.Picks[1].Key != "1x30" || !near(a.Objective, 432) || !near(a.Guard.FirstLeast, 50) || !near(a.Guard.FirstWithout, 250) || !math.IsInf(a.Guard.Limit, 1) {
		t.Fatalf("%v, objective %v, %+v", a.Picks, a.Objective, a.Guard)
	}
	const says = "Never-lose groups come first: $50 of them is still expected to be lost, $250 if they counted like all others. That makes the whole plan $18 dearer (solved with and without)."
	if len(r.Guard) != 1 || r.Guard[0] != says {
		t.Errorf("\n got %q\nwant %q", r.Guard, says)
	}
	if got := r.Refused[0][0].CannotBe; !strings.HasPrefix(got, "no plan with it holds the loss of never-lose groups under $50") {
		t.Errorf("one layer on Bed 1: %q", got)
	}
	if line := m.riskOf(&a, &r); *line.NeverLose != 50 || *line.NeverLoseCost != a.Guard.FirstCost.AtMost || line.Limit != nil || line.CareCost != nil {
		t.Errorf("%+v", line)
	}
}

// The document can be built with care, and when the clock then takes the work out, the
// plan is one for the people there are.
func TestBuildWithCare(t *testing.T) {
	f := twoBeds()
	f.Choices = riskyBeds()
	f.Choices.Care = VeryCareful
	p, err := Build(f, Limits{}, Bounds{})
	if err != nil {
		t.Fatal(err)
	}
	validate(t, p)
	if len(p.Jobs) != 1 || p.Jobs[0].Space != "Bed 2" || !near(p.Objective, 432) || p.Gap > 1e-9 {
		t.Errorf("objective %v, gap %v, jobs %+v", p.Objective, p.Gap, p.Jobs)
	}
	f.Crew = f.Crew[:1] // two are needed to spread cloth
	if p, err = Build(f, Limits{}, Bounds{}); err != nil {
		t.Fatal(err)
	}
	validate(t, p)
	if len(p.Jobs) != 0 || !near(p.Objective, 600) {
		t.Errorf("alone: objective %v, jobs %+v", p.Objective, p.Jobs)
	}
}
