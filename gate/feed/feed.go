// Package feed fetches forecasts from public services and keeps the last good
// one on disk, because the night the internet fails is the night it matters.
//
// It is polite: it names itself, asks with the tags of what it already has,
// waits as long as the service says an answer is good for, and backs off with
// jitter when the service is in trouble. Clock, sleep and chance are injected.
package feed

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"strconv"
	"strings"
	"time"

	"example.org/coldnight/nursery/weather"
)

// Endpoint is one forecast to fetch.
type Endpoint struct {
	Name string // the file name of its last good copy: letters, digits, - and _
	URL  string
	Read func(io.Reader) (weather.Forecast, error)
}

// Fetched is a forecast with the time it was last confirmed by its service.
type Fetched struct {
	Forecast  weather.Forecast
	FetchedAt time.Time // when the service last sent or confirmed it
	Stale     bool      // the service could not be reached or sent nothing usable: this is the last good copy
	Why       string    // why it is stale, in words; or where a fresh one came from
}

// Age is how long ago the service last sent or confirmed the forecast.
func (f Fetched) Age(now time.Time) time.Duration { return max(0, now.Sub(f.FetchedAt)) }

// AgeWords says the age as a page shows it.
func (f Fetched) AgeWords(now time.Time) string {
	age := f.Age(now)
	switch {
	case age < 2*time.Minute:
		return "fetched just now"
	case age < 2*time.Hour:
		return fmt.Sprintf("fetched %d minutes ago", int(age.Minutes()))
	case age < 48*time.Hour:
		return fmt.Sprintf("fetched %d hours ago", int(age.Hours()))
	}
	return fmt.Sprintf("fetched %d days ago", int(age.Hours()/24))
}

// Client fetches. The zero value is not usable: see New.
type Client struct {
	HTTP     *http.Client
	Dir      string // last good forecasts
	Agent    string // program and a way to reach the grower, as services ask for
	Now      func() time.Time
	Sleep    func(context.Context, time.Duration) error
	Jitter   func() float64 // [0, 1)
	Tries    int            // requests per fetch at most
	MaxBytes int64          // of an answer, unpacked
}

// New is a client with the usual settings. contact is a mail address or page
// where a service can reach whoever runs this copy; it may be empty.
func New(dir, contact string) *Client {
	agent := "coldnight (nursery freeze protection)"
	if contact = strings.Join(strings.Fields(contact), " "); contact != "" {
		agent += " " + contact
	}
	return &Client{
		HTTP: &http.Client{Timeout: 30 * time.Second},
		Dir:  dir, Agent: agent,
		Now: time.Now, Sleep: sleep, Jitter: rand.Float64,
		Tries: 4, MaxBytes: 16 << 20,
	}
}

func sleep(ctx context.Context, d time.Duration) error {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-t.C:
		return nil
	}
}

// failure is why one request gave nothing usable.
type failure struct {
	why   string
	retry bool
	after time.Duration // the service's own wish, 0 when none
	err   error
}

func (f *failure) Error() string { return f.why }
func (f *failure) Unwrap() error { return f.err }

// ErrNothing is returned when the service gave nothing and no copy is on disk.
var ErrNothing = errors.New("no forecast: the service gave none and no earlier one is kept")

// Fetch gives the newest forecast it can: a copy that the service says is still
// good, a new answer, or the last good copy marked stale with the reason. An
// error means there is nothing at all.
func (c *Client) Fetch(ctx context.Context, e Endpoint) (Fetched, error) {
	if err := checkEndpoint(e); err != nil {
		return Fetched{}, err
	}
	kept, keptErr := c.load(e)
	now := c.Now()
	if keptErr == nil && now.Before(kept.Expires) && !now.Before(kept.FetchedAt) {
		if f, err := kept.forecast(e); err == nil {
			return Fetched{Forecast: f, FetchedAt: kept.FetchedAt, Why: "the service says this one is still the newest"}, nil
		}
	}
	var last *failure
	for try := range max(1, c.Tries) {
		if try > 0 {
			if err := c.Sleep(ctx, backOff(try, last.after, c.Jitter())); err != nil {
				last = &failure{why: "stopped while waiting to try again: " + err.Error(), err: err}
				break
			}
		}
		got, fail := c.ask(ctx, e, kept, keptErr == nil)
		if fail == nil {
			return got, nil
		}
		if last = fail; !fail.retry || ctx.Err() != nil {
			break
		}
	}
	if keptErr == nil {
		f, err := kept.forecast(e)
		if err == nil {
			return Fetched{Forecast: f, FetchedAt: kept.FetchedAt, Stale: true, Why: last.why}, nil
		}
		keptErr = err
	}
	return Fetched{}, fmt.Errorf("%w: %w (kept copy: %w)", ErrNothing, last, keptErr)
}

// backOff is how long to wait before request number try (1 is the second): 2, 4,
// 8 ... seconds up to two minutes, half of it by chance so that many copies of
// the program do not come back together. A service's own wish comes first.
func backOff(try int, wish time.Duration, jitter float64) time.Duration {
	d := min(2*time.Second<<min(try-1, 10), 2*time.Minute)
	d = d/2 + time.Duration(jitter*float64(d/2))
	return max(d, min(wish, 10*time.Minute))
}

// ask makes one request.
func (c *Client) ask(ctx context.Context, e Endpoint, kept kept, haveKept bool) (Fetched, *failure) {
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, e.URL, nil)
	if err != nil {
		return Fetched{}, &failure{why: "the address cannot be used: " + err.Error(), err: err}
	}
	req.Header.Set("User-Agent", c.Agent)
	req.Header.Set("Accept", "application/geo+json, application/json, text/plain;q=0.5")
	if haveKept {
		if kept.ETag != "" {
			req.Header.Set("If-None-Match", kept.ETag)
		}
		if kept.LastModified != "" {
			req.Header.Set("If-Modified-Since", kept.LastModified)
		}
	}
	answer, err := c.HTTP.Do(req)
	if err != nil {
		return Fetched{}, &failure{why: "no connection to the service: " + err.Error(), retry: true, err: err}
	}
	defer answer.Body.Close()
	now := c.Now()
	switch s := answer.StatusCode; {
	case s == http.StatusNotModified && haveKept:
		f, err := kept.forecast(e)
		if err != nil {
			return Fetched{}, &failure{why: "the kept copy cannot be read: " + err.Error(), err: err}
		}
		kept.FetchedAt, kept.Expires = now, expires(answer.Header, now)
		why := "unchanged since the last time"
		if err := c.save(e, kept); err != nil {
			why += "; not written to disk: " + err.Error()
		}
		return Fetched{Forecast: f, FetchedAt: now, Why: why}, nil
	case s == http.StatusTooManyRequests || s >= 500:
		return Fetched{}, &failure{why: fmt.Sprintf("the service is busy or broken (%s)", answer.Status), retry: true, after: retryAfter(answer.Header, now)}
	case s != http.StatusOK && s != http.StatusNonAuthoritativeInfo:
		return Fetched{}, &failure{why: fmt.Sprintf("the service refused the request (%s): check the address in the site file", answer.Status)}
	}
	body, err := io.ReadAll(io.LimitReader(answer.Body, c.MaxBytes+1))
	if err != nil {
		return Fetched{}, &failure{why: "the answer broke off: " + err.Error(), retry: true, err: err}
	}
	if int64(len(body)) > c.MaxBytes {
		return Fetched{}, &failure{why: fmt.Sprintf("the answer is larger than %d MB: ask for fewer days", c.MaxBytes>>20)}
	}
	f, err := e.Read(bytes.NewReader(body))
	if err != nil {
		return Fetched{}, &failure{why: "the answer cannot be read: " + err.Error(), retry: true, err: err}
	}
	next := keptNow(e, body, answer.Header, now)
	why := "new from the service"
	if err := c.save(e, next); err != nil {
		why += "; not written to disk: " + err.Error()
	}
	return Fetched{Forecast: dated(f, now), FetchedAt: now, Why: why}, nil
}

// dated gives a forecast that does not say when it was made the time it came.
func dated(f weather.Forecast, at time.Time) weather.Forecast {
	if !f.Issued.IsZero() {
		return f
	}
	f.Issued = at
	f.Notes = append(f.Notes, "the service does not say when the forecast was made: taken as when it was fetched")
	for i := range f.Members {
		f.Members[i].Issued = at
	}
	return f
}

// expires reads how long an answer is good for; at most six hours are believed.
func expires(h http.Header, now time.Time) time.Time {
	until := time.Time{}
	for _, part := range strings.Split(h.Get("Cache-Control"), ",") {
		part = strings.ToLower(strings.TrimSpace(part))
		if part == "no-cache" || part == "no-store" {
			return time.Time{}
		}
		if text, ok := strings.CutPrefix(part, "max-age="); ok {
			if n, err := strconv.Atoi(text); err == nil && n > 0 {
				until = now.Add(time.Duration(min(n, 6*3600)) * time.Second)
			}
		}
	}
	if until.IsZero() {
		if t, err := http.ParseTime(h.Get("Expires")); err == nil {
			until = t
		}
	}
	if most := now.Add(6 * time.Hour); until.After(most) {
		return most
	}
	return until
}

// retryAfter reads the service's wish, in seconds or as a date.
func retryAfter(h http.Header, now time.Time) time.Duration {
	text := h.Get("Retry-After")
	if n, err := strconv.Atoi(text); err == nil && n > 0 {
		return time.Duration(min(n, 3600)) * time.Second
	}
	if t, err := http.ParseTime(text); err == nil {
		return max(0, t.Sub(now))
	}
	return 0
}
