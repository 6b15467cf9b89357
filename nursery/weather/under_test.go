package weather

import (
	"testing"
	"time"
)

// An invented day: clear skies send less longwave than overcast ones and more sun, and
// nothing outside the hours asked for is touched.
func TestUnderAnotherSky(t *testing.T) {
	t0 := time.Date(2031, 1, 14, 12, 0, 0, 0, time.UTC)
	s := Series{Step: time.Hour}
	for i := range 48 {
		r := EmptyRow(t0.Add(time.Duration(i) * time.Hour))
		r.AirC, r.DewC, r.CloudFrac = 2, -3, 0.5
		s.Rows = append(s.Rows, r)
	}
	s, _ = s.Complete(34, -82, 200)
	from, to := t0.Add(6*time.Hour), t0.Add(30*time.Hour)
	clear, grey := s.Under(0, from, to, 34, -82, 200), s.Under(1, from, to, 34, -82, 200)
	day := 0
	for i, r := range s.Rows {
		c, g := clear.Rows[i], grey.Rows[i]
		if i < 6 || i > 30 {
			if c != r || g != r {
				t.Fatalf("row %d lies outside and was changed", i)
			}
			continue
		}
		if c.LongwaveWM2 >= r.LongwaveWM2 || r.LongwaveWM2 >= g.LongwaveWM2 {
			t.Errorf("row %d: longwave %g clear, %g half, %g overcast", i, c.LongwaveWM2, r.LongwaveWM2, g.LongwaveWM2)
		}
		if r.SunWM2 > 50 {
			day++
			if c.SunWM2 <= g.SunWM2 {
				t.Errorf("row %d: sun %g clear, %g overcast", i, c.SunWM2, g.SunWM2)
			}
		}
		if c.AirC != r.AirC || c.WindMS != r.WindMS {
			t.Errorf("row %d: air or wind changed", i)
		}
	}
	if day < 5 {
		t.Fatalf("%d hours of sun looked at", day)
	}
}
