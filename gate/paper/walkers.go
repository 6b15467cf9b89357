package paper

import (
	"example.org/coldnight/decide/heating"
	"example.org/coldnight/nursery/site"
)

// walkers are the names of all who are on shift at the hour of a round.
func (s *Sheet) walkers(r *heating.Round) []string {
	if len(r.On) == 0 {
		return onShift(s.Site, r.Who)
	}
	var out []string
	for i := range s.Site.Crew {
		w := &s.Site.Crew[i]
		if worksAt(w, r) {
			out = append(out, inLine(w)...)
		}
	}
	return out
}

func worksAt(w *site.Worker, r *heating.Round) bool {
	for _, name := range r.On {
		if name == w.Name {
			return true
		}
	}
	return false
}
