package plan

// node is one part of the plans not yet ruled out.
type node struct {
	floor float64
	seq   int      // order of making, to break ties
	keep  []uint64 // positions in play
	price []float64
	basis basis
}

func (s *search) newNode(words int) node {
	return node{
		keep: make([]uint64, words), price: make([]float64, len(s.price)),
		basis: basis{make([]int32, len(s.pick)), make([]int32, len(s.have))},
	}
}

// save keeps in n what is in play, the prices and the corner.
func (s *search) save(n *node) {
	clear(n.keep)
	for _, p := range s.act {
		n.keep[p/64] |= 1 << (p % 64)
	}
	copy(n.price, s.price)
	copy(n.basis.key, s.cor.key)
	copy(n.basis.slot, s.cor.slot)
}

// restore goes back to the prices and the corner of n.
func (s *search) restore(n *node) {
	copy(s.price, n.price)
	copy(s.cor.key, n.basis.key)
	copy(s.cor.slot, n.basis.slot)
}

// expand puts in play the kept positions that side allows.
func (s *search) expand(keep []uint64, side func(int32) bool) {
	s.act = s.act[:0]
	for i := range s.pick {
		s.actStart[i] = int32(len(s.act))
		for p := s.start[i]; p < s.start[i+1]; p++ {
			if keep[p/64]&(1<<(p%64)) != 0 && (side == nil || side(p)) {
				s.act = append(s.act, p)
			}
		}
	}
	s.actStart[len(s.pick)] = int32(len(s.act))
}

// heap is a binary heap of nodes, least floor first, older first among equals.
type heap []node

func (h heap) less(i, j int) bool {
	if h[i].floor != h[j].floor {
		return h[i].floor < h[j].floor
	}
	return h[i].seq < h[j].seq
}

func (h *heap) push(n node) {
	*h = append(*h, n)
	for i := len(*h) - 1; i > 0; {
		up := (i - 1) / 2
		if !h.less(i, up) {
			return
		}
		(*h)[i], (*h)[up] = (*h)[up], (*h)[i]
		i = up
	}
}

func (h *heap) pop() {
	old := *h
	last := len(old) - 1
	old[0], old[last] = old[last], node{}
	*h = old[:last]
	for i := 0; ; {
		c := 2*i + 1
		if c >= last {
			return
		}
		if c+1 < last && h.less(c+1, c) {
			c++
		}
		if !h.less(c, i) {
			return
		}
		(*h)[i], (*h)[c] = (*h)[c], (*h)[i]
		i = c
	}
}
