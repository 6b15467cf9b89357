package morning

// Planned is what a plan has decided for the covers of one day: they come off in the
// morning or stay on, and, once off, go on again for the night after or not.
type Planned struct {
	Date       string // local
	Off, Again bool
}

// planned is what the plan has decided for a day; nil where it leaves that to [Look].
func (l *looking) planned(date string) *Planned {
	for i := range l.ask.Planned {
		if l.ask.Planned[i].Date == date {
			return &l.ask.Planned[i]
		}
	}
	return nil
}

// keepPlan holds a day to what the plan has decided: light and work have been weighed
// there, over all days and nights.
func (r *Roll) keepPlan(p *Planned) {
	if p == nil {
		return
	}
	r.Planned = true
	if r.Up = p.Off; r.Up {
		r.Why = "so the plan has it"
	} else {
		r.Why = "the plan leaves them on through this day"
	}
}
