package main

import (
	"fmt"

	"example.org/coldnight/decide/plan"
)

// worthShown is how many lines of worth are told without --all.
const worthShown = 3

// worth is what one more of something would save, the greatest first.
func (p *page) worth(a *plan.Answer, all bool) {
	lines := a.Plan.Worth
	if len(lines) == 0 {
		return
	}
	p.head("what one more would be worth")
	most := worthShown
	if all {
		most = len(lines)
	}
	for _, w := range lines[:min(most, len(lines))] {
		p.say("- ", "  ", w.Says)
	}
	if k := len(lines) - most; k > 0 {
		p.say("", "", fmt.Sprintf("(%d more; --all shows all)", k))
	}
}
