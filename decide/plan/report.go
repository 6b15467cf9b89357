package plan

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
)

// ReportKind is what somebody says of the work, beside that it is done.
type ReportKind string

// What may be said. Skipped, late and torn are of a job, missing is of a person.
const (
	Skipped    ReportKind = "skipped"
	Late       ReportKind = "late"
	TornPiece  ReportKind = "torn"
	MissingOne ReportKind = "missing"
)

// Report is what somebody in the nursery says: it holds for its night.
type Report struct {
	Kind        ReportKind
	Night       string // local date of its evening
	Space, What string // the job's
	Item        string // of torn: as in SupplyLine
	Person      string // of missing
	Who         string // who says so; may be empty
	At          time.Time
	NotBefore   time.Time // of late: the job begins then at the earliest
}

// said tells where a fact of the plan comes from that is not in the site file.
func (r *Report) said(v night.Voice) string {
	s := "said at " + v.Clock(r.At)
	if r.Who != "" {
		s += " by " + r.Who
	}
	return s
}

// about tells whether the report is of a task.
func (r *Report) about(t *Task) bool {
	return r.Space == t.Space && plainWhat(r.What) == plainWhat(t.What)
}

// reported takes the reports of a space's work into its ways: what is skipped is no longer offered, what is late
// does not begin before it can. What stands there stays on offer.
func (f *Freeze) reported(ways []way) []way {
	if len(f.Reports) == 0 {
		return ways
	}
	kept := ways[:0:0]
	for i, w := range ways {
		skipped := false
		w.tasks = slices.Clone(w.tasks)
		for k := range w.tasks {
			skipped = skipped || !f.tell(&w.tasks[k])
		}
		if i == 0 || !skipped {
			kept = append(kept, w)
		}
	}
	return kept
}

// tell puts off a task that is late; it is false for one that is skipped.
func (f *Freeze) tell(t *Task) bool {
	for i := range f.Reports {
		switch r := &f.Reports[i]; {
		case !r.about(t):
		case r.Kind == Skipped:
			return false
		case r.Kind == Late:
			t.Earliest = latest(t.Earliest, r.NotBefore)
		}
	}
	return true
}

// LaysCloth tells whether a job lays or hangs pieces of cloth.
func LaysCloth(j Job) bool {
	return strings.HasPrefix(j.What, spreadTask) || strings.HasPrefix(j.What, secondTask) || strings.HasPrefix(j.What, hangTask)
}

// worn takes what is said to be torn off the sound pieces of the shelf.
func (f *Freeze) worn(s Shelf) Shelf {
	for i := range f.Reports {
		r := &f.Reports[i]
		if r.Kind != TornPiece {
			continue
		}
		k := slices.IndexFunc(s.Cloth, func(p Piece) bool {
			return p.Count > 0 && p.Condition == Sound && (&resource{kind: pieces, piece: p}).name() == r.Item
		})
		if k < 0 {
			continue // the site file knows it already
		}
		s.Cloth = slices.Clone(s.Cloth)
		bad := s.Cloth[k]
		bad.Count, bad.Condition = 1, Torn
		s.Cloth[k].Count--
		s.Cloth = append(s.Cloth, bad)
	}
	return s
}

// missing tells whether a person is said not to be there on the local day of a shift.
func (f *Freeze) missing(name string, from time.Time) bool {
	day := from.In(f.zone()).Format(time.DateOnly)
	return slices.ContainsFunc(f.Reports, func(r Report) bool {
		return r.Kind == MissingOne && r.Night == day && strings.EqualFold(r.Person, name)
	})
}

// reportsAssumed says what the plan takes from reports, in a grower's words.
func (f *Freeze) reportsAssumed() []string {
	v := f.voice()
	var out []string
	for i := range f.Reports {
		r := &f.Reports[i]
		s := ""
		switch {
		case (r.Kind == Skipped || r.Kind == Late) && takesBack(r.What):
			s = fmt.Sprintf("%s: %q is %s, as %s; while this plan needs it taken back it asks for it again", r.Space, r.What, r.Kind, r.said(v))
		case r.Kind == Skipped:
			s = fmt.Sprintf("%s: %q is left out, as %s", r.Space, r.What, r.said(v))
		case r.Kind == Late:
			s = fmt.Sprintf("%s: %q does not begin before %s, as %s", r.Space, r.What, v.Clock(r.NotBefore), r.said(v))
		case r.Kind == TornPiece:
			s = fmt.Sprintf("one piece of %s is torn, as %s", r.Item, r.said(v))
		case r.Kind == MissingOne:
			s = fmt.Sprintf("%s is not there, as %s", r.Person, r.said(v))
		}
		out = append(out, s)
	}
	return out
}

// reportedOf says which report of the work explains that a space gets something else than before.
func (f *Facts) reportedOf(old *Plan, space string) []string {
	var out []string
	for i := range f.Reports {
		r := &f.Reports[i]
		if r.Space != space || r.At.Before(old.Now) {
			continue
		}
		switch r.Kind {
		case Skipped:
			out = append(out, fmt.Sprintf("%q is skipped, %s", r.What, r.said(f.past.voice)))
		case Late:
			out = append(out, fmt.Sprintf("%q is late, %s", r.What, r.said(f.past.voice)))
		case TornPiece:
			out = append(out, fmt.Sprintf("a piece of %s is torn, %s", r.Item, r.said(f.past.voice)))
		}
	}
	return out
}

// source is where a change of the crew or the shed comes from.
func (f *Facts) source(about string) string {
	for i := range f.Reports {
		r := &f.Reports[i]
		if r.Kind == MissingOne && strings.EqualFold(r.Person, about) || r.Kind == TornPiece && r.Item == about {
			return r.said(f.past.voice)
		}
	}
	return "the site file says so"
}
