package web

import "example.org/coldnight/decide/heating"

// dripsTold is how many places that drip are told of one house.
const dripsTold = 2

// dripFacts say where water comes down in a house, the most first.
func (w voice) dripFacts(h *heating.House) []fact {
	var out []fact
	for i := range h.Drips {
		if s := h.Drips[i].Say; s != "" && len(out) < dripsTold {
			out = append(out, fact{"Drips", stop(capital(tie(s)))})
		}
	}
	return out
}
