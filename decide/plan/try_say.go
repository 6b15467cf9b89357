package plan

import (
	"fmt"
	"math"
	"slices"

	"example.org/coldnight/decide/night"
)

// What of a change of odds is worth a line, and how many lines. Judgement: below it, it
// is the few draws that speak.
const (
	trySaysOdds = 0.05
	trySaysMost = 6
)

// Changes says what a trial brings against what was chosen, both run by [Trying.Run]: the
// coldest of the group closest to harm, then each group whose odds change, then the loss.
func (y *Trying) Changes(was, is *night.Outlook) []string {
	v := night.VoiceOf(y.scene.Site)
	a, b := &was.Options[1], &is.Options[1]
	var out []string
	w := b.Worst
	if w.Cell < 0 || w.Cell >= len(b.Cells) || w.Cell >= len(a.Cells) {
		w = night.Worst{Stock: -1}
	}
	class := max(slices.Index(night.Classes(), w.Class), 0)
	before, now := a.Cells[w.Cell].Nights[0].Min[class], b.Cells[w.Cell].Nights[0].Min[class]
	who := "the coldest leaves"
	if w.Stock >= 0 {
		who = is.Stocks[w.Stock].Name
	}
	if part := night.Where(b.Cells[w.Cell].Shape, len(b.Cells)); part != "" {
		who += " " + part
	}
	line := fmt.Sprintf("%s: coldest about %s", who, v.Degrees(now.P50))
	if w.At = b.Cells[w.Cell].Nights[0].At[class]; !w.At.IsZero() {
		line += " near " + v.Near(w.At)
	}
	switch d := now.P50 - before.P50; {
	case math.IsNaN(d):
	case v.Degrees(now.P50) == v.Degrees(before.P50) && math.Abs(d) < 0.1:
		line += ", as chosen"
	case v.Degrees(now.P50) == v.Degrees(before.P50):
		line += map[bool]string{true: ", a little warmer than as chosen", false: ", a little colder than as chosen"}[d > 0]
	default:
		line += " instead of " + v.Degrees(before.P50)
	}
	out = append(out, line)
	said := 0
	for g := range is.Stocks {
		if slices.Contains(b.Protection.Away, g) || said == trySaysMost {
			continue
		}
		p, q := a.Odds[g], b.Odds[g]
		if math.Abs(p.Unsaleable-q.Unsaleable) >= trySaysOdds {
			out, said = append(out, fmt.Sprintf("%s: spoils %s instead of %s", is.Stocks[g].Name, night.Chance(q.Unsaleable, 1), night.Chance(p.Unsaleable, 1))), said+1
		}
		if math.Abs(p.Dead-q.Dead) >= trySaysOdds {
			out, said = append(out, fmt.Sprintf("%s: dies %s instead of %s", is.Stocks[g].Name, night.Chance(q.Dead, 1), night.Chance(p.Dead, 1))), said+1
		}
	}
	switch {
	case len(is.Stocks) == 0:
	case v.Amount(a.Loss) != v.Amount(b.Loss):
		out = append(out, fmt.Sprintf("expected loss in this night %s instead of %s", v.Amount(b.Loss), v.Amount(a.Loss)))
	default:
		out = append(out, "no change in what is expected to be lost: "+v.Amount(b.Loss))
	}
	return out
}
