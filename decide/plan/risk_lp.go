package plan

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strconv"
)

// WriteLP writes the question the allocation answers as Model.WriteLP does, with the
// limits of loss it was held to. The worst tenth is written whole, not by the rows the
// search happened to need: with a level y and for each draw d what its loss is above
// the level, z_d, it is y + sum of z_d / (0.1 n), least over y.
//
// Source: Rockafellar & Uryasev 2000, equation 9.
func (a *Allocation) WriteLP(w io.Writer) error {
	if a.in == nil {
		return errors.New("plan: an allocation that came from no model has no question to write")
	}
	return a.in.writeLP(w, a.Guard)
}

// lossLP writes the limits of loss of g.
func (m *Model) lossLP(b *bufio.Writer, names []string, g *Guard) {
	if g == nil {
		return
	}
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	sum := func(loss func(o *Option) float64) {
		for i, a := range m.alts {
			if v := loss(&m.c.Spaces[a.space].Options[a.option]); v > 0 {
				fmt.Fprintf(b, "\n + %s %s", number(v), names[i])
			}
		}
	}
	if g.First {
		fmt.Fprintf(b, "\\ expected loss of never-lose groups\n first:")
		sum(func(o *Option) float64 { return o.FirstLoss })
		fmt.Fprintf(b, "\n <= %s\n", number(g.FirstLoss))
	}
	if !g.limited() {
		return
	}
	n := m.c.draws()
	for d := range n {
		fmt.Fprintf(b, " above_%d:", d)
		sum(func(o *Option) float64 { return o.LossByDraw[d] })
		fmt.Fprintf(b, "\n - y - z_%d <= 0\n", d)
	}
	fmt.Fprintf(b, "\\ mean loss of the worst tenth of the draws\n worst: y")
	most := max(1, worstShare*float64(n))
	for d := range n {
		fmt.Fprintf(b, "\n + %s z_%d", number(1/most), d)
	}
	fmt.Fprintf(b, "\n <= %s\n", number(g.Limit))
}
