package paper

import "example.org/coldnight/internal/phrase"

// setPoints are, on the sheet, how cool the thermostats of each house may be set.
func (s *Sheet) setPoints(f *sheaf) {
	list := s.Answer.Plan.SetPoints
	if len(list) == 0 {
		return
	}
	f.head("Set-points that keep the odds")
	for i := range list {
		for k, w := range list[i].Says {
			if k == 0 {
				w = list[i].Space + ": " + w
			}
			f.item(least, tie(phrase.Stop(w)))
		}
	}
}
