package plan

import (
	"cmp"
	"slices"
)

// rounded is a limit that follows from others because nothing comes in parts: from
// "twos of a piece of which there are seven" follows "at most three twos". It adds
// some rows of the model, divides by a whole number and rounds down on both sides:
//
//	sum of floor(takes/div) <= floor(limit/div)
//
// Source: Gomory 1958; Chvatal 1973 (rounding cuts). No plan is lost; shares of
// plans are, and the floor rises.
type rounded struct {
	of  []int32 // rows of the model added up
	div int
}

// takes is what alternative a counts in the row.
func (c *rounded) takes(m *Model, a *alt) int {
	sum := 0
	for k := a.lo; k < a.hi; k++ {
		if slices.Contains(c.of, m.idx[k]) {
			sum += int(m.qty[k])
		}
	}
	return sum / c.div
}

// limit is the right side of the row.
func (c *rounded) limit(have []int) int {
	sum := 0
	for _, r := range c.of {
		sum += have[r]
	}
	return sum / c.div
}

// addRows appends rounded rows and reloads the alternatives.
func (s *search) addRows(rows []rounded) {
	for i := range rows {
		s.rows = append(s.rows, rows[i])
		s.have = append(s.have, rows[i].limit(s.have))
		s.scale = append(s.scale, 1)
	}
	nr := len(s.have)
	grow := func(v []float64) []float64 { return append(v, make([]float64, nr-len(v))...) }
	s.price, s.excess, s.trial = grow(s.price), grow(s.excess), grow(s.trial)
	s.used = make([]int, nr)
	s.haveS = s.haveS[:0]
	for r, h := range s.have {
		s.haveS = append(s.haveS, float64(h)*s.scale[r])
	}
	s.load(s.list)
	s.all()
}

// Bounds of the search for rounded rows.
const (
	roundedRounds   = 6
	roundedPerRound = 8
	roundedDivMost  = 12   // largest divisor of pieces
	roundedLeast    = 0.02 // least share of one by which the averaged picks break a row worth adding
)

// separate finds rounded rows that the averaged picks break, most broken first.
func (s *search) separate() []rounded {
	type broken struct {
		rounded
		by float64
	}
	var found []broken
	for _, of := range s.groups() {
		most := 0
		one := rounded{of: of, div: 1}
		for _, p := range s.act {
			most = max(most, one.takes(s.m, &s.m.alts[s.list[p]]))
		}
		for div := 2; div <= min(most, roundedDivMost); div++ {
			row := rounded{of, div}
			if s.known(row) {
				continue
			}
			by := -float64(row.limit(s.have))
			for _, p := range s.act {
				if s.share[p] > 1e-6 {
					by += s.share[p] * float64(row.takes(s.m, &s.m.alts[s.list[p]]))
				}
			}
			if by > roundedLeast {
				found = append(found, broken{row, by})
			}
		}
	}
	slices.SortStableFunc(found, func(a, b broken) int { return cmp.Compare(b.by, a.by) })
	var out []rounded
	for _, f := range found[:min(len(found), roundedPerRound)] {
		out = append(out, f.rounded)
	}
	return out
}

func (s *search) known(row rounded) bool {
	return slices.ContainsFunc(s.rows, func(k rounded) bool { return k.div == row.div && slices.Equal(k.of, row.of) })
}

// groups lists the sums of rows that are tried: one, two or three shelves of the
// same cloth.
func (s *search) groups() [][]int32 {
	var out [][]int32
	same := func(a, b int32) bool {
		return s.m.res[a].kind == pieces && s.m.res[b].kind == pieces && s.m.res[a].piece.Cloth == s.m.res[b].piece.Cloth
	}
	n := int32(len(s.m.res))
	for a := range n {
		if s.m.res[a].kind != pieces {
			continue
		}
		out = append(out, []int32{a})
		for b := a + 1; b < n; b++ {
			if !same(a, b) {
				continue
			}
			out = append(out, []int32{a, b})
			for c := b + 1; c < n; c++ {
				if same(a, c) {
					out = append(out, []int32{a, b, c})
				}
			}
		}
	}
	return out
}
