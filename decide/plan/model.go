package plan

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
)

// Model is a question made ready for solving: every way to do every option is
// listed with what it takes. It is not changed by solving it, so one Model may be
// used from many goroutines.
type Model struct {
	c     Choices
	res   []resource
	alts  []alt
	start []int32 // alts of space s are start[s]:start[s+1]; one longer than the spaces
	idx   []int32 // takes, all alternatives in one row: which resource ...
	qty   []int32 // ... and how much
	scale []float64
	state [][]optionState // per space and option
	cut   []CutOff
	guard *Guard // what is held beside the shed; nil in a model as compiled
}

// alt is one way to do one option: the option and a set of pieces.
type alt struct {
	space, option int32
	lo, hi        int32   // its takes in idx and qty
	better        int32   // an alternative no dearer that takes no more, or -1
	cost          float64 // expected loss + cost [money]
	area          float64 // cloth taken [m2], to break ties
}

type optionState int

const (
	possible optionState = iota
	noPieces             // no listed set of pieces makes its covers
)

// CutOff names an option whose sets of pieces were not all listed.
type CutOff struct {
	Space, Option string
	Kept          int
}

type resourceKind int

const (
	pieces resourceKind = iota
	cups
	panels
	amounts // any other counted limit
	minutes
	ties
	losses // see risk_cut.go; always after all others
)

// resource is one limit.
type resource struct {
	kind  resourceKind
	piece Piece  // for pieces
	cup   string // for cups, for panels their size, for counted limits their name, for minutes the window ("": the first evening)
	tie   int    // for ties: which
	loss  lossRow
	have  int

	counted Counted
}

// Compile checks the question and lists the ways to do each option.
// The error is an *InputError.
func Compile(c Choices, b Bounds) (*Model, error) {
	if err := c.validate(); err != nil {
		return nil, err
	}
	if c.OverlapM == 0 {
		c.OverlapM = DefaultOverlapM
	}
	b = b.orDefault()
	m := &Model{c: c, res: resources(c), start: make([]int32, 1, len(c.Spaces)+1)}
	cache := make(map[string]listed)
	for s, sp := range c.Spaces {
		states := make([]optionState, len(sp.Options))
		for o := range sp.Options {
			l := m.ways(&sp.Options[o], b, cache)
			if l.cut {
				m.cut = append(m.cut, CutOff{sp.Space, sp.Options[o].Key, len(l.sets)})
			}
			if len(l.sets) == 0 {
				states[o] = noPieces
			}
			for _, st := range l.sets {
				m.add(s, o, st)
			}
		}
		m.state = append(m.state, states)
		m.start = append(m.start, int32(len(m.alts)))
	}
	m.markWorse()
	m.rescale()
	return m, nil
}

// Cut lists the options whose sets of pieces were cut short by Bounds. Where it
// is empty the optimum is over every set of at most Bounds.Pieces per layer.
func (m *Model) Cut() []CutOff { return slices.Clone(m.cut) }

// resources lists the limits: shelves of usable cloth as given (equal ones joined),
// cups by name, panels by size, other counted limits by name, person-minutes by window;
// and after what is in the shed the ties.
func resources(c Choices) []resource {
	var out []resource
next:
	for _, p := range c.Shelf.Cloth {
		if p.Condition == Torn {
			continue
		}
		// Length is the longer side, so that equal pieces meet.
		if p.LengthM < p.WidthM {
			p.LengthM, p.WidthM = p.WidthM, p.LengthM
		}
		for i := range out {
			q := &out[i].piece
			if q.Cloth == p.Cloth && q.LengthM == p.LengthM && q.WidthM == p.WidthM && q.Condition == p.Condition {
				out[i].have += p.Count
				q.Count += p.Count
				continue next
			}
		}
		if p.Label == "" {
			p.Label = meters(p.LengthM) + " x " + meters(p.WidthM) + " m"
		}
		out = append(out, resource{kind: pieces, piece: p, have: p.Count})
	}
	counted := func(kind resourceKind, have map[string]int, asks func(*Needs) map[string]int) {
		kinds := maps.Clone(have)
		if kinds == nil {
			kinds = make(map[string]int)
		}
		for _, s := range c.Spaces {
			for _, o := range s.Options {
				for k := range asks(&o.Needs) {
					kinds[k] += 0 // a kind that is asked for but not there is there zero times
				}
			}
		}
		for _, k := range sortedKeys(kinds) {
			out = append(out, resource{kind: kind, cup: k, have: kinds[k]})
		}
	}
	counted(cups, c.Shelf.Cups, func(n *Needs) map[string]int { return n.Cups })
	counted(panels, c.Shelf.Panels, func(n *Needs) map[string]int { return n.Panels })
	have := make(map[string]int, len(c.Shelf.Counted))
	for k, n := range c.Shelf.Counted {
		have[k] = n.Have
	}
	n := len(out)
	counted(amounts, have, func(n *Needs) map[string]int { return n.Counted })
	for i := range out[n:] {
		out[n+i].counted = c.Shelf.Counted[out[n+i].cup]
	}
	out = append(out, resource{kind: minutes, have: c.Shelf.PersonMinutes})
	for _, w := range c.Shelf.Windows {
		out = append(out, resource{kind: minutes, cup: w.Name, have: w.PersonMinutes})
	}
	for i := range c.Ties {
		out = append(out, resource{kind: ties, tie: i, have: 1})
	}
	return out
}

// listed is what layerSets found for an option, over all piece resources.
type listed struct {
	sets []set
	cut  bool
}

// ways lists the sets of pieces for all covers of an option, counted over every
// shelf of the shed. One piece of one shelf more than there is may be in a set,
// so that the worth of one more piece can be worked out.
func (m *Model) ways(o *Option, b Bounds, cache map[string]listed) listed {
	nPieces := 0
	for nPieces < len(m.res) && m.res[nPieces].kind == pieces {
		nPieces++
	}
	all := make([]shelf, nPieces)
	for i := range all {
		p := m.res[i].piece
		all[i] = shelf{p.LengthM, p.WidthM, min(m.res[i].have+1, 1000)}
	}
	out := listed{sets: m.laid(o, nPieces)}
	for _, a := range o.Needs.Covers {
		key := a.Cloth + "\x00" + strconv.FormatFloat(a.LengthM, 'g', -1, 64) + "\x00" + strconv.FormatFloat(a.WidthM, 'g', -1, 64)
		layer, ok := cache[key]
		if !ok {
			layer = m.layer(a, all, b)
			cache[key] = layer
		}
		for range a.Layers {
			var cut bool
			out.sets, cut = sums(out.sets, layer.sets, all, b.Patterns)
			out.cut = out.cut || cut || layer.cut
			if len(out.sets) == 0 {
				return out
			}
		}
	}
	out.sets = slices.DeleteFunc(out.sets, func(s set) bool {
		over := 0
		for i, n := range s {
			over += max(0, int(n)-m.res[i].have)
		}
		return over > 1
	})
	return out
}

// laid is the one set of the pieces that lie there already; none when the shed has
// fewer.
func (m *Model) laid(o *Option, nPieces int) []set {
	out := make(set, nPieces)
	for _, t := range o.Needs.Laid {
		r := slices.IndexFunc(m.res[:nPieces], func(r resource) bool { return r.name() == t.Item })
		if r < 0 || int(out[r])+t.Count > m.res[r].have {
			return nil
		}
		out[r] += uint16(t.Count)
	}
	return []set{out}
}

// layer lists the sets for one layer, widened to all shelves.
func (m *Model) layer(a CoverArea, all []shelf, b Bounds) listed {
	var own []shelf
	var at []int
	for i := range all {
		if m.res[i].piece.Cloth == a.Cloth {
			own = append(own, all[i])
			at = append(at, i)
		}
	}
	sets, cut := layerSets(own, a.LengthM, a.WidthM, m.c.OverlapM, b)
	for i, s := range sets {
		wide := make(set, len(all))
		for j, n := range s {
			wide[at[j]] = n
		}
		sets[i] = wide
	}
	return listed{sets, cut}
}

// add appends one way to do option o of space s.
func (m *Model) add(s, o int, st set) {
	opt := &m.c.Spaces[s].Options[o]
	a := alt{space: int32(s), option: int32(o), lo: int32(len(m.idx)), better: -1, cost: opt.ExpectedLoss + opt.Cost}
	for r := range m.res {
		n := 0
		switch re := &m.res[r]; re.kind {
		case pieces:
			n = int(st[r])
			a.area += float64(n) * re.piece.LengthM * re.piece.WidthM
		case cups:
			n = opt.Needs.Cups[re.cup]
		case panels:
			n = opt.Needs.Panels[re.cup]
		case amounts:
			n = opt.Needs.Counted[re.cup]
		case minutes:
			if n = opt.PersonMinutes; re.cup != "" {
				n = opt.Later[re.cup]
			}
		case ties:
			n = m.c.Ties[re.tie].takes(m.c.Spaces[s].Space, opt.Key)
		}
		if n > 0 {
			m.idx = append(m.idx, int32(r))
			m.qty = append(m.qty, int32(n))
		}
	}
	a.hi = int32(len(m.idx))
	m.alts = append(m.alts, a)
}

// markWorse notes for each alternative one of the same space that is no dearer
// and takes no more of anything; such an alternative is never needed.
func (m *Model) markWorse() {
	row := make([]int32, len(m.res))
	for s := range m.c.Spaces {
		for i := m.start[s]; i < m.start[s+1]; i++ {
			a := &m.alts[i]
			clear(row)
			for k := a.lo; k < a.hi; k++ {
				row[m.idx[k]] = m.qty[k]
			}
			for j := m.start[s]; j < m.start[s+1] && a.better < 0; j++ {
				b := &m.alts[j]
				if i == j || b.cost > a.cost {
					continue
				}
				less := true
				for k := b.lo; k < b.hi && less; k++ {
					less = m.qty[k] <= row[m.idx[k]]
				}
				// Of two that are alike the first stays.
				if less && (j < i || b.cost < a.cost || !m.alike(a, b)) {
					a.better = j
				}
			}
		}
	}
}

// alike reports whether a and b take the same.
func (m *Model) alike(a, b *alt) bool {
	return slices.Equal(m.idx[a.lo:a.hi], m.idx[b.lo:b.hi]) && slices.Equal(m.qty[a.lo:a.hi], m.qty[b.lo:b.hi])
}

// rescale finds a unit for each resource, its mean take, so that one step of the
// price search moves pieces and minutes alike.
func (m *Model) rescale() {
	sum, n := make([]float64, len(m.res)), make([]float64, len(m.res))
	for k, r := range m.idx {
		sum[r] += float64(m.qty[k])
		n[r]++
	}
	m.scale = make([]float64, len(m.res))
	for r := range m.scale {
		m.scale[r] = 1
		if n[r] > 0 {
			m.scale[r] = n[r] / sum[r]
		}
	}
}

func meters(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

// name is the limit in a grower's words.
func (r *resource) name() string {
	switch r.kind {
	case pieces:
		s := r.piece.Cloth + ", " + r.piece.Label
		if r.piece.Condition != Sound {
			s += ", " + r.piece.Condition.String()
		}
		return s
	case cups:
		return fmt.Sprintf("cups, %s", r.cup)
	case panels:
		return fmt.Sprintf("wind panels, %s", r.cup)
	case amounts:
		return r.cup
	case ties:
		return fmt.Sprintf("tie %d", r.tie)
	}
	if r.cup != "" {
		return personMinutes + ", " + r.cup
	}
	return personMinutes
}

// personMinutes begins the names of people's time.
const personMinutes = "person-minutes"
