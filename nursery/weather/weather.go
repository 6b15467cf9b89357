// Package weather holds what the sky did or will do: series of hourly (or
// coarser) values that know their interval, source and issue time, the readers
// of the public formats they come in, the filling of what a source left out,
// and the ensemble that says how far a forecast may be wrong.
//
// Inside the package temperatures are °C, speeds m/s, fluxes W/m² and rain mm;
// NaN means "not given". Every estimate made here is said in words, so that a
// page can show what was measured, what was forecast and what was assumed.
//
// Left out on purpose: gridded files (GRIB, netCDF), radar and satellite data,
// and the narrative text products; none is needed to run one nursery's night.
package weather

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Interval says what the value stamped with a time stands for.
type Interval int

// The meanings a stamped value can have.
const (
	Instant      Interval = iota // the value at the stamped time
	MeanEnding                   // the mean (or sum) of the step that ends at the stamped time
	MeanStarting                 // the mean (or sum) of the step that starts at the stamped time
)

// String gives the word used in the header line of our own CSV.
func (i Interval) String() string {
	switch i {
	case Instant:
		return "instant"
	case MeanEnding:
		return "mean-ending"
	case MeanStarting:
		return "mean-starting"
	}
	return fmt.Sprintf("interval(%d)", int(i))
}

// ParseInterval reads the word of the header line of our own CSV.
func ParseInterval(word string) (Interval, error) {
	for _, i := range []Interval{Instant, MeanEnding, MeanStarting} {
		if word == i.String() {
			return i, nil
		}
	}
	return Instant, fmt.Errorf("unknown interval %q: write instant, mean-ending or mean-starting", word)
}

// Row is the weather at one stamped time. NaN means not given.
type Row struct {
	Time        time.Time
	AirC        float64 // air at screen height (1.5-2 m) [°C]
	DewC        float64 // dew point over water at screen height [°C]
	WindMS      float64 // mean wind at 10 m [m/s]
	WindFromDeg float64 // direction the wind comes from, 0 = north, 90 = east [°]
	GustMS      float64 // gust at 10 m [m/s]
	CloudFrac   float64 // share of the sky covered [0..1]
	SunWM2      float64 // global horizontal sunshine [W/m²]
	LongwaveWM2 float64 // downward longwave from the whole sky [W/m²]
	RainMM      float64 // precipitation, as water, that fell in the step [mm]
	SnowCM      float64 // depth of snow lying on open ground [cm]
	PressureHPa float64 // pressure at the station's height (not reduced to sea level) [hPa]
	Soil10C     float64 // soil at 10 cm [°C]
}

// Column names one number of a Row.
type Column int

// The columns, in the order of Row's fields.
const (
	Air Column = iota
	Dew
	Wind
	WindFrom
	Gust
	Cloud
	Sun
	Longwave
	Rain
	Snow
	Pressure
	Soil10
	NColumns // how many there are
)

// String gives the column's name in our own CSV.
func (c Column) String() string {
	switch c {
	case Air:
		return "air_c"
	case Dew:
		return "dew_c"
	case Wind:
		return "wind_m_s"
	case WindFrom:
		return "wind_from_deg"
	case Gust:
		return "gust_m_s"
	case Cloud:
		return "cloud_frac"
	case Sun:
		return "sun_w_m2"
	case Longwave:
		return "longwave_w_m2"
	case Rain:
		return "rain_mm"
	case Snow:
		return "snow_cm"
	case Pressure:
		return "pressure_hpa"
	case Soil10:
		return "soil_10cm_c"
	}
	return fmt.Sprintf("column(%d)", int(c))
}

// At points to the number of column c, or is nil for a column that does not exist.
func (r *Row) At(c Column) *float64 {
	switch c {
	case Air:
		return &r.AirC
	case Dew:
		return &r.DewC
	case Wind:
		return &r.WindMS
	case WindFrom:
		return &r.WindFromDeg
	case Gust:
		return &r.GustMS
	case Cloud:
		return &r.CloudFrac
	case Sun:
		return &r.SunWM2
	case Longwave:
		return &r.LongwaveWM2
	case Rain:
		return &r.RainMM
	case Snow:
		return &r.SnowCM
	case Pressure:
		return &r.PressureHPa
	case Soil10:
		return &r.Soil10C
	}
	return nil
}

// EmptyRow is a row at t with nothing given yet.
func EmptyRow(t time.Time) Row {
	r := Row{Time: t}
	for c := range NColumns {
		*r.At(c) = math.NaN()
	}
	return r
}

// Series is one run of weather at one place: a station's record, a typical
// year, a forecast or one member of it. Rows are in time order, Step apart.
type Series struct {
	Source  string    // who says so, in words a page can show
	Station string    // place as the source names it
	Member  string    // member of an ensemble, empty for a single run
	Issued  time.Time // when the forecast was made; zero for a record
	Step    time.Duration
	// Interval is the meaning of every column that ByColumn does not name.
	Interval Interval
	// ByColumn holds the columns whose meaning differs: in most forecasts the
	// air is an instant while the sun is a mean of the step. Do not change the
	// map of a Series you were given: copies share it.
	ByColumn map[Column]Interval
	Rows     []Row
	// CoarseFrom is the time from which the source gave a value every CoarseStep
	// only and the rows between are straight lines; zero when it never did.
	CoarseFrom time.Time
	CoarseStep time.Duration
	Notes      []string // what the reader assumed, repaired or left out, in words
}

// IntervalOf gives the meaning of one column's values.
func (s Series) IntervalOf(c Column) Interval {
	if i, ok := s.ByColumn[c]; ok {
		return i
	}
	return s.Interval
}

// Given reports whether any row has a value in column c.
func (s Series) Given(c Column) bool {
	return slices.ContainsFunc(s.Rows, func(r Row) bool { return !math.IsNaN(*r.At(c)) })
}

// Clone is a deep copy: rows, notes and the interval map are not shared.
func (s Series) Clone() Series {
	s.Rows = slices.Clone(s.Rows)
	s.Notes = slices.Clone(s.Notes)
	if s.ByColumn != nil {
		m := make(map[Column]Interval, len(s.ByColumn))
		for c, i := range s.ByColumn {
			m[c] = i
		}
		s.ByColumn = m
	}
	return s
}

// Forecast is what one issue of a source says: one member (a plain forecast) or
// several (an ensemble). All members share their issue time.
type Forecast struct {
	Members []Series
	Issued  time.Time
	Source  string
	// RawModel says that the members are the raw output of a forecast model, which
	// spread too little near the ground; members from elsewhere are taken as given.
	RawModel bool
	Notes    []string
}
