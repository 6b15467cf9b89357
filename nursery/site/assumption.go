package site

import "strings"

// Merge joins assumptions that say the same of several places into one, with the places listed in Where and the line of the
// first; the order of first appearance is kept. A list of sixty beds is read, one of five hundred lines is not.
func Merge(list []Assumption) []Assumption {
	type same struct{ part, what, val, why string }
	at := map[same]int{}
	var out []Assumption
	for _, a := range list {
		part := "" // "Bed 4, cover 1" and "Bed 5, house" are different things of a space
		if _, p, ok := strings.Cut(a.Where, ", "); ok {
			part = p
		}
		if strings.HasPrefix(part, "heater ") || strings.HasPrefix(a.Where, "heater ") { // its name is its place
			part = "heater"
		}
		k := same{part, a.What, a.Value, a.Why}
		if i, again := at[k]; again {
			out[i].Where += "; " + a.Where
			continue
		}
		at[k] = len(out)
		out = append(out, a)
	}
	return out
}
