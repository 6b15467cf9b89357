package plan

import (
	"cmp"
	"slices"
)

// Bounds cuts the listing of sets of pieces short. Zero fields take the default.
type Bounds struct {
	Pieces   int // most pieces in one layer; default 6
	Patterns int // most sets kept per option, fewest pieces first, then least cloth; default 64
	Steps    int // most steps of the listing per layer; default 100 000
}

func (b Bounds) orDefault() Bounds {
	if b.Pieces <= 0 {
		b.Pieces = 6
	}
	if b.Patterns <= 0 {
		b.Patterns = 64
	}
	if b.Steps <= 0 {
		b.Steps = 100_000
	}
	return b
}

// shelf is one kind of piece of the cloth being laid.
type shelf struct {
	length, width float64 // m
	most          int     // pieces that may be counted on: one above the stock, see compile
}

// set counts the pieces taken from each shelf.
type set []uint16

func (s set) within(o set) bool {
	for i := range s {
		if s[i] > o[i] {
			return false
		}
	}
	return true
}

// run is pieces laid end to end: a strip over the full length.
type run struct {
	use   set
	n     int     // pieces
	width float64 // m, of its narrowest piece
}

// layerSets lists the sets of pieces that cover length by width metres once with
// laps of overlap metres. The layout is strips of pieces laid end to end, the
// strips side by side, along either side of the rectangle; a piece may be turned
// a quarter. No listed set contains another. cut reports that a bound was met.
func layerSets(shelves []shelf, length, width, overlap float64, b Bounds) (sets []set, cut bool) {
	l := lister{shelves: shelves, overlap: overlap, b: b}
	l.strips(length, width)
	if length != width {
		l.strips(width, length)
	}
	return keepBest(l.found, shelves, b.Patterns, l.cut)
}

type lister struct {
	shelves []shelf
	overlap float64
	b       Bounds
	steps   int
	cut     bool
	runs    []run
	found   []set
}

// slackM forgives rounding of sizes read from feet [m].
const slackM = 1e-6

// strips lists layouts whose strips run along length.
func (l *lister) strips(length, width float64) {
	l.runs, l.steps = l.runs[:0], 0
	use := make(set, len(l.shelves))
	// Every piece adds its side less one lap; the first has no lap, hence the start.
	l.grow(use, run{}, 0, l.overlap, 0, length)
	// Widest first, so that a stack is complete early.
	slices.SortStableFunc(l.runs, func(a, b run) int { return cmp.Compare(b.width, a.width) })
	for n := 1; n <= l.b.Pieces; n++ {
		l.stack(use, 0, n, l.overlap, width)
	}
}

// grow adds pieces to the strip r, which reaches reach metres. Side 2i is shelf i
// lengthways, 2i+1 turned; sides never go back, so that a strip comes once.
func (l *lister) grow(use set, r run, side int, reach, shortest, length float64) {
	if r.n > 0 && reach >= length-slackM {
		// A piece too many? The strip without its shortest piece is listed as well.
		if r.n == 1 || reach-shortest+l.overlap < length-slackM {
			r.use = slices.Clone(use)
			l.runs = append(l.runs, r)
		}
		return
	}
	if r.n == l.b.Pieces {
		return
	}
	for ; side < 2*len(l.shelves); side++ {
		sh := l.shelves[side/2]
		along, across := sh.length, sh.width
		if side%2 == 1 {
			along, across = across, along
		}
		if int(use[side/2]) >= sh.most || along <= l.overlap || (side%2 == 1 && along == across) {
			continue
		}
		if l.spent() {
			return
		}
		next, s := run{n: r.n + 1, width: across}, along
		if r.n > 0 {
			next.width, s = min(across, r.width), min(along, shortest)
		}
		use[side/2]++
		l.grow(use, next, side, reach+along-l.overlap, s, length)
		use[side/2]--
	}
}

// stack lays strips side by side until left pieces are used up and width is reached.
func (l *lister) stack(use set, from, left int, reach, width float64) {
	for ; from < len(l.runs); from++ {
		r := &l.runs[from]
		if r.n > left || r.width <= l.overlap {
			continue
		}
		if l.spent() {
			return
		}
		fits := true
		for i, n := range r.use {
			use[i] += n
			fits = fits && int(use[i]) <= l.shelves[i].most
		}
		if fits && !covered(l.found, use) {
			switch next := reach + r.width - l.overlap; {
			case next >= width-slackM && r.n == left:
				l.found = append(l.found, slices.Clone(use))
			case next < width-slackM && r.n < left:
				l.stack(use, from, left-r.n, next, width)
			}
		}
		for i, n := range r.use {
			use[i] -= n
		}
	}
}

// spent counts a step and reports whether the bound on steps is met.
func (l *lister) spent() bool {
	l.steps++
	if l.steps > l.b.Steps {
		l.cut = true
	}
	return l.cut
}

// covered reports whether a listed set lies within use.
func covered(found []set, use set) bool {
	return slices.ContainsFunc(found, func(f set) bool { return f.within(use) })
}

// keepBest drops sets that contain another, orders the rest by pieces, then by
// cloth area, then by shelf, and keeps the first most.
func keepBest(found []set, shelves []shelf, most int, cut bool) ([]set, bool) {
	weigh := func(s set) (pieces int, area float64) {
		for i, n := range s {
			pieces += int(n)
			area += float64(n) * shelves[i].length * shelves[i].width
		}
		return pieces, area
	}
	slices.SortStableFunc(found, func(a, b set) int {
		na, aa := weigh(a)
		nb, ab := weigh(b)
		return cmp.Or(cmp.Compare(na, nb), cmp.Compare(aa, ab), slices.Compare(b, a))
	})
	var kept []set
	for _, f := range found {
		// A set within f has fewer pieces, so it stands before f.
		if covered(kept, f) {
			continue
		}
		if len(kept) == most {
			return kept, true
		}
		kept = append(kept, f)
	}
	return kept, cut
}

// sums lists every sum of one set from each of a and b that the shelves can give.
func sums(a, b []set, shelves []shelf, most int) (out []set, cut bool) {
	seen := make(map[string]bool)
	for _, x := range a {
		for _, y := range b {
			s, ok := make(set, len(x)), true
			key := make([]byte, 0, 2*len(x))
			for i := range x {
				s[i] = x[i] + y[i]
				ok = ok && int(s[i]) <= shelves[i].most
				key = append(key, byte(s[i]), byte(s[i]>>8))
			}
			if ok && !seen[string(key)] {
				seen[string(key)] = true
				out = append(out, s)
			}
		}
	}
	return keepBest(out, shelves, most, false)
}
