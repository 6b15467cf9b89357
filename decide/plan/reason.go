package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/coldnight/internal/phrase"
)

// amount writes money the way it is said: whole above ten, cents below.
func (m *Model) amount(v float64) string {
	sign := ""
	if v < 0 {
		sign, v = "-", -v
	}
	if v < 9.995 {
		return sign + m.c.Currency + strings.TrimSuffix(strconv.FormatFloat(v, 'f', 2, 64), ".00")
	}
	s := strconv.FormatFloat(math.Round(v), 'f', 0, 64)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return sign + m.c.Currency + s
}

// cannot says why option o of space s cannot be done at all, or "".
func (m *Model) cannot(s, o int, bars []bar) string {
	for _, b := range bars {
		if b.space == s && b.option == o {
			return b.why
		}
	}
	opt := &m.c.Spaces[s].Options[o]
	if m.state[s][o] == noPieces {
		var cloths []string
		for _, c := range opt.Needs.Covers {
			if layers := phrase.Count(c.Layers, "layer"); !slices.Contains(cloths, layers+" of "+c.Cloth) {
				cloths = append(cloths, layers+" of "+c.Cloth)
			}
		}
		return "the pieces on the shelf, none cut, do not make up " + strings.Join(cloths, " and ")
	}
	short := ""
	for i := m.start[s]; i < m.start[s+1]; i++ {
		a := &m.alts[i]
		if int(a.option) != o {
			continue
		}
		lack := ""
		for k := a.lo; k < a.hi; k++ {
			if r := &m.res[m.idx[k]]; int(m.qty[k]) > r.have {
				lack = fmt.Sprintf("it takes %s, and there are %d", r.some(int(m.qty[k])), r.have)
				if r.kind == amounts {
					lack = fmt.Sprintf("it takes %s, and there is %s", r.some(int(m.qty[k])), r.counted.figure(r.have))
				}
			}
		}
		if lack == "" {
			return ""
		}
		short = cmp.Or(short, lack)
	}
	return short
}

// some writes n of the resource.
func (r *resource) some(n int) string {
	switch r.kind {
	case pieces:
		return fmt.Sprintf("%s of %s", phrase.Count(n, "piece"), r.name())
	case cups:
		return fmt.Sprintf("%s (%s)", phrase.Count(n, "cup"), r.cup)
	case panels:
		return fmt.Sprintf("%s (%s)", phrase.Count(n, "wind panel"), r.cup)
	case amounts:
		return r.counted.figure(n) + " of " + r.cup
	}
	if r.cup != "" {
		return phrase.Count(n, "person-minute") + " on the " + r.cup
	}
	return phrase.Count(n, "person-minute")
}

// takes writes what alternative b takes beyond alternative a; a may be -1.
func (m *Model) takesMore(a, b int32) string {
	extra := make([]int, len(m.res))
	for k := m.alts[b].lo; k < m.alts[b].hi; k++ {
		extra[m.idx[k]] += int(m.qty[k])
	}
	if a >= 0 {
		for k := m.alts[a].lo; k < m.alts[a].hi; k++ {
			extra[m.idx[k]] -= int(m.qty[k])
		}
	}
	var out []string
	after := 0 // minutes of all later windows, said as one
	for r, n := range extra {
		switch {
		case m.res[r].kind == minutes && m.res[r].cup != "":
			after += n
		case n > 0 && m.res[r].kind < ties:
			out = append(out, m.res[r].some(n))
		}
	}
	if after > 0 {
		out = append(out, fmt.Sprintf("%d on the mornings and evenings after", after))
	}
	return phrase.List(out)
}

func sortChanges(c []Change) {
	slices.SortStableFunc(c, func(a, b Change) int { return cmp.Compare(math.Abs(b.More), math.Abs(a.More)) })
}

// told is how many changes elsewhere a reason names.
const told = 3

// elsewhere writes what other spaces would get.
func (m *Model) elsewhere(c []Change) string {
	var out []string
	for _, ch := range c[:min(told, len(c))] {
		how := "the same to a cent"
		switch {
		case ch.More >= 0.005:
			how = m.amount(ch.More) + " worse"
		case ch.More <= -0.005:
			how = m.amount(-ch.More) + " better"
		}
		out = append(out, fmt.Sprintf("%s would get %q instead of %q (%s)", ch.Space, ch.To, ch.From, how))
	}
	if n := len(c) - told; n > 0 {
		out = append(out, phrase.Count(n, "more space")+" would change")
	}
	return phrase.List(out)
}

// tell writes the reasons of space s.
func (m *Model) tell(a *Allocation, s int, r *Reasons) {
	refused := r.Refused[s]
	next := -1
	for i := range refused {
		f := &refused[i]
		f.Reason = m.refusalWords(a, s, f)
		if f.CannotBe != "" {
			continue
		}
		if next < 0 || f.AtLeast < refused[next].AtLeast ||
			f.AtLeast == refused[next].AtLeast && f.HereWorse < refused[next].HereWorse {
			next = i
		}
	}
	sp := &m.c.Spaces[s]
	pick := &a.Picks[s]
	o := &sp.Options[pick.Option]
	var b strings.Builder
	if pick.Option == 0 {
		fmt.Fprintf(&b, "Nothing is done: expected loss here %s.", m.amount(o.ExpectedLoss))
	} else {
		fmt.Fprintf(&b, "Expected loss here %s instead of %s with nothing done; it costs %s", m.amount(o.ExpectedLoss), m.amount(sp.Options[0].ExpectedLoss), m.amount(o.Cost))
		if t := m.takesMore(-1, pick.alt); t != "" {
			fmt.Fprintf(&b, " and takes %s", t)
		}
		b.WriteString(".")
	}
	if next >= 0 {
		fmt.Fprintf(&b, " Next best: %s. %s", sp.Options[refused[next].Option].Words, refused[next].Reason)
	} else if len(refused) > 0 {
		b.WriteString(" Nothing else on the list can be done here")
		if a.Guard != nil {
			b.WriteString(" and hold the losses that must be held")
		}
		b.WriteString(".")
	}
	b.WriteString(m.guardHere(a, s))
	r.Why[s] = b.String()
}

// refusalWords is why an option was refused and at what price.
func (m *Model) refusalWords(a *Allocation, s int, f *Refusal) string {
	if f.CannotBe != "" {
		return "Cannot be done: " + f.CannotBe + "."
	}
	o := &m.c.Spaces[s].Options[f.Option]
	var b strings.Builder
	more := m.takesMore(a.Picks[s].alt, f.pick.alt)
	switch {
	case f.HereWorse >= 0.005:
		fmt.Fprintf(&b, "Worse here by %s (expected loss %s, cost %s)", m.amount(f.HereWorse), m.amount(o.ExpectedLoss), m.amount(o.Cost))
	case f.HereWorse <= -0.005:
		fmt.Fprintf(&b, "Better here by %s", m.amount(-f.HereWorse))
		if more != "" {
			fmt.Fprintf(&b, ", but it takes %s more", more)
		}
	default:
		b.WriteString("The same here to a cent")
		if more != "" {
			fmt.Fprintf(&b, ", and it takes %s more", more)
		}
	}
	if t := m.tiedWords(s, f.Option); t != "" {
		fmt.Fprintf(&b, ", only where %s", t)
	}
	if e := m.elsewhere(f.Changes); e != "" {
		fmt.Fprintf(&b, "; then %s", e)
	}
	b.WriteString(". " + m.priceWords(f.AtLeast, f.AtMost, f.Exact, "With it the whole plan is %s worse", "no worse"))
	return b.String()
}

// priceWords writes an amount that is exact, or lies between two.
func (m *Model) priceWords(low, high float64, exact bool, form, none string) string {
	lo, hi := m.amount(low), m.amount(high)
	switch {
	case high < 0.005:
		return strings.Replace(form, "%s worse", none, 1) + " (solved again)."
	case exact:
		return fmt.Sprintf(form, hi) + " (solved again)."
	case lo == hi:
		return fmt.Sprintf(form, "about "+hi) + " (solved again, to the digits shown)."
	case low < 0.005:
		return fmt.Sprintf(form, "at most "+hi) + " (solved again, but stopped early; the least is not known)."
	}
	return fmt.Sprintf(form, lo+" to "+hi) + " (solved again, but stopped early; the lower figure is the proven bound)."
}

// worthWords is what one more would bring.
func (m *Model) worthWords(v *Worth) string {
	out := v.phrase + ": "
	if what, wish := strings.CutPrefix(v.Item, wishLimit("")); wish { // there is none of it yet
		out = "One more " + what + ": "
	}
	if v.AtMost < 0.005 {
		return out + "saves nothing (solved again)."
	}
	out += m.priceWords(v.AtLeast, v.AtMost, v.Exact, "saves the whole plan %s", "")
	out += plantWords(v.Saleable, v.Alive)
	if e := m.elsewhere(v.Changes); e != "" {
		out += " " + strings.ToUpper(e[:1]) + e[1:] + "."
	}
	return out
}
