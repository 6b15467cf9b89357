package plan

import (
	"encoding/json"
	"fmt"
	"time"
)

// Read reads a plan as `coldnight plan --json` writes it, for one that follows it. A plan of a later program may say
// more; what cannot be (a job that takes fewer than no pieces, a night that is no date) is refused.
func Read(text []byte) (*Plan, error) {
	p := new(Plan)
	if err := json.Unmarshal(text, p); err != nil {
		return nil, err
	}
	for i, n := range p.Nights {
		if _, err := time.Parse(time.DateOnly, n.Date); err != nil {
			return nil, fmt.Errorf("nights[%d]: %q is no date of an evening, as 2006-01-02", i, n.Date)
		}
	}
	for i, j := range p.Jobs {
		if j.Minutes < 0 || j.Minutes > mostJobMinutes {
			return nil, fmt.Errorf("jobs[%d]: %d minutes cannot be", i, j.Minutes)
		}
		for k, t := range j.Takes {
			if t.Count < 0 {
				return nil, fmt.Errorf("jobs[%d].takes[%d]: %d of %q cannot be taken", i, k, t.Count, t.Item)
			}
		}
	}
	for i, s := range p.Supplies {
		if s.Have < 0 || s.Used < 0 {
			return nil, fmt.Errorf("supplies[%d]: %g of %q, %g used, cannot be", i, s.Have, s.Item, s.Used)
		}
	}
	return p, nil
}

// mostJobMinutes is the longest job that is believed: a week.
const mostJobMinutes = 7 * 24 * 60
