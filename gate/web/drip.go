package web

import (
	"example.org/coldnight/decide/heating"

	"example.org/coldnight/internal/phrase"
)

// dripsTold is how many places that drip are told of one house.
const dripsTold = 2

// dripFacts say where water comes down in a house, the worst first.
func (w voice) dripFacts(h *heating.House) []fact {
	var out []fact
	for _, d := range heating.Told(h.Drips, dripsTold) {
		out = append(out, fact{"Drips", phrase.Stop(phrase.Capital(tie(d.Say)))})
	}
	return out
}
