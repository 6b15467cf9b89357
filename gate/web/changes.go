package web

import (
	"fmt"
	"time"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

// changesPart is what the plan does otherwise than the ones before it.
type changesPart struct {
	Sum  string // one line, seen when it is folded
	Open bool   // this very plan changed something
	List []changeLine
}

type changeLine struct {
	When, At string
	Where    string // empty: the nursery
	Was, Is  string
	Why      string
	Undoes   bool // something that is done is taken back
}

// changes are the newest first; nil when the plan changed nothing.
func (w voice) changes(p *plan.Plan) *changesPart {
	if len(p.Changes) == 0 {
		return nil
	}
	out := &changesPart{}
	fresh := 0
	for _, c := range p.Changes {
		if c.At.Equal(p.Now) {
			fresh++
		}
		out.List = append(out.List, changeLine{
			When: w.when(c.At), At: c.At.In(w.Zone).Format(time.RFC3339), Where: c.Space,
			Was: tie(c.Was), Is: tie(c.Is), Why: phrase.Stop(phrase.Capital(tie(c.Why))), Undoes: c.Undoes,
		})
	}
	if out.Open = fresh > 0; out.Open {
		out.Sum = fmt.Sprintf("Changed since the plan of %s (%d)", w.when(p.Changes[0].Since), fresh)
	} else {
		out.Sum = fmt.Sprintf("Changed earlier (%d)", len(p.Changes))
	}
	return out
}
