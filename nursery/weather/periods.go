package weather

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"time"
)

const periodsFormat = "US weather service hourly JSON"

// loose is a number that the service writes as a number, as text, as
// {unitCode, value}, or as null.
type loose struct {
	V    float64
	Unit string
}

// UnmarshalJSON never fails on a value of the wrong kind: it becomes "not given".
func (l *loose) UnmarshalJSON(b []byte) error {
	l.V = math.NaN()
	var n float64
	var text string
	var object struct {
		Unit  string          `json:"unitCode"`
		Value json.RawMessage `json:"value"`
	}
	switch {
	case string(b) == "null":
	case json.Unmarshal(b, &n) == nil:
		l.V = n
	case json.Unmarshal(b, &text) == nil:
		if v, err := strconv.ParseFloat(text, 64); err == nil && !math.IsInf(v, 0) {
			l.V = v
		}
	case json.Unmarshal(b, &object) == nil && len(object.Value) > 0 && object.Value[0] != '{':
		inner := loose{}
		_ = inner.UnmarshalJSON(object.Value)
		l.V, l.Unit = inner.V, object.Unit
	}
	return nil
}

type period struct {
	Start     string          `json:"startTime"`
	End       string          `json:"endTime"`
	Temp      *loose          `json:"temperature"`
	TempUnit  string          `json:"temperatureUnit"`
	Dew       *loose          `json:"dewpoint"`
	RH        *loose          `json:"relativeHumidity"`
	Wind      json.RawMessage `json:"windSpeed"`
	Direction json.RawMessage `json:"windDirection"`
	Words     string          `json:"shortForecast"`
}

// ReadPeriods reads the hourly point forecast of the US weather service (the
// /forecast/hourly address): one period per hour, sky in words.
func ReadPeriods(r io.Reader) (Forecast, error) {
	text, err := readText(r, periodsFormat)
	if err != nil {
		return Forecast{}, err
	}
	var doc struct {
		Properties struct {
			UpdateTime string   `json:"updateTime"`
			Periods    []period `json:"periods"`
		} `json:"properties"`
	}
	if err := decodeJSON(text, &doc, periodsFormat); err != nil {
		return Forecast{}, err
	}
	refuse := func(place, what, do string) (Forecast, error) {
		return Forecast{}, &Refusal{Format: periodsFormat, Place: place, What: what, Do: do}
	}
	if len(doc.Properties.Periods) > maxHours {
		return refuse("properties.periods", fmt.Sprintf("more than %d hours", maxHours), "this is not a forecast")
	}
	s := Series{Source: "US weather service, hourly forecast", Interval: Instant}
	s.Issued, _ = time.Parse(time.RFC3339, doc.Properties.UpdateTime)
	fromWords := false
	for i, p := range doc.Properties.Periods {
		place := fmt.Sprintf("periods[%d]", i)
		t, err := time.Parse(time.RFC3339, p.Start)
		if err != nil {
			return refuse(place+".startTime", fmt.Sprintf("%q is not a time", clip(p.Start)), "fetch it again")
		}
		if t, err = sane(t); err != nil {
			return refuse(place+".startTime", err.Error(), "fetch it again")
		}
		if end, err := time.Parse(time.RFC3339, p.End); err == nil && end.Sub(t) > 3*time.Hour {
			return refuse(place, fmt.Sprintf("the period lasts %s", words(end.Sub(t))), "these are half-day periods: fetch the address that ends in /forecast/hourly")
		}
		row := EmptyRow(t)
		if p.Temp != nil {
			unit := p.TempUnit
			if p.Temp.Unit != "" {
				unit = p.Temp.Unit
			}
			if row.AirC, err = inUnitsOf(Air, p.Temp.V, unit); err != nil {
				return refuse(place+".temperature", err.Error(), "fetch it again")
			}
		}
		if p.Dew != nil {
			if v, err := inUnitsOf(Dew, p.Dew.V, p.Dew.Unit); err == nil {
				row.DewC = v
			}
		}
		if p.RH != nil && math.IsNaN(row.DewC) && p.RH.V >= 0 && p.RH.V <= 101 && row.AirC > -90 && row.AirC < 60 {
			row.DewC = dewFromRH(row.AirC, p.RH.V)
		}
		row.WindMS = windWords(p.Wind)
		row.WindFromDeg = compass(jsonText(p.Direction))
		if row.CloudFrac = CloudFromWords(p.Words); !math.IsNaN(row.CloudFrac) {
			fromWords = true
		}
		s.Rows = append(s.Rows, row)
	}
	if fromWords {
		s.Notes = append(s.Notes, "cloud read from the forecast's words (\"partly cloudy\" is 3 to 4 eighths)")
	}
	if s.Rows, _, err = order(s.Rows); err != nil {
		return refuse("periods", err.Error(), "fetch it again")
	}
	if err := s.settleForecast(); err != nil {
		return Forecast{}, asRefusal(err, periodsFormat, "")
	}
	return Forecast{Members: []Series{s}, Issued: s.Issued, Source: s.Source, Notes: s.Notes}, nil
}

// windWords reads "10 mph", "5 to 10 mph", "15 km/h" or {unitCode, value}: the
// middle of a range [m/s], NaN when there is none.
func windWords(raw json.RawMessage) float64 {
	if len(raw) == 0 {
		return math.NaN()
	}
	var l loose
	_ = l.UnmarshalJSON(raw)
	if l.Unit != "" {
		v, err := inUnitsOf(Wind, l.V, l.Unit)
		if err != nil {
			return math.NaN()
		}
		return v
	}
	m := regexp.MustCompile(`^(\d+)(?: to (\d+))? (mph|km/h|kt)$`).FindStringSubmatch(jsonText(raw))
	if m == nil {
		return math.NaN()
	}
	low, _ := strconv.ParseFloat(m[1], 64)
	high := low
	if m[2] != "" {
		high, _ = strconv.ParseFloat(m[2], 64)
	}
	v, _ := inUnitsOf(Wind, (low+high)/2, m[3])
	return v
}
