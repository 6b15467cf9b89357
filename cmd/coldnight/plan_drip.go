package main

import (
	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

// dripsFolded is how many places that drip are told of one house without --all.
const dripsFolded = 2

// drips says where water comes down in heated houses, and on whom.
func (p *page) drips(a *plan.Answer, all bool) {
	headed := false
	for _, h := range a.Houses {
		told := heating.Told(h.Drips, dripsFolded)
		if all {
			told = h.Drips
		}
		for _, d := range told {
			if d.Say == "" {
				continue
			}
			if !headed {
				p.head("where it drips")
				headed = true
			}
			p.say("", "    ", phrase.Stop(h.Space.Name+": "+d.Say))
		}
	}
}
