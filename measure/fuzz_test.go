package measure_test

import (
	"bufio"
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"example.org/coldnight/measure"
)

// seeds are the texts the fuzzers start from, one a line, as growers and clumsy
// thumbs write them; all invented.
func seeds(t testing.TB) []string {
	t.Helper()
	f, err := os.Open("testdata/seeds.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var list []string
	for s := bufio.NewScanner(f); s.Scan(); {
		list = append(list, s.Text())
	}
	return list
}

const seedCount = 64

func TestSeedsAreThere(t *testing.T) {
	if n := len(seeds(t)); n != seedCount {
		t.Errorf("%d seeds, want %d: keep the count with the file", n, seedCount)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range seeds(f) {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		try[measure.Temperature](t, s)
		try[measure.TemperatureDiff](t, s)
		try[measure.Length](t, s)
		try[measure.Area](t, s)
		try[measure.Volume](t, s)
		try[measure.Speed](t, s)
		try[measure.Mass](t, s)
		try[measure.ArealMass](t, s)
		try[measure.Power](t, s)
		try[measure.Energy](t, s)
		try[measure.Pressure](t, s)
	})
}

// try holds any text to the package's promises: a finite value that survives being
// written, or a typed refusal whose advice is accepted.
func try[Q measure.Quantity](t *testing.T, s string) {
	t.Helper()
	q, err := measure.Parse[Q](s)
	if err == nil {
		x := float64(q)
		if math.IsNaN(x) || math.IsInf(x, 0) {
			t.Fatalf("%q is %v", s, x)
		}
		for _, u := range measure.Accepted[Q]() {
			if y, _ := measure.In(q, u); math.IsInf(y, 0) {
				continue
			}
			if _, err := measure.Parse[Q](measure.Text(q, u)); err != nil {
				var e *measure.ParseError
				if errors.As(err, &e) && (e.Why == measure.TooLarge || e.Why == measure.TooCold) {
					continue // a rounding beyond the end of the scale
				}
				t.Fatalf("%q written %q: %v", s, measure.Text(q, u), err)
			}
		}
		return
	}
	var e *measure.ParseError
	if !errors.As(err, &e) {
		t.Fatalf("%q: untyped %T", s, err)
	}
	if len(e.Try) == 0 || len(e.Accepted) < 3 || strings.ContainsAny(err.Error(), "\n\r") || len(err.Error()) > 600 {
		t.Fatalf("%q: bad message %q", s, err)
	}
	for _, advice := range e.Try {
		if _, err := measure.Parse[Q](advice); err != nil {
			var e2 *measure.ParseError
			if errors.As(err, &e2) && (e2.Why == measure.TooCold || e2.Why == measure.TooLarge) {
				continue // "-300" may be °F and not °C
			}
			t.Fatalf("%q: advice %q refused: %v", s, advice, err)
		}
	}
}
