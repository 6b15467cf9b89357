package weather

import (
	"fmt"
	"math"
	"time"

	"example.org/coldnight/measure"
	"example.org/coldnight/physics/sun"
)

// What is assumed when a source says nothing. All judgement; each is said in the
// words Complete returns.
const (
	assumedWindMS    = 1.5 // light air: neither the dead calm that frosts most nor a mixing wind
	assumedGust      = 1.6 // gust over mean wind in open country
	assumedCloud     = 0.3 // a freeze comes with a mostly clear sky
	dewBelowMinimumK = 1   // dew point under the day's minimum: 0 in humid air, 2 to 3 in dry (FAO56 Eq 48)
	patience         = 6 * time.Hour
)

// UnitsDoubt begins the note of a series whose degrees look like those of another scale: whoever shows notes shows it
// first.
const UnitsDoubt = "check the units"

// Complete returns the series with every column finite and every value (but
// rain, a sum) an instant at its stamp, and says in words what was estimated.
// lat, lon in degrees (north, east), elev in metres. The step stays the series'
// own; a series without any air temperature comes back without rows. The series
// itself is not changed.
//
// Order: pressure from the height; dew point from the day's minimum; cloud from
// the longwave or the day's sun, else a guess; sun from cloud; longwave from the default sky of
// physics/sky; wind, gust, soil by stated assumptions.
func (s Series) Complete(lat, lon, elev float64) (Series, []string) {
	out := s.Clone()
	if !out.Given(Air) {
		out.Rows = nil
		return out, []string{"no air temperature given: nothing can be computed"}
	}
	p := place{lat: lat, lon: lon, elev: elev}
	out.fillBridges(Air)
	said := out.toInstants(p.clearSun())
	said = append(said, out.completeAir()...)
	said = append(said, out.hotWinter(p)...)
	said = append(said, out.completePressure(p)...)
	said = append(said, out.completeDew()...)
	said = append(said, out.completeCloudAndSun(p)...)
	said = append(said, out.completeWind()...)
	said = append(said, out.completeWater()...)
	said = append(said, out.completeSoil()...)
	said = append(said, out.completeLongwave(p)...)
	return out, said
}

// fillBridges joins holes of a column by straight lines where the hole is short
// enough to be patient with, and counts the values filled.
func (s *Series) fillBridges(c Column) int {
	filled, last := 0, -1
	for i := range s.Rows {
		v := *s.Rows[i].At(c)
		if math.IsNaN(v) {
			continue
		}
		if last >= 0 && i > last+1 && s.Rows[i].Time.Sub(s.Rows[last].Time) <= max(patience, 2*s.Step) {
			for k := last + 1; k < i; k++ {
				w := float64(k-last) / float64(i-last)
				r := between(s.Rows[last], s.Rows[i], w)
				*s.Rows[k].At(c) = *r.At(c)
				filled++
			}
		}
		last = i
	}
	return filled
}

// missing counts rows without a value in column c.
func (s *Series) missing(c Column) int {
	n := 0
	for i := range s.Rows {
		if math.IsNaN(*s.Rows[i].At(c)) {
			n++
		}
	}
	return n
}

// estimate fills what is missing in column c and says so. how is the sentence's
// end; value gives the number for row i.
func (s *Series) estimate(c Column, how string, value func(i int) float64) []string {
	var said []string
	if n := s.fillBridges(c); n > 0 {
		said = append(said, fmt.Sprintf("%s: %d values in short holes on straight lines", c, n))
	}
	n := s.missing(c)
	if n == 0 {
		return said
	}
	which := "not given"
	if n < len(s.Rows) {
		which = fmt.Sprintf("not given in %d of %d rows", n, len(s.Rows))
	}
	for i := range s.Rows {
		if at := s.Rows[i].At(c); math.IsNaN(*at) {
			*at = value(i)
		}
	}
	return append(said, fmt.Sprintf("%s %s: %s", c, which, how))
}

// completeAir carries the nearest value over what no straight line could fill.
func (s *Series) completeAir() []string {
	return s.estimate(Air, "the nearest value carried on", func(i int) float64 {
		for d := 1; d < len(s.Rows); d++ {
			for _, j := range []int{i - d, i + d} {
				if j >= 0 && j < len(s.Rows) && !math.IsNaN(s.Rows[j].AirC) {
					return s.Rows[j].AirC
				}
			}
		}
		return 0 // not reached: Complete has seen a value
	})
}

// hotWinter warns of °F called °C that stayed below every record: a freeze of 28 °F
// reads as a summer day, but not in winter.
func (s *Series) hotWinter(p place) []string {
	if said := s.warmWinterNights(p); said != nil {
		return said
	}
	const hottestWinterC = 38
	for _, r := range s.Rows {
		m := r.Time.Month()
		winter := p.lat > 20 && (m >= time.November || m <= time.February) || p.lat < -20 && m >= time.May && m <= time.August
		if winter && r.AirC > hottestWinterC {
			return []string{fmt.Sprintf(UnitsDoubt+": air_c reaches %.0f °C on %s, in the middle of winter: are these °F? (%.0f °F is %.0f °C)", r.AirC, r.Time.Format("2006-01-02"), r.AirC, float64(measure.FromFahrenheit(r.AirC)))}
		}
	}
	return nil
}

// warmWinterNights warns of winter nights that all stay warm, where the same values
// read as °F would hold a cold one. Warm coasts have such nights in truth, so that it
// only asks.
func (s *Series) warmWinterNights(p place) []string {
	const (
		leastLatitude = 25
		warmC         = 18 // no night of a winter that somebody covers for
		coldC         = 5  // read as °F, a night to plan for
	)
	if math.Abs(p.lat) < leastLatitude {
		return nil
	}
	where := sun.Place{LatDeg: p.lat, LonDeg: p.lon, ElevM: p.elev}
	coldest := math.Inf(1) // of the dark hours of winter: of the coldest night
	for _, r := range s.Rows {
		m := r.Time.UTC().Month()
		winter := p.lat > 0 && (m >= time.November || m <= time.March) || p.lat < 0 && m >= time.May && m <= time.September
		if winter && r.AirC < coldest && (r.SunWM2 == 0 || sun.Position(r.Time, where, 100*p.pressureHPa(), r.AirC).ZenithDeg > 90) {
			coldest = r.AirC
		}
	}
	read := float64(measure.FromFahrenheit(coldest))
	if math.IsInf(coldest, 1) || coldest <= warmC || read > coldC {
		return nil
	}
	n := math.Floor(coldest)
	return []string{fmt.Sprintf(UnitsDoubt+": the forecast's nights stay above %.0f °C in winter: are these °F? (%.0f °F is %.0f °C)", n, n, float64(measure.FromFahrenheit(n)))}
}

func (s *Series) completePressure(p place) []string {
	return s.estimate(Pressure, fmt.Sprintf("the standard pressure at %.0f m", p.elev), func(int) float64 { return p.pressureHPa() })
}

// completeDew takes the dew point a little under the lowest temperature of the
// day around the hour: the night cools until the air is nearly saturated.
func (s *Series) completeDew() []string {
	low := s.lowestWithin(12 * time.Hour)
	said := s.estimate(Dew, fmt.Sprintf("humidity is a guess: dew point %d K under the lowest air temperature within 12 hours", dewBelowMinimumK),
		func(i int) float64 { return low[i] - dewBelowMinimumK })
	for i := range s.Rows {
		s.Rows[i].DewC = min(s.Rows[i].DewC, s.Rows[i].AirC)
	}
	return said
}

// lowestWithin gives for each row the lowest air temperature within reach of it.
func (s *Series) lowestWithin(reach time.Duration) []float64 {
	out := make([]float64, len(s.Rows))
	var queue []int // rows of rising temperature, a sliding-window minimum
	right := 0
	for i := range s.Rows {
		t := s.Rows[i].Time
		for ; right < len(s.Rows) && s.Rows[right].Time.Sub(t) <= reach; right++ {
			for len(queue) > 0 && s.Rows[queue[len(queue)-1]].AirC >= s.Rows[right].AirC {
				queue = queue[:len(queue)-1]
			}
			queue = append(queue, right)
		}
		for t.Sub(s.Rows[queue[0]].Time) > reach {
			queue = queue[1:]
		}
		out[i] = s.Rows[queue[0]].AirC
	}
	return out
}

// completeCloudAndSun fills the cloud from the longwave where that is given, else
// from the day's sun (the night takes the cloud of the nearest daylight), and the
// sun from the cloud.
func (s *Series) completeCloudAndSun(p place) []string {
	clear := p.clearSun()
	top := make([]float64, len(s.Rows))
	dark := 0
	for i, r := range s.Rows {
		top[i] = clear.at(r.Time)
		if r.SunWM2 > 25 && top[i] == 0 && clear.at(r.Time.Add(s.Step)) == 0 && clear.at(r.Time.Add(-s.Step)) == 0 {
			dark++
		}
	}
	var said []string
	if dark > 0 {
		said = append(said, fmt.Sprintf("sun_w_m2: %d rows have sunshine while the sun is down at this place: check the clock, the zone and the place", dark))
	}
	if s.Given(Longwave) && s.missing(Cloud) > 0 {
		cloud, used := p.cloudFromLongwave(), 0
		for i := range s.Rows {
			if r := &s.Rows[i]; math.IsNaN(r.CloudFrac) && !math.IsNaN(r.LongwaveWM2) {
				r.CloudFrac = cloud(*r)
				used++
			}
		}
		if used > 0 {
			said = append(said, fmt.Sprintf("cloud_frac not given in %d rows: the cover at which the default sky sends the longwave given", used))
		}
	}
	if s.Given(Sun) && s.missing(Cloud) > 0 {
		byDay := make([]float64, len(s.Rows))
		for i, r := range s.Rows {
			byDay[i] = math.NaN()
			if top[i] > 80 && !math.IsNaN(r.SunWM2) {
				byDay[i] = sun.CloudFromSun(r.SunWM2 / top[i])
			}
		}
		near := nearestFinite(s.Rows, byDay, 18*time.Hour)
		used := 0
		for i := range s.Rows {
			if c := &s.Rows[i].CloudFrac; math.IsNaN(*c) && !math.IsNaN(near[i]) {
				*c = near[i]
				used++
			}
		}
		if used > 0 {
			said = append(said, fmt.Sprintf("cloud_frac not given in %d rows: from the day's sun against a clear sky, the nights from the nearest daylight; a night's true cloud may be anything", used))
		}
	}
	said = append(said, s.estimate(Cloud, fmt.Sprintf("a guess, %g of the sky: freezes mostly come with a clear sky, and between clear and overcast lie 50 to 90 W/m² of sky", assumedCloud),
		func(int) float64 { return assumedCloud })...)
	for i := range s.Rows { // no straight lines for the sun
		if r := &s.Rows[i]; math.IsNaN(r.SunWM2) && top[i] == 0 {
			r.SunWM2 = 0
		}
	}
	if n := s.missing(Sun); n > 0 {
		for i := range s.Rows {
			if r := &s.Rows[i]; math.IsNaN(r.SunWM2) {
				r.SunWM2 = top[i] * sun.ThroughCloud(r.CloudFrac)
			}
		}
		said = append(said, fmt.Sprintf("sun_w_m2 not given in %d daylight rows: from a clear sky and the cloud", n))
	}
	return said
}

// nearestFinite gives each row the finite value nearest in time, within reach.
func nearestFinite(rows []Row, v []float64, reach time.Duration) []float64 {
	out := make([]float64, len(v))
	last := -1
	for i := range v { // looking back
		out[i] = math.NaN()
		if !math.IsNaN(v[i]) {
			last = i
		}
		if last >= 0 && rows[i].Time.Sub(rows[last].Time) <= reach {
			out[i] = v[last]
		}
	}
	next := -1
	for i := len(v) - 1; i >= 0; i-- { // looking ahead, where that is nearer
		if !math.IsNaN(v[i]) {
			next, last = i, i
		}
		if next < 0 || rows[next].Time.Sub(rows[i].Time) > reach {
			continue
		}
		back := reach + 1
		for j := i; j >= 0 && rows[i].Time.Sub(rows[j].Time) <= reach && rows[i].Time.Sub(rows[j].Time) < rows[next].Time.Sub(rows[i].Time); j-- {
			if !math.IsNaN(v[j]) {
				back = rows[i].Time.Sub(rows[j].Time)
				break
			}
		}
		if rows[next].Time.Sub(rows[i].Time) < back {
			out[i] = v[next]
		}
	}
	return out
}

func (s *Series) completeWind() []string {
	said := s.estimate(Wind, fmt.Sprintf("light air of %g m/s at 10 m assumed throughout", assumedWindMS), func(int) float64 { return assumedWindMS })
	said = append(said, s.estimate(Gust, fmt.Sprintf("%g times the mean wind", assumedGust), func(i int) float64 { return assumedGust * s.Rows[i].WindMS })...)
	for i := range s.Rows {
		s.Rows[i].GustMS = max(s.Rows[i].GustMS, s.Rows[i].WindMS)
	}
	last := math.NaN()
	return append(said, s.estimate(WindFrom, "the last known direction, north before there is one; no edge can be called windward by it", func(i int) float64 {
		for j := i - 1; j >= 0 && math.IsNaN(last); j-- {
			last = s.Rows[j].WindFromDeg
		}
		if i > 0 && !math.IsNaN(s.Rows[i-1].WindFromDeg) {
			last = s.Rows[i-1].WindFromDeg
		}
		if math.IsNaN(last) {
			return 0
		}
		return last
	})...)
}

// completeWater takes missing rain and snow as none.
func (s *Series) completeWater() []string {
	var said []string
	for _, c := range []Column{Rain, Snow} {
		n := s.missing(c)
		if n == 0 {
			continue
		}
		for i := range s.Rows {
			if at := s.Rows[i].At(c); math.IsNaN(*at) {
				*at = 0
			}
		}
		if n == len(s.Rows) {
			said = append(said, fmt.Sprintf("%s not given: none assumed", c))
		}
	}
	return said
}

// completeSoil takes the soil at 10 cm as the mean of the air of the last three
// days, weighted towards the newest; in the first day the mean of that day.
func (s *Series) completeSoil() []string {
	if s.missing(Soil10) == 0 {
		return nil
	}
	const memory = 72 * time.Hour
	start, n := 0.0, 0
	for _, r := range s.Rows {
		if r.Time.Sub(s.Rows[0].Time) < 24*time.Hour {
			start += r.AirC
			n++
		}
	}
	mean := start / float64(n)
	slow := make([]float64, len(s.Rows))
	for i, r := range s.Rows {
		if i > 0 {
			mean += (r.AirC - mean) * (1 - math.Exp(-r.Time.Sub(s.Rows[i-1].Time).Hours()/memory.Hours()))
		}
		slow[i] = mean
	}
	return s.estimate(Soil10, "the mean of the air of the last three days", func(i int) float64 { return slow[i] })
}

func (s *Series) completeLongwave(p place) []string {
	how, of := p.longwave()
	return s.estimate(Longwave, how, func(i int) float64 { return of(s.Rows[i], s.Rows[i].CloudFrac) })
}
