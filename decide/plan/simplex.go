package plan

import "math"

// basis is a corner of the linear relaxation of the question, in which shares of
// alternatives may be mixed. Every space has one key alternative; beside the keys
// there is one basic column per limit: another alternative, what is left over
// of a limit, or what is short of it (at a forbidding cost, so that a corner is
// always at hand). Only the small matrix of these columns, each less the takes of
// its space's key, has to be inverted.
//
// Source: Dantzig & Van Slyke 1967 (generalized upper bounding).
type basis struct {
	key  []int32 // per space: position
	slot []int32 // per limit: position; or -1-r for what is left of limit r; or -1-r-len(limits) for what is short
}

// corner is a basis with everything derived from it.
type corner struct {
	basis
	inv   [][]float64 // inverse of the columns of slot
	x     []float64   // values of slot
	rest  []float64   // values of key
	beta  []float64
	col   []float64
	lhs   [][]float64 // scratch of the inversion
	dear  float64     // cost of what is short or out of play
	inAct []bool      // per position: in play
	stale bool        // the positions or limits have changed: start over
}

// size fits the corner to the limits, spaces and positions of s.
func (c *corner) size(s *search) {
	n, m := len(s.pick), len(s.have)
	if len(c.x) != m {
		square := func() [][]float64 {
			rows, cells := make([][]float64, m), make([]float64, m*m)
			for i := range rows {
				rows[i] = cells[i*m : (i+1)*m]
			}
			return rows
		}
		c.inv, c.lhs = square(), square()
		c.x, c.beta, c.col = make([]float64, m), make([]float64, m), make([]float64, m)
		c.slot = make([]int32, m)
	}
	if len(c.key) != n {
		c.key, c.rest = make([]int32, n), make([]float64, n)
	}
	if len(c.inAct) < len(s.list) {
		c.inAct = make([]bool, len(s.list))
	}
}

// crash starts from the lone choices in pick: what they leave, or lack, is basic.
func (c *corner) crash(s *search) {
	c.stale = false
	copy(c.key, s.pick)
	for r, v := range s.excess {
		c.slot[r] = int32(-1 - r)
		if v > 0 {
			c.slot[r] -= int32(len(s.have))
		}
	}
}

// column writes slot column v less its key into c.col.
func (s *search) column(v int32) {
	c := &s.cor
	clear(c.col)
	if v < 0 {
		if r := int(-1 - v); r < len(s.have) {
			c.col[r] = 1
		} else {
			c.col[r-len(s.have)] = -1
		}
		return
	}
	for k := s.lo[v]; k < s.lo[v+1]; k++ {
		c.col[s.idx[k]] += s.qtyS[k]
	}
	key := c.key[s.space(v)]
	for k := s.lo[key]; k < s.lo[key+1]; k++ {
		c.col[s.idx[k]] -= s.qtyS[k]
	}
}

func (s *search) space(p int32) int32 { return s.m.alts[s.list[p]].space }

// value is the cost of a basic column; what is out of play is dear.
func (s *search) value(v int32) float64 {
	if v < 0 {
		if int(-1-v) >= len(s.have) {
			return s.cor.dear
		}
		return 0
	}
	if !s.cor.inAct[v] {
		return s.cost[v] + s.cor.dear
	}
	return s.cost[v]
}

// factor inverts the slot columns and works out all values. It reports false when
// the columns do not stand apart.
func (s *search) factor() bool {
	c := &s.cor
	m := len(c.slot)
	for j, v := range c.slot {
		s.column(v)
		for r := range m {
			c.lhs[r][j] = c.col[r]
		}
	}
	for i := range m {
		clear(c.inv[i])
		c.inv[i][i] = 1
	}
	for j := range m {
		at, big := -1, 1e-9
		for r := j; r < m; r++ {
			if v := math.Abs(c.lhs[r][j]); v > big {
				at, big = r, v
			}
		}
		if at < 0 {
			return false
		}
		c.lhs[j], c.lhs[at] = c.lhs[at], c.lhs[j]
		c.inv[j], c.inv[at] = c.inv[at], c.inv[j]
		f := 1 / c.lhs[j][j]
		for k := range m {
			c.lhs[j][k] *= f
			c.inv[j][k] *= f
		}
		for r := range m {
			if g := c.lhs[r][j]; r != j && g != 0 {
				for k := range m {
					c.lhs[r][k] -= g * c.lhs[j][k]
					c.inv[r][k] -= g * c.inv[j][k]
				}
			}
		}
	}
	// What is left for the slots once every space has its key.
	copy(c.col, s.haveS)
	for _, p := range c.key {
		for k := s.lo[p]; k < s.lo[p+1]; k++ {
			c.col[s.idx[k]] -= s.qtyS[k]
		}
	}
	for i := range c.rest {
		c.rest[i] = 1
	}
	for j := range m {
		c.x[j] = 0
		for k, v := range c.inv[j] {
			c.x[j] += v * c.col[k]
		}
		if v := c.slot[j]; v >= 0 {
			c.rest[s.space(v)] -= c.x[j]
		}
	}
	return true
}

// prices writes the prices of the limits at the corner into out.
func (s *search) prices(out []float64) {
	c := &s.cor
	clear(out)
	for j, v := range c.slot {
		d := s.value(v)
		if v >= 0 {
			d -= s.value(c.key[s.space(v)])
		}
		if d == 0 {
			continue
		}
		for r, w := range c.inv[j] {
			out[r] -= d * w
		}
	}
}

// enter brings column v into the basis and lets go of the first to reach zero.
// It returns how far it went.
func (s *search) enter(v int32) float64 {
	c := &s.cor
	own := int32(-1)
	if v >= 0 {
		own = s.space(v)
	}
	s.column(v)
	c.turn()
	// Who reaches zero first: a slot, or the key of a space.
	step, out, outKey := inf, -1, int32(-1)
	for j, b := range c.beta {
		if b > 1e-9 {
			if t := max(0, c.x[j]) / b; t < step {
				step, out, outKey = t, j, -1
			}
		}
	}
	for j, w := range c.slot {
		if w < 0 {
			continue
		}
		sp := s.space(w)
		if rate := s.keyRate(sp, own); rate > 1e-9 {
			if t := max(0, c.rest[sp]) / rate; t < step {
				step, out, outKey = t, j, sp
			}
		}
	}
	if own >= 0 {
		if rate := s.keyRate(own, own); rate > 1e-9 {
			if t := max(0, c.rest[own]) / rate; t < step {
				step, out, outKey = t, -1, own
				for j, w := range c.slot {
					if w >= 0 && s.space(w) == own {
						out = j
					}
				}
			}
		}
	}
	if math.IsInf(step, 1) {
		return -1
	}
	// Values move.
	for j, w := range c.slot {
		c.x[j] -= step * c.beta[j]
		if w >= 0 {
			c.rest[s.space(w)] += step * c.beta[j]
		}
	}
	if own >= 0 {
		c.rest[own] -= step
	}
	switch {
	case outKey >= 0 && out < 0:
		c.key[own], c.rest[own] = v, step
		return step
	case outKey >= 0:
		// The key and a slot of its space change places; then the slot goes.
		old := c.key[outKey]
		c.key[outKey], c.rest[outKey] = c.slot[out], c.x[out]
		c.slot[out], c.x[out] = old, 0
		row := c.inv[out]
		for j, w := range c.slot {
			if j != out && w >= 0 && s.space(w) == outKey {
				for k, q := range c.inv[j] {
					row[k] += q
				}
			}
		}
		for k := range row {
			row[k] = -row[k]
		}
		s.column(v)
		c.turn()
	}
	c.slot[out], c.x[out] = v, step
	f := 1 / c.beta[out]
	for k := range c.inv[out] {
		c.inv[out][k] *= f
	}
	for j, b := range c.beta {
		if j != out && b != 0 {
			for k, w := range c.inv[out] {
				c.inv[j][k] -= b * w
			}
		}
	}
	return step
}

// turn writes inv*col into beta.
func (c *corner) turn() {
	for j, row := range c.inv {
		sum := 0.0
		for k, v := range c.col {
			if v != 0 {
				sum += row[k] * v
			}
		}
		c.beta[j] = sum
	}
}

// keyRate is how fast the key of space sp shrinks when a column of space own enters.
func (s *search) keyRate(sp, own int32) float64 {
	rate := 0.0
	if sp == own {
		rate = 1
	}
	for j, w := range s.cor.slot {
		if w >= 0 && s.space(w) == sp {
			rate -= s.cor.beta[j]
		}
	}
	return rate
}
