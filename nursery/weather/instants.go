package weather

import (
	"math"
	"time"
)

// sunModel is the clear-sky sunshine at a place, kept small so that the course
// of the sun can be asked for often.
type sunModel struct{ at func(time.Time) float64 }

// mean is the clear-sky mean [W/m²] between two times: twelve midpoints, exact to
// 1 W/m² for an hour, to 5 W/m² for the hour that holds sunrise.
func (m sunModel) mean(from, to time.Time) float64 {
	const n = 12
	sum := 0.0
	for k := range n {
		sum += m.at(from.Add(time.Duration((float64(k) + 0.5) / n * float64(to.Sub(from)))))
	}
	return sum / n
}

// toInstants turns means of the step into values at the stamps. Rain stays a sum
// and is moved to the step that ends at the stamp.
func (s *Series) toInstants(clear sunModel) []string {
	var said []string
	moved := ""
	for c := range NColumns {
		i := s.IntervalOf(c)
		switch {
		case c == Rain:
			if i == MeanStarting {
				s.shiftRain()
			}
		case i == Instant || !s.Given(c):
		case c == Sun:
			s.sunInstants(i, clear)
			said = append(said, "sun given as means of the step: turned into instants along the sun's own course, clearness kept")
		case c == WindFrom:
			// a mean direction half a step off: left as it is
		case c == Gust || c == Snow:
			// the strongest gust and the snow of the step count as they are
		default:
			s.centre(c, i)
			if moved != "" {
				moved += ", "
			}
			moved += c.String()
		}
	}
	if moved != "" {
		said = append(said, "means of the step turned into instants at the stamps by straight lines between the middles of the steps: "+moved)
	}
	s.Interval = Instant
	s.ByColumn = map[Column]Interval{Rain: MeanEnding}
	return said
}

// shiftRain moves sums from the row that starts their step to the row that ends it.
func (s *Series) shiftRain() {
	last := 0.0
	for i := range s.Rows {
		s.Rows[i].RainMM, last = last, s.Rows[i].RainMM
	}
}

// centre moves means to the stamps: the value at a stamp is half way between the
// means of the steps before and after it.
func (s *Series) centre(c Column, i Interval) {
	n := len(s.Rows)
	mean := make([]float64, n)
	for k := range s.Rows {
		mean[k] = *s.Rows[k].At(c)
	}
	for k := range s.Rows {
		before, after := k, k+1 // mean-ending: row k ends the step before stamp k
		if i == MeanStarting {
			before, after = k-1, k
		}
		v := math.NaN()
		switch {
		case before >= 0 && after < n && !math.IsNaN(mean[before]) && !math.IsNaN(mean[after]):
			v = (mean[before] + mean[after]) / 2
		case before >= 0 && !math.IsNaN(mean[before]):
			v = mean[before]
		case after < n:
			v = mean[after]
		}
		*s.Rows[k].At(c) = v
	}
}

// sunInstants keeps each step's clearness (mean over clear-sky mean) and lets
// the clear sky give the course inside the step. A straight line between means
// would put sunshine before sunrise and be up to 40 % off in the first hours.
func (s *Series) sunInstants(i Interval, clear sunModel) {
	n := len(s.Rows)
	share, weight := make([]float64, n), make([]float64, n)
	for k, r := range s.Rows {
		from, to := r.Time.Add(-s.Step), r.Time
		if i == MeanStarting {
			from, to = r.Time, r.Time.Add(s.Step)
		}
		share[k] = math.NaN()
		if m := clear.mean(from, to); !math.IsNaN(r.SunWM2) {
			weight[k] = m
			if m > 5 {
				share[k] = min(r.SunWM2/m, 1.3) // broken cloud can brighten an hour; more is noise at a low sun
			}
		}
	}
	for k := range s.Rows {
		r := &s.Rows[k]
		before, after := k, k+1
		if i == MeanStarting {
			before, after = k-1, k
		}
		sum, w, given := 0.0, 0.0, false
		for _, j := range []int{before, after} {
			if j < 0 || j >= n {
				continue
			}
			given = given || weight[j] > 0 || !math.IsNaN(r.SunWM2)
			if !math.IsNaN(share[j]) {
				sum += weight[j] * share[j]
				w += weight[j]
			}
		}
		top := clear.at(r.Time)
		switch {
		case w > 0:
			r.SunWM2 = top * sum / w
		case given && top < 20:
			r.SunWM2 = 0
		default:
			r.SunWM2 = math.NaN() // estimated from cloud later
		}
	}
}
