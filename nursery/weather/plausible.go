package weather

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/coldnight/measure"
)

// Bounds no weather station has seen crossed by much: the coldest and hottest
// screen temperatures on record are -89.2 and +56.7 °C (WMO archive of weather
// extremes); the warmest night is a little above 42 °C.
const (
	hottestC      = 58
	coldestC      = -90
	warmestNightC = 44
)

// implausible tells what is wrong with one value, and what was probably meant;
// empty when the value can be true.
func implausible(c Column, v float64) (what, do string) {
	say := func(format string, args ...any) string { return fmt.Sprintf("%g ", v) + fmt.Sprintf(format, args...) }
	switch c {
	case Air, Dew:
		switch {
		case v > 200 && v < 330:
			return say("°C cannot be"), fmt.Sprintf("it looks like kelvin: as °C it would be %.1f", v-273.15)
		case v > hottestC:
			return say("°C is hotter than any air on record"), fmt.Sprintf("it looks like °F given as °C: %g °F is %.1f °C; convert the column", v, float64(measure.FromFahrenheit(v)))
		case v < coldestC:
			return say("°C is colder than any air on record"), "leave the field empty when the value is missing"
		}
	case Wind, Gust:
		switch {
		case v < 0:
			return say("m/s is below zero"), "leave the field empty when the value is missing"
		case c == Wind && v > 75, v > 115:
			return say("m/s is more than a hurricane"), "is this the direction, or a speed in km/h or mph?"
		}
	case WindFrom:
		if v < 0 || v > 360 {
			return say("° is not a direction"), "directions go from 0 to 360, north is 0, east 90"
		}
	case Cloud:
		switch {
		case v < 0:
			return say("is not a share of the sky"), "give 0 (clear) to 1 (overcast)"
		case v > 1.02 && v <= 8:
			return say("is not a share of the sky"), "it looks like eighths or tenths: give 0 (clear) to 1 (overcast)"
		case v > 1.02:
			return say("is not a share of the sky"), "it looks like percent: divide by 100"
		}
	case Sun:
		switch {
		case v < -20:
			return say("W/m² of sun is below zero"), "is this net radiation? give the sun falling on level ground"
		case v > 1700:
			return say("W/m² is more than the sun gives"), "is this kJ/m² or J/m²? divide by the seconds of the step"
		}
	case Longwave:
		if v < 60 || v > 700 {
			return say("W/m² cannot come from a sky"), "give the whole downward longwave (150 to 450), not the net; or are longwave_w_m2 and sun_w_m2 swapped?"
		}
	case Rain:
		if v < 0 || v > 500 {
			return say("mm in one step cannot be"), "give what fell in each step, in mm, not the running total"
		}
	case Snow:
		if v < 0 || v > 1500 {
			return say("cm of snow cannot be"), "give the depth of lying snow in cm"
		}
	case Pressure:
		switch {
		case v > 20000 && v < 110000:
			return say("hPa cannot be"), "it looks like Pa: divide by 100"
		case v > 20 && v < 33:
			return say("hPa cannot be"), "it looks like inches of mercury: multiply by 33.864"
		case v > 33 && v < 110:
			return say("hPa cannot be"), "it looks like kPa: multiply by 10"
		case v < 450 || v > 1100:
			return say("hPa cannot be"), "give the pressure at the station in hPa"
		}
	case Soil10:
		if v < -50 || v > 65 {
			return say("°C cannot be at 10 cm in soil"), "is it °F?"
		}
	}
	return "", ""
}

// tidy clamps what instruments overshoot by a little.
func tidy(r *Row) {
	if r.CloudFrac > 1 && r.CloudFrac <= 1.02 {
		r.CloudFrac = 1
	}
	if r.SunWM2 < 0 && r.SunWM2 >= -20 { // thermal offset of pyranometers at night
		r.SunWM2 = 0
	}
	if r.WindFromDeg == 360 {
		r.WindFromDeg = 0
	}
}

// plausible checks one row of the CSV, where the line is still known.
func (c *csvReader) plausible(r *Row, rh *float64, line int) error {
	for col := range NColumns {
		v := *r.At(col)
		if math.IsNaN(v) {
			continue
		}
		if what, do := implausible(col, v); what != "" {
			return c.refuse(line, c.fieldOf(col)+1, col.String(), what, do)
		}
	}
	tidy(r)
	if !math.IsNaN(*rh) {
		if *rh < 0 || *rh > 110 {
			return c.refuse(line, c.rhAt+1, "rh_pct", fmt.Sprintf("%g is not a relative humidity", *rh), "give percent, 0 to 100")
		}
		if *rh > 100 {
			c.repaired("rh_pct above 100 taken as 100", line)
			*rh = 100
		}
		c.rhRows++
		c.rhMax = max(c.rhMax, *rh)
	}
	return nil
}

func (c *csvReader) fieldOf(col Column) int {
	for i, x := range c.columns {
		if x == col {
			return i
		}
	}
	return 0
}

// settle is the last step of every reader: checks over the whole series, holes,
// the even step. Rows must be in time order without duplicates.
func (s *Series) settle() error {
	if len(s.Rows) == 0 {
		return &Refusal{What: "no rows", Do: "give at least the hours of one night"}
	}
	for i := range s.Rows {
		r := &s.Rows[i]
		for c := range NColumns {
			v := *r.At(c)
			if math.IsNaN(v) {
				continue
			}
			if what, do := implausible(c, v); what != "" || math.IsInf(v, 0) {
				return &Refusal{Place: c.String() + " at " + r.Time.Format(time.RFC3339), What: what, Do: do}
			}
		}
		tidy(r)
	}
	if err := s.airHoles(); err != nil {
		return err
	}
	if err := s.pairs(); err != nil {
		return err
	}
	if err := s.warmNights(); err != nil {
		return err
	}
	return s.regularise()
}

// settleForecast is settle for what a service sends: a hole a day or more ahead
// ends the forecast there instead of refusing tonight with it.
func (s *Series) settleForecast() error {
	whole := s.Clone()
	err := s.settle()
	var hole *gapError
	if !errors.As(err, &hole) || hole.from.Sub(whole.Rows[0].Time) < 24*time.Hour {
		return err
	}
	cut := slices.IndexFunc(whole.Rows, func(r Row) bool { return r.Time.After(hole.from) })
	*s = whole
	s.Rows = s.Rows[:cut]
	s.Notes = append(s.Notes, "the forecast is used up to "+hole.from.Format(time.RFC3339)+" only: "+hole.Error())
	return s.settle()
}

// pairs looks at columns that bound each other: dew point and air, gust and wind.
func (s *Series) pairs() error {
	var both, dewAbove, gusts, gustBelow int
	worst, at := 0.0, time.Time{}
	for _, r := range s.Rows {
		if !math.IsNaN(r.DewC) {
			both++
			if d := r.DewC - r.AirC; d > 0.2 {
				dewAbove++
				if d > worst {
					worst, at = d, r.Time
				}
			}
		}
		if !math.IsNaN(r.GustMS) && !math.IsNaN(r.WindMS) {
			gusts++
			if r.GustMS < r.WindMS {
				gustBelow++
			}
		}
	}
	if both > 0 && dewAbove > both/2 && worst > 0.5 {
		return &Refusal{Place: "air_c and dew_c", What: fmt.Sprintf("the dew point is above the air in %d of %d rows", dewAbove, both), Do: "the two columns look swapped"}
	}
	if worst > 3 {
		return &Refusal{Place: "dew_c at " + at.Format(time.RFC3339), What: fmt.Sprintf("the dew point is %.1f K above the air, which cannot be", worst), Do: "leave the field empty when the value is wrong"}
	}
	if gusts >= 6 && gustBelow > gusts*3/4 {
		return &Refusal{Place: "wind_m_s and gust_m_s", What: fmt.Sprintf("the gust is below the mean wind in %d of %d rows", gustBelow, gusts), Do: "the two columns look swapped"}
	}
	if dewAbove > 0 || gustBelow > 0 {
		for i := range s.Rows {
			r := &s.Rows[i]
			if r.DewC > r.AirC {
				r.DewC = r.AirC
			}
			if r.GustMS < r.WindMS {
				r.GustMS = r.WindMS
			}
		}
	}
	if dewAbove > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("dew point above the air by up to %.1f K in %d rows: taken as saturated", worst, dewAbove))
	}
	if gustBelow > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("gust below the mean wind in %d rows: taken as the mean wind", gustBelow))
	}
	return nil
}

// warmNights refuses a record whose nights are warmer than any on earth: a °F
// column called °C.
func (s *Series) warmNights() error {
	const day = 24 * time.Hour
	start, low, lowAt := 0, math.Inf(1), time.Time{}
	for i, r := range s.Rows {
		if r.AirC < low {
			low, lowAt = r.AirC, r.Time
		}
		if r.Time.Sub(s.Rows[start].Time) < day && (i < len(s.Rows)-1 || r.Time.Sub(s.Rows[start].Time) < 20*time.Hour) {
			continue
		}
		if low > warmestNightC {
			return &Refusal{
				Place: "air_c at " + lowAt.Format(time.RFC3339),
				What:  fmt.Sprintf("the coldest hour of a whole day is %.1f °C, warmer than any night on record", low),
				Do:    fmt.Sprintf("it looks like °F given as °C (%.0f °F is %.1f °C): convert the column", low, float64(measure.FromFahrenheit(low))),
			}
		}
		start, low = i, math.Inf(1)
	}
	return nil
}

// airHoles fills short holes of the air temperature and drops rows before the
// first and after the last one.
func (s *Series) airHoles() error {
	first, last := -1, -1
	for i, r := range s.Rows {
		if !math.IsNaN(r.AirC) {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	if first < 0 {
		return &Refusal{Place: "air_c", What: "no row has an air temperature", Do: "everything else can be estimated, this cannot: fetch it again or use another source"}
	}
	if cut := first + len(s.Rows) - 1 - last; cut > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("%d rows without air temperature at the ends left out", cut))
		s.Rows = s.Rows[first : last+1]
	}
	filled := 0
	for i := 1; i < len(s.Rows); i++ {
		if !math.IsNaN(s.Rows[i].AirC) {
			continue
		}
		a, b := i-1, i
		for math.IsNaN(s.Rows[b].AirC) {
			b++ // ends: the last row has air
		}
		gap := s.Rows[b].Time.Sub(s.Rows[a].Time)
		if gap > maxGap {
			return &gapError{from: s.Rows[a].Time, to: s.Rows[b].Time, step: commonStep(s.Rows), air: true}
		}
		for k := a + 1; k < b; k++ {
			w := float64(s.Rows[k].Time.Sub(s.Rows[a].Time)) / float64(gap)
			s.Rows[k].AirC = s.Rows[a].AirC + w*(s.Rows[b].AirC-s.Rows[a].AirC)
			filled++
		}
		i = b
	}
	if filled > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("air temperature missing in %d rows (holes of up to %s): straight lines", filled, words(maxGap)))
	}
	return nil
}
