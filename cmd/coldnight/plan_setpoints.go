package main

import (
	"example.org/coldnight/decide/plan"

	"example.org/coldnight/internal/phrase"
)

// setPoints says for every heated house how cool its thermostats may be set, and what
// the plan makes of it.
func (p *page) setPoints(a *plan.Answer) {
	for i := range a.Plan.SetPoints {
		if i == 0 {
			p.head("set-points that keep the odds")
		}
		x := &a.Plan.SetPoints[i]
		for k, w := range x.Says {
			if k == 0 {
				p.say("", "    ", phrase.Stop(x.Space+": "+w))
				continue
			}
			p.say("    ", "    ", phrase.Stop(phrase.Capital(w)))
		}
	}
}
