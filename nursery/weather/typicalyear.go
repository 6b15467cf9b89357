package weather

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
)

const (
	epwFormat  = "EPW"
	tmy3Format = "TMY3"
)

// Place is where a typical year was made for.
type Place struct {
	Name                  string
	LatDeg, LonDeg, ElevM float64
	UTCOffset             time.Duration
}

// typicalYear collects the rows of EPW and TMY3: 8760 hours whose months come
// from different years. All are given one year (the first row's, or the next when
// that is a leap year), so that the series runs evenly from January to December;
// the notes name the true years. A file of one real year keeps it.
type typicalYear struct {
	format string
	place  Place
	rows   []Row
	stamps [][4]int // year, month, day, hour of each row as written
	months []string // year-month of each row, without repeats
}

// ReadEPW reads an EnergyPlus weather file. The stamp is the end of the hour:
// sun and rain are means and sums of the hour before it, the rest are readings
// at it. The file's infrared column is modelled, not measured: it is left out
// and the longwave is estimated like everywhere else in this program.
func ReadEPW(r io.Reader) (Series, error) {
	s, _, err := ReadEPWPlace(r)
	return s, err
}

// ReadEPWPlace is ReadEPW with the place named in the file's first line.
func ReadEPWPlace(r io.Reader) (Series, Place, error) {
	y := typicalYear{format: epwFormat}
	err := y.records(r, func(line int, f []string) error {
		switch {
		case line == 1:
			if len(f) < 10 || !strings.EqualFold(strings.TrimSpace(f[0]), "LOCATION") {
				return y.refuse(1, 1, "the first line does not start with LOCATION", "this is not an EPW file")
			}
			return y.setPlace(f[1], f[6], f[7], f[9], f[8])
		case line <= 8:
			return nil
		case len(f) < 23:
			return y.refuse(line, 0, fmt.Sprintf("%d fields where at least 23 belong", len(f)), "the file may be cut short")
		}
		year, month, day, hour := f[0], f[1], f[2], f[3] // the minute field is 0 or 60 by custom and says nothing
		row, err := y.stamp(line, year, month, day, hour)
		if err != nil {
			return err
		}
		for _, v := range []struct {
			c       Column
			at      int
			missing float64
			scale   float64
		}{
			{Air, 6, 99.9, 1},
			{Dew, 7, 99.9, 1},
			{Pressure, 9, 999999, 0.01},
			{Sun, 13, 9999, 1},
			{WindFrom, 20, 999, 1},
			{Wind, 21, 999, 1},
			{Cloud, 22, 99, 0.1},
			{Snow, 30, 999, 1},
			{Rain, 33, 999, 1},
		} {
			if v.at >= len(f) {
				continue
			}
			x, err := y.value(line, v.at, f[v.at])
			if err != nil {
				return err
			}
			if x < v.missing {
				*row.At(v.c) = x * v.scale
			}
		}
		if math.IsNaN(row.DewC) {
			if rh, err := y.value(line, 8, f[8]); err == nil && rh >= 0 && rh <= 110 && row.AirC > -90 && row.AirC < 60 {
				row.DewC = dewFromRH(row.AirC, min(rh, 100))
			}
		}
		return y.add(line, row, year+"-"+month)
	})
	if err != nil {
		return Series{}, Place{}, err
	}
	s, err := y.series("typical year (EPW)")
	if err == nil {
		s.Notes = append(s.Notes, "the file's infrared column is modelled and was not used")
	}
	return s, y.place, err
}

// ReadTMY3 reads a TMY3 typical year; the same meaning of stamps as ReadEPW.
func ReadTMY3(r io.Reader) (Series, error) {
	s, _, err := ReadTMY3Place(r)
	return s, err
}

// ReadTMY3Place is ReadTMY3 with the place named in the file's first line.
func ReadTMY3Place(r io.Reader) (Series, Place, error) {
	y := typicalYear{format: tmy3Format}
	at := map[string]int{}
	err := y.records(r, func(line int, f []string) error {
		switch line {
		case 1:
			if len(f) < 7 {
				return y.refuse(1, 0, "the first line does not name a station, its place and zone", "this is not a TMY3 file")
			}
			return y.setPlace(f[1], f[4], f[5], f[6], f[3])
		case 2:
			for i, name := range f {
				at[strings.TrimSpace(name)] = i
			}
			for _, need := range []string{"Date (MM/DD/YYYY)", "Time (HH:MM)", "Dry-bulb (C)"} {
				if _, ok := at[need]; !ok {
					return y.refuse(2, 0, "no column is called "+need, "this is not a TMY3 file")
				}
			}
			return nil
		}
		get := func(name string) (int, string) {
			i, ok := at[name]
			if !ok || i >= len(f) {
				return 0, ""
			}
			return i, f[i]
		}
		_, date := get("Date (MM/DD/YYYY)")
		_, clock := get("Time (HH:MM)")
		d := strings.Split(date, "/")
		hour, _, ok := strings.Cut(clock, ":")
		if len(d) != 3 || !ok {
			return y.refuse(line, 1, fmt.Sprintf("%q is not a date and hour", clip(date+" "+clock)), "the file may be cut short")
		}
		row, err := y.stamp(line, d[2], d[0], d[1], hour)
		if err != nil {
			return err
		}
		for _, v := range []struct {
			c        Column
			name     string
			low, top float64 // outside: missing (-9900 and the like)
			scale    float64
		}{
			{Air, "Dry-bulb (C)", -95, 95, 1},
			{Dew, "Dew-point (C)", -95, 95, 1},
			{Pressure, "Pressure (mbar)", 400, 1200, 1},
			{Sun, "GHI (W/m^2)", 0, 2000, 1},
			{WindFrom, "Wdir (degrees)", 0, 360, 1},
			{Wind, "Wspd (m/s)", 0, 99, 1},
			{Cloud, "TotCld (tenths)", 0, 10, 0.1},
			{Rain, "Lprecip depth (mm)", 0, 500, 1},
		} {
			i, text := get(v.name)
			if text == "" {
				continue
			}
			x, err := y.value(line, i, text)
			if err != nil {
				return err
			}
			if x >= v.low && x <= v.top {
				*row.At(v.c) = x * v.scale
			}
		}
		return y.add(line, row, d[2]+"-"+d[0])
	})
	if err != nil {
		return Series{}, Place{}, err
	}
	s, err := y.series("typical year (TMY3)")
	return s, y.place, err
}

func (y *typicalYear) refuse(line, column int, what, do string) error {
	return &Refusal{Format: y.format, Line: line, Column: column, What: what, Do: do}
}

// records hands each line's fields to use.
func (y *typicalYear) records(r io.Reader, use func(line int, fields []string) error) error {
	in := csv.NewReader(bufio.NewReader(&limited{r: r, left: MaxTextBytes, maxLine: maxLineBytes}))
	in.FieldsPerRecord, in.ReuseRecord, in.LazyQuotes = -1, true, true
	record := 0
	for {
		f, err := in.Read()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			var parse *csv.ParseError
			line := 0
			if errors.As(err, &parse) {
				line = parse.Line
			}
			return &Refusal{Format: y.format, Line: line, What: err.Error(), Do: "fetch the file again", Err: err}
		}
		record++
		if record == 1 {
			f[0] = strings.TrimPrefix(f[0], "\ufeff")
		}
		if err := use(record, f); err != nil {
			return err
		}
	}
}

func (y *typicalYear) value(line, field int, text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, y.refuse(line, field+1, fmt.Sprintf("%q is not a number", clip(text)), "fetch the file again")
	}
	return v, nil
}

func (y *typicalYear) setPlace(name, lat, lon, elev, zone string) error {
	var v [4]float64
	for i, text := range []string{lat, lon, elev, zone} {
		x, err := y.value(1, 0, text)
		if err != nil {
			return err
		}
		v[i] = x
	}
	if math.Abs(v[0]) > 90 || math.Abs(v[1]) > 360 || math.Abs(v[3]) > 15 {
		return y.refuse(1, 0, "the latitude, longitude or zone cannot be", "fetch the file again")
	}
	y.place = Place{Name: strings.TrimSpace(name), LatDeg: v[0], LonDeg: v[1], ElevM: v[2], UTCOffset: time.Duration(v[3] * float64(time.Hour))}
	return nil
}

// stamp makes the row at the end of the hour; hour 24 is the next midnight.
func (y *typicalYear) stamp(line int, year, month, day, hour string) (Row, error) {
	var n [4]int
	for i, text := range []string{year, month, day, hour} {
		v, err := strconv.Atoi(strings.TrimSpace(text))
		if err != nil {
			return Row{}, y.refuse(line, i+1, fmt.Sprintf("%q is not part of a date", clip(text)), "fetch the file again")
		}
		n[i] = v
	}
	if n[0] < 1700 || n[0] > 2200 || n[1] < 1 || n[1] > 12 || n[2] < 1 || n[2] > 31 || n[3] < 0 || n[3] > 24 {
		return Row{}, y.refuse(line, 0, fmt.Sprintf("%s-%s-%s hour %s cannot be", clip(year), clip(month), clip(day), clip(hour)), "fetch the file again")
	}
	y.stamps = append(y.stamps, n)
	return EmptyRow(time.Time{}), nil
}

// date gives the rows their times; it returns the one year used and whether it
// stands for several.
func (y *typicalYear) date() (year int, several bool) {
	if len(y.stamps) == 0 {
		return 0, false
	}
	year = y.stamps[0][0]
	leapDay := false
	for _, n := range y.stamps {
		several = several || n[0] != year
		leapDay = leapDay || n[1] == 2 && n[2] == 29
	}
	if isLeap(year) && !leapDay && len(y.stamps) > 24*31 {
		year++ // a typical year has no 29 February
	}
	zone := time.FixedZone("", int(y.place.UTCOffset.Seconds()))
	for i, n := range y.stamps {
		y.rows[i].Time = time.Date(year, time.Month(n[1]), n[2], n[3], 0, 0, 0, zone)
	}
	return year, several
}

func isLeap(year int) bool { return year%4 == 0 && (year%100 != 0 || year%400 == 0) }

func (y *typicalYear) add(line int, r Row, month string) error {
	if len(y.rows) > 9000 {
		return y.refuse(line, 0, "more than one year of hours", "cut the file into years, or use our own CSV")
	}
	y.rows = append(y.rows, r)
	if !slices.Contains(y.months, month) && len(y.months) < 24 {
		y.months = append(y.months, strings.Clone(month))
	}
	return nil
}

func (y *typicalYear) series(source string) (Series, error) {
	s := Series{
		Source: source, Station: y.place.Name, Step: time.Hour,
		ByColumn: map[Column]Interval{Sun: MeanEnding, Rain: MeanEnding},
	}
	if year, several := y.date(); several {
		s.Notes = append(s.Notes, fmt.Sprintf("a typical year: its months come from different years (%s) and are all dated %d", strings.Join(y.months, " "), year))
	}
	rows, _, err := order(y.rows)
	if err != nil {
		return s, &Refusal{Format: y.format, What: err.Error(), Do: "fetch the file again"}
	}
	s.Rows = rows
	if err := s.settle(); err != nil {
		return s, asRefusal(err, y.format, "")
	}
	return s, nil
}

// Winter turns a typical year (January to December) so that it runs from July
// to June, the first half dated one year earlier: one whole winter in one piece.
// A series that does not span a year is returned unchanged.
func Winter(s Series) Series {
	n := len(s.Rows)
	if n == 0 || s.Rows[n-1].Time.Sub(s.Rows[0].Time) < 360*24*time.Hour {
		return s
	}
	year := s.Rows[0].Time.Year()
	july := time.Date(year, time.July, 1, 0, 0, 0, 0, s.Rows[0].Time.Location())
	cut := slices.IndexFunc(s.Rows, func(r Row) bool { return !r.Time.Before(july) })
	if cut <= 0 {
		return s
	}
	out := s.Clone()
	back := july.AddDate(0, 6, 0).Sub(july.AddDate(-1, 6, 0)) // the length of the year
	out.Rows = make([]Row, 0, n)
	for _, r := range s.Rows[cut:] {
		r.Time = r.Time.Add(-back)
		out.Rows = append(out.Rows, r)
	}
	for _, r := range s.Rows[:cut] {
		if k := len(out.Rows); r.Time.After(out.Rows[k-1].Time) {
			out.Rows = append(out.Rows, r)
		}
	}
	out.Notes = append(out.Notes, "turned to run from July to June; the join at new year is between months of different years")
	return out
}
