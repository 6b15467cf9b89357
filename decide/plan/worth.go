package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// WorthLine is what one more of something would save: the whole plan solved again with
// it. Between the two amounts lies the saving; they are the same where the search ended.
type WorthLine struct {
	Item     string  `json:"item"`
	Add      float64 `json:"add"`  // this much more, in Unit
	Unit     string  `json:"unit"` // "kg", "A"; empty for things
	AtLeast  float64 `json:"at_least"`
	AtMost   float64 `json:"at_most"`
	Saleable float64 `json:"saleable"` // plants more that are expected to stay saleable
	Alive    float64 `json:"alive"`    // plants more that are expected to stay alive
	Says     string  `json:"says"`
}

// worthLines writes the worths that save anything, the greatest first.
func (m *Model) worthLines(r *Reasons) []WorthLine {
	out := []WorthLine{}
	for i := range r.Worth {
		v := &r.Worth[i]
		if v.AtMost < 0.005 {
			continue
		}
		c := &m.res[i].counted
		out = append(out, WorthLine{
			Item: v.Item, Add: float64(v.Add) * c.each(), Unit: c.Unit, AtLeast: v.AtLeast, AtMost: v.AtMost,
			Saleable: v.Saleable, Alive: v.Alive, Says: v.Reason,
		})
	}
	slices.SortStableFunc(out, func(a, b WorthLine) int {
		return cmp.Or(cmp.Compare(b.AtLeast, a.AtLeast), cmp.Compare(b.AtMost, a.AtMost))
	})
	return out
}

// plants is how many are expected to stay saleable and alive under the picks.
func (m *Model) plants(picks []Pick) (saleable, alive float64) {
	for s, p := range picks {
		o := &m.c.Spaces[s].Options[p.Option]
		saleable += o.Saleable
		alive += o.Alive
	}
	return saleable, alive
}

// plantWords says what a worth is in plants, or "".
func plantWords(saleable, alive float64) string {
	s, a := math.Round(saleable), math.Round(alive)
	count := func(n float64, what string) string {
		word := "plants"
		if math.Abs(n) == 1 {
			word = "plant"
		}
		if n < 0 {
			return fmt.Sprintf("%.0f %s fewer %s", -n, word, what)
		}
		return fmt.Sprintf("%.0f %s more %s", n, word, what)
	}
	switch {
	case s == 0 && a == 0:
		return ""
	case s == 0:
		return " In plants: " + count(a, "alive") + "."
	case a == 0:
		return " In plants: " + count(s, "saleable") + "."
	}
	return " In plants: " + count(s, "saleable") + ", " + count(a, "alive") + "."
}
