package night

import (
	"math"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/ground"
	"example.org/coldnight/physics/heat"
	"example.org/coldnight/physics/sky"
	"example.org/coldnight/physics/sun"
)

// Priors of the place. Judgement unless a source stands beside.
const (
	wallWarmK   = 1.0 // an unheated wall over the night air [K]
	heatedWarmK = 4.0 // the outside of a heated building's wall over the air [K]
	coldSpotK   = 1.0 // a place the grower calls cold, on a clear calm night [K]
	coldSpreadK = 0.7 // spread of every space's own clear calm offset [K]
	panelTurns  = 0.5 // share of the cold air flowing in that panels along that side turn aside
	calmWindMS  = 1.5 // wind that ends drainage: half at this [m/s]
)

// samples turns a complete series into the weather at a cell.
func (b *builder) samples(s weather.Series) []heat.Sample {
	out := make([]heat.Sample, len(s.Rows))
	deep := b.scene.deepGround(s) + b.draw.Deep
	place := sun.Place{LatDeg: b.scene.Site.LatDeg, LonDeg: b.scene.Site.LonDeg, ElevM: b.scene.Site.ElevationM}
	for i, r := range s.Rows {
		d := &out[i]
		clear := 1 - r.CloudFrac
		calm := 1 / (1 + math.Pow(r.WindMS/calmWindMS, 2))
		dark := boolTo(r.SunWM2 < 20)
		d.AirC = r.AirC + b.coldOffset()*clear*calm*dark
		e := air.SaturationPressureWater(r.DewC)
		// drained air keeps its vapour, up to saturation
		e = math.Min(e, air.SaturationPressureWater(d.AirC))
		d.VapourKgM3 = air.VapourDensity(e, d.AirC)
		d.WindMS = r.WindMS * b.windShare(r.WindFromDeg)
		d.HemWindMS = b.hemWind(d.WindMS, r.WindFromDeg)
		d.SkyWM2 = b.above(r.LongwaveWM2+b.draw.Sky*sky.ErrorWM2(sky.CloudGiven, r.CloudFrac), r.AirC)
		d.SurroundC = r.AirC - 1.5*clear*calm*dark // ground around, a little below the air on clear calm nights
		d.SunWM2 = b.sunlight(r, place)
		d.RainKgM2S = r.RainMM / s.Step.Seconds()
		if math.IsNaN(d.RainKgM2S) {
			d.RainKgM2S = 0
		}
		d.DeepC = deep
		d.SideGroundC = deep
	}
	return out
}

// firstDay is the mean air of the first day of a series [°C]: what the ground's
// surface has lately seen. Of less than a day the first value is taken.
func firstDay(s weather.Series) float64 {
	if s.Rows[len(s.Rows)-1].Time.Sub(s.Rows[0].Time) < 23*time.Hour {
		return s.Rows[0].AirC
	}
	sum, n := 0.0, 0
	for _, r := range s.Rows {
		if r.Time.Sub(s.Rows[0].Time) >= 24*time.Hour {
			break
		}
		sum += r.AirC
		n++
	}
	return sum / float64(max(n, 1))
}

// deepGround is the ground at 1 m when the series begins [°C], from the place
// alone: the yearly mean of its latitude and height and the yearly wave. A
// forecast of a few cold days says nothing about it. Zonal means over land,
// from memory, within about 3 K of inland stations; every draw shifts it.
func (sc *Scene) deepGround(s weather.Series) float64 {
	lat := math.Abs(sc.Site.LatDeg)
	at := func(v [9]float64) float64 { // every 10 degrees from the equator
		k := math.Min(lat/10, 7.999)
		i := int(k)
		return v[i] + (k-float64(i))*(v[i+1]-v[i])
	}
	w := ground.AnnualWave{
		MeanC:      at([9]float64{26, 26, 24.5, 20, 12.5, 7, 0, -10, -16}) - 0.0065*sc.Site.ElevationM + 1,
		SwingK:     at([9]float64{1, 2, 5, 9, 12, 12, 14, 15, 15}),
		WarmestDay: 205,
	}
	if sc.Site.LatDeg < 0 {
		w.WarmestDay = 22
	}
	const kappa = 5e-7 // moist soil [m2/s]
	return w.At(1, float64(s.Rows[0].Time.YearDay()), kappa)
}

// coldOffset is the space's own drainage offset [K]: prior 0 with a spread,
// colder where the grower tapped "cold air comes from here".
func (b *builder) coldOffset() float64 {
	k := coldSpreadK * b.draw.Cold
	if b.space.ColdSpot || b.space.ColdAirFrom != "" {
		k -= coldSpotK * (1 - b.turned())
	}
	return k
}

// turned is the share of the cold air flowing in from its side that wind panels there
// turn aside; 0 where the side is not known.
func (b *builder) turned() float64 {
	from := b.space.ColdAirFrom
	if from == "" {
		return 0
	}
	for _, sh := range b.space.Shelters {
		if sh.What == site.Panel && math.Cos((sh.From.Deg()-from.Deg())*math.Pi/180) > 0.7 {
			return panelTurns
		}
	}
	return 0
}

// above mixes the sky with the walls and trees that take part of the view.
func (b *builder) above(skyWM2, airC float64) float64 {
	v := b.shape.SkyView * skyWM2
	for _, w := range b.shape.Walls {
		t := airC + wallWarmK
		sh := b.space.Shelters[w.Shelter]
		switch {
		case sh.SurfaceC != nil:
			t = *sh.SurfaceC
		case sh.Heated:
			t = airC + heatedWarmK
		case sh.What == site.Hedge || sh.What == site.Trees:
			t = airC
		}
		v += w.Share * 0.95 * stefan(t)
		v += w.Share * 0.05 * skyWM2
	}
	// what neither sky nor walls fill (a view given by the grower): trees at air temperature
	sum := b.shape.SkyView
	for _, w := range b.shape.Walls {
		sum += w.Share
	}
	if sum < 1 {
		v += (1 - sum) * stefan(airC)
	}
	return v
}

func stefan(tC float64) float64 { return 5.670374419e-8 * math.Pow(tC+273.15, 4) }

// windShare is the wind left behind the shelters on the side it comes from.
// A solid or half-open screen takes most of the wind within five heights and
// little beyond twenty (measured nets: -40 % at 6 heights, -20 % at 20;
// doc/SOURCES.md, facts 2.2).
func (b *builder) windShare(from float64) float64 {
	if math.IsNaN(from) {
		return 1
	}
	left := 1.0
	for _, sh := range b.space.Shelters {
		off := math.Abs(math.Mod(sh.From.Deg()-from+540, 360) - 180)
		side := math.Max(0, math.Cos(off*math.Pi/180))
		depth := 0.7
		if sh.What == site.Hedge || sh.What == site.Trees || sh.What == site.Fence {
			depth = 0.55
		}
		h := math.Max(sh.HeightM, 0.1)
		left *= 1 - depth*side*math.Exp(-sh.DistanceM/h/12)
	}
	return left
}

// hemWind is the wind pressing on this cell's open side [m/s], at half a metre.
func (b *builder) hemWind(wind, from float64) float64 {
	low := air.LogProfile(wind, windM, math.Max(0.5, 2*Roughness(b.scene.Site.Surroundings)), Roughness(b.scene.Site.Surroundings))
	if !b.shape.Edge || math.IsNaN(from) {
		return 0.5 * low
	}
	off := (b.shape.Facing.Deg() - from) * math.Pi / 180
	return low * math.Max(0.2, math.Cos(off)) // the lee hem still breathes
}

// sunlight takes off the shadow of shelters that stand before the sun.
func (b *builder) sunlight(r weather.Row, p sun.Place) float64 {
	if r.SunWM2 <= 0 || len(b.space.Shelters) == 0 {
		return math.Max(r.SunWM2, 0)
	}
	a := sun.Position(r.Time, p, r.PressureHPa*100, r.AirC)
	high := 90 - a.ZenithDeg
	for _, sh := range b.space.Shelters {
		off := math.Abs(math.Mod(sh.From.Deg()-a.AzimuthDeg+540, 360) - 180)
		reach := math.Atan2(sh.HeightM, math.Max(sh.DistanceM+b.space.WidthM/2, 0.1)) * 180 / math.Pi
		if off < 60 && high < reach {
			return 0.3 * r.SunWM2 // the diffuse part, judgement
		}
	}
	return r.SunWM2
}

// spinDays is how long a cell runs before the first hour that counts [days].
const spinDays = 5

// spinUp returns the samples to run before the first hour that counts, ending
// with that hour, and how many days of it only repeat the first day at hand. A
// series shorter than a day is not repeated: a night after a night would freeze
// what the sun has warmed.
func spinUp(s []heat.Sample, step time.Duration, before int) (warm []heat.Sample, repeated int) {
	perDay := max(int(24*time.Hour/step), 1)
	if len(s) >= perDay {
		repeated = max(spinDays-before/perDay, 0)
	}
	for range repeated {
		warm = append(warm, s[:perDay]...)
	}
	return append(warm, s[:before+1]...), repeated
}
