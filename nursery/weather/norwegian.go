package weather

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"time"
)

const norwegianFormat = "Norwegian weather service JSON"

type norwegianDetails struct {
	Air      *float64 `json:"air_temperature"`
	Dew      *float64 `json:"dew_point_temperature"`
	RH       *float64 `json:"relative_humidity"`
	Cloud    *float64 `json:"cloud_area_fraction"`
	Wind     *float64 `json:"wind_speed"`
	WindFrom *float64 `json:"wind_from_direction"`
	Gust     *float64 `json:"wind_speed_of_gust"`
	SeaLevel *float64 `json:"air_pressure_at_sea_level"`
	Rain     *float64 `json:"precipitation_amount"`
}

type norwegianBlock struct {
	Details norwegianDetails `json:"details"`
}

type norwegianFeature struct {
	Geometry struct {
		Coordinates []float64 `json:"coordinates"`
	} `json:"geometry"`
	Properties *struct {
		Meta struct {
			UpdatedAt string            `json:"updated_at"`
			Units     map[string]string `json:"units"`
		} `json:"meta"`
		Timeseries []struct {
			Time string `json:"time"`
			Data struct {
				Instant norwegianBlock  `json:"instant"`
				Next1   *norwegianBlock `json:"next_1_hours"`
				Next6   *norwegianBlock `json:"next_6_hours"`
			} `json:"data"`
		} `json:"timeseries"`
	} `json:"properties"`
}

// ReadNorwegian reads the point forecast of the Norwegian weather service
// (compact or complete): instants every hour for two to three days, every six
// hours beyond; precipitation is the sum of the hour or six hours that follow.
func ReadNorwegian(r io.Reader) (Forecast, error) {
	text, err := readText(r, norwegianFormat)
	if err != nil {
		return Forecast{}, err
	}
	var doc norwegianFeature
	if err := decodeJSON(text, &doc, norwegianFormat); err != nil {
		return Forecast{}, err
	}
	refuse := func(place, what, do string) (Forecast, error) {
		return Forecast{}, &Refusal{Format: norwegianFormat, Place: place, What: what, Do: do}
	}
	if doc.Properties == nil { // a saved answer may wrap the forecast in {headers, data}
		var wrapped struct {
			Data json.RawMessage `json:"data"`
		}
		if err := decodeJSON(text, &wrapped, norwegianFormat); err != nil {
			return Forecast{}, err
		}
		if len(wrapped.Data) > 0 {
			if err := decodeJSON(wrapped.Data, &doc, norwegianFormat); err != nil {
				return Forecast{}, err
			}
		}
	}
	if doc.Properties == nil || len(doc.Properties.Timeseries) == 0 {
		return refuse("properties.timeseries", "there are no times", "fetch it again")
	}
	series := doc.Properties.Timeseries
	if len(series) > maxHours {
		return refuse("properties.timeseries", fmt.Sprintf("more than %d times", maxHours), "this is not a forecast")
	}
	units := doc.Properties.Meta.Units
	s := Series{Source: "Norwegian weather service", ByColumn: map[Column]Interval{Rain: MeanStarting}}
	s.Issued, _ = time.Parse(time.RFC3339, doc.Properties.Meta.UpdatedAt)
	height := math.NaN()
	if xy := doc.Geometry.Coordinates; len(xy) >= 2 {
		s.Station = fmt.Sprintf("%.3f, %.3f", xy[1], xy[0])
		if len(xy) >= 3 && xy[2] > -500 && xy[2] < 9000 {
			height = xy[2]
		}
	}
	for i, ts := range series {
		place := fmt.Sprintf("timeseries[%d]", i)
		t, err := time.Parse(time.RFC3339, ts.Time)
		if err == nil {
			t, err = sane(t)
		}
		if err != nil {
			return refuse(place+".time", fmt.Sprintf("%q is not a time", clip(ts.Time)), "fetch it again")
		}
		row := EmptyRow(t)
		d := ts.Data.Instant.Details
		for _, v := range []struct {
			c    Column
			v    *float64
			name string
			unit string
		}{
			{Air, d.Air, "air_temperature", "celsius"},
			{Dew, d.Dew, "dew_point_temperature", "celsius"},
			{Cloud, d.Cloud, "cloud_area_fraction", "%"},
			{Wind, d.Wind, "wind_speed", "m/s"},
			{WindFrom, d.WindFrom, "wind_from_direction", "degrees"},
			{Gust, d.Gust, "wind_speed_of_gust", "m/s"},
		} {
			if v.v == nil {
				continue
			}
			unit := v.unit
			if u, ok := units[v.name]; ok {
				unit = u
			}
			if *row.At(v.c), err = inUnitsOf(v.c, *v.v, unit); err != nil {
				return refuse(place+"."+v.name, err.Error(), "an update of this program is needed")
			}
		}
		if math.IsNaN(row.DewC) && d.RH != nil && *d.RH >= 0 && *d.RH <= 101 && row.AirC > -90 && row.AirC < 60 {
			row.DewC = dewFromRH(row.AirC, *d.RH)
		}
		if d.SeaLevel != nil && *d.SeaLevel > 850 && *d.SeaLevel < 1100 && !math.IsNaN(height) && row.AirC > -90 {
			row.PressureHPa = stationPressure(*d.SeaLevel, height, row.AirC)
		}
		block := ts.Data.Next1
		if i+1 < len(series) {
			if next, err := time.Parse(time.RFC3339, series[i+1].Time); err == nil && next.Sub(t) > time.Hour {
				block = ts.Data.Next6
			}
		}
		if block != nil && block.Details.Rain != nil {
			row.RainMM = *block.Details.Rain
		}
		s.Rows = append(s.Rows, row)
	}
	if s.Rows, _, err = order(s.Rows); err != nil {
		return refuse("timeseries", err.Error(), "fetch it again")
	}
	if err := s.settleForecast(); err != nil {
		return Forecast{}, asRefusal(err, norwegianFormat, "")
	}
	return Forecast{Members: []Series{s}, Issued: s.Issued, Source: s.Source, Notes: slices.Clone(s.Notes)}, nil
}
