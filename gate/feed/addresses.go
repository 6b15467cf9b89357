package feed

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/url"
	"strconv"
	"strings"

	"example.org/coldnight/nursery/weather"
)

// Addresses are the services' base addresses. A site file may set others; the
// defaults are the services' published ones (doc/SOURCES.md).
type Addresses struct {
	US             string // national weather service of the United States
	HourlyEnsemble string // hourly JSON with ensemble members
	Norwegian      string // national weather service of Norway, worldwide
}

// DefaultAddresses are the published public addresses.
func DefaultAddresses() Addresses {
	return Addresses{
		US:             "https://api.weather.gov",
		HourlyEnsemble: "https://ensemble-api.open-meteo.com/v1/ensemble",
		Norwegian:      "https://api.met.no/weatherapi/locationforecast/2.0/complete",
	}
}

// coordinate writes degrees with the four decimals the services ask for: more
// defeat their caches, and 11 m is nearer than any forecast.
func coordinate(deg float64) string {
	return strings.TrimRight(strings.TrimRight(strconv.FormatFloat(deg, 'f', 4, 64), "0"), ".")
}

// EnsembleAt is the hourly ensemble for a place; model names the ensemble in
// the service's own words ("gfs05" for the American one).
func (a Addresses) EnsembleAt(lat, lon float64, model string, days int) Endpoint {
	q := url.Values{}
	q.Set("latitude", coordinate(lat))
	q.Set("longitude", coordinate(lon))
	q.Set("models", model)
	q.Set("forecast_days", strconv.Itoa(days))
	q.Set("wind_speed_unit", "ms")
	q.Set("hourly", "temperature_2m,relative_humidity_2m,dew_point_2m,cloud_cover,wind_speed_10m,wind_direction_10m,wind_gusts_10m,shortwave_radiation,precipitation,snow_depth,surface_pressure,soil_temperature_0_to_10cm")
	return Endpoint{Name: "ensemble", URL: a.HourlyEnsemble + "?" + q.Encode(), Read: weather.ReadHourlyJSON}
}

// NorwegianAt is the Norwegian service's forecast for a place and its height.
func (a Addresses) NorwegianAt(lat, lon, elevM float64) Endpoint {
	q := url.Values{}
	q.Set("lat", coordinate(lat))
	q.Set("lon", coordinate(lon))
	q.Set("altitude", strconv.Itoa(int(elevM)))
	return Endpoint{Name: "norwegian", URL: a.Norwegian + "?" + q.Encode(), Read: weather.ReadNorwegian}
}

// USGridpointAt asks the American service which grid square a place lies in and
// returns the address of its raw forecast. Ask once and keep the answer in the
// site file: squares are renumbered once in a few years.
func (c *Client) USGridpointAt(ctx context.Context, a Addresses, lat, lon float64) (Endpoint, error) {
	var grid string
	points := Endpoint{
		Name: "us-point", URL: a.US + "/points/" + coordinate(lat) + "," + coordinate(lon),
		Read: func(r io.Reader) (weather.Forecast, error) {
			text, err := io.ReadAll(io.LimitReader(r, 1<<20))
			if err != nil {
				return weather.Forecast{}, err
			}
			grid, err = gridAddress(text)
			return weather.Forecast{}, err
		},
	}
	if _, err := c.Fetch(ctx, points); err != nil {
		return Endpoint{}, err
	}
	return Endpoint{Name: "us-gridpoint", URL: grid, Read: weather.ReadGridpoint}, nil
}

func gridAddress(text []byte) (string, error) {
	var doc struct {
		Properties struct {
			Grid string `json:"forecastGridData"`
		} `json:"properties"`
	}
	if err := json.NewDecoder(bytes.NewReader(text)).Decode(&doc); err != nil {
		return "", fmt.Errorf("the answer about the place cannot be read: %w", err)
	}
	if doc.Properties.Grid == "" {
		return "", errors.New("the service names no grid square for this place: it covers the United States only")
	}
	return doc.Properties.Grid, nil
}
