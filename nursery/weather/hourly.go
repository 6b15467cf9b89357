package weather

import (
	"math"
	"time"

	"example.org/coldnight/physics/sun"
)

// Hourly brings a completed series with a step above one hour onto hours: straight
// lines, the rain shared out, and the sun along the clear sky's own course with
// the cloud of the hour. A series of one hour or finer is returned as it is. The
// coldest minute between two given values stays unknown: the ensemble is widened
// for it through CoarseFrom.
func (s Series) Hourly(lat, lon, elev float64) Series {
	n := int(math.Round(s.Step.Hours()))
	if n <= 1 || len(s.Rows) < 2 || s.Step != time.Duration(n)*time.Hour {
		return s
	}
	clear := place{lat: lat, lon: lon, elev: elev}.clearSun()
	out := s.Clone()
	out.Step, out.CoarseFrom, out.CoarseStep = time.Hour, s.Rows[0].Time, s.Step
	out.Rows = make([]Row, 0, (len(s.Rows)-1)*n+1)
	share := func(r Row) float64 { // clearness; NaN in the dark
		if top := clear.at(r.Time); top > 20 {
			return min(r.SunWM2/top, 1.3)
		}
		return math.NaN()
	}
	first := s.Rows[0]
	first.RainMM /= float64(n)
	out.Rows = append(out.Rows, first)
	for i := 1; i < len(s.Rows); i++ {
		a, b := s.Rows[i-1], s.Rows[i]
		from, to := share(a), share(b)
		if math.IsNaN(from) {
			from = to
		}
		if math.IsNaN(to) {
			to = from
		}
		for k := 1; k <= n; k++ {
			w := float64(k) / float64(n)
			r := between(a, b, w)
			r.RainMM = b.RainMM / float64(n)
			switch c := from + w*(to-from); {
			case k == n:
				r.SunWM2 = b.SunWM2
			case math.IsNaN(c): // dark at both ends: a short day lies between, if any
				r.SunWM2 = clear.at(r.Time) * sun.ThroughCloud(r.CloudFrac)
			default:
				r.SunWM2 = clear.at(r.Time) * c
			}
			out.Rows = append(out.Rows, r)
		}
	}
	return out
}
