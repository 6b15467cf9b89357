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

	"example.org/coldnight/physics/air"
)

const csvFormat = "weather CSV"

// CSVOptions is what the caller knows about a CSV file that the file does not say.
type CSVOptions struct {
	Zone     *time.Location // clock of times written without an offset; the file's own `# zone:` line wins
	From, To time.Time      // keep rows inside only; zero: no limit. Lets a long record pass in little memory
}

// ReadCSV reads our own CSV: a header line with `time` and any of the columns
// named by Column (rh_pct may stand for dew_c), and comment lines above it:
//
//	# interval: instant | mean-ending | mean-starting
//	# interval sun_w_m2: mean-ending        (one column that differs)
//	# zone: America/Chicago                 (for times without an offset)
//	# issued: 2001-02-03T12:00:00Z          (makes it a forecast)
//	# source: ..., # station: ...
//
// A column `member` makes it an ensemble. Text is read row by row.
func ReadCSV(r io.Reader) (Forecast, error) { return ReadCSVWith(r, CSVOptions{}) }

// ReadCSVWith is ReadCSV with what the caller knows.
func ReadCSVWith(r io.Reader, opt CSVOptions) (Forecast, error) {
	return readCSV(r, opt, maxRows)
}

func readCSV(r io.Reader, opt CSVOptions, most int) (Forecast, error) {
	in := bufio.NewReaderSize(&limited{r: r, left: MaxCSVBytes, maxLine: maxLineBytes}, 1<<16)
	c := csvReader{opt: opt, zone: opt.Zone, most: most}
	if err := c.preamble(in); err != nil {
		return Forecast{}, err
	}
	if err := c.body(in); err != nil {
		return Forecast{}, err
	}
	return c.finish()
}

// csvReader holds what one pass over a CSV file has learned so far.
type csvReader struct {
	opt      CSVOptions
	zone     *time.Location
	head     Series // interval, source, station, issued: copied to each member
	line     int    // lines consumed by the preamble
	comma    rune
	header   []string
	columns  []Column // per field; NColumns: not a number of ours
	timeAt   int
	rhAt     int
	memberAt int
	members  map[string]*Series
	order    []string
	rows     int
	most     int // rows taken at most
	rhRows   int
	rhMax    float64
	tally    map[string]int // repairs, counted by their sentence
	first    map[string]int // line of each repair's first case
}

func (c *csvReader) refuse(line, column int, place, what, do string) error {
	return &Refusal{Format: csvFormat, Line: line, Column: column, Place: place, What: what, Do: do}
}

func (c *csvReader) stopped(err error) error {
	switch {
	case errors.Is(err, errTooLarge):
		return &Refusal{Format: csvFormat, What: fmt.Sprintf("larger than %d MB", MaxCSVBytes>>20), Do: "cut the file into winters", Err: err}
	case errors.Is(err, errLongLine):
		return &Refusal{Format: csvFormat, Line: c.line + 1, What: fmt.Sprintf("a line is longer than %d kB", maxLineBytes>>10), Do: "this is not a table of weather with one row per line", Err: err}
	}
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		return &Refusal{Format: csvFormat, Line: c.line + parse.Line, Column: parse.Column, What: parse.Err.Error(), Do: "give every row as many fields as the header has", Err: err}
	}
	return &Refusal{Format: csvFormat, What: "reading stopped: " + err.Error(), Do: "try again", Err: err}
}

// preamble reads comments and the header line.
func (c *csvReader) preamble(in *bufio.Reader) error {
	for {
		text, err := in.ReadString('\n')
		if err != nil && err != io.EOF {
			return c.stopped(err)
		}
		c.line++
		if c.line == 1 {
			text = strings.TrimPrefix(text, "\ufeff")
			if strings.HasPrefix(text, "\xff\xfe") || strings.HasPrefix(text, "\xfe\xff") || strings.ContainsRune(text, 0) {
				return c.refuse(1, 1, "", "the text is UTF-16 or not text at all", "save it as \"CSV UTF-8\"")
			}
		}
		line := strings.TrimSpace(text)
		switch {
		case strings.HasPrefix(line, "#"):
			if err := c.comment(strings.TrimSpace(strings.TrimLeft(line, "#"))); err != nil {
				return err
			}
		case line != "":
			return c.setHeader(line)
		}
		if err == io.EOF {
			return c.refuse(0, 0, "", "no header line", "start with a line such as: time,air_c,dew_c,wind_m_s,cloud_frac")
		}
	}
}

func (c *csvReader) comment(text string) error {
	key, value, ok := strings.Cut(text, ":")
	if !ok {
		return nil
	}
	key, value = strings.ToLower(strings.TrimSpace(key)), strings.TrimSpace(value)
	switch {
	case key == "interval":
		i, err := ParseInterval(value)
		if err != nil {
			return c.refuse(c.line, 0, "interval", err.Error(), "")
		}
		c.head.Interval = i
	case strings.HasPrefix(key, "interval "):
		name := strings.TrimSpace(strings.TrimPrefix(key, "interval "))
		col := columnNamed(name)
		if col == NColumns {
			return c.refuse(c.line, 0, "interval", fmt.Sprintf("no column is called %q", name), "use a column's name, such as sun_w_m2")
		}
		i, err := ParseInterval(value)
		if err != nil {
			return c.refuse(c.line, 0, "interval "+name, err.Error(), "")
		}
		if c.head.ByColumn == nil {
			c.head.ByColumn = map[Column]Interval{}
		}
		c.head.ByColumn[col] = i
	case key == "zone":
		zone, err := ParseZone(value)
		if err != nil {
			return c.refuse(c.line, 0, "zone", err.Error(), "write a zone such as America/Chicago, UTC or +01:00")
		}
		c.zone = zone
	case key == "issued":
		t, err := time.Parse(time.RFC3339, value)
		if err != nil {
			return c.refuse(c.line, 0, "issued", fmt.Sprintf("%q is not a time", value), "write it as 2001-02-03T12:00:00Z")
		}
		c.head.Issued = t
	case key == "source":
		c.head.Source = value
	case key == "station":
		c.head.Station = value
	}
	return nil
}

// ParseZone reads a zone name of the time zone database, UTC, Z or an offset
// such as +01:00. "Local" is refused: a file must mean the same on every machine.
func ParseZone(text string) (*time.Location, error) {
	if text == "Z" || strings.EqualFold(text, "UTC") || strings.EqualFold(text, "GMT") {
		return time.UTC, nil
	}
	if t, err := time.Parse("-07:00", text); err == nil {
		return t.Location(), nil
	}
	if text == "" || strings.EqualFold(text, "local") {
		return nil, fmt.Errorf("%q is not a zone", text)
	}
	zone, err := time.LoadLocation(text)
	if err != nil {
		return nil, fmt.Errorf("%q is not a zone this machine knows", text)
	}
	return zone, nil
}

func columnNamed(name string) Column {
	for col := range NColumns {
		if col.String() == name {
			return col
		}
	}
	return NColumns
}

func (c *csvReader) setHeader(line string) error {
	c.comma = ','
	for _, sep := range []rune{';', '\t'} {
		if !strings.ContainsRune(line, ',') && strings.ContainsRune(line, sep) {
			c.comma = sep
		}
	}
	r := csv.NewReader(strings.NewReader(line))
	r.Comma = c.comma
	fields, err := r.Read()
	if err != nil {
		return c.refuse(c.line, 0, "header", "the header line cannot be read", "separate the column names by commas")
	}
	c.timeAt, c.rhAt, c.memberAt = -1, -1, -1
	c.columns = make([]Column, len(fields))
	var ignored []string
	seen := map[string]bool{}
	for i, f := range fields {
		name := strings.ToLower(strings.TrimSpace(f))
		if seen[name] {
			return c.refuse(c.line, i+1, name, "this column stands twice", "keep one")
		}
		seen[name] = true
		fields[i] = name
		c.columns[i] = columnNamed(name)
		switch name {
		case "time":
			c.timeAt = i
		case "rh_pct":
			c.rhAt = i
		case "member":
			c.memberAt = i
		default:
			if c.columns[i] != NColumns {
				continue
			}
			if want := metricTwin(name); want != "" {
				return c.refuse(c.line, i+1, name, "this column is not in the file's units", "convert it and call it "+want)
			}
			ignored = append(ignored, name)
		}
	}
	c.header = fields
	if c.timeAt < 0 {
		return c.refuse(c.line, 0, "header", "no column is called time", "the first line that is not a comment names the columns: time,air_c,...")
	}
	if !seen["air_c"] {
		return c.refuse(c.line, 0, "header", "no column is called air_c", "give the air temperature in °C; everything else can be estimated, this cannot")
	}
	if len(ignored) > 0 {
		c.head.Notes = append(c.head.Notes, "columns not used: "+strings.Join(ignored, ", "))
	}
	c.tally, c.first, c.members = map[string]int{}, map[string]int{}, map[string]*Series{}
	return nil
}

// metricTwin names the column a customary one stands for.
func metricTwin(name string) string {
	for stem, want := range map[string]string{
		"air": "air_c", "temp": "air_c", "temperature": "air_c", "dew": "dew_c", "dewpoint": "dew_c",
		"wind": "wind_m_s", "gust": "gust_m_s", "rain": "rain_mm", "snow": "snow_cm", "pressure": "pressure_hpa",
		"soil_10cm": "soil_10cm_c", "cloud": "cloud_frac",
	} {
		for _, unit := range []string{"_f", "_k", "_mph", "_kmh", "_km_h", "_kt", "_kn", "_in", "_inhg", "_pa", "_pct", "_okta", "_tenths"} {
			if name == stem+unit {
				return want
			}
		}
	}
	return ""
}

func (c *csvReader) body(in *bufio.Reader) error {
	r := csv.NewReader(in)
	r.Comma, r.Comment, r.ReuseRecord = c.comma, '#', true
	r.FieldsPerRecord = len(c.header)
	r.TrimLeadingSpace = c.comma != '\t'
	for {
		fields, err := r.Read()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return c.stopped(err)
		}
		line, _ := r.FieldPos(0)
		if err := c.row(fields, c.line+line); err != nil {
			return err
		}
	}
}

func (c *csvReader) row(fields []string, line int) error {
	t, err := ParseTime(fields[c.timeAt], c.zone)
	if err != nil {
		return c.refuse(line, c.timeAt+1, "time", err.Error(), "")
	}
	if !c.opt.From.IsZero() && t.Before(c.opt.From) || !c.opt.To.IsZero() && t.After(c.opt.To) {
		return nil
	}
	if c.rows++; c.rows > c.most {
		return c.refuse(line, 0, "", fmt.Sprintf("more than %d rows", c.most), "cut the file into winters, or ask for a shorter time")
	}
	r := EmptyRow(t)
	rh := math.NaN()
	for i, f := range fields {
		if c.columns[i] == NColumns && i != c.rhAt {
			continue
		}
		v, err := c.number(f)
		if err != nil {
			return c.refuse(line, i+1, c.header[i], fmt.Sprintf("%q is not a number", clip(f)), "write a number, or leave the field empty when the value is unknown")
		}
		if math.IsNaN(v) {
			continue
		}
		if i == c.rhAt {
			rh = v
			continue
		}
		*r.At(c.columns[i]) = v
	}
	if err := c.plausible(&r, &rh, line); err != nil {
		return err
	}
	if math.IsNaN(r.DewC) && !math.IsNaN(rh) && !math.IsNaN(r.AirC) {
		r.DewC = dewFromRH(r.AirC, rh)
	}
	name := ""
	if c.memberAt >= 0 {
		name = strings.TrimSpace(fields[c.memberAt])
	}
	m := c.members[name]
	if m == nil {
		if len(c.members) >= maxMembers {
			return c.refuse(line, c.memberAt+1, "member", fmt.Sprintf("more than %d members", maxMembers), "is the right column called member?")
		}
		m = &Series{}
		name = strings.Clone(name)
		c.members[name] = m
		c.order = append(c.order, name)
	}
	if n := len(m.Rows); n > 0 && r.Time.Before(m.Rows[n-1].Time) {
		back := m.Rows[n-1].Time.Sub(r.Time)
		do := "sort the rows by time"
		if back <= time.Hour {
			do = "if the clocks went back here, write each time with its offset (2001-10-28T01:30:00-05:00); otherwise sort the rows"
		}
		return c.refuse(line, c.timeAt+1, "time", fmt.Sprintf("this row is %s before the row above it", words(back)), do)
	}
	m.Rows = append(m.Rows, r)
	return nil
}

// number reads a field; empty and the usual words for "unknown" are NaN.
func (c *csvReader) number(f string) (float64, error) {
	f = strings.TrimSpace(f)
	switch strings.ToLower(f) {
	case "", "nan", "na", "n/a", "null", "none", "-", "m", "missing", "-9999", "-999", "-99999":
		return math.NaN(), nil
	}
	if c.comma != ',' {
		f = strings.Replace(f, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(f, 64)
	if err != nil {
		return 0, err
	}
	if math.IsInf(v, 0) || strings.ContainsAny(f, "xX_") {
		return 0, strconv.ErrRange
	}
	return v, nil
}

func clip(s string) string {
	if len(s) > 40 {
		return strings.ToValidUTF8(s[:40], "") + "..."
	}
	return strings.ToValidUTF8(s, "?")
}

func (c *csvReader) repaired(sentence string, line int) {
	if c.tally[sentence] == 0 {
		c.first[sentence] = line
	}
	c.tally[sentence]++
}

// finish orders, completes and checks the members' rows.
func (c *csvReader) finish() (Forecast, error) {
	if c.rows == 0 {
		return Forecast{}, c.refuse(0, 0, "", "no rows", "give at least the hours of one night")
	}
	if c.rhRows >= 3 && c.rhMax <= 1 {
		return Forecast{}, c.refuse(0, c.rhAt+1, "rh_pct", fmt.Sprintf("no value is above %g", c.rhMax), "it looks like a share (0 to 1) where percent belongs: multiply by 100")
	}
	var sentences []string
	for s := range c.tally {
		sentences = append(sentences, fmt.Sprintf("%s (%d times, first in line %d)", s, c.tally[s], c.first[s]))
	}
	slices.Sort(sentences)
	f := Forecast{Issued: c.head.Issued, Source: c.head.Source}
	if f.Source == "" {
		f.Source = "a CSV file"
	}
	for _, name := range c.order {
		rows := c.members[name].Rows
		s := c.head.Clone()
		s.Member, s.Source = name, f.Source
		s.Notes = append(s.Notes, sentences...)
		rows, merged, err := order(rows)
		if err != nil {
			return Forecast{}, c.refuse(0, 0, memberPlace(name), err.Error(), "keep the right one")
		}
		if merged > 0 {
			s.Notes = append(s.Notes, fmt.Sprintf("%d rows stood twice and were merged", merged))
		}
		s.Rows = rows
		if err := s.settle(); err != nil {
			return Forecast{}, asRefusal(err, csvFormat, memberPlace(name))
		}
		f.Members = append(f.Members, s)
	}
	f.Notes = slices.Clone(f.Members[0].Notes)
	return f, nil
}

func memberPlace(name string) string {
	if name == "" {
		return ""
	}
	return "member " + clip(name)
}

// asRefusal gives an error of a later step the reader's name.
func asRefusal(err error, format, place string) error {
	var already *Refusal
	if errors.As(err, &already) {
		out := *already
		out.Format = format
		if out.Place == "" {
			out.Place = place
		}
		return &out
	}
	out := &Refusal{Format: format, Place: place, What: err.Error(), Err: err}
	var gap *gapError
	if errors.As(err, &gap) {
		out.Do = "fill the hole from another source, or give the part before or after it only"
	}
	return out
}

// dewFromRH is the dew point [°C] of air at tC with relative humidity rh [%].
func dewFromRH(tC, rh float64) float64 {
	return min(tC, air.DewPoint(air.VapourPressureRH(tC, max(rh, 1))))
}
