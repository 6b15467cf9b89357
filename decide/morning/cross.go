package morning

import "time"

func middle(a, b time.Time) time.Time { return a.Add(b.Sub(a) / 2) }

// along is a quantity at a moment, linear between those it is known at.
func along(when []time.Time, v []float64, t time.Time) float64 {
	for k := 0; k+1 < len(when); k++ {
		if t.Before(when[k+1]) {
			f := max(0, float64(t.Sub(when[k]))/float64(when[k+1].Sub(when[k])))
			return v[k] + f*(v[k+1]-v[k])
		}
	}
	return v[len(v)-1]
}

// firstAbove is when a quantity first rises above 0; zero when it does not. One above
// from the start gives the start.
func firstAbove(when []time.Time, v []float64) time.Time {
	for k := range v {
		if v[k] <= 0 {
			continue
		}
		if k == 0 {
			return when[0]
		}
		return when[k-1].Add(time.Duration(v[k-1] / (v[k-1] - v[k]) * float64(when[k].Sub(when[k-1]))))
	}
	return time.Time{}
}

// lastAbove is when a quantity has fallen to 0 for good; zero when it is never above, the
// last moment when it is to the end.
func lastAbove(when []time.Time, v []float64) time.Time {
	for k := len(v) - 1; k >= 0; k-- {
		if v[k] <= 0 {
			continue
		}
		if k == len(v)-1 {
			return when[k]
		}
		return when[k].Add(time.Duration(v[k] / (v[k] - v[k+1]) * float64(when[k+1].Sub(when[k]))))
	}
	return time.Time{}
}
