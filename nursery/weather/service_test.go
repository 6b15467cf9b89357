package weather

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// gridpoint writes an invented gridpoint forecast: hourly temperatures from
// 18:00Z with the hours of skip left null.
func gridpoint(hours int, skip func(h int) bool) string {
	var b strings.Builder
	b.WriteString(`{"properties":{"updateTime":"2031-01-14T17:00:00+00:00","temperature":{"uom":"wmoUnit:degC","values":[`)
	for h := range hours {
		value := fmt.Sprint(5 - h%7)
		if skip(h) {
			value = "null"
		}
		if h > 0 {
			b.WriteString(",")
		}
		fmt.Fprintf(&b, `{"validTime":"%s/PT1H","value":%s}`, time.Date(2031, 1, 14, 18+h, 0, 0, 0, time.UTC).Format(time.RFC3339), value)
	}
	b.WriteString(`]}}}`)
	return b.String()
}

// TestFarHoleEndsTheForecast: a hole tonight is refused, one in three days ends
// the forecast there and says so.
func TestFarHoleEndsTheForecast(t *testing.T) {
	near := func(h int) bool { return h >= 8 && h < 13 }
	far := func(h int) bool { return h >= 72 && h < 80 }
	if _, err := ReadGridpoint(strings.NewReader(gridpoint(100, near))); err == nil || !strings.Contains(err.Error(), "no air temperature for 6 hours") {
		t.Error(err)
	}
	f, err := ReadGridpoint(strings.NewReader(gridpoint(100, far)))
	if err != nil {
		t.Fatal(err)
	}
	if s := f.Members[0]; len(s.Rows) != 72 || !strings.Contains(strings.Join(s.Notes, " "), "used up to 2031-01-17T17:00:00Z only") {
		t.Errorf("%d rows, %v", len(s.Rows), s.Notes)
	}
}

// TestGridpointSpans checks the invented sample value by value.
func TestGridpointSpans(t *testing.T) {
	f, err := ReadGridpoint(strings.NewReader(string(seeds(t, "gridpoint")["night.json"])))
	if err != nil {
		t.Fatal(err)
	}
	s := f.Members[0]
	if len(s.Rows) != 16 || s.Rows[4].AirC != -2.25 || s.Rows[15].AirC != -5 || s.Rows[0].WindMS != 2 {
		t.Errorf("%d rows: %+v", len(s.Rows), s.Rows)
	}
	if s.Rows[3].RainMM != 0.5 || s.Rows[2].SnowCM != 0 || s.Rows[3].SnowCM != 1 || s.Rows[10].SnowCM != 3 { // 3 mm in 6 h; 30 mm of snow in 3 h
		t.Errorf("rain %g, snow %g %g %g", s.Rows[3].RainMM, s.Rows[2].SnowCM, s.Rows[3].SnowCM, s.Rows[10].SnowCM)
	}
	if s.Given(Gust) {
		t.Error("a null gust is not a gust")
	}
	if !strings.Contains(strings.Join(s.Notes, " "), "1.5 K below its coldest hour") { // -6.5 against -5
		t.Error(s.Notes)
	}
}

func TestPeriodsQuantities(t *testing.T) {
	f, err := ReadPeriods(strings.NewReader(string(seeds(t, "periods")["quantities.json"])))
	if err != nil {
		t.Fatal(err)
	}
	if r := f.Members[0].Rows[0]; r.AirC != 1.5 || r.WindMS != 5 || r.WindFromDeg != 337.5 || r.CloudFrac != 1.5/8 {
		t.Errorf("%+v", r)
	}
	f, err = ReadPeriods(strings.NewReader(string(seeds(t, "periods")["night.json"])))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "36 °F", f.Members[0].Rows[0].AirC, 20./9, 1e-9)
	near(t, "5 to 10 mph", f.Members[0].Rows[0].WindMS, 7.5*0.44704, 1e-9)
}

func TestHourlyCustomary(t *testing.T) {
	f, err := ReadHourlyJSON(strings.NewReader(string(seeds(t, "hourly")["customary.json"])))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "40 °F", f.Members[0].Rows[0].AirC, 40./9, 1e-9)
	near(t, "5 mph", f.Members[0].Rows[0].WindMS, 5*0.44704, 1e-9)
	f, err = ReadHourlyJSON(strings.NewReader(string(seeds(t, "hourly")["members.json"])))
	if err != nil || len(f.Members) != 3 || !f.RawModel {
		t.Fatalf("%d members, %v", len(f.Members), err)
	}
	// The wind was asked for once and serves every member.
	near(t, "shared wind", f.Members[2].Rows[3].WindMS, 2, 1e-9)
}

func TestJSONErrorsKnowTheirPlace(t *testing.T) {
	_, err := ReadGridpoint(strings.NewReader("{\n \"properties\": {\n  \"temperature\": ,\n"))
	if err == nil || !strings.Contains(err.Error(), "line 3, column 18") {
		t.Error(err)
	}
}

func TestMETARTimes(t *testing.T) {
	near := time.Date(2031, 3, 1, 3, 0, 0, 0, time.UTC)
	for stamp, want := range map[string]time.Time{
		"282355Z": time.Date(2031, 2, 28, 23, 55, 0, 0, time.UTC),
		"010155Z": time.Date(2031, 3, 1, 1, 55, 0, 0, time.UTC),
	} {
		got, err := reportTime(stamp, near)
		if err != nil || !got.Equal(want) {
			t.Errorf("%s: %v, %v", stamp, got, err)
		}
	}
	for _, stamp := range []string{"001200Z", "321200Z", "012561Z"} {
		if _, err := reportTime(stamp, near); err == nil {
			t.Errorf("%s: taken", stamp)
		}
	}
}
