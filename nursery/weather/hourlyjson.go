package weather

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
)

const hourlyFormat = "hourly JSON"

// hourlyName maps a variable's name, underscores removed (both spellings of the
// names are in use), to a column. rh tells a relative humidity.
func hourlyName(name string) (c Column, rh bool) {
	switch strings.ReplaceAll(name, "_", "") {
	case "temperature2m":
		return Air, false
	case "dewpoint2m":
		return Dew, false
	case "relativehumidity2m":
		return NColumns, true
	case "cloudcover":
		return Cloud, false
	case "windspeed10m":
		return Wind, false
	case "winddirection10m":
		return WindFrom, false
	case "windgusts10m":
		return Gust, false
	case "shortwaveradiation":
		return Sun, false
	case "precipitation":
		return Rain, false
	case "snowdepth":
		return Snow, false
	case "surfacepressure":
		return Pressure, false
	case "soiltemperature0to10cm", "soiltemperature6cm":
		return Soil10, false
	}
	return NColumns, false
}

// hourlyIntervals gives the variables that are means or sums of the hour that
// ends at the stamp; all others are instants.
func hourlyIntervals() map[Column]Interval {
	return map[Column]Interval{Sun: MeanEnding, Rain: MeanEnding, Gust: MeanEnding}
}

// splitMember cuts "_member07" off a variable's name.
func splitMember(name string) (stem, member string) {
	if i := strings.LastIndex(name, "_member"); i > 0 {
		if _, err := strconv.Atoi(name[i+7:]); err == nil {
			return name[:i], name[i+7:]
		}
	}
	return name, ""
}

// ReadHourlyJSON reads the JSON of services that send parallel arrays under
// "hourly" with their units under "hourly_units"; ensemble members are variables
// named temperature_2m_member01 and so on, the bare name being the control run.
// Times carry no offset: utc_offset_seconds says which clock they are on. The
// format does not say when the forecast was made; Issued stays zero.
func ReadHourlyJSON(r io.Reader) (Forecast, error) {
	text, err := readText(r, hourlyFormat)
	if err != nil {
		return Forecast{}, err
	}
	refuse := func(place, what, do string) (Forecast, error) {
		return Forecast{}, &Refusal{Format: hourlyFormat, Place: place, What: what, Do: do}
	}
	if strings.HasPrefix(strings.TrimSpace(string(text[:min(64, len(text))])), "[") {
		return refuse("", "the file holds several places", "ask for one place at a time")
	}
	var doc struct {
		Latitude  *float64                   `json:"latitude"`
		Longitude *float64                   `json:"longitude"`
		Offset    float64                    `json:"utc_offset_seconds"`
		Error     bool                       `json:"error"`
		Reason    string                     `json:"reason"`
		Units     map[string]string          `json:"hourly_units"`
		Hourly    map[string]json.RawMessage `json:"hourly"`
	}
	if err := decodeJSON(text, &doc, hourlyFormat); err != nil {
		return Forecast{}, err
	}
	if doc.Error {
		return refuse("", "the service answered with an error: "+clip(doc.Reason), "correct the address asked for")
	}
	if doc.Hourly["time"] == nil {
		return refuse("hourly.time", "there are no hourly times", "ask the service for hourly variables")
	}
	if math.Abs(doc.Offset) > 18*3600 {
		return refuse("utc_offset_seconds", fmt.Sprintf("%g is not an offset from UTC", doc.Offset), "fetch it again")
	}
	times, err := hourlyTimes(doc.Hourly["time"], int(doc.Offset))
	if err != nil {
		return refuse("hourly.time", err.Error(), "fetch it again")
	}
	if len(times) == 0 || len(times) > 400*24 {
		return refuse("hourly.time", fmt.Sprintf("%d times", len(times)), "ask for between one night and one year")
	}
	units := map[string]string{}
	for name, u := range doc.Units {
		units[strings.ReplaceAll(name, "_", "")] = u
	}
	members, notes, err := hourlyMembers(doc.Hourly, units, times)
	if err != nil {
		return Forecast{}, err
	}
	f := Forecast{Source: "hourly forecast service", RawModel: len(members) > 1}
	station := ""
	if doc.Latitude != nil && doc.Longitude != nil {
		station = fmt.Sprintf("%.3f, %.3f", *doc.Latitude, *doc.Longitude)
	}
	for _, name := range slices.Sorted(mapsKeys(members)) {
		s := Series{Source: f.Source, Station: station, Member: name, ByColumn: hourlyIntervals(), Notes: slices.Clone(notes)}
		if len(members) == 1 {
			s.Member = ""
		} else if name == "" {
			s.Member = "00"
		}
		if s.Rows, _, err = order(members[name]); err != nil {
			return refuse(memberPlace(s.Member), err.Error(), "fetch it again")
		}
		if err := s.settleForecast(); err != nil {
			return Forecast{}, asRefusal(err, hourlyFormat, memberPlace(s.Member))
		}
		f.Members = append(f.Members, s)
	}
	f.Notes = slices.Clone(f.Members[0].Notes)
	return f, nil
}

func mapsKeys(m map[string][]Row) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

// hourlyTimes reads ISO local times or Unix seconds.
func hourlyTimes(raw json.RawMessage, offset int) ([]time.Time, error) {
	var seconds []int64
	zone := time.UTC
	if offset != 0 {
		zone = time.FixedZone("", offset)
	}
	if json.Unmarshal(raw, &seconds) == nil {
		out := make([]time.Time, len(seconds))
		for i, s := range seconds {
			t, err := sane(time.Unix(s, 0).In(zone))
			if err != nil {
				return nil, err
			}
			out[i] = t
		}
		return out, nil
	}
	var texts []string
	if err := json.Unmarshal(raw, &texts); err != nil {
		return nil, fmt.Errorf("neither times nor seconds: %w", err)
	}
	out := make([]time.Time, len(texts))
	for i, text := range texts {
		t, err := ParseTime(text, zone)
		if err != nil {
			return nil, err
		}
		out[i] = t
	}
	return out, nil
}

// hourlyMembers lays every known variable into rows by member.
func hourlyMembers(hourly map[string]json.RawMessage, units map[string]string, times []time.Time) (map[string][]Row, []string, error) {
	members := map[string][]Row{}
	humidity := map[string][]float64{}
	var ignored []string
	var notes []string
	for name, raw := range hourly {
		if name == "time" {
			continue
		}
		stem, member := splitMember(name)
		col, rh := hourlyName(stem)
		if col == NColumns && !rh {
			ignored = append(ignored, stem)
			continue
		}
		var values []*float64
		if err := json.Unmarshal(raw, &values); err != nil {
			return nil, nil, &Refusal{Format: hourlyFormat, Place: "hourly." + clip(name), What: err.Error(), Do: "fetch it again", Err: err}
		}
		if len(values) != len(times) {
			return nil, nil, &Refusal{
				Format: hourlyFormat, Place: "hourly." + clip(name),
				What: fmt.Sprintf("%d values for %d times", len(values), len(times)), Do: "the file may be cut short: fetch it again",
			}
		}
		rows := members[member]
		if rows == nil {
			if len(members) >= maxMembers {
				return nil, nil, &Refusal{Format: hourlyFormat, Place: "hourly", What: fmt.Sprintf("more than %d members", maxMembers), Do: "ask for one model"}
			}
			rows = make([]Row, len(times))
			for i, t := range times {
				rows[i] = EmptyRow(t)
			}
			members[member] = rows
		}
		unit, hasUnit := units[strings.ReplaceAll(name, "_", "")]
		if !hasUnit {
			unit = units[strings.ReplaceAll(stem, "_", "")]
		}
		if rh {
			h := make([]float64, len(values))
			for i, v := range values {
				h[i] = math.NaN()
				if v != nil && *v >= 0 && *v <= 101 {
					h[i] = *v
				}
			}
			humidity[member] = h
			continue
		}
		for i, v := range values {
			if v == nil {
				continue
			}
			x, err := inUnitsOf(col, *v, unit)
			if err != nil && col != Air {
				notes = append(notes, "variable "+clip(name)+" left out: "+err.Error())
				break
			}
			if err != nil {
				return nil, nil, &Refusal{Format: hourlyFormat, Place: "hourly_units." + clip(name), What: err.Error(), Do: "ask the service for °C, or fetch again"}
			}
			*rows[i].At(col) = x
		}
	}
	for member, h := range humidity {
		rows := members[member]
		for i := range rows {
			if r := &rows[i]; math.IsNaN(r.DewC) && !math.IsNaN(h[i]) && r.AirC > -90 && r.AirC < 60 {
				r.DewC = dewFromRH(r.AirC, h[i])
			}
		}
	}
	// A variable asked for without members (say the pressure) serves them all.
	control := members[""]
	for member, rows := range members {
		if member == "" || control == nil {
			continue
		}
		for c := Dew; c < NColumns; c++ {
			if !anyGiven(rows, c) && anyGiven(control, c) && c != Dew {
				for i := range rows {
					*rows[i].At(c) = *control[i].At(c)
				}
			}
		}
	}
	if len(ignored) > 0 {
		slices.Sort(ignored)
		notes = append(notes, "variables not used: "+clip(strings.Join(slices.Compact(ignored), ", ")))
	}
	if len(members) == 0 || (len(members) > 1 && control != nil && !anyGiven(control, Air)) {
		delete(members, "") // a control run without air is only a carrier of shared variables
	}
	if len(members) == 0 {
		return nil, nil, &Refusal{Format: hourlyFormat, Place: "hourly", What: "no variable this program uses", Do: "ask for temperature_2m, dew_point_2m, cloud_cover, wind_speed_10m, shortwave_radiation, precipitation"}
	}
	slices.Sort(notes)
	return members, notes, nil
}

func anyGiven(rows []Row, c Column) bool {
	return slices.ContainsFunc(rows, func(r Row) bool { return !math.IsNaN(*r.At(c)) })
}
