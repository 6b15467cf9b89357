package web

// setPointFacts say how cool the thermostats of a house may be set, and what the plan
// makes of it.
func (w voice) setPointFacts(says []string) []fact {
	var out []fact
	for _, s := range says {
		out = append(out, fact{"Set-point", stop(capital(tie(s)))})
	}
	return out
}
