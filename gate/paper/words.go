package paper

import (
	"math"
	"strings"
	"unicode"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/measure"
)

// nbsp does not break.
const nbsp = "\u00a0"

// tie keeps numbers and units together.
func tie(s string) string {
	return strings.NewReplacer(" °", nbsp+"°", " a.m.", nbsp+"a.m.", " p.m.", nbsp+"p.m.", " sq in", nbsp+"sq"+nbsp+"in",
		" cm²", nbsp+"cm²", " min", nbsp+"min").Replace(s)
}

// plain makes text of anything: one line, no control characters, no broken letters.
// A letter beyond the first plane, which the fonts do not have, is a question mark.
func plain(s string) string {
	s = strings.ToValidUTF8(s, "?")
	return strings.Map(func(r rune) rune {
		switch {
		case r > 0xFFFF:
			return '?'
		case unicode.IsControl(r) || r == '\u2028' || r == '\u2029':
			return ' '
		}
		return r
	}, s)
}

// hold says a hold time in a table.
func hold(minutes float64) string {
	if math.IsInf(minutes, 1) {
		return "not"
	}
	return strings.Replace(heating.Minutes(minutes), "a few minutes", "minutes", 1)
}

// areaOf writes a small area.
func areaOf(m2 float64, v night.Voice) string { return v.Units.SmallArea(measure.Area(m2)) }
