package plan

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/coldnight/internal/phrase"
)

// Counted is a limit on anything else that is counted in whole steps: fuel of one set
// of cylinders over the whole freeze, the load of a circuit, heaters that can be
// carried, free bench, weights, the hands of one span of hours. Its name, the key in
// [Shelf].Counted, is in a grower's words: "propane, cylinders of House 2".
type Counted struct {
	Have int     // steps there are
	Unit string  // what it is measured in: "kg", "A", "m2"; empty for things
	Each float64 // of Unit in one step: 0.1; 0 means 1
	More int     // steps whose worth is told; 0 means 1
	Wish bool    // there is none, and only what one would be worth is asked
}

// each is how much of the unit one step is.
func (c *Counted) each() float64 {
	if c.Each == 0 {
		return 1
	}
	return c.Each
}

// figure writes n steps: "12.5 kg", or "2" for things.
func (c *Counted) figure(n int) string {
	return figure(float64(n)*c.each(), c.Unit)
}

// figure writes a number to a hundredth with its unit, if it has one.
func figure(v float64, unit string) string {
	return strings.TrimSpace(strconv.FormatFloat(math.Round(100*v)/100, 'f', -1, 64) + " " + unit)
}

// Tie lets options of one space be chosen only beside some options of another: a group
// is carried to a house only where that house is kept warm.
//
// It is one more limit, of one: each of Options takes it, and so does everything in
// Beside that is not one of One.
type Tie struct {
	Space   string
	Options []string // keys; the first option of the space is never one of them
	Beside  string   // another space
	One     []string // keys of its options
	Why     string   // what must be so, in a grower's words: "House 2 is heated"
}

// takes is what an option of a space takes of the tie.
func (t *Tie) takes(space, key string) int {
	switch {
	case t.Space == space && slices.Contains(t.Options, key), t.Beside == space && !slices.Contains(t.One, key):
		return 1
	}
	return 0
}

// validateCounted returns the first *InputError in counted limits and ties, or nil.
func (c *Choices) validateCounted() error {
	for _, name := range sortedKeys(c.Shelf.Counted) {
		k := c.Shelf.Counted[name]
		if name == "" || k.Have < 0 || k.Have > maxAmount || k.More < 0 || k.More > maxAmount || !(k.Each >= 0 && k.Each < 1e9) {
			return &InputError{What: fmt.Sprintf("%q: %d steps of %g %s; a counted limit needs a name, zero or more steps, and their size", name, k.Have, k.Each, k.Unit)}
		}
	}
	options := func(space string) []string {
		var keys []string
		for _, s := range c.Spaces {
			for _, o := range s.Options {
				if s.Space == space {
					keys = append(keys, o.Key)
				}
			}
		}
		return keys
	}
	for _, t := range c.Ties {
		bad := func(what string) error { return &InputError{Space: t.Space, What: what} }
		here, there := options(t.Space), options(t.Beside)
		switch {
		case t.Space == t.Beside || here == nil || there == nil:
			return bad(fmt.Sprintf("a tie to %q; name two spaces of this choice that differ", t.Beside))
		case len(t.One) == 0:
			return bad(fmt.Sprintf("a tie to no option of %q; name those that allow it", t.Beside))
		}
		for _, k := range t.Options {
			if i := slices.Index(here, k); i <= 0 {
				return bad(fmt.Sprintf("a tie of option %q; name options that are there, and not the first", k))
			}
		}
		for _, k := range t.One {
			if !slices.Contains(there, k) {
				return bad(fmt.Sprintf("a tie to option %q of %q, which has none such", k, t.Beside))
			}
		}
	}
	return nil
}

// alikeTied lets a new option of a space stand in every tie where another stands.
func (c *Choices) alikeTied(space, was, key string) {
	c.Ties = slices.Clone(c.Ties)
	join := func(keys []string) []string {
		if slices.Contains(keys, was) && !slices.Contains(keys, key) {
			return append(slices.Clone(keys), key)
		}
		return keys
	}
	for i := range c.Ties {
		t := &c.Ties[i]
		if t.Space == space {
			t.Options = join(t.Options)
		}
		if t.Beside == space {
			t.One = join(t.One)
		}
	}
}

// tiedWords says what must be so elsewhere for option o of space s, or "".
func (m *Model) tiedWords(s, o int) string {
	c := &m.c.Spaces[s]
	var why []string
	for i := range m.c.Ties {
		t := &m.c.Ties[i]
		if t.Space == c.Space && slices.Contains(t.Options, c.Options[o].Key) && t.Why != "" && !slices.Contains(why, t.Why) {
			why = append(why, t.Why)
		}
	}
	return phrase.List(why)
}

// limits is the number of limits that are not of loss.
func (m *Model) limits() int {
	n := len(m.res)
	for n > 0 && m.res[n-1].kind == losses {
		n--
	}
	return n
}

// takesAtFirst reports whether the first option of any space takes anything, so that
// doing nothing everywhere may not be allowed.
func (m *Model) takesAtFirst() bool {
	for s := range m.c.Spaces {
		if i := m.start[s]; i < m.start[s+1] && m.alts[i].option == 0 && m.alts[i].hi > m.alts[i].lo {
			return true
		}
	}
	return false
}

// morePhrase begins what is said of the worth of n steps of a limit.
func (r *resource) morePhrase(n int) string {
	switch {
	case r.kind == amounts && r.counted.Unit != "":
		return r.counted.figure(n) + " more of " + r.name()
	case r.kind == minutes:
		return strconv.Itoa(n) + " more " + r.name()
	case n == 1:
		return "One more of " + r.name()
	}
	return strconv.Itoa(n) + " more of " + r.name()
}
