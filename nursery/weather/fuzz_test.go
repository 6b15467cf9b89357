package weather

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// seedCounts is how many invented samples each reader's folder holds: a folder
// that is gone must not pass as "nothing to read".
func seedCounts() map[string]int {
	return map[string]int{"csv": 8, "gridpoint": 3, "periods": 3, "hourly": 3, "norwegian": 3, "epw": 2, "tmy3": 2, "metar": 3}
}

func seeds(t testing.TB, folder string) map[string][]byte {
	t.Helper()
	names, err := filepath.Glob(filepath.Join("testdata", folder, "*"))
	if err != nil {
		t.Fatal(err)
	}
	if want := seedCounts()[folder]; len(names) != want {
		t.Fatalf("testdata/%s holds %d samples, want %d", folder, len(names), want)
	}
	out := map[string][]byte{}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(name)] = text
	}
	return out
}

// sound fails when a reader let something through that the rest of the program
// relies on not to exist.
func sound(t *testing.T, f Forecast) {
	t.Helper()
	if len(f.Members) == 0 {
		t.Fatal("no error and no member")
	}
	for _, s := range f.Members {
		if len(s.Rows) == 0 || s.Step <= 0 || s.Step > maxStep {
			t.Fatalf("%d rows, step %v", len(s.Rows), s.Step)
		}
		for i, r := range s.Rows {
			if math.IsNaN(r.AirC) {
				t.Fatalf("row %d: no air temperature", i)
			}
			if i > 0 && r.Time.Sub(s.Rows[i-1].Time) != s.Step {
				t.Fatalf("row %d: %v after the one before, step is %v", i, r.Time.Sub(s.Rows[i-1].Time), s.Step)
			}
			for c := range NColumns {
				if v := *r.At(c); !math.IsNaN(v) {
					if what, _ := implausible(c, v); what != "" {
						t.Fatalf("row %d: %s", i, what)
					}
				}
			}
		}
		if len(s.Rows) > 2000 {
			continue
		}
		full, _ := s.Complete(31, -92, 40)
		finite(t, full)
	}
}

func finite(t *testing.T, s Series) {
	t.Helper()
	for i := range s.Rows {
		for c := range NColumns {
			if v := *s.Rows[i].At(c); math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("row %d (%s): %s is %g after Complete", i, s.Rows[i].Time, c, v)
			}
		}
	}
}

func fuzzReader(f *testing.F, folder string, read func([]byte) (Forecast, error)) {
	for _, text := range seeds(f, folder) {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		got, err := read(text)
		if err != nil {
			if strings.TrimSpace(err.Error()) == "" {
				t.Fatal("an error without words")
			}
			return
		}
		sound(t, got)
	})
}

func FuzzReadCSV(f *testing.F) {
	fuzzReader(f, "csv", func(b []byte) (Forecast, error) { return ReadCSV(bytes.NewReader(b)) })
}

func FuzzReadGridpoint(f *testing.F) {
	fuzzReader(f, "gridpoint", func(b []byte) (Forecast, error) { return ReadGridpoint(bytes.NewReader(b)) })
}

func FuzzReadPeriods(f *testing.F) {
	fuzzReader(f, "periods", func(b []byte) (Forecast, error) { return ReadPeriods(bytes.NewReader(b)) })
}

func FuzzReadHourlyJSON(f *testing.F) {
	fuzzReader(f, "hourly", func(b []byte) (Forecast, error) { return ReadHourlyJSON(bytes.NewReader(b)) })
}

func FuzzReadNorwegian(f *testing.F) {
	fuzzReader(f, "norwegian", func(b []byte) (Forecast, error) { return ReadNorwegian(bytes.NewReader(b)) })
}

func FuzzReadEPW(f *testing.F) {
	fuzzReader(f, "epw", func(b []byte) (Forecast, error) { return alone(ReadEPW(bytes.NewReader(b))) })
}

func FuzzReadTMY3(f *testing.F) {
	fuzzReader(f, "tmy3", func(b []byte) (Forecast, error) { return alone(ReadTMY3(bytes.NewReader(b))) })
}

func FuzzReadMETAR(f *testing.F) {
	fuzzReader(f, "metar", func(b []byte) (Forecast, error) {
		s, err := ReadMETAR(bytes.NewReader(b), time.Date(2031, 1, 15, 0, 0, 0, 0, time.UTC)) // invented
		return Forecast{Members: s}, err
	})
}

func alone(s Series, err error) (Forecast, error) { return Forecast{Members: []Series{s}}, err }

// TestSeedCorpus reads every invented sample through Detect and Read, and knows
// which are meant to be refused.
func TestSeedCorpus(t *testing.T) {
	formats := map[string]Format{"csv": CSV, "gridpoint": Gridpoint, "periods": Periods, "hourly": HourlyJSON, "norwegian": Norwegian, "epw": EPW, "tmy3": TMY3, "metar": METAR}
	refused := map[string]string{ // file -> a word of what to do
		"fahrenheit.csv": "°F", "clock_back.csv": "clocks went back", "hole.csv": "hole",
		"gridpoint/empty.json": "fetch again", "halfdays.json": "/forecast/hourly", "nulls.json": "air temperature",
		"norwegian/empty.json": "no times", "short_line.epw": "fields", "no_airtemp.csv": "Dry-bulb", "nil.txt": "no report",
	}
	n := 0
	for folder, format := range formats {
		for name, text := range seeds(t, folder) {
			n++
			word := refused[name]
			if word == "" {
				word = refused[folder+"/"+name]
			}
			if folder == "gridpoint" && name == "fahrenheit.json" {
				word = ""
			}
			f, got, err := Read(name, bytes.NewReader(text), Options{Near: time.Date(2031, 1, 15, 0, 0, 0, 0, time.UTC), Station: firstStation(name)})
			if got != format {
				t.Errorf("%s/%s: detected as %v", folder, name, got)
				continue
			}
			switch {
			case word == "" && err != nil:
				t.Errorf("%s/%s: %v", folder, name, err)
			case word != "" && err == nil:
				t.Errorf("%s/%s: not refused", folder, name)
			case word != "" && !strings.Contains(err.Error(), word):
				t.Errorf("%s/%s: refused with %q, which does not say %q", folder, name, err, word)
			case err == nil:
				sound(t, f)
			}
		}
	}
	if n != 27 {
		t.Errorf("%d samples, want 27", n)
	}
}

func firstStation(name string) string {
	if strings.HasSuffix(name, ".txt") {
		return "KXXA"
	}
	return ""
}
