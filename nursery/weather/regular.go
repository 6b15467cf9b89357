package weather

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Limits of a series' step. Above three hours a night's minimum can hide in a
// hole; public forecasts go to six-hourly values beyond two or three days, and
// those are taken when they are regular.
const (
	maxGap  = 3 * time.Hour
	maxStep = 6 * time.Hour
)

// gapError is a hole in a series; the reader adds the place.
type gapError struct {
	from, to time.Time
	step     time.Duration
	air      bool // rows are there, their air temperature is not
}

func (e *gapError) Error() string {
	if e.air {
		return fmt.Sprintf("no air temperature for %s, between %s and %s", words(e.to.Sub(e.from)), e.from.Format(time.RFC3339), e.to.Format(time.RFC3339))
	}
	return fmt.Sprintf("no rows between %s and %s (%s), where a row every %s was expected",
		e.from.Format(time.RFC3339), e.to.Format(time.RFC3339), words(e.to.Sub(e.from)), words(e.step))
}

// words writes a duration as a grower would say it.
func words(d time.Duration) string {
	switch {
	case d >= time.Hour && d%time.Hour == 0:
		if d == time.Hour {
			return "hour"
		}
		return fmt.Sprintf("%d hours", d/time.Hour)
	case d >= time.Minute && d%time.Minute == 0:
		return fmt.Sprintf("%d minutes", d/time.Minute)
	}
	return d.String()
}

// commonStep is the most frequent distance between rows (the shorter of two
// equally frequent ones), or an hour for a series of fewer than two rows.
func commonStep(rows []Row) time.Duration {
	count := map[time.Duration]int{}
	for i := 1; i < len(rows); i++ {
		count[rows[i].Time.Sub(rows[i-1].Time)]++
	}
	best, most := time.Hour, 0
	for d, n := range count {
		if n > most || n == most && d < best {
			best, most = d, n
		}
	}
	return best
}

// regularise brings rows that are in time order without duplicates onto one
// step. Holes of up to three hours are filled by straight lines and said. A
// regular coarser stretch (equal distances of up to six hours in a row, as
// at the far end of a public forecast) is filled too, and remembered in
// CoarseFrom so that the spread of the ensemble can be widened there.
func (s *Series) regularise() error {
	rows := s.Rows
	if len(rows) == 0 {
		return nil
	}
	step := commonStep(rows)
	// A forecast that is hourly for two days and six-hourly for eight has more
	// six-hourly rows in time but fewer in count; the finest regular run wins.
	if lead := leadingStep(rows); lead > 0 && lead < step {
		step = lead
	}
	s.Step = step
	if step > maxStep {
		return &gapError{from: rows[0].Time, to: rows[1].Time, step: time.Hour}
	}
	even, onGrid := true, true
	for i := 1; i < len(rows) && onGrid; i++ {
		gap := rows[i].Time.Sub(rows[i-1].Time)
		even = even && gap == step
		onGrid = gap%step == 0
	}
	if !onGrid || step < time.Minute {
		return s.resample()
	}
	if step > time.Hour {
		s.Notes = append(s.Notes, fmt.Sprintf("the source gives a value every %s only: the coldest minute may lie between two of them, so the spread is widened", words(step)))
	}
	if even {
		return nil
	}
	out := make([]Row, 1, len(rows)+16)
	out[0] = rows[0]
	filled, firstHole := 0, time.Time{}
	for i := 1; i < len(rows); i++ {
		gap := rows[i].Time.Sub(rows[i-1].Time)
		coarse := gap > step && gap <= maxStep && gap%step == 0 && regularRun(rows, i, gap)
		switch {
		case gap == step:
		case coarse:
			if s.CoarseFrom.IsZero() {
				s.CoarseFrom, s.CoarseStep = rows[i-1].Time, gap
				s.Notes = append(s.Notes, fmt.Sprintf("from %s on the source gives a value every %s only: values between are straight lines, and the spread is widened there",
					rows[i-1].Time.Format(time.RFC3339), words(gap)))
			}
			s.CoarseStep = max(s.CoarseStep, gap)
		case gap > maxGap:
			return &gapError{from: rows[i-1].Time, to: rows[i].Time, step: step}
		default:
			if filled == 0 {
				firstHole = rows[i-1].Time
			}
			filled++
		}
		if gap != step {
			n := int(math.Round(float64(gap) / float64(step)))
			out = s.bridge(out, rows[i], n)
			if len(out) > maxRows {
				return fmt.Errorf("more than %d rows once the holes are filled", maxRows)
			}
			continue
		}
		out = append(out, rows[i])
	}
	if filled > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("%d short holes (up to %s, first after %s) filled by straight lines",
			filled, words(maxGap), firstHole.Format(time.RFC3339)))
	}
	s.Rows = out
	return nil
}

// leadingStep is the step of the first rows when at least six in a row keep it.
func leadingStep(rows []Row) time.Duration {
	if len(rows) < 8 {
		return 0
	}
	step := rows[1].Time.Sub(rows[0].Time)
	for i := 2; i < 7; i++ {
		if rows[i].Time.Sub(rows[i-1].Time) != step {
			return 0
		}
	}
	return step
}

// regularRun reports whether the distance before row i is repeated right before
// or right after it: a habit of the source, not a hole.
func regularRun(rows []Row, i int, gap time.Duration) bool {
	same := func(j int) bool {
		return j >= 1 && j < len(rows) && rows[j].Time.Sub(rows[j-1].Time) == gap
	}
	end := len(rows) - 1
	return same(i-1) && same(i-2) || same(i-1) && same(i+1) || same(i+1) && same(i+2) ||
		same(i-1) && i == end || same(i+1) && i+1 == end
}

// bridge appends n-1 rows on a straight line and then the row itself. Sums are
// shared out among the rows they belong to.
func (s *Series) bridge(out []Row, to Row, n int) []Row {
	from := out[len(out)-1]
	start := from.Time
	gap := to.Time.Sub(start)
	rainShare := to.RainMM / float64(n) // mean-ending: the sum belongs to the rows before `to`
	if s.IntervalOf(Rain) == MeanStarting {
		rainShare = from.RainMM / float64(n)
		out[len(out)-1].RainMM = rainShare
	}
	for k := 1; k < n; k++ {
		w := float64(k) / float64(n)
		r := between(from, to, w)
		r.Time = start.Add(time.Duration(w * float64(gap)).Round(time.Second))
		r.RainMM = rainShare
		r.SunWM2 = math.NaN() // a straight line through sunrise is wrong: Complete gives it the sun's course
		out = append(out, r)
	}
	if s.IntervalOf(Rain) != MeanStarting {
		to.RainMM = rainShare
	}
	return append(out, to)
}

// between is the row on a straight line from a to b; directions turn the short
// way; a column given on one side only stays not given.
func between(a, b Row, w float64) Row {
	r := Row{Time: a.Time.Add(time.Duration(w * float64(b.Time.Sub(a.Time))))}
	for c := range NColumns {
		x, y := *a.At(c), *b.At(c)
		if c == WindFrom {
			*r.At(c) = turn(x, y, w)
			continue
		}
		*r.At(c) = x + w*(y-x)
	}
	return r
}

// turn goes from direction a to b [°] the short way.
func turn(a, b, w float64) float64 {
	d := math.Mod(b-a+540, 360) - 180
	return math.Mod(a+w*d+360, 360)
}

// order sorts rows by time and merges rows of one time: equal ones become one,
// a value given on one side only is kept, two different values are refused.
func order(rows []Row) ([]Row, int, error) {
	if !slices.IsSortedFunc(rows, func(a, b Row) int { return a.Time.Compare(b.Time) }) {
		slices.SortStableFunc(rows, func(a, b Row) int { return a.Time.Compare(b.Time) })
	}
	out := rows[:0]
	merged := 0
	for _, r := range rows {
		if len(out) == 0 || !out[len(out)-1].Time.Equal(r.Time) {
			out = append(out, r)
			continue
		}
		last := &out[len(out)-1]
		merged++
		for c := range NColumns {
			x, y := last.At(c), *r.At(c)
			switch {
			case math.IsNaN(*x):
				*x = y
			case math.IsNaN(y) || *x == y:
			default:
				return nil, merged, fmt.Errorf("two rows for %s say different things: %s is %g and %g", r.Time.Format(time.RFC3339), c, *x, y)
			}
		}
	}
	return out, merged, nil
}

// resample puts rows that came at uneven times (a station that adds special
// reports, a logger that drifts) on an even step by straight lines.
func (s *Series) resample() error {
	gaps := make([]time.Duration, 0, len(s.Rows))
	for i := 1; i < len(s.Rows); i++ {
		gaps = append(gaps, s.Rows[i].Time.Sub(s.Rows[i-1].Time))
	}
	slices.Sort(gaps)
	median := gaps[len(gaps)/2]
	step := 5 * time.Minute
	for _, nice := range []time.Duration{10 * time.Minute, 15 * time.Minute, 20 * time.Minute, 30 * time.Minute, time.Hour, 2 * time.Hour, 3 * time.Hour, 6 * time.Hour} {
		if nice <= median+median/4 {
			step = nice
		}
	}
	first := s.Rows[0].Time.Truncate(step)
	if first.Before(s.Rows[0].Time) {
		first = first.Add(step)
	}
	last := s.Rows[len(s.Rows)-1].Time
	if last.Sub(first)/step > maxRows {
		return fmt.Errorf("more than %d rows at a step of %s", maxRows, words(step))
	}
	var out []Row
	j, fallen := 0, 0
	for t := first; !t.After(last); t = t.Add(step) {
		for j+1 < len(s.Rows) && !s.Rows[j+1].Time.After(t) {
			j++
		}
		r := s.Rows[j]
		if r.Time.Before(t) {
			next := s.Rows[j+1] // exists: t is not after the last row
			gap := next.Time.Sub(r.Time)
			if gap > max(maxGap, step) {
				return &gapError{from: r.Time, to: next.Time, step: step}
			}
			r = between(r, next, float64(t.Sub(r.Time))/float64(gap))
		}
		r.Time = t
		r.RainMM = math.NaN()
		for ; fallen < len(s.Rows) && !s.Rows[fallen].Time.After(t); fallen++ {
			if mm := s.Rows[fallen].RainMM; !math.IsNaN(mm) && !math.IsNaN(r.RainMM) {
				r.RainMM += mm
			} else if !math.IsNaN(mm) {
				r.RainMM = mm
			}
		}
		out = append(out, r)
	}
	s.Step, s.Rows = step, out
	s.Notes = append(s.Notes, fmt.Sprintf("the rows come at uneven times: put on an even step of %s by straight lines", words(step)))
	return nil
}
