package weather

import (
	"fmt"
	"math"
	"time"

	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/sky"
	"example.org/coldnight/physics/sun"
)

// place is where a series is completed for.
type place struct{ lat, lon, elev float64 }

func (p place) pressureHPa() float64 { return air.PressureAt(p.elev) / 100 }

// clearSun is the clear sky of physics/sun in ordinary winter air.
func (p place) clearSun() sunModel {
	where := sun.Place{LatDeg: p.lat, LonDeg: p.lon, ElevM: p.elev}
	return sunModel{at: func(t time.Time) float64 {
		return max(0, sun.ClearNow(t, where, sun.StandardLinke).GHI)
	}}
}

// longwave names the default sky of physics/sky and gives its downward longwave
// [W/m²] for a row under a share of cloud.
func (p place) longwave() (string, func(Row, float64) float64) {
	clear, cloud := sky.Default()
	how := fmt.Sprintf("the sky of %s with the cloud correction of %s; published formulas lie 20 to 35 W/m² apart", clear.Source, cloud.Source)
	return how, func(r Row, n float64) float64 { return sky.Longwave(clear, cloud, p.seen(r), n) }
}

// cloudFromLongwave is the cover at which the default sky sends what was measured.
func (p place) cloudFromLongwave() func(Row) float64 {
	clear, cloud := sky.Default()
	return func(r Row) float64 {
		n, _ := sky.CloudFromLongwave(clear, cloud, p.seen(r), r.LongwaveWM2)
		return n
	}
}

// seen is a row as the sky's formulas want it; solar time by the mean sun, which is
// good to a quarter of an hour.
func (p place) seen(r Row) sky.Obs {
	u := r.Time.UTC()
	hour := float64(u.Hour()) + float64(u.Minute())/60 + p.lon/15
	return sky.Obs{
		AirC: r.AirC, VapourHPa: air.SaturationPressureWater(r.DewC) / 100, PressureHPa: r.PressureHPa,
		SolarHour: math.Mod(hour+48, 24),
	}
}
