package web

import "example.org/coldnight/internal/phrase"

// setPointFacts say how cool the thermostats of a house may be set, and what the plan
// makes of it.
func (w voice) setPointFacts(says []string) []fact {
	var out []fact
	for _, s := range says {
		out = append(out, fact{"Set-point", phrase.Stop(phrase.Capital(tie(s)))})
	}
	return out
}
