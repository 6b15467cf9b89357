package weather

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"time"
)

// hours writes an invented CSV: header, then one row per hour from 18:00Z with
// the given air temperatures.
func hours(header string, tail string, air ...float64) string {
	var b strings.Builder
	b.WriteString(header + "\n")
	for h, v := range air {
		fmt.Fprintf(&b, "%s,%g%s\n", time.Date(2031, 1, 14, 18+h, 0, 0, 0, time.UTC).Format(time.RFC3339), v, tail)
	}
	return b.String()
}

func TestCSVRefusals(t *testing.T) {
	steady := []float64{5, 4, 3, 2, 1, 0, -1, -2}
	for _, c := range []struct {
		name, text   string
		line, column int
		words        []string
	}{
		{"60 °C at night", hours("time,air_c", "", 60, 59, 58.5, 57), 2, 2, []string{"°F given as °C", "15.6"}},
		{"a day whose coldest hour is 46", hours("time,air_c", "", 50, 49, 48, 47, 46, 47, 48, 49, 50, 51, 52, 53, 54, 54, 53, 52, 51, 50, 49, 48, 47, 47, 47, 47), 0, 0, []string{"warmer than any night", "°F"}},
		{"kelvin", hours("time,air_c", "", 273.15, 272), 2, 2, []string{"kelvin"}},
		{"columns swapped: dew and air", hours("time,dew_c,air_c", ",-4", steady...), 0, 0, []string{"swapped"}},
		{"columns swapped: direction and speed", hours("time,air_c,wind_m_s,wind_from_deg", ",330,2", steady...), 2, 3, []string{"direction"}},
		{"columns swapped: sun and longwave", hours("time,air_c,sun_w_m2,longwave_w_m2", ",250,0", steady...), 2, 4, []string{"swapped"}},
		{"cloud in percent", hours("time,air_c,cloud_frac", ",80", steady...), 2, 3, []string{"percent"}},
		{"cloud in eighths", hours("time,air_c,cloud_frac", ",7", steady...), 2, 3, []string{"eighths"}},
		{"humidity as a share", hours("time,air_c,rh_pct", ",0.8", steady...), 0, 3, []string{"multiply by 100"}},
		{"pressure in Pa", hours("time,air_c,pressure_hpa", ",101300", steady...), 2, 3, []string{"divide by 100"}},
		{"a °F column", hours("time,air_f", "", 40, 39), 1, 2, []string{"air_c"}},
		{"no time", "air_c\n1\n", 1, 0, []string{"time"}},
		{"no air", "time,cloud_frac\n2031-01-14T18:00:00Z,1\n", 1, 0, []string{"air_c"}},
		{"no rows", "time,air_c\n", 0, 0, []string{"no rows"}},
		{"empty", "", 0, 0, []string{"header"}},
		{"a word for a number", hours("time,air_c,dew_c", ",cold", 5), 2, 3, []string{`"cold"`}},
		{"infinite", "time,air_c\n2031-01-14T18:00:00Z,Inf\n", 2, 2, []string{"not a number"}},
		{"no offset", "time,air_c\n2031-01-14T18:00:00,1\n", 2, 1, []string{"# zone:"}},
		{"a field too few", "time,air_c,dew_c\n2031-01-14T18:00:00Z,1\n", 2, 0, []string{"fields"}},
		{"backwards", "time,air_c\n2031-01-14T18:00:00Z,1\n2031-01-14T12:00:00Z,1\n", 3, 1, []string{"sort"}},
		{"two values for one time", "time,air_c\n2031-01-14T18:00:00Z,1\n2031-01-14T18:00:00Z,2\n", 0, 0, []string{"different things"}},
		{"a column twice", "time,air_c,air_c\n", 1, 3, []string{"twice"}},
		{"unknown interval", "# interval: hourly\ntime,air_c\n", 1, 0, []string{"mean-ending"}},
		{"unknown zone", "# zone: America/Nowhere\ntime,air_c\n", 1, 0, []string{"zone"}},
		{"daily rows", "time,air_c\n2031-01-14T00:00:00Z,1\n2031-01-15T00:00:00Z,2\n2031-01-16T00:00:00Z,2\n", 0, 0, []string{"hole"}},
		{"UTF-16", "\xff\xfet\x00i\x00m\x00e\x00\n", 1, 1, []string{"UTF-8"}},
		{"one endless line", "time,air_c\n" + strings.Repeat("1", 70000), 0, 0, []string{"longer than"}},
		{"air missing for five hours", "time,air_c\n2031-01-14T18:00:00Z,1\n2031-01-14T19:00:00Z,\n2031-01-14T20:00:00Z,\n2031-01-14T21:00:00Z,nan\n2031-01-14T22:00:00Z,\n2031-01-14T23:00:00Z,1\n", 0, 0, []string{"no air temperature for 5 hours"}},
	} {
		_, err := ReadCSV(strings.NewReader(c.text))
		var refusal *Refusal
		if !errors.As(err, &refusal) {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if c.line > 0 && refusal.Line != c.line || c.column > 0 && refusal.Column != c.column {
			t.Errorf("%s: refused at line %d, column %d, want %d, %d: %v", c.name, refusal.Line, refusal.Column, c.line, c.column, err)
		}
		for _, w := range c.words {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %q does not say %q", c.name, err, w)
			}
		}
	}
}

func TestCSVHoles(t *testing.T) {
	row := func(h int, air float64) string {
		return fmt.Sprintf("%s,%g\n", time.Date(2031, 1, 14, h, 0, 0, 0, time.UTC).Format(time.RFC3339), air)
	}
	// Two hours missing: three hours from row to row is the limit.
	f, err := ReadCSV(strings.NewReader("time,air_c\n" + row(0, 6) + row(1, 5) + row(2, 4) + row(5, 1) + row(6, 0)))
	if err != nil {
		t.Fatal(err)
	}
	s := f.Members[0]
	if len(s.Rows) != 7 || math.Abs(s.Rows[3].AirC-3) > 1e-9 || !strings.Contains(strings.Join(s.Notes, " "), "short holes") {
		t.Errorf("%d rows, %v", len(s.Rows), s.Notes)
	}
	// Four hours from row to row: refused, with both ends named.
	_, err = ReadCSV(strings.NewReader("time,air_c\n" + row(0, 6) + row(1, 5) + row(2, 4) + row(6, 1) + row(7, 0)))
	if err == nil || !strings.Contains(err.Error(), "2031-01-14T02:00:00Z") || !strings.Contains(err.Error(), "2031-01-14T06:00:00Z") {
		t.Error(err)
	}
	// A regular six-hourly series is taken and says so; a twelve-hourly one is not.
	six, twelve := "time,air_c\n", "time,air_c\n"
	for k := range 8 {
		six, twelve = six+row(6*k, 3), twelve+row(12*k, 3)
	}
	f, err = ReadCSV(strings.NewReader(six))
	if err != nil || f.Members[0].Step != 6*time.Hour || !strings.Contains(strings.Join(f.Notes, " "), "every 6 hours") {
		t.Error(f.Notes, err)
	}
	if _, err = ReadCSV(strings.NewReader(twelve)); err == nil {
		t.Error("a step of twelve hours was taken")
	}
}

func TestCSVCoarseTail(t *testing.T) {
	f, err := ReadCSV(strings.NewReader(string(seeds(t, "csv")["coarse_tail.csv"])))
	if err != nil {
		t.Fatal(err)
	}
	s := f.Members[0]
	rain := 0.0
	for _, r := range s.Rows {
		rain += r.RainMM
	}
	if s.Step != time.Hour || s.CoarseStep != 6*time.Hour || math.Abs(rain-6*6) > 1e-9 { // six sums of 6 mm in the sample, shared out
		t.Errorf("step %v, coarse by %v, %g mm", s.Step, s.CoarseStep, rain)
	}
	// The spread is wider where the values are far apart.
	spread := func(row int) float64 {
		sum, square := 0.0, 0.0
		out := Ensemble(f, 800, 1, here())
		for _, m := range out {
			sum, square = sum+m.Rows[row].AirC, square+m.Rows[row].AirC*m.Rows[row].AirC
		}
		n := float64(len(out))
		return math.Sqrt(square/n - sum*sum/n/n)
	}
	if a, b := spread(10), spread(14); b < 1.03*a {
		t.Errorf("spread %.2f K before, %.2f K where coarse", a, b)
	}
}

func TestCSVClock(t *testing.T) {
	read := func(times ...string) (Forecast, error) {
		text := "# zone: America/Chicago\ntime,air_c\n"
		for _, x := range times {
			text += x + ",1\n"
		}
		return ReadCSV(strings.NewReader(text))
	}
	// Autumn 2031: clocks go back on 2 November, 01:30 happens twice.
	if _, err := read("2031-11-02T00:30", "2031-11-02T01:30"); err == nil || !strings.Contains(err.Error(), "happens twice") || !strings.Contains(err.Error(), "-06:00") {
		t.Error(err)
	}
	// Spring 2031: clocks go forward on 9 March, 02:30 never happens.
	if _, err := read("2031-03-09T01:30", "2031-03-09T02:30"); err == nil || !strings.Contains(err.Error(), "does not exist") {
		t.Error(err)
	}
	// Written with offsets both are two plain hours.
	f, err := read("2031-11-02T00:30:00-05:00", "2031-11-02T01:30:00-05:00", "2031-11-02T01:30:00-06:00", "2031-11-02T02:30:00-06:00")
	if err != nil || len(f.Members[0].Rows) != 4 || f.Members[0].Step != time.Hour {
		t.Error(f, err)
	}
	// The caller's zone serves a file that names none.
	zone := time.FixedZone("", -6*3600)
	f, err = ReadCSVWith(strings.NewReader("time,air_c\n2031-01-14T18:00,1\n2031-01-14T19:00,1\n"), CSVOptions{Zone: zone})
	if err != nil || !f.Members[0].Rows[0].Time.Equal(time.Date(2031, 1, 15, 0, 0, 0, 0, time.UTC)) {
		t.Error(f, err)
	}
}

func TestCSVMembersAndDuplicates(t *testing.T) {
	f, err := ReadCSV(strings.NewReader(string(seeds(t, "csv")["members.csv"])))
	if err != nil || len(f.Members) != 3 || f.Members[2].Member != "2" || len(f.Members[2].Rows) != 14 {
		t.Fatalf("%d members, %v", len(f.Members), err)
	}
	f, err = ReadCSV(strings.NewReader("time,air_c,cloud_frac\n2031-01-14T18:00:00Z,1,\n2031-01-14T18:00:00Z,1,0.5\n2031-01-14T19:00:00Z,1,0.5\n"))
	if err != nil || len(f.Members[0].Rows) != 2 || f.Members[0].Rows[0].CloudFrac != 0.5 {
		t.Errorf("%+v %v", f.Members, err)
	}
}

// endless writes rows of an hour for ever, or until n bytes have been read.
type endless struct {
	n     int64
	row   int
	rest  []byte
	stamp time.Time
}

func (e *endless) Read(p []byte) (int, error) {
	if e.n <= 0 {
		return 0, io.EOF
	}
	if len(e.rest) == 0 {
		if e.row == 0 {
			e.rest = []byte("time,air_c\n")
		} else {
			e.rest = []byte(e.stamp.Add(time.Duration(e.row)*time.Minute).Format(time.RFC3339) + ",1\n")
		}
		e.row++
	}
	n := copy(p, e.rest)
	e.rest = e.rest[n:]
	e.n -= int64(n)
	return n, nil
}

// TestCSVTooLong: a file beyond the limits ends in a clear refusal, and a window
// takes the winter asked for out of a long record in little memory.
func TestCSVTooLong(t *testing.T) {
	start := time.Date(1990, 1, 1, 0, 0, 0, 0, time.UTC)
	_, err := readCSV(&endless{n: 1 << 40, stamp: start}, CSVOptions{}, 100_000)
	if err == nil || !strings.Contains(err.Error(), "more than 100000 rows; cut the file into winters") {
		t.Error(err)
	}
	f, err := ReadCSVWith(&endless{n: 1 << 24, stamp: start}, CSVOptions{From: start.AddDate(0, 6, 0), To: start.AddDate(0, 6, 1)})
	if err != nil || len(f.Members[0].Rows) != 24*60+1 {
		t.Error(err)
	}
	_, err = readText(&endless{n: 1 << 40, stamp: start}, "text")
	if err == nil || !strings.Contains(err.Error(), "larger than") {
		t.Error(err)
	}
}
