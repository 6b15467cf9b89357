package demo

import (
	"math"
	"math/rand/v2"
	"strconv"
	"time"

	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/sun"
)

// Days is how many days [Weather] makes: three that are past when the demo looks,
// and seven ahead.
const Days = 10

// span is one day's coldest and warmest air [°C]; the coldest comes at sunrise.
type span struct{ minC, maxC float64 }

// days are the ten days and the morning after them. Invented: mild days, one
// night of radiation frost, a cold front with three nights of windy freeze, and
// mild days again.
func days() [Days + 1]span {
	return [...]span{
		{6.5, 17}, {7.5, 18}, {6, 16}, // seen already
		{3.5, 14},                       // dry air comes in, the sky clears
		{-2.8, 12.5},                    // a still clear night; the front towards evening
		{-6, 3}, {-7.2, 2.5}, {-6.3, 5}, // windy freeze
		{1, 10}, {3, 14}, {5, 15},
	}
}

// anchor is what else the weather is at one hour; between anchors everything but
// the direction runs straight, and the direction takes the shorter way round.
type anchor struct {
	hour        float64 // since the start
	dewC        float64
	windMS      float64 // at 10 m
	fromDeg     float64
	cloud       float64 // 0..1
	rainMMH     float64
	pressureHPa float64 // at the nursery
}

func anchors() []anchor {
	return []anchor{
		{0, 4, 2, 320, 0.5, 0, 925},
		{14, 6, 4, 320, 0.6, 0, 924},
		{24, 5, 2, 310, 0.7, 0, 923},
		{30, 6, 2.5, 300, 0.9, 0.4, 922},
		{36, 5, 4, 250, 0.6, 0, 924},
		{54, 3, 2.5, 220, 0.4, 0, 927},
		{62, 2, 4, 200, 0.3, 0, 928},
		{72, 1, 2.5, 190, 0.15, 0, 930},
		{84, -3, 3, 180, 0.1, 0, 932},
		// the radiation night: nearly calm, clear, dry
		{90, -4.5, 1.1, 170, 0.03, 0, 932},
		{94, -5.5, 0.8, 160, 0.02, 0, 932},
		{102, -6, 0.7, 150, 0.03, 0, 930},
		{106, -5.5, 1.8, 340, 0.2, 0, 927},
		{110, -2, 5, 320, 0.5, 0, 922},
		// the front, with rain before the cold
		{112, 0, 6.5, 300, 0.8, 0, 919},
		{114, 2, 8, 280, 1, 2.4, 917},
		{117, 0.5, 10, 240, 1, 1.6, 917},
		{119, -2, 10.5, 225, 0.9, 0, 918},
		{122, -6, 11, 210, 0.6, 0, 921},
		{126, -10, 9, 205, 0.25, 0, 923},
		{134, -11, 10, 205, 0.35, 0, 924},
		{142, -12, 9, 200, 0.15, 0, 925},
		{150, -13.5, 8, 200, 0.1, 0, 926},
		{158, -12.5, 9, 205, 0.2, 0, 926},
		{166, -12, 7.5, 200, 0.1, 0, 928},
		{174, -11.5, 6.5, 195, 0.1, 0, 930},
		// it lets go
		{182, -9, 5.5, 220, 0.3, 0, 930},
		{190, -5, 3.5, 280, 0.8, 0, 928},
		{198, -1, 3, 310, 0.9, 0, 926},
		{216, 2, 2.5, 320, 0.6, 0, 925},
		{240, 4, 2.5, 320, 0.5, 0, 924},
	}
}

// Shape of the day, and sizes of what is drawn.
const (
	lagH   = 1.86 // the warmest hour after noon [h]: Parton & Logan 1981, air at 1.5 m
	decay  = 2.20 // fall through the night: the same
	gusty  = 1.55 // gust over mean wind in open country, invented
	airK   = 0.3  // standard deviation of what is added to air and dew point [K], invented
	windLn = 0.15 // of the logarithm of the wind, invented
	cloudy = 0.04 // of the cloud, invented
	memory = 0.8  // correlation from hour to hour, invented
)

// Weather returns ten invented days of hourly values from start, a midnight on
// the valley's clock as [Start] gives it; the seed draws the small irregularities.
// Rows after [Now] are what a forecast issued that morning says.
//
// Equations. Air by day, of length D [h], m hours after sunrise, and by night, of
// length N, n hours after sunset (Parton & Logan 1981, its night made to end
// exactly on the next minimum, Tn):
//
//	T = Tmin + (Tmax - Tmin) sin(π m / (D + 2a))             a = 1.86
//	T = Tn + (Tset - Tn) (e^(-b n/N) - e^-b) / (1 - e^-b)    b = 2.20
//
// Dew point, wind, direction, cloud, rain and pressure run straight between the
// anchors above. To air, dew point, ln wind and cloud a first-order process is
// added, x(i+1) = r x(i) + sqrt(1-r²) z with r = 0.8; the gust is 1.55 times the
// wind, times one more draw. Sunshine and longwave are left to
// [weather.Series.Complete].
func Weather(start time.Time, seed uint64) weather.Series {
	start = start.In(clock())
	r := rand.New(rand.NewPCG(seed, 1))
	s := weather.Series{
		Source: "invented weather of the demo, not a measurement", Station: "an invented valley",
		Issued: issued(start), Step: time.Hour, Interval: weather.Instant,
		ByColumn: map[weather.Column]weather.Interval{weather.Rain: weather.MeanEnding},
	}
	course := newCourse(start)
	var air, dew, wind, cloud wander
	for h := range Days*24 + 1 {
		row := weather.EmptyRow(start.Add(time.Duration(h) * time.Hour))
		a := between(float64(h))
		row.AirC = tenths(course.at(float64(h)) + airK*air.next(r))
		row.DewC = math.Min(tenths(a.dewC+airK*dew.next(r)), row.AirC)
		row.WindMS = tenths(a.windMS * math.Exp(windLn*wind.next(r)))
		row.WindFromDeg = math.Round(math.Mod(a.fromDeg+8*r.NormFloat64()+360, 360))
		row.GustMS = tenths(row.WindMS * math.Max(1.2, gusty+0.1*r.NormFloat64()))
		row.CloudFrac = math.Round(100*math.Min(math.Max(a.cloud+cloudy*cloud.next(r), 0), 1)) / 100
		row.RainMM = tenths(a.rainMMH)
		row.PressureHPa = tenths(a.pressureHPa)
		s.Rows = append(s.Rows, row)
	}
	return s
}

// wander is the first-order process of [Weather], with mean 0 and variance 1.
type wander struct {
	x       float64
	started bool
}

func (w *wander) next(r *rand.Rand) float64 {
	z := r.NormFloat64()
	if !w.started {
		w.x, w.started = z, true
		return z
	}
	w.x = memory*w.x + math.Sqrt(1-memory*memory)*z
	return w.x
}

// course is the daily course of the air.
type course struct {
	days      [Days + 1]span
	rise, set [Days + 1]float64 // hours since the start
}

func newCourse(start time.Time) course {
	c := course{days: days()}
	p := sun.Place{LatDeg: latDeg, LonDeg: lonDeg, ElevM: elevM}
	for d := range c.days {
		rise, _, set, _ := sun.RiseSet(start.AddDate(0, 0, d), p)
		c.rise[d], c.set[d] = rise.Sub(start).Hours(), set.Sub(start).Hours()
	}
	return c
}

// at returns the air [°C] at an hour since the start.
func (c *course) at(hour float64) float64 {
	d := min(int(hour/24), Days)
	switch {
	case hour < c.rise[d]:
		if d == 0 { // the night before the start: as the night after that day
			return c.night(0, hour+24)
		}
		return c.night(d-1, hour)
	case hour <= c.set[d] || d == Days:
		return c.light(d, hour)
	}
	return c.night(d, hour)
}

// light is the air of day d [°C].
func (c *course) light(d int, hour float64) float64 {
	// Parton & Logan 1981, day
	return c.days[d].minC + (c.days[d].maxC-c.days[d].minC)*math.Sin(math.Pi*(hour-c.rise[d])/(c.set[d]-c.rise[d]+2*lagH))
}

// night is the air after sunset of day d [°C].
func (c *course) night(d int, hour float64) float64 {
	x := (hour - c.set[d]) / (c.rise[d+1] - c.set[d])
	low := c.days[d+1].minC
	// Parton & Logan 1981, night; ends at low
	return low + (c.light(d, c.set[d])-low)*(math.Exp(-decay*x)-math.Exp(-decay))/(1-math.Exp(-decay))
}

// between returns the anchor values at an hour since the start.
func between(hour float64) anchor {
	all := anchors()
	i := 1
	for i < len(all)-1 && all[i].hour < hour {
		i++
	}
	a, b := all[i-1], all[i]
	w := math.Min((hour-a.hour)/(b.hour-a.hour), 1)
	mix := func(x, y float64) float64 { return x + w*(y-x) }
	turn := math.Mod(b.fromDeg-a.fromDeg+540, 360) - 180
	return anchor{
		hour: hour, dewC: mix(a.dewC, b.dewC), windMS: mix(a.windMS, b.windMS), fromDeg: a.fromDeg + w*turn,
		cloud: mix(a.cloud, b.cloud), rainMMH: mix(a.rainMMH, b.rainMMH), pressureHPa: mix(a.pressureHPa, b.pressureHPa),
	}
}

// tenths rounds to what the CSV writes, so that reading it back loses nothing.
func tenths(v float64) float64 { return math.Round(10*v) / 10 }

// CSV writes the series of [Weather] as the text [weather.ReadCSV] reads.
func CSV(s weather.Series) []byte {
	out := []byte("# Invented for the demo: no value was measured anywhere.\n" +
		"# source: " + s.Source + "\n# station: " + s.Station + "\n# issued: " + s.Issued.Format(time.RFC3339) +
		"\n# interval: " + s.Interval.String() + "\n# interval rain_mm: " + s.IntervalOf(weather.Rain).String() + "\n")
	columns := [...]weather.Column{
		weather.Air, weather.Dew, weather.Wind, weather.WindFrom, weather.Gust, weather.Cloud, weather.Rain, weather.Pressure,
	}
	out = append(out, "time"...)
	for _, c := range columns {
		out = append(out, ","+c.String()...)
	}
	for i := range s.Rows {
		out = append(out, '\n')
		out = s.Rows[i].Time.AppendFormat(out, time.RFC3339)
		for _, c := range columns {
			out = strconv.AppendFloat(append(out, ','), *s.Rows[i].At(c), 'f', -1, 64)
		}
	}
	return append(out, '\n')
}
