package plan

import (
	"fmt"
	"math"
)

// Option is one thing that could be done for one space.
type Option struct {
	Key           string  // short and stable, unique within the space
	Words         string  // what is done, in a grower's words: "1 layer of 30 g cloth on hoops"
	ExpectedLoss  float64 // money still expected to be lost when this is done, >= 0
	Cost          float64 // money for wear and labour, >= 0
	PersonMinutes int     // people times minutes before the deadline, walking included
	Needs         Needs   // what leaves the shed

	// Later is the person-minutes in each window of work after the first evening, by the
	// window's name; one that Shelf.Windows does not name is no limit.
	Later map[string]int

	// LossByDraw is the loss in each draw, the same draws in every option of every
	// space; its mean is ExpectedLoss. Needed where care or a limit on the worst tenth
	// is asked for; all options have it or none.
	LossByDraw []float64
	Saleable   float64 // plants expected to stay saleable, and ...
	Alive      float64 // ... alive: for what is said of worth
	Wish       bool    // it needs what is not there: looked at for the worth of it alone
	FirstLoss  float64 // the part of ExpectedLoss that falls on never-lose groups
}

// Needs is what an option takes from the shed. The zero value needs nothing.
type Needs struct {
	Covers []CoverArea    // every entry is laid, one over the other
	Cups   map[string]int // how many of each kind of cup
	Panels map[string]int // how many wind panels of each size
	Laid   []Take         // pieces that lie there already, beside what Covers still asks

	Counted map[string]int // steps of each counted limit; the first option may need some as well
}

// CoverArea is a rectangle to be covered by whole pieces of one cloth.
type CoverArea struct {
	LengthM, WidthM float64 // m, drape down to the ground on all sides included
	Layers          int     // how many times it is covered
	Cloth           string  // the cloth's name, as in Piece.Cloth
}

// SpaceChoice is a space and what could be done for it.
type SpaceChoice struct {
	Space   string
	Options []Option // the first is "do nothing" and needs nothing
}

// Condition is the state of a piece of cloth.
type Condition int

const (
	Sound   Condition = iota // as good as new
	Patched                  // mended, used like a sound piece but kept apart on the shelf
	Torn                     // left on the shelf: a hole lets the warm air out
)

// String returns the word for the condition.
func (c Condition) String() string {
	switch c {
	case Sound:
		return "sound"
	case Patched:
		return "patched"
	case Torn:
		return "torn"
	}
	return fmt.Sprintf("condition %d", int(c))
}

// Piece is a shelf of equal pieces of cloth.
type Piece struct {
	Cloth           string
	Label           string  // the size as the nursery says it ("40 x 12 ft"); empty: metres are written
	LengthM, WidthM float64 // m
	Count           int     // 0 is allowed: then the worth of a first one is worked out
	Condition       Condition
}

// Shelf is what there is to share out: cloth, cups, wind panels, hands, and whatever
// else is counted.
type Shelf struct {
	Cloth         []Piece
	Cups          map[string]int
	Panels        map[string]int
	PersonMinutes int // all hands together, from now to the deadline
	Counted       map[string]Counted
	Windows       []Window
	CupBox        int // cups whose worth is told at once; 0 means 1
}

// DefaultOverlapM is the least lap between two pieces of one layer [m].
const DefaultOverlapM = 0.3

// Choices is the whole question.
type Choices struct {
	Spaces   []SpaceChoice
	Shelf    Shelf
	Ties     []Tie
	OverlapM float64 // least lap between pieces [m]; 0 means DefaultOverlapM
	Currency string  // written before amounts in reasons: "$"; may be empty

	Care       Care    // how bad cases are looked at; "" is Usual
	WorstTenth float64 // upper limit of the mean loss of the worst tenth of draws [money]; 0: none
}

// InputError says which entry of the question cannot be used, and why.
type InputError struct {
	Space, Option string // empty when the shed is meant
	What          string // what is wrong and what to do
}

func (e *InputError) Error() string {
	switch {
	case e.Space == "":
		return "the shed: " + e.What
	case e.Option == "":
		return fmt.Sprintf("space %q: %s", e.Space, e.What)
	}
	return fmt.Sprintf("space %q, option %q: %s", e.Space, e.Option, e.What)
}

// validate returns the first *InputError in the question, or nil.
func (c *Choices) validate() error {
	if !(c.OverlapM >= 0) || math.IsInf(c.OverlapM, 0) {
		return &InputError{What: "the overlap of pieces must be zero or more metres"}
	}
	if c.Shelf.PersonMinutes < 0 || c.Shelf.PersonMinutes > maxAmount {
		return &InputError{What: "person-minutes below zero or absurdly many; give 0 when nobody has time"}
	}
	for _, w := range c.Shelf.Windows {
		if w.Name == "" || w.PersonMinutes < 0 || w.PersonMinutes > maxAmount {
			return &InputError{What: "a window of work needs a name and zero or more person-minutes"}
		}
	}
	for _, p := range c.Shelf.Cloth {
		if p.Cloth == "" || !size(p.LengthM) || !size(p.WidthM) || p.Count < 0 || p.Count > maxAmount {
			return &InputError{What: fmt.Sprintf("cloth %q, %g by %g m, %d pieces: a piece needs a name, two lengths above zero and a count of zero or more",
				p.Cloth, p.LengthM, p.WidthM, p.Count)}
		}
	}
	if what := badCount("cups", c.Shelf.Cups, "count"); what != "" {
		return &InputError{What: what}
	}
	if what := badCount("wind panels", c.Shelf.Panels, "count"); what != "" {
		return &InputError{What: what}
	}
	if err := c.validateRisk(); err != nil {
		return err
	}
	seen := make(map[string]bool, len(c.Spaces))
	for _, s := range c.Spaces {
		if s.Space == "" || seen[s.Space] {
			return &InputError{Space: s.Space, What: "space names must be there and differ; name each space once"}
		}
		seen[s.Space] = true
		if err := s.validate(); err != nil {
			return err
		}
	}
	return c.validateCounted()
}

func (s *SpaceChoice) validate() error {
	if len(s.Options) == 0 {
		return &InputError{Space: s.Space, What: "no options; give at least doing nothing"}
	}
	keys := make(map[string]bool, len(s.Options))
	for i, o := range s.Options {
		bad := func(what string) error { return &InputError{Space: s.Space, Option: o.Key, What: what} }
		switch {
		case o.Key == "" || keys[o.Key]:
			return bad("option keys must be there and differ within a space")
		case !money(o.ExpectedLoss) || !money(o.Cost):
			return bad("expected loss and cost must be numbers of zero or more")
		case o.PersonMinutes < 0 || o.PersonMinutes > maxAmount:
			return bad("person-minutes must be zero or more")
		case i == 0 && (o.PersonMinutes > 0 || len(o.Needs.Covers)+len(o.Needs.Laid) > 0 || len(o.Needs.Cups)+len(o.Needs.Panels) > 0):
			return bad("the first option is doing nothing; it must need no cloth, cups, panels or minutes")
		}
		keys[o.Key] = true
		for _, a := range o.Needs.Covers {
			if a.Cloth == "" || a.Layers < 1 || !size(a.LengthM) || !size(a.WidthM) {
				return bad("a cover needs a cloth name, at least one layer and two lengths above zero")
			}
		}
		if what := badCount("cups", o.Needs.Cups, "need"); what != "" {
			return bad(what)
		}
		if what := badCount("wind panels", o.Needs.Panels, "need"); what != "" {
			return bad(what)
		}
		if what := badCount("of", o.Needs.Counted, "need"); what != "" {
			return bad(what)
		}
		if what := badCount("person-minutes", o.Later, "need"); what != "" {
			return bad(what)
		}
	}
	return nil
}

// badCount says which of the counts cannot be, or "".
func badCount(things string, n map[string]int, word string) string {
	for _, kind := range sortedKeys(n) {
		if n[kind] < 0 || n[kind] > maxAmount {
			return fmt.Sprintf("%s %q: a %s of %d; give zero or more", things, kind, word, n[kind])
		}
	}
	return ""
}

// maxAmount keeps sums of counts far from overflow.
const maxAmount = 1_000_000_000

func size(v float64) bool  { return v > 0 && v < 1e6 }
func money(v float64) bool { return v >= 0 && v < 1e15 }
