package weather

import (
	"time"

	"example.org/coldnight/physics/sun"
)

// Under returns a complete series in which the sky from one moment to another, both
// included, is covered by a share of cloud, 0 to 1: longwave from the default sky of
// physics/sky, sun from the clear sky of physics/sun through that cloud, as
// [Series.Complete] fills what is not given. Air, dew point and wind stay. lat, lon in
// degrees (north, east), elev in metres. The series itself is not changed.
func (s Series) Under(cloud float64, from, to time.Time, lat, lon, elev float64) Series {
	out := s.Clone()
	p := place{lat: lat, lon: lon, elev: elev}
	_, longwave := p.longwave()
	clear := p.clearSun()
	for i := range out.Rows {
		r := &out.Rows[i]
		if r.Time.Before(from) || r.Time.After(to) {
			continue
		}
		r.CloudFrac = cloud
		r.LongwaveWM2 = longwave(*r, cloud)
		r.SunWM2 = clear.at(r.Time) * sun.ThroughCloud(cloud)
	}
	return out
}
