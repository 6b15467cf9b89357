package weather

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"time"
)

// Format names one of the formats this package reads.
type Format int

// The formats.
const (
	Unknown Format = iota
	CSV
	Gridpoint  // raw gridpoint JSON of the US weather service
	Periods    // hourly JSON of the US weather service
	HourlyJSON // parallel arrays under "hourly", with members
	Norwegian  // JSON of the Norwegian weather service
	EPW
	TMY3
	METAR
)

// String names the format in words.
func (f Format) String() string {
	switch f {
	case CSV:
		return csvFormat
	case Gridpoint:
		return gridFormat
	case Periods:
		return periodsFormat
	case HourlyJSON:
		return hourlyFormat
	case Norwegian:
		return norwegianFormat
	case EPW:
		return epwFormat
	case TMY3:
		return tmy3Format
	case METAR:
		return metarFormat
	}
	return "unknown format"
}

// Detect picks the reader from a file's name and its first bytes (a few
// kilobytes are enough); what the text looks like counts more than its name.
func Detect(name string, head []byte) Format {
	head = bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\ufeff")), " \t\r\n")
	has := func(words ...string) bool {
		return !slices.ContainsFunc(words, func(w string) bool { return !bytes.Contains(head, []byte(w)) })
	}
	lower := strings.ToLower(name)
	first, _, _ := bytes.Cut(head, []byte("\n"))
	if len(head) > 0 && (head[0] == '{' || head[0] == '[') {
		switch {
		case has(`"hourly_units"`), has(`"hourly"`, `"time"`), has(`"utc_offset_seconds"`):
			return HourlyJSON
		case has(`"timeseries"`), has(`"air_temperature"`), has(`"updated_at"`):
			return Norwegian
		case has(`"periods"`), has(`forecastGenerator`), has("ForecastGenerator"):
			return Periods
		case has(`"validTime"`), has(`wx:Gridpoint`), has(`/gridpoints/`):
			return Gridpoint
		}
		return Unknown
	}
	switch {
	case bytes.HasPrefix(head, []byte("LOCATION,")):
		return EPW
	case has("Date (MM/DD/YYYY)"):
		return TMY3
	case regexp.MustCompile(`\b[A-Z][A-Z0-9]{3} \d{6}Z\b|(?m)^METAR\b`).Match(head):
		return METAR
	case has("time") && bytes.ContainsAny(first, ",;\t#"):
		return CSV
	case strings.HasSuffix(lower, ".epw"):
		return EPW
	case strings.HasSuffix(lower, ".csv"), strings.HasSuffix(lower, ".txt") && bytes.ContainsRune(first, ','):
		return CSV
	case strings.HasSuffix(lower, ".metar"):
		return METAR
	}
	return Unknown
}

// Options is what the caller knows and the file may not say.
type Options struct {
	Zone     *time.Location // clock of times without an offset
	Near     time.Time      // a time near the file's: for reports without month and year
	Station  string         // which station of a bulletin
	From, To time.Time      // keep our own CSV's rows inside only
}

// Read detects the format and reads it. Typical years and station reports come
// back as a forecast of one member.
func Read(name string, r io.Reader, opt Options) (Forecast, Format, error) {
	in := bufio.NewReaderSize(r, 8192)
	head, err := in.Peek(8192)
	if err != nil && err != io.EOF && len(head) == 0 {
		return Forecast{}, Unknown, &Refusal{Format: name, What: "reading stopped: " + err.Error(), Do: "try again", Err: err}
	}
	format := Detect(name, head)
	one := func(s Series, err error) (Forecast, Format, error) {
		if err != nil {
			return Forecast{}, format, err
		}
		return Forecast{Members: []Series{s}, Issued: s.Issued, Source: s.Source, Notes: slices.Clone(s.Notes)}, format, nil
	}
	var f Forecast
	switch format {
	case CSV:
		f, err = ReadCSVWith(in, CSVOptions{Zone: opt.Zone, From: opt.From, To: opt.To})
	case Gridpoint:
		f, err = ReadGridpoint(in)
	case Periods:
		f, err = ReadPeriods(in)
	case HourlyJSON:
		f, err = ReadHourlyJSON(in)
	case Norwegian:
		f, err = ReadNorwegian(in)
	case EPW:
		return one(ReadEPW(in))
	case TMY3:
		return one(ReadTMY3(in))
	case METAR:
		stations, err := ReadMETAR(in, opt.Near)
		if err != nil {
			return Forecast{}, format, err
		}
		names := make([]string, len(stations))
		for i, s := range stations {
			names[i] = s.Station
			if s.Station == opt.Station || len(stations) == 1 && opt.Station == "" {
				return one(s, nil)
			}
		}
		return Forecast{}, format, &Refusal{
			Format: metarFormat, What: fmt.Sprintf("%d stations, and %q is not one of them", len(stations), opt.Station),
			Do: "name one of " + clip(strings.Join(names, ", ")),
		}
	default:
		return Forecast{}, format, &Refusal{
			Format: name, What: "this does not look like weather in any form this program reads",
			Do: "give CSV with a header (time,air_c,...), JSON of a forecast service, EPW, TMY3 or METAR",
		}
	}
	if err != nil {
		return Forecast{}, format, err
	}
	return f, format, nil
}
