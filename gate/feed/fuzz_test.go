package feed

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/nursery/weather"
)

// endpoints are the forecasts that are asked for, each as its address has it.
func endpoints() []Endpoint {
	a := Addresses{HourlyEnsemble: "https://weather.example/e", Norwegian: "https://weather.example/n"}
	return []Endpoint{
		a.EnsembleAt(-33, 20, "any", 5), a.NorwegianAt(-33, 20, 100),
		{Name: "us-gridpoint", URL: "https://weather.example/g", Read: weather.ReadGridpoint},
	}
}

// answers are the invented samples of the formats that services send.
func answers(f *testing.F) [][]byte {
	f.Helper()
	var out [][]byte
	for _, folder := range []string{"hourly", "norwegian", "gridpoint"} {
		names, err := filepath.Glob(filepath.Join("..", "..", "nursery", "weather", "testdata", folder, "*"))
		if err != nil {
			f.Fatal(err)
		}
		for _, name := range names {
			text, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			out = append(out, text)
		}
	}
	if len(out) != 9 {
		f.Fatalf("%d samples, want 9", len(out))
	}
	return out
}

// Whatever a service answers, with whatever headers: an error with words, or a forecast with hours and an hour of
// issue, which is read the same from the copy that was kept of it.
func FuzzAnswers(f *testing.F) {
	for _, text := range answers(f) {
		f.Add(text, "W/\"a\"", "Wed, 15 Jan 2031 06:00:00 GMT", "120")
	}
	f.Add([]byte("<html>busy</html>"), "", "never", "-1")
	f.Fuzz(func(t *testing.T, body []byte, tag, expires, again string) {
		for _, e := range endpoints() {
			c := hasty(t)
			c.HTTP.Transport = direct{http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
				w.Header().Set("ETag", tag)
				w.Header().Set("Expires", expires)
				w.Header().Set("Retry-After", again)
				w.Write(body)
			})}
			got, err := c.Fetch(t.Context(), e)
			if err != nil {
				if strings.TrimSpace(err.Error()) == "" {
					t.Fatal("an error without words")
				}
				continue
			}
			if len(got.Forecast.Members) == 0 || got.Forecast.Issued.IsZero() || got.Stale {
				t.Fatalf("%s: %d members, issued %v, stale %t", e.Name, len(got.Forecast.Members), got.Forecast.Issued, got.Stale)
			}
			kept, err := c.load(e)
			if err != nil {
				t.Fatal(err)
			}
			if same, err := kept.forecast(e); err != nil || len(same.Members) != len(got.Forecast.Members) {
				t.Fatalf("%s: the kept copy: %v", e.Name, err)
			}
		}
	})
}

// hasty is a client that neither waits nor asks twice.
func hasty(t *testing.T) *Client {
	t.Helper()
	c := New(t.TempDir(), "grower@nursery.example")
	c.Sleep = func(context.Context, time.Duration) error { return errors.New("no waiting here") }
	return c
}

// Whatever lies on disk as the kept copy: an error with words or a forecast; never one of another address.
func FuzzKeptCopy(f *testing.F) {
	seeds := 0
	for i, text := range answers(f) {
		e := endpoints()[i/3]
		k, err := json.Marshal(keptNow(e, text, http.Header{"Etag": {"x"}}, time.Date(2031, 1, 14, 12, 0, 0, 0, time.UTC)))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(k)
		f.Add(k[:len(k)/2])
		seeds += 2
	}
	f.Add([]byte(`{"url":"https://other.example","body":"e30="}`))
	if seeds++; seeds != 19 {
		f.Fatalf("%d seeds, want 19", seeds)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		c := &Client{Dir: t.TempDir()}
		for _, e := range endpoints() {
			if err := os.WriteFile(c.path(e), text, 0o600); err != nil {
				t.Fatal(err)
			}
			k, err := c.load(e)
			if err != nil {
				if strings.TrimSpace(err.Error()) == "" {
					t.Fatal("an error without words")
				}
				continue
			}
			if k.URL != e.URL {
				t.Fatalf("weather of %s for %s", k.URL, e.URL)
			}
			if got, err := k.forecast(e); err == nil && len(got.Members) == 0 {
				t.Fatal("no error and no member")
			}
		}
	})
}

// Whatever the service says of a place: an address, or an error with words.
func FuzzGridAddress(f *testing.F) {
	for _, s := range []string{`{"properties":{"forecastGridData":"https://weather.example/gridpoints/X/1,2"}}`, `{}`, `null`, `{"properties":null}`, ``} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		got, err := gridAddress(text)
		if (err == nil) != (got != "") || err != nil && strings.TrimSpace(err.Error()) == "" {
			t.Fatalf("%q, %v", got, err)
		}
	})
}
