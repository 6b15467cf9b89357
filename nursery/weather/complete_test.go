package weather

import (
	"math"
	"strings"
	"testing"
	"time"
)

// day is an invented winter day and night at 31 N, hourly, nothing but air.
func day() Series {
	s := Series{Source: "invented", Step: time.Hour}
	for h := range 48 {
		r := EmptyRow(time.Date(2031, 1, 14, 12+h, 0, 0, 0, time.UTC))
		r.AirC = 5 - 6*math.Cos(float64(h)/12*math.Pi)
		s.Rows = append(s.Rows, r)
	}
	return s
}

func TestCompleteSaysWhatItEstimates(t *testing.T) {
	full, said := day().Complete(31, -92, 40)
	finite(t, full)
	all := strings.Join(said, "\n")
	for c := Dew; c < NColumns; c++ {
		if !strings.Contains(all, c.String()) {
			t.Errorf("%s was estimated and not said", c)
		}
	}
	t.Log(all)
	again, said := full.Complete(31, -92, 40)
	if len(said) != 0 {
		t.Errorf("a complete series was estimated again: %v", said)
	}
	for i := range full.Rows {
		if full.Rows[i] != again.Rows[i] {
			t.Fatalf("row %d changed", i)
		}
	}
	if empty, said := (Series{Step: time.Hour}).Complete(31, -92, 40); len(empty.Rows) != 0 || len(said) != 1 {
		t.Error("nothing can be made of nothing")
	}
}

func TestCompleteDoesNotTouchItsSeries(t *testing.T) {
	s := day()
	s.ByColumn = map[Column]Interval{Sun: MeanEnding}
	s.Complete(31, -92, 40)
	if !math.IsNaN(s.Rows[0].SunWM2) || s.IntervalOf(Sun) != MeanEnding {
		t.Error("the series was changed")
	}
}

// TestSunMeansBecomeInstants: means of a clear day, stamped at either end of the
// hour, come back as the clear sky's own course, sunrise included.
func TestSunMeansBecomeInstants(t *testing.T) {
	clear := place{31, -92, 40}.clearSun()
	for _, kind := range []Interval{MeanEnding, MeanStarting} {
		s := day()
		s.ByColumn = map[Column]Interval{Sun: kind}
		for i := range s.Rows {
			at := s.Rows[i].Time
			from, to := at.Add(-time.Hour), at
			if kind == MeanStarting {
				from, to = at, at.Add(time.Hour)
			}
			s.Rows[i].SunWM2 = 0.8 * clear.mean(from, to)
		}
		full, _ := s.Complete(31, -92, 40)
		for i, r := range full.Rows {
			if want := 0.8 * clear.at(r.Time); math.Abs(r.SunWM2-want) > 1 && i > 0 && i < len(full.Rows)-1 {
				t.Errorf("%v, %s: %.1f W/m², want %.1f", kind, r.Time.Format("15:04"), r.SunWM2, want)
			}
		}
		// 80 % of the clear sun is a cloud of ((1-0.8)/0.75)^(1/3.4) = 0.68 (Kasten & Czeplak 1980)
		for _, r := range full.Rows {
			if math.Abs(r.CloudFrac-0.678) > 0.02 {
				t.Errorf("%v, %s: cloud %.3f from the day's sun", kind, r.Time.Format("15:04"), r.CloudFrac)
				break
			}
		}
	}
}

func TestMeansAreMoved(t *testing.T) {
	for kind, want := range map[Interval]float64{Instant: 0, MeanEnding: 0.5, MeanStarting: -0.5} {
		s := Series{Step: time.Hour, Interval: kind}
		for h := range 10 { // a ramp of 1 K per hour: the mean of the hour ending at h is h-0.5
			r := EmptyRow(time.Date(2031, 1, 14, h, 0, 0, 0, time.UTC))
			r.AirC, r.RainMM = float64(h), float64(h)
			s.Rows = append(s.Rows, r)
		}
		full, _ := s.Complete(31, -92, 40)
		if got := full.Rows[5].AirC - 5; math.Abs(got-want) > 1e-9 {
			t.Errorf("%v: moved by %g K, want %g", kind, got, want)
		}
		rain := 5.0 // fell in the step ending at the stamp
		if kind == MeanStarting {
			rain = 4
		}
		if full.Rows[5].RainMM != rain || full.IntervalOf(Rain) != MeanEnding || full.IntervalOf(Air) != Instant {
			t.Errorf("%v: rain %g, want %g", kind, full.Rows[5].RainMM, rain)
		}
	}
}

func TestDirectionsTurnTheShortWay(t *testing.T) {
	near(t, "350 to 10", turn(350, 10, 0.5), 0, 1e-9)
	near(t, "10 to 350", turn(10, 350, 0.25), 5, 1e-9)
	near(t, "90 to 180", turn(90, 180, 0.5), 135, 1e-9)
}

// TestSunAtNightIsSaid: a clock twelve hours out shows as sunshine in the dark.
func TestSunAtNightIsSaid(t *testing.T) {
	s := day()
	clear := place{31, -92, 40}.clearSun()
	for i := range s.Rows {
		s.Rows[i].SunWM2 = clear.at(s.Rows[i].Time.Add(12 * time.Hour))
	}
	_, said := s.Complete(31, -92, 40)
	if !strings.Contains(strings.Join(said, "\n"), "while the sun is down") {
		t.Error(said)
	}
}

func TestISODurations(t *testing.T) {
	for text, want := range map[string]time.Duration{
		"PT3H": 3 * time.Hour, "P1DT6H": 30 * time.Hour, "P7DT14H": 182 * time.Hour, "P1W": 168 * time.Hour, "PT90M": 90 * time.Minute, "PT0.5H": 30 * time.Minute, "P2D": 48 * time.Hour,
	} {
		if got, err := ParseISODuration(text); err != nil || got != want {
			t.Errorf("%s: %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "P", "PT", "3H", "P1M", "P1Y", "PTH", "PT3", "P3H", "PT3HT2H", "P99999999D", "PT-3H"} {
		if got, err := ParseISODuration(text); err == nil {
			t.Errorf("%q: %v", text, got)
		}
	}
}

func TestCloudFromWords(t *testing.T) {
	for words, want := range map[string]float64{ // middle of the class the words stand for, in eighths
		"Mostly Cloudy": 6. / 8, "Partly Sunny": 3.5 / 8, "Clear": 0.5 / 8, "Mostly Clear": 1.5 / 8, "Chance Snow Showers": 0.85, "Sunny then Cloudy": 7.5 / 8,
	} {
		if got := CloudFromWords(words); got != want {
			t.Errorf("%s: %g, want %g", words, got, want)
		}
	}
	if !math.IsNaN(CloudFromWords("Breezy")) {
		t.Error("Breezy says nothing about cloud")
	}
}

// TestHourly: three-hourly values of a clear invented day come back with the sun
// of the clear sky at every hour.
func TestHourly(t *testing.T) {
	s := day()
	var thin []Row
	for i, r := range s.Rows {
		if i%3 == 0 {
			r.CloudFrac, r.RainMM = 0, 3
			thin = append(thin, r)
		}
	}
	s.Rows, s.Step = thin, 3*time.Hour
	full, _ := s.Complete(31, -92, 40)
	fine := full.Hourly(31, -92, 40)
	finite(t, fine)
	clear := place{31, -92, 40}.clearSun()
	rain := 0.0
	for i, r := range fine.Rows {
		if want := clear.at(r.Time); math.Abs(r.SunWM2-want) > 0.02*want+0.5 {
			t.Errorf("%s: sun %.1f, want %.1f", r.Time.Format("15:04"), r.SunWM2, want)
		}
		if i > 0 {
			rain += r.RainMM
		}
	}
	if want := 3 * float64(len(thin)-1); fine.Step != time.Hour || math.Abs(rain-want) > 1e-9 {
		t.Errorf("step %v, rain %g, want %g", fine.Step, rain, want)
	}
}

// TestHotWinterIsSaid: 28 to 55 °F called °C crosses no record, but not in January.
func TestHotWinterIsSaid(t *testing.T) {
	s := day()
	for i := range s.Rows {
		s.Rows[i].AirC = 28 + 27*float64(i%24)/23
	}
	_, said := s.Complete(31, -92, 40)
	if !strings.Contains(strings.Join(said, "\n"), "are these °F?") {
		t.Error(said)
	}
}

// TestWarmWinterNights: nights that stay warm in winter are asked about where the
// same values read as °F would freeze. All invented, 48 hours from noon UTC.
func TestWarmWinterNights(t *testing.T) {
	for _, c := range []struct {
		name      string
		high, low float64
		lat       float64
		month     time.Month
		want      string
	}{
		{"48 and 24 °F in January", 48, 24, 34, time.January, "check the units: the forecast's nights stay above 24 °C in winter: are these °F? (24 °F is -4 °C)"},
		{"36 and 24 °F, below the hottest winter", 36, 24, 34, time.March, "nights stay above 24 °C"},
		{"the same in the south", 36, 24, -34, time.July, "nights stay above 24 °C"},
		{"40 and 15 °F: only the day is hot", 40, 15, 34, time.January, "in the middle of winter: are these °F?"},
		{"the tropics", 30, 22, 20, time.January, ""},
		{"summer", 36, 24, 34, time.July, ""},
		{"the southern summer", 36, 24, -34, time.January, ""},
		{"a mild winter", 24, 12, 34, time.January, ""},
		{"mild even as °F", 60, 44, 34, time.March, ""},
	} {
		s := day()
		for i := range s.Rows {
			r := &s.Rows[i]
			r.Time = time.Date(2031, c.month, 14, 12+i, 0, 0, 0, time.UTC)
			// coldest at 12 UTC, near 6 by the sun at 92 W, where it is dark in winter
			r.AirC = (c.high+c.low)/2 - (c.high-c.low)/2*math.Cos(float64(i)/12*math.Pi)
		}
		_, said := s.Complete(c.lat, -92, 40)
		all := strings.Join(said, "\n")
		if c.want == "" && strings.Contains(all, "check the units") || !strings.Contains(all, c.want) {
			t.Errorf("%s: %s", c.name, all)
		}
	}
}

// TestCloudFromLongwave: a series that knows its longwave and not its cloud gets
// the cloud back that the longwave was made with.
func TestCloudFromLongwave(t *testing.T) {
	s := day()
	for i := range s.Rows {
		s.Rows[i].CloudFrac = 0.6
	}
	full, _ := s.Complete(31, -92, 40)
	for i := range full.Rows {
		full.Rows[i].CloudFrac = math.NaN()
	}
	again, said := full.Complete(31, -92, 40)
	near(t, "cloud", again.Rows[14].CloudFrac, 0.6, 0.01)
	if len(said) != 1 || !strings.Contains(said[0], "longwave given") {
		t.Error(said)
	}
}
