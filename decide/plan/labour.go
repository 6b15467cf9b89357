package plan

import (
	"strings"

	"example.org/coldnight/decide/labour"
	"example.org/coldnight/nursery/site"
)

// clothWork is what laying layers of cloth over a space handles, and what its site's table says it takes for 100 m2
// [person-minutes].
func clothWork(l *site.Labour, sp *site.Space, onHoops bool, layers int, windy bool) (labour.Work, float64) {
	w := labour.Work{Of: labour.Usual, Amount: sp.AreaM2() * float64(layers) / 100, Slow: windy}
	switch {
	case onHoops:
		w.Of = labour.Hoops
		return w, l.HoopsPer100M2
	case sp.AreaM2() > largeM2:
		w.Of = labour.Large
		return w, l.LargePer100M2
	}
	return w, l.UsualPer100M2
}

// largeM2 is the space from which cloth is laid as large flat sheets [m2]. Judgement.
const largeM2 = 200

// share is the same work on a part of it.
func share(w labour.Work, part float64) labour.Work {
	w.Amount *= part
	return w
}

// uncovering is what taking off handles of what a cover's job laid.
func (s *placed) uncovering() labour.Work {
	switch w := s.task.Labour; {
	case w.Of != labour.Large && w.Of != labour.Usual && w.Of != labour.Hoops:
		return labour.Work{}
	case strings.HasPrefix(s.task.What, firstTask):
		return labour.Work{Of: labour.Uncover, Amount: w.Amount / 2}
	default:
		return labour.Work{Of: labour.Uncover, Amount: w.Amount}
	}
}
