package web

import (
	"fmt"
	"math"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
)

// hardToMild says from what to what the hours left go: " (20 in a hard case, 31 in a mild one)".
func hardToMild(b night.Band) string {
	low, high := math.Floor(b.P10), math.Floor(b.P90)
	if math.IsNaN(low) || math.IsInf(high, 0) || high > 999 || low == high {
		return ""
	}
	return fmt.Sprintf(" (%.0f in a hard case, %.0f in a mild one)", low, high)
}

// sleeps say what the rounds of each house take of the night.
func (w voice) sleeps(v View) []string {
	var out []string
	for _, h := range v.Answer.Houses {
		if h.Sleep.Say != "" {
			out = append(out, phrase.Stop(h.Space.Name+": "+tie(h.Sleep.Say)))
		}
	}
	return out
}
