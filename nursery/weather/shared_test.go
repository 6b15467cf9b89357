package weather

import (
	"encoding/csv"
	"io"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/internal/beside"
)

func readMeasured(t *testing.T, name string, opt Options) (Forecast, Format) {
	t.Helper()
	f, format, err := Read(filepath.Base(name), beside.Open(t, "data/"+name), opt)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	sound(t, f)
	return f, format
}

func TestGridpointSample(t *testing.T) {
	f, format := readMeasured(t, "formats/nws_api/detailed_forecast.json", Options{})
	s := f.Members[0]
	if format != Gridpoint || s.Step != time.Hour || len(s.Rows) < 180 {
		t.Fatalf("%v, step %v, %d rows", format, s.Step, len(s.Rows))
	}
	// The value of 2022-02-04T01:00Z holds for ten hours (the sample's own text).
	for h := 4; h < 14; h++ {
		if got := s.Rows[h].AirC; math.Abs(got-18.88888888888889) > 1e-9 {
			t.Errorf("hour %d: %g", h, got)
		}
	}
	if got := s.Rows[0].WindMS; math.Abs(got-20.372/3.6) > 1e-9 { // km/h in the sample
		t.Errorf("wind %g", got)
	}
	if s.Issued.IsZero() || s.Given(Pressure) {
		t.Errorf("issued %v, pressure given %v", s.Issued, s.Given(Pressure))
	}
	t.Log(s.Notes)
}

func TestPeriodsSamples(t *testing.T) {
	for _, name := range []string{"gridpoints_forecast_hourly_us.json", "gridpoints_forecast_hourly_si.json"} {
		f, err := ReadPeriods(beside.Open(t, "data/formats/nws_api/"+name))
		if err != nil {
			t.Fatal(err)
		}
		want := (78. - 32) / 1.8 // 78 °F, or 25.5 °C typed in the other sample
		if got := f.Members[0].Rows[0].AirC; math.Abs(got-want) > 0.06 {
			t.Errorf("%s: %g °C, want %g", name, got, want)
		}
	}
	for _, name := range []string{"gridpoints_forecast_hourly_empty_us.json", "gridpoints_forecast_us.json", "gridpoints_forecast_strings_us.json"} {
		if _, err := ReadPeriods(beside.Open(t, "data/formats/nws_api/"+name)); err == nil {
			t.Errorf("%s: not refused", name)
		} else {
			t.Log(err)
		}
	}
}

func TestHourlySamples(t *testing.T) {
	f, _ := readMeasured(t, "formats/open_meteo/ensemble_21members_subset.json", Options{})
	if len(f.Members) != 21 || f.Members[0].Member != "00" || f.Members[0].Rows[0].AirC != 10.5 || f.Members[20].Rows[1].AirC != 10.8 {
		t.Errorf("%d members, first %v", len(f.Members), f.Members[0].Rows)
	}
	f, _ = readMeasured(t, "formats/open_meteo/forecast_berlin_2021-11-24_subset.json", Options{})
	s := f.Members[0]
	if len(s.Rows) != 168 || !s.Given(Dew) || !s.Given(Cloud) || !s.Given(Sun) || math.Abs(s.Rows[0].WindMS-10.4/3.6) > 1e-9 {
		t.Errorf("%d rows, first %+v", len(s.Rows), s.Rows[0])
	}
	if _, off := s.Rows[0].Time.Zone(); off != 3600 {
		t.Errorf("zone offset %d", off)
	}
	if s.IntervalOf(Sun) != MeanEnding || s.IntervalOf(Air) != Instant {
		t.Error("sun must be the mean of the hour before, air an instant")
	}
	if _, err := ReadHourlyJSON(beside.Open(t, "data/formats/open_meteo/forecast_nulls.json")); err == nil {
		t.Error("all nulls: not refused")
	}
	f, _ = readMeasured(t, "formats/open_meteo/previous_runs.json", Options{})
	if len(f.Members) != 1 || f.Members[0].Rows[0].AirC != 13.8 {
		t.Error("earlier runs are not members")
	}
	readMeasured(t, "formats/open_meteo/ensemble_spread.json", Options{})
}

func TestNorwegianSamples(t *testing.T) {
	for _, name := range []string{"lat40.7lon-74.0altitude10_compact.json", "lat51.5lon-0.1altitude25_complete.json"} {
		f, _ := readMeasured(t, "formats/metno/"+name, Options{})
		s := f.Members[0]
		// 56 hourly rows, then six-hourly until 2020-07-29T06Z: 212 hours in all.
		if len(s.Rows) != 212 || s.CoarseStep != 6*time.Hour || !s.CoarseFrom.Equal(time.Date(2020, 7, 22, 18, 0, 0, 0, time.UTC)) {
			t.Errorf("%s: %d rows, coarse from %v by %v", name, len(s.Rows), s.CoarseFrom, s.CoarseStep)
		}
	}
	f, _ := readMeasured(t, "formats/metno/oslo_2023-11-17_compact_cold_night_subset.json", Options{})
	if r := f.Members[0].Rows[0]; r.AirC != -2.7 || r.DewC > -4.5 || r.DewC < -5.5 {
		t.Errorf("%+v", r)
	}
}

func TestMETARSample(t *testing.T) {
	s, err := ReadMETAR(beside.Open(t, "data/formats/metar/bulletins_2020-01-06_00z_excerpt.txt"), time.Date(2020, 1, 6, 1, 0, 0, 0, time.UTC))
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]Row{}
	for _, x := range s {
		at[x.Station] = x.Rows[0]
	}
	if r := at["KDYA"]; r.AirC != 9.4 || r.DewC != 4.2 { // T00940042
		t.Errorf("KDYA %+v", r)
	}
	if r := at["KRRL"]; r.AirC != -0.6 || r.DewC != -4.5 || math.Abs(r.GustMS-22*0.514444) > 1e-3 { // T10061045, G22KT
		t.Errorf("KRRL %+v", r)
	}
	if r := at["PAKU"]; r.AirC != -41 || !math.IsNaN(r.DewC) { // M41/
		t.Errorf("PAKU %+v", r)
	}
	if r := at["ZMUB"]; r.AirC != -27 || r.WindMS != 1 { // VRB01MPS
		t.Errorf("ZMUB %+v", r)
	}
	if _, ok := at["KVNC"]; ok {
		t.Error("KVNC reports no temperature")
	}
	if want := time.Date(2020, 1, 5, 23, 55, 0, 0, time.UTC); !at["KMYJ"].Time.Equal(want) {
		t.Errorf("KMYJ at %v", at["KMYJ"].Time)
	}
	t.Log(len(s), "stations;", s[0].Notes)
}

// TestTypicalYears reads the four typical years and tests the trap of the hour
// ending: shifted by half an hour either way, the sun must fit a clear sky worse.
func TestTypicalYears(t *testing.T) {
	for _, name := range []string{"AZ_Phoenix_Sky_Harbor_TMY3.csv", "NC_Greensboro_723170_TMY3.csv", "USA_AZ_Tucson_722740_TMY3.epw", "USA_TX_Houston_TMY2.epw"} {
		text, err := io.ReadAll(beside.Open(t, "data/tmy/"+name))
		if err != nil {
			t.Fatal(err)
		}
		read := ReadEPWPlace
		if strings.HasSuffix(name, ".csv") {
			read = ReadTMY3Place
		}
		s, where, err := read(strings.NewReader(string(text)))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if len(s.Rows) != 8760 || s.Step != time.Hour {
			t.Fatalf("%s: %d rows, step %v", name, len(s.Rows), s.Step)
		}
		w := Winter(s)
		if len(w.Rows) != 8760 || w.Rows[0].Time.Month() != time.July {
			t.Errorf("%s: winter of %d rows from %v", name, len(w.Rows), w.Rows[0].Time)
		}
		clear := place{lat: where.LatDeg, lon: where.LonDeg, elev: where.ElevM}.clearSun()
		misfit := func(shift time.Duration) float64 {
			morning, evening, m, e := 0.0, 0.0, 0.0, 0.0 // clearness either side of noon must agree on average
			for _, r := range s.Rows {
				mid := r.Time.Add(-30*time.Minute + shift)
				mean := clear.mean(mid.Add(-30*time.Minute), mid.Add(30*time.Minute))
				if mean < 30 || mean > 350 {
					continue
				}
				if rising := clear.at(mid.Add(time.Minute)) > clear.at(mid); rising {
					morning, m = morning+r.SunWM2, m+mean
				} else {
					evening, e = evening+r.SunWM2, e+mean
				}
			}
			return math.Abs(morning/m - evening/e)
		}
		at, early, late := misfit(0), misfit(-30*time.Minute), misfit(30*time.Minute)
		t.Logf("%s: morning-evening clearness apart by %.2f as read, %.2f half an hour earlier, %.2f later", name, at, early, late)
		if at > early || at > late {
			t.Errorf("%s: the stamps do not look like the end of the hour", name)
		}
		full, said := s.Complete(where.LatDeg, where.LonDeg, where.ElevM)
		finite(t, full)
		in, out := 0.0, 0.0
		for i := range s.Rows {
			in, out = in+s.Rows[i].SunWM2, out+full.Rows[i].SunWM2
		}
		if math.Abs(out/in-1) > 0.02 {
			t.Errorf("%s: the year's sun changed by %.1f %% on the way to instants", name, 100*(out/in-1))
		}
		t.Logf("sun of the year kept to %.2f %%; %v", 100*(out/in-1), said)
	}
}

// cityNight is one city, one night: forecast lows by lead and the low observed.
type cityNight struct {
	date  time.Time
	city  string
	state string
	low   [4]float64 // 12, 24, 36, 48 h before
	seen  float64
}

// cityNights pairs forecasts of a date with the low of the night that FOLLOWS
// (actual_lo_next_AM); pairing with the date's own morning doubles the error.
func cityNights(t *testing.T) []cityNight {
	t.Helper()
	r := csv.NewReader(beside.Open(t, "data/forecast/nws_city_forecast_vs_actual_2021-01-30_2021-05.csv"))
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	number := func(row []string, name string) float64 {
		v, err := strconv.ParseFloat(row[at[name]], 64)
		if err != nil {
			return math.NaN()
		}
		return v
	}
	var out []cityNight
	for _, row := range rows[1:] {
		n := cityNight{city: row[at["city"]], state: row[at["state"]], seen: number(row, "actual_lo_next_AM")}
		if n.date, err = time.Parse("2006-01-02", row[at["date"]]); err != nil {
			t.Fatal(err)
		}
		for i, name := range []string{"forecast_lo_current_PM", "forecast_lo_current_AM", "forecast_lo_prev_PM", "forecast_lo_prev_AM"} {
			n.low[i] = number(row, name)
		}
		if !math.IsNaN(n.seen) {
			out = append(out, n)
		}
	}
	return out
}

func southernWinter(n cityNight) bool {
	return strings.Contains(" AL AR FL GA LA MS NC OK SC TN TX ", " "+n.state+" ") && (n.date.Month() <= time.March || n.date.Month() >= time.November)
}

// TestErrorGrowthRebuilt recomputes the default growth to 48 h from the archive.
func TestErrorGrowthRebuilt(t *testing.T) {
	nights := cityNights(t)
	g := SouthernMinima()
	// All cities, 2021-01-30 to 2022-02-01, as published beside the archive [°F];
	// the part at hand ends in April and is a colder, harder season.
	published := []float64{3.08, 3.13, 3.30, 3.40}
	for i, lead := range []float64{12, 24, 36, 48} {
		square, bias, n := 0.0, 0.0, 0
		for _, c := range nights {
			if e := c.low[i] - c.seen; southernWinter(c) && !math.IsNaN(e) {
				square, bias, n = square+e*e, bias+e, n+1
			}
		}
		rmse := math.Sqrt(square / float64(n))
		t.Logf("%2.0f h: RMSE %.2f °F = %.2f K, bias %.2f °F, n %d; published for all cities and seasons %.2f °F", lead, rmse, rmse/1.8, bias/float64(n), n, published[i])
		if n < 2800 {
			t.Errorf("%g h: only %d nights", lead, n)
		}
		if math.Abs(rmse/1.8-g.At(lead)) > 0.005 {
			t.Errorf("%g h: recomputed %.3f K, used %.3f K", lead, rmse/1.8, g.At(lead))
		}
		if r := rmse / published[i]; r < 0.9 || r > 1.2 {
			t.Errorf("%g h: %.2f times the published figure", lead, r)
		}
	}
}

// TestNightToNightCorrelation recomputes how far one issue's errors of two
// nights running go together: the only measured handle on how errors last.
func TestNightToNightCorrelation(t *testing.T) {
	nights := cityNights(t)
	type key struct {
		date        time.Time
		city, state string
	}
	find := map[key]cityNight{}
	for _, c := range nights {
		find[key{c.date, c.city, c.state}] = c
	}
	var n, sx, sy, sxx, syy, sxy float64
	for _, c := range nights {
		next, ok := find[key{c.date.AddDate(0, 0, 1), c.city, c.state}]
		if !ok || !southernWinter(c) {
			continue
		}
		x, y := c.low[0]-c.seen, next.low[2]-next.seen // the afternoon's issue: tonight, and tomorrow night
		if math.IsNaN(x) || math.IsNaN(y) {
			continue
		}
		n, sx, sy, sxx, syy, sxy = n+1, sx+x, sy+y, sxx+x*x, syy+y*y, sxy+x*y
	}
	rho := (sxy - sx*sy/n) / math.Sqrt((sxx-sx*sx/n)*(syy-sy*sy/n))
	t.Logf("errors of one issue, two nights running: correlation %.2f, n %.0f", rho, n)
	if math.Abs(rho-DefaultErrors().NextNight) > 0.03 {
		t.Errorf("recomputed %.3f, used %.2f", rho, DefaultErrors().NextNight)
	}
}
