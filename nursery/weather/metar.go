package weather

import (
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

const metarFormat = "METAR"

// ReadMETAR reads station reports, alone or in bulletins, and returns one series
// per station, in the order of first appearance. A report carries the day of the
// month and the time only: near is a time within two weeks of it (when the file
// was fetched, say). Reports that cannot be read are left out and counted in the
// notes, for bulletins are typed by many hands; it is an error when none is left.
func ReadMETAR(r io.Reader, near time.Time) ([]Series, error) {
	text, err := readText(r, metarFormat)
	if err != nil {
		return nil, err
	}
	if near.IsZero() {
		return nil, &Refusal{Format: metarFormat, What: "reports carry no month and year", Do: "say when the file was fetched"}
	}
	stations := map[string]*Series{}
	var names []string
	var skipped []string
	empty := 0
	for _, report := range splitReports(string(text)) {
		name, row, notes, err := parseReport(report, near)
		if err == errNoReport {
			empty++
			continue
		}
		if err != nil {
			skipped = append(skipped, fmt.Sprintf("%q (%v)", clip(strings.Join(report, " ")), err))
			continue
		}
		s := stations[name]
		if s == nil {
			s = &Series{Source: "METAR", Station: name, ByColumn: map[Column]Interval{Rain: MeanEnding}}
			stations[name] = s
			names = append(names, name)
		}
		for _, n := range notes {
			if !slices.Contains(s.Notes, n) {
				s.Notes = append(s.Notes, n)
			}
		}
		s.Rows = append(s.Rows, row)
	}
	var out []Series
	for _, name := range names {
		s := *stations[name]
		s.Rows = latest(s.Rows)
		if err := s.settle(); err != nil {
			skipped = append(skipped, fmt.Sprintf("station %s (%v)", name, err))
			continue
		}
		out = append(out, s)
	}
	if len(out) == 0 {
		what := "no report with a temperature"
		if len(skipped) > 0 {
			what += "; first left out: " + skipped[0]
		}
		return nil, &Refusal{Format: metarFormat, What: what, Do: "a report looks like: KXYZ 052355Z 31009KT 10SM CLR M03/M07 A3008="}
	}
	if len(skipped) > 0 {
		note := fmt.Sprintf("%d reports left out, first: %s", len(skipped), skipped[0])
		for i := range out {
			out[i].Notes = append(out[i].Notes, note)
		}
	}
	return out, nil
}

// latest sorts rows and keeps the last of several for one time: a correction.
func latest(rows []Row) []Row {
	slices.SortStableFunc(rows, func(a, b Row) int { return a.Time.Compare(b.Time) })
	out := rows[:0]
	for _, r := range rows {
		if k := len(out); k > 0 && out[k-1].Time.Equal(r.Time) {
			out[k-1] = r
			continue
		}
		out = append(out, r)
	}
	return out
}

// splitReports cuts the text at "=" and, where a hand forgot it, at the next
// line that starts a report, and drops bulletin headings.
func splitReports(text string) [][]string {
	var out [][]string
	for _, chunk := range strings.Split(text, "=") {
		fields := strings.Fields(chunk)
		start := 0
		for i := 1; i+1 < len(fields); i++ {
			if isStation(fields[i]) && isStamp(fields[i+1]) && i > start && !isMETARWord(fields[i-1]) {
				out = append(out, fields[start:i])
				start = i
			}
		}
		if start < len(fields) {
			out = append(out, fields[start:])
		}
	}
	return out
}

func isMETARWord(f string) bool { return f == "METAR" || f == "SPECI" || f == "COR" }

func isStation(f string) bool {
	if len(f) != 4 || f[0] < 'A' || f[0] > 'Z' {
		return false
	}
	for _, c := range f {
		if (c < 'A' || c > 'Z') && (c < '0' || c > '9') {
			return false
		}
	}
	return !isMETARWord(f)
}

func isStamp(f string) bool {
	if len(f) != 7 || f[6] != 'Z' {
		return false
	}
	_, err := strconv.Atoi(f[:6])
	return err == nil && f[0] != '-' && f[0] != '+'
}

var errNoReport = fmt.Errorf("no report")

// parseReport reads one report's fields.
func parseReport(fields []string, near time.Time) (string, Row, []string, error) {
	at := -1
	for i := 0; i+1 < len(fields); i++ {
		if isStation(fields[i]) && isStamp(fields[i+1]) {
			at = i
		}
		if fields[i+1] == "NIL" {
			return "", Row{}, nil, errNoReport
		}
	}
	if at < 0 {
		if len(fields) == 0 || fields[len(fields)-1] == "NT" || len(fields) < 4 {
			return "", Row{}, nil, errNoReport
		}
		return "", Row{}, nil, fmt.Errorf("no station and time")
	}
	t, err := reportTime(fields[at+1], near)
	if err != nil {
		return "", Row{}, nil, err
	}
	row := EmptyRow(t)
	var notes []string
	body, remarks := fields[at+2:], []string(nil)
	if i := slices.Index(body, "RMK"); i >= 0 {
		body, remarks = body[:i], body[i+1:]
	}
	for _, trend := range []string{"NOSIG", "TEMPO", "BECMG"} {
		if i := slices.Index(body, trend); i >= 0 {
			body = body[:i] // a two-hour outlook, not the report
		}
	}
	wind := regexp.MustCompile(`^(\d{3}|VRB)P?(\d{2,3})(?:G(\d{2,3}))?(KT|MPS|KMH)$`)
	temps := regexp.MustCompile(`^(M?\d{2})/(M?\d{2})?(?://)?$`)
	layer := regexp.MustCompile(`^(FEW|SCT|BKN|OVC|VV)(\d{3}|///)`)
	for _, f := range body {
		if m := wind.FindStringSubmatch(f); m != nil {
			row.WindMS, row.WindFromDeg, row.GustMS = reportWind(m)
			continue
		}
		if m := temps.FindStringSubmatch(f); m != nil && math.IsNaN(row.AirC) {
			row.AirC, row.DewC = signed(m[1]), signed(m[2])
			continue
		}
		if m := layer.FindStringSubmatch(f); m != nil {
			// WMO-No. 306 FM 15: FEW 1-2, SCT 3-4, BKN 5-7, OVC 8 eighths; middle of each
			cover := map[string]float64{"FEW": 1.5 / 8, "SCT": 3.5 / 8, "BKN": 6. / 8, "OVC": 1, "VV": 1}[m[1]]
			if math.IsNaN(row.CloudFrac) || cover > row.CloudFrac {
				row.CloudFrac = cover
			}
			continue
		}
		switch f {
		case "SKC":
			row.CloudFrac = 0
		case "CLR":
			if math.IsNaN(row.CloudFrac) {
				row.CloudFrac = 0
			}
			notes = append(notes, "CLR from an automatic station means no cloud below 3,700 m: high cloud is not seen")
		case "NSC", "NCD", "CAVOK":
			notes = append(notes, f+" says nothing about high cloud: cloud is estimated")
		}
	}
	for _, f := range remarks {
		if m := regexp.MustCompile(`^T([01])(\d{3})([01])(\d{3})$`).FindStringSubmatch(f); m != nil {
			row.AirC, row.DewC = tenths(m[1], m[2]), tenths(m[3], m[4])
		}
		if m := regexp.MustCompile(`^P(\d{4})$`).FindStringSubmatch(f); m != nil {
			n, _ := strconv.Atoi(m[1])
			row.RainMM = float64(n) * 0.254 // hundredths of an inch in the last hour
		}
	}
	if math.IsNaN(row.AirC) {
		return "", Row{}, nil, fmt.Errorf("no temperature")
	}
	if row.DewC > row.AirC { // whole degrees, rounded apart
		row.DewC = row.AirC
	}
	return fields[at], row, notes, nil
}

func signed(text string) float64 {
	minus := strings.HasPrefix(text, "M")
	v, err := strconv.Atoi(strings.TrimPrefix(text, "M"))
	if err != nil {
		return math.NaN()
	}
	if minus {
		return -float64(v)
	}
	return float64(v)
}

func tenths(sign, digits string) float64 {
	v, err := strconv.Atoi(digits)
	if err != nil {
		return math.NaN()
	}
	if sign == "1" {
		return -float64(v) / 10
	}
	return float64(v) / 10
}

func reportWind(m []string) (speed, from, gust float64) {
	unit := map[string]string{"KT": "kt", "MPS": "m/s", "KMH": "km/h"}[m[4]]
	in := func(text string) float64 {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return math.NaN()
		}
		v, _ = inUnitsOf(Wind, v, unit)
		return v
	}
	speed, gust, from = in(m[2]), in(m[3]), math.NaN()
	if d, err := strconv.ParseFloat(m[1], 64); err == nil && d <= 360 && speed > 0 {
		from = d
	}
	return speed, from, gust
}

// reportTime finds the day nearest to near that has the report's day of month.
func reportTime(stamp string, near time.Time) (time.Time, error) {
	day, _ := strconv.Atoi(stamp[0:2])
	hour, _ := strconv.Atoi(stamp[2:4])
	minute, _ := strconv.Atoi(stamp[4:6])
	if day < 1 || day > 31 || hour > 24 || minute > 59 {
		return time.Time{}, fmt.Errorf("%s is not a day and time", stamp)
	}
	near = near.UTC()
	best := time.Time{}
	for k := -1; k <= 1; k++ {
		t := time.Date(near.Year(), near.Month()+time.Month(k), day, hour, minute, 0, 0, time.UTC)
		if hour < 24 && t.Day() != day {
			continue // this month has no such day
		}
		if best.IsZero() || t.Sub(near).Abs() < best.Sub(near).Abs() {
			best = t
		}
	}
	if best.IsZero() {
		return best, fmt.Errorf("no month near has a day %d", day)
	}
	return best, nil
}
