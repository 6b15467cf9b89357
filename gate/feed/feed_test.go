package feed

import (
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"example.org/coldnight/nursery/weather"
)

// csvText is an invented forecast whose first hour is airC.
func csvText(airC float64) string {
	var b strings.Builder
	b.WriteString("# issued: 2031-01-14T12:00:00Z\ntime,air_c\n")
	for h := range 6 {
		fmt.Fprintf(&b, "2031-01-14T%02d:00:00Z,%g\n", 18+h, airC-float64(h))
	}
	return b.String()
}

// direct answers requests without a network, so that time can be virtual.
type direct struct{ http.Handler }

func (d direct) RoundTrip(r *http.Request) (*http.Response, error) {
	w := httptest.NewRecorder()
	d.ServeHTTP(w, r)
	return w.Result(), nil
}

type broken struct{}

func (broken) RoundTrip(*http.Request) (*http.Response, error) {
	return nil, errors.New("no route to host")
}

func client(t *testing.T, rt http.RoundTripper) *Client {
	t.Helper()
	c := New(t.TempDir(), "grower@nursery.example")
	c.HTTP.Transport = rt
	c.Jitter = func() float64 { return 0.5 }
	return c
}

func endpoint(url string) Endpoint {
	return Endpoint{Name: "test", URL: url, Read: weather.ReadCSV}
}

// TestServiceInTrouble: busy twice, then an answer. The waits are 1.5 s (2 s,
// half of it by chance at 0.5) and the 60 s the service asked for.
func TestServiceInTrouble(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var at []time.Duration
		start := time.Now()
		c := client(t, direct{http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			at = append(at, time.Since(start))
			switch len(at) {
			case 1:
				w.WriteHeader(http.StatusServiceUnavailable)
			case 2:
				w.Header().Set("Retry-After", "60")
				w.WriteHeader(http.StatusTooManyRequests)
			default:
				if !strings.Contains(r.UserAgent(), "coldnight") || !strings.Contains(r.UserAgent(), "grower@nursery.example") {
					t.Errorf("user agent %q", r.UserAgent())
				}
				fmt.Fprint(w, csvText(3))
			}
		})})
		got, err := c.Fetch(t.Context(), endpoint("http://weather.example/a"))
		if err != nil || got.Stale {
			t.Fatalf("%+v, %v", got, err)
		}
		want := []time.Duration{0, 1500 * time.Millisecond, 61500 * time.Millisecond}
		if fmt.Sprint(at) != fmt.Sprint(want) {
			t.Errorf("asked at %v, want %v", at, want)
		}
	})
}

// TestNight: a good forecast in the evening, then the line goes down. The last
// good one is shown with its age and the reason, all night.
func TestNight(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := client(t, direct{http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { fmt.Fprint(w, csvText(3)) })})
		e := endpoint("http://weather.example/a")
		if _, err := c.Fetch(t.Context(), e); err != nil {
			t.Fatal(err)
		}
		evening := time.Now()
		c.HTTP.Transport = broken{}
		time.Sleep(7 * time.Hour)
		got, err := c.Fetch(t.Context(), e)
		if err != nil {
			t.Fatal(err)
		}
		now := time.Now()
		if !got.Stale || !strings.Contains(got.Why, "no connection") || !got.FetchedAt.Equal(evening) || got.AgeWords(now) != "fetched 7 hours ago" {
			t.Errorf("%+v, %s", got, got.AgeWords(now))
		}
		if len(got.Forecast.Members) != 1 || got.Forecast.Members[0].Rows[0].AirC != 3 {
			t.Errorf("%+v", got.Forecast)
		}
		// A new program on the same folder finds it too.
		again := New(c.Dir, "")
		again.HTTP.Transport = broken{}
		if got, err := again.Fetch(t.Context(), e); err != nil || !got.Stale {
			t.Errorf("after a restart: %+v, %v", got, err)
		}
		// Another address is another place: its copy must not be used.
		if _, err := again.Fetch(t.Context(), endpoint("http://weather.example/b")); !errors.Is(err, ErrNothing) {
			t.Errorf("another place: %v", err)
		}
	})
}

// TestTags: the second request carries the tags; "not modified" renews the age
// and keeps the forecast; while the service says it is good, nobody asks.
func TestTags(t *testing.T) {
	asked := 0
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked++
		w.Header().Set("ETag", `"abc"`)
		w.Header().Set("Cache-Control", "public, max-age=600")
		w.Header().Set("Last-Modified", "Tue, 14 Jan 2031 12:00:00 GMT")
		if r.Header.Get("If-None-Match") == `"abc"` && r.Header.Get("If-Modified-Since") != "" {
			w.WriteHeader(http.StatusNotModified)
			return
		}
		w.Header().Set("Content-Encoding", "gzip")
		z := gzip.NewWriter(w)
		fmt.Fprint(z, csvText(3))
		z.Close()
	}))
	defer server.Close()
	c := client(t, nil)
	clock := time.Date(2031, 1, 14, 18, 0, 0, 0, time.UTC)
	c.Now = func() time.Time { return clock }
	e := endpoint(server.URL)
	for _, step := range []struct {
		wait  time.Duration
		asked int
	}{{0, 1}, {5 * time.Minute, 1}, {6 * time.Minute, 2}, {5 * time.Minute, 2}, {6 * time.Minute, 3}} {
		clock = clock.Add(step.wait)
		got, err := c.Fetch(t.Context(), e)
		if err != nil || got.Stale || len(got.Forecast.Members) != 1 {
			t.Fatalf("%+v, %v", got, err)
		}
		if asked != step.asked {
			t.Errorf("at %s: %d requests, want %d", clock.Format("15:04"), asked, step.asked)
		}
		if asked > 1 && step.wait == 6*time.Minute && !got.FetchedAt.Equal(clock) {
			t.Error("a confirmed forecast must be as young as the confirmation")
		}
	}
}

func TestRefusedAnswers(t *testing.T) {
	for _, c := range []struct {
		name   string
		answer http.HandlerFunc
		tries  int
		word   string
	}{
		{"not found is not tried again", func(w http.ResponseWriter, r *http.Request) { http.NotFound(w, r) }, 1, "site file"},
		{"an answer too large", func(w http.ResponseWriter, r *http.Request) { fmt.Fprint(w, strings.Repeat("x", 5000)) }, 1, "larger"},
		{"a page instead of a forecast", func(w http.ResponseWriter, r *http.Request) {
			fmt.Fprint(w, "<html>log in to the hotel's network</html>")
		}, 4, "cannot be read"},
		{"always broken", func(w http.ResponseWriter, r *http.Request) { w.WriteHeader(500) }, 4, "busy or broken"},
	} {
		t.Run(c.name, func(t *testing.T) {
			tries := 0
			cl := client(t, direct{http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { tries++; c.answer(w, r) })})
			cl.MaxBytes = 1000
			cl.Sleep = func(context.Context, time.Duration) error { return nil }
			_, err := cl.Fetch(t.Context(), endpoint("http://weather.example/a"))
			if !errors.Is(err, ErrNothing) || !strings.Contains(err.Error(), c.word) || tries != c.tries {
				t.Errorf("%d tries, %v", tries, err)
			}
			// A refused answer never replaces a good one.
			cl.HTTP.Transport = direct{http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { fmt.Fprint(w, csvText(1)) })}
			if _, err := cl.Fetch(t.Context(), endpoint("http://weather.example/a")); err != nil {
				t.Fatal(err)
			}
			cl.HTTP.Transport = direct{c.answer}
			got, err := cl.Fetch(t.Context(), endpoint("http://weather.example/a"))
			if err != nil || !got.Stale || got.Why == "" || got.Forecast.Members[0].Rows[0].AirC != 1 {
				t.Errorf("%+v, %v", got, err)
			}
		})
	}
}

func TestDamagedCopy(t *testing.T) {
	c := client(t, broken{})
	c.Sleep = func(context.Context, time.Duration) error { return nil }
	if err := os.WriteFile(filepath.Join(c.Dir, "forecast-test.json"), []byte(`{"url":"http://weather.example/a","body":"AA`), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := c.Fetch(t.Context(), endpoint("http://weather.example/a")); !errors.Is(err, ErrNothing) || !strings.Contains(err.Error(), "damaged") {
		t.Error(err)
	}
	left, _ := filepath.Glob(filepath.Join(c.Dir, "*.part"))
	if len(left) != 0 {
		t.Errorf("left over: %v", left)
	}
}

func TestStopsWhenAsked(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithTimeout(t.Context(), time.Second)
		defer cancel()
		c := client(t, direct{http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { w.WriteHeader(503) })})
		start := time.Now()
		if _, err := c.Fetch(ctx, endpoint("http://weather.example/a")); !errors.Is(err, context.DeadlineExceeded) {
			t.Error(err)
		}
		if d := time.Since(start); d != time.Second {
			t.Errorf("stopped after %v", d)
		}
	})
}

func TestBackOff(t *testing.T) {
	for _, c := range []struct {
		try    int
		wish   time.Duration
		jitter float64
		want   time.Duration
	}{
		{1, 0, 0, time.Second},
		{1, 0, 1, 2 * time.Second},
		{3, 0, 0, 4 * time.Second},
		{30, 0, 1, 2 * time.Minute},
		{1, time.Minute, 0, time.Minute},
		{1, 24 * time.Hour, 0, 10 * time.Minute}, // a wish of a day is not waited for in one fetch
	} {
		if got := backOff(c.try, c.wish, c.jitter); got != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
}

func TestBadEndpoints(t *testing.T) {
	c := client(t, broken{})
	for _, e := range []Endpoint{
		{},
		{Name: "../etc", URL: "https://weather.example", Read: weather.ReadCSV},
		{Name: "a", URL: "file:///etc/passwd", Read: weather.ReadCSV},
		{Name: "a", URL: "weather.example", Read: weather.ReadCSV},
		{Name: "a", URL: "https://weather.example"},
	} {
		if _, err := c.Fetch(t.Context(), e); err == nil || errors.Is(err, ErrNothing) {
			t.Errorf("%+v: %v", e.Name, err)
		}
	}
}

func TestAddresses(t *testing.T) {
	c := client(t, direct{http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/points/31.1,-92.2346" {
			t.Errorf("asked for %s", r.URL.Path)
		}
		fmt.Fprint(w, `{"properties":{"forecastGridData":"http://us.example/gridpoints/XXX/1,2"}}`)
	})})
	a := DefaultAddresses()
	a.US = "http://us.example"
	e, err := c.USGridpointAt(t.Context(), a, 31.1, -92.23456)
	if err != nil || e.URL != "http://us.example/gridpoints/XXX/1,2" {
		t.Errorf("%+v, %v", e.URL, err)
	}
	for _, e := range []Endpoint{a.NorwegianAt(31.1, -92.2, 40), a.EnsembleAt(31.1, -92.2, "gfs05", 7)} {
		if err := checkEndpoint(e); err != nil || !strings.Contains(e.URL, "31.1") {
			t.Errorf("%s: %v", e.URL, err)
		}
	}
}
