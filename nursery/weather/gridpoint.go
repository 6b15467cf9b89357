package weather

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"
)

const (
	gridFormat = "US weather service gridpoint JSON"
	maxHours   = 24 * 32 // a public forecast is at most 16 days long
)

// gridLayer is one element of a gridpoint forecast: values that each hold for a
// stretch of time written as start/duration.
type gridLayer struct {
	Uom    string `json:"uom"`
	Values []struct {
		ValidTime string   `json:"validTime"`
		Value     *float64 `json:"value"`
	} `json:"values"`
}

// gridColumn is a layer that is used. Rain and snow are sums over their stretch;
// the others hold throughout it.
type gridColumn struct {
	layer  string
	column Column
	sum    bool
}

func gridColumns() []gridColumn {
	return []gridColumn{
		{"temperature", Air, false},
		{"dewpoint", Dew, false},
		{"skyCover", Cloud, false},
		{"windSpeed", Wind, false},
		{"windDirection", WindFrom, false},
		{"windGust", Gust, false},
		{"quantitativePrecipitation", Rain, true},
		{"snowfallAmount", Snow, true},
	}
}

// ReadGridpoint reads the raw gridpoint forecast of the US weather service:
// layers of {validTime: "start/PT3H", value}, nulls and empty layers included.
// A value that holds for ten hours becomes ten hourly values.
func ReadGridpoint(r io.Reader) (Forecast, error) {
	text, err := readText(r, gridFormat)
	if err != nil {
		return Forecast{}, err
	}
	var doc struct {
		Properties map[string]json.RawMessage `json:"properties"`
	}
	if err := decodeJSON(text, &doc, gridFormat); err != nil {
		return Forecast{}, err
	}
	refuse := func(place, what, do string) (Forecast, error) {
		return Forecast{}, &Refusal{Format: gridFormat, Place: place, What: what, Do: do}
	}
	if doc.Properties["temperature"] == nil {
		return refuse("properties", "there is no temperature layer", "fetch the raw gridpoint address (gridpoints/OFFICE/X,Y), not its /forecast")
	}
	s := Series{
		Source: "US weather service, gridpoint forecast", Step: time.Hour,
		ByColumn: map[Column]Interval{Rain: MeanStarting},
	}
	s.Issued, _ = time.Parse(time.RFC3339, jsonText(doc.Properties["updateTime"]))
	s.Station = strings.TrimSpace(jsonText(doc.Properties["gridId"]) + " " + jsonText(doc.Properties["gridX"]) + "," + jsonText(doc.Properties["gridY"]))

	var grid hourGrid
	fresh := make([]float64, 0)
	for _, g := range gridColumns() {
		raw := doc.Properties[g.layer]
		if raw == nil {
			continue
		}
		layer := gridLayer{}
		if err := json.Unmarshal(raw, &layer); err != nil {
			return refuse(g.layer, err.Error(), "fetch it again")
		}
		for i, v := range layer.Values {
			place := fmt.Sprintf("%s.values[%d]", g.layer, i)
			from, hold, err := parseSpan(v.ValidTime)
			if err != nil {
				return refuse(place, err.Error(), "fetch it again")
			}
			if v.Value == nil {
				continue
			}
			x, err := inUnitsOf(g.column, *v.Value, layer.Uom)
			if err != nil && g.column != Air {
				s.Notes = append(s.Notes, "layer "+g.layer+" left out: "+err.Error())
				break
			}
			if err != nil {
				return refuse(g.layer, err.Error(), "the service may have changed its units: an update of this program is needed")
			}
			if g.column == Air && grid.start.IsZero() {
				grid.start = from.UTC().Truncate(time.Hour)
			}
			first, last, err := grid.hours(from, hold)
			if err != nil {
				return refuse(place, err.Error(), "fetch it again")
			}
			for h := max(first, 0); h < last; h++ {
				if g.column != Air && h >= len(grid.rows) {
					break // beyond the temperatures
				}
				grid.grow(h)
				share := x
				if g.sum {
					share = x / float64(last-first)
				}
				if g.column == Snow {
					for len(fresh) <= h {
						fresh = append(fresh, 0)
					}
					fresh[h] += share
					continue
				}
				*grid.rows[h].At(g.column) = share
			}
		}
		if g.column == Air && len(grid.rows) == 0 {
			return refuse("temperature", "the layer is empty", "the service is between two issues: fetch again in some minutes")
		}
	}
	s.Rows = grid.rows
	if len(fresh) > 0 {
		s.lie(fresh)
	}
	dewFromHumidity(&s, doc.Properties["relativeHumidity"], grid)
	if err := s.settleForecast(); err != nil {
		return Forecast{}, asRefusal(err, gridFormat, "")
	}
	s.compareMinima(doc.Properties["minTemperature"])
	return Forecast{Members: []Series{s}, Issued: s.Issued, Source: s.Source, Notes: s.Notes}, nil
}

// hourGrid is the row of hours the layers are laid on.
type hourGrid struct {
	start time.Time
	rows  []Row
}

// hours gives the first and one-past-last hour a stretch covers.
func (g *hourGrid) hours(from time.Time, hold time.Duration) (first, last int, err error) {
	first = int(math.Floor(from.Sub(g.start).Hours()))
	last = first + max(1, int(math.Round(hold.Hours())))
	if last > maxHours || first < -maxHours {
		return 0, 0, fmt.Errorf("reaches more than %d days from the start", maxHours/24)
	}
	return first, last, nil
}

func (g *hourGrid) grow(h int) {
	for len(g.rows) <= h {
		g.rows = append(g.rows, EmptyRow(g.start.Add(time.Duration(len(g.rows))*time.Hour)))
	}
}

// lie turns hourly new snow [cm] into lying snow, starting from bare ground.
// Nothing is melted: a forecast of a freeze is short, and the note says so.
func (s *Series) lie(fresh []float64) {
	depth := 0.0
	for i := range s.Rows {
		if i < len(fresh) {
			depth += fresh[i]
		}
		s.Rows[i].SnowCM = depth
	}
	if depth > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("snow: new snow added up from bare ground to %.0f cm, nothing melted", depth))
	}
}

// dewFromHumidity fills dew points the service left out from its humidity layer.
func dewFromHumidity(s *Series, raw json.RawMessage, grid hourGrid) {
	var layer gridLayer
	if raw == nil || json.Unmarshal(raw, &layer) != nil {
		return
	}
	for _, v := range layer.Values {
		from, hold, err := parseSpan(v.ValidTime)
		if err != nil || v.Value == nil || *v.Value < 0 || *v.Value > 101 {
			continue
		}
		first, last, err := grid.hours(from, hold)
		if err != nil {
			continue
		}
		for h := max(first, 0); h < min(last, len(s.Rows)); h++ {
			if r := &s.Rows[h]; math.IsNaN(r.DewC) && r.AirC > -90 && r.AirC < 60 {
				r.DewC = dewFromRH(r.AirC, *v.Value)
			}
		}
	}
}

// compareMinima says when the service's own night minimum is lower than any of
// its hourly values: the minimum is an extreme of the night, not an hour's value.
func (s *Series) compareMinima(raw json.RawMessage) {
	var layer gridLayer
	if raw == nil || json.Unmarshal(raw, &layer) != nil {
		return
	}
	worst, at := 0.0, time.Time{}
	for _, v := range layer.Values {
		from, hold, err := parseSpan(v.ValidTime)
		if err != nil || v.Value == nil {
			continue
		}
		low, err := inUnitsOf(Air, *v.Value, layer.Uom)
		if err != nil {
			return
		}
		hourly := math.Inf(1)
		for _, r := range s.Rows {
			if !r.Time.Before(from) && r.Time.Before(from.Add(hold)) {
				hourly = min(hourly, r.AirC)
			}
		}
		if d := hourly - low; d > worst && !math.IsInf(hourly, 1) {
			worst, at = d, from
		}
	}
	if worst > 0.8 {
		s.Notes = append(s.Notes, fmt.Sprintf("the service's own minimum for the night from %s is %.1f K below its coldest hour", at.Format(time.RFC3339), worst))
	}
}

// jsonText gives a JSON string or number as text, empty for anything else.
func jsonText(raw json.RawMessage) string {
	var text string
	if json.Unmarshal(raw, &text) == nil {
		return text
	}
	var n json.Number
	if json.Unmarshal(raw, &n) == nil {
		return n.String()
	}
	return ""
}

// parseSpan reads "2001-02-03T04:00:00+00:00/PT3H".
func parseSpan(text string) (time.Time, time.Duration, error) {
	start, length, ok := strings.Cut(text, "/")
	if !ok {
		return time.Time{}, 0, fmt.Errorf("%q is not start/duration", clip(text))
	}
	t, err := time.Parse(time.RFC3339, start)
	if err != nil {
		return t, 0, fmt.Errorf("%q does not start with a time", clip(text))
	}
	if t, err = sane(t); err != nil {
		return t, 0, err
	}
	d, err := ParseISODuration(length)
	return t, d, err
}

// ParseISODuration reads an ISO 8601 duration of weeks, days, hours, minutes
// and seconds ("P1DT6H"). Years and months have no fixed length and are refused.
func ParseISODuration(text string) (time.Duration, error) {
	bad := fmt.Errorf("%q is not a duration such as PT3H or P1DT6H", clip(text))
	rest, ok := strings.CutPrefix(text, "P")
	if !ok || rest == "" || rest == "T" {
		return 0, bad
	}
	var total float64
	inTime := false
	for rest != "" {
		if rest[0] == 'T' && !inTime {
			inTime, rest = true, rest[1:]
			continue
		}
		i := 0
		for i < len(rest) && (rest[i] >= '0' && rest[i] <= '9' || rest[i] == '.') {
			i++
		}
		if i == 0 || i == len(rest) {
			return 0, bad
		}
		n, err := strconv.ParseFloat(rest[:i], 64)
		if err != nil {
			return 0, bad
		}
		var unit time.Duration
		switch {
		case rest[i] == 'W' && !inTime:
			unit = 7 * 24 * time.Hour
		case rest[i] == 'D' && !inTime:
			unit = 24 * time.Hour
		case rest[i] == 'H' && inTime:
			unit = time.Hour
		case rest[i] == 'M' && inTime:
			unit = time.Minute
		case rest[i] == 'S' && inTime:
			unit = time.Second
		default:
			return 0, bad
		}
		total += n * float64(unit)
		rest = rest[i+1:]
	}
	if total > float64(366*24*time.Hour) {
		return 0, fmt.Errorf("%q is longer than a year", clip(text))
	}
	return time.Duration(total), nil
}
