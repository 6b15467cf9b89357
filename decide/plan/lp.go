package plan

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
)

// WriteLP writes the model as a CPLEX LP file: one binary x_S_O_P per space, option
// and set of pieces (counted from 0), one row per space, one per limit.
// Comments name them. Alternatives the solver drops early are written too. Limits of
// loss are left out: see [Allocation.WriteLP].
func (m *Model) WriteLP(w io.Writer) error {
	return m.writeLP(w, nil)
}

func (m *Model) writeLP(w io.Writer, g *Guard) error {
	b := bufio.NewWriter(w)
	fmt.Fprintln(b, `\ Who gets which cover, cups and minutes: least expected loss plus cost.`)
	for s, sp := range m.c.Spaces {
		fmt.Fprintf(b, "\\ space %d: %q\n", s, sp.Space)
		for o, op := range sp.Options {
			fmt.Fprintf(b, "\\   option %d: %q\n", o, op.Key)
		}
	}
	names := make([]string, len(m.alts))
	way := 0
	for i, a := range m.alts {
		if i > 0 && (m.alts[i-1].space != a.space || m.alts[i-1].option != a.option) {
			way = 0
		}
		names[i] = fmt.Sprintf("x_%d_%d_%d", a.space, a.option, way)
		way++
	}
	fmt.Fprintf(b, "Minimize\n obj:")
	for i, a := range m.alts {
		fmt.Fprintf(b, "\n + %s %s", strconv.FormatFloat(a.cost, 'f', -1, 64), names[i])
	}
	fmt.Fprintf(b, "\nSubject To\n")
	for s := range m.c.Spaces {
		fmt.Fprintf(b, " space_%d:", s)
		for i := m.start[s]; i < m.start[s+1]; i++ {
			fmt.Fprintf(b, "\n + %s", names[i])
		}
		fmt.Fprintf(b, "\n = 1\n")
	}
	for r := range m.limits() {
		some := false
		for i, a := range m.alts {
			for k := a.lo; k < a.hi; k++ {
				if int(m.idx[k]) != r {
					continue
				}
				if !some {
					fmt.Fprintf(b, "\\ limit %d: %q\n limit_%d:", r, m.res[r].name(), r)
					some = true
				}
				fmt.Fprintf(b, "\n + %d %s", m.qty[k], names[i])
			}
		}
		if some {
			fmt.Fprintf(b, "\n <= %d\n", m.res[r].have)
		}
	}
	m.lossLP(b, names, g)
	fmt.Fprintf(b, "Binary\n")
	for _, n := range names {
		fmt.Fprintf(b, " %s\n", n)
	}
	fmt.Fprintf(b, "End\n")
	return b.Flush()
}
