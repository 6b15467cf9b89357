package feed

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"time"

	"example.org/coldnight/nursery/weather"
)

// kept is the last good answer of a service as it lies on disk: text and tags in
// one file, so that they cannot come apart when the power fails.
type kept struct {
	URL          string    `json:"url"`
	FetchedAt    time.Time `json:"fetched_at"` // sent or confirmed
	SentAt       time.Time `json:"sent_at"`    // sent
	Expires      time.Time `json:"expires"`
	ETag         string    `json:"etag,omitempty"`
	LastModified string    `json:"last_modified,omitempty"`
	Body         []byte    `json:"body"`
}

func keptNow(e Endpoint, body []byte, h http.Header, now time.Time) kept {
	return kept{
		URL: e.URL, FetchedAt: now, SentAt: now, Expires: expires(h, now),
		ETag: h.Get("ETag"), LastModified: h.Get("Last-Modified"), Body: body,
	}
}

// forecast reads the kept text again.
func (k kept) forecast(e Endpoint) (weather.Forecast, error) {
	f, err := e.Read(bytes.NewReader(k.Body))
	if err != nil {
		return f, err
	}
	return dated(f, k.SentAt), nil
}

func checkEndpoint(e Endpoint) error {
	if e.Name == "" || len(e.Name) > 80 {
		return errors.New("a forecast source needs a short name")
	}
	for _, c := range e.Name {
		if (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') && (c < '0' || c > '9') && c != '-' && c != '_' {
			return fmt.Errorf("forecast source %q: use letters, digits, - and _ only", e.Name)
		}
	}
	u, err := url.Parse(e.URL)
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" {
		return fmt.Errorf("forecast source %q: %q is not a web address; it must start with http:// or https://", e.Name, e.URL)
	}
	if e.Read == nil {
		return fmt.Errorf("forecast source %q: no reader chosen", e.Name)
	}
	return nil
}

func (c *Client) path(e Endpoint) string {
	return filepath.Join(c.Dir, "forecast-"+e.Name+".json")
}

// load reads the kept copy. One fetched from another address is another
// place's weather: it is not used.
func (c *Client) load(e Endpoint) (kept, error) {
	text, err := os.ReadFile(c.path(e))
	if errors.Is(err, os.ErrNotExist) {
		return kept{}, errors.New("none yet")
	}
	if err != nil {
		return kept{}, err
	}
	var k kept
	if err := json.Unmarshal(text, &k); err != nil {
		return kept{}, fmt.Errorf("%s is damaged: %w", c.path(e), err)
	}
	if k.URL != e.URL {
		return kept{}, errors.New("it came from another address")
	}
	return k, nil
}

// save writes beside the old copy, flushes, and only then takes its place.
func (c *Client) save(e Endpoint, k kept) error {
	text, err := json.Marshal(k)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(c.Dir, 0o755); err != nil {
		return err
	}
	f, err := os.CreateTemp(c.Dir, "forecast-*.part")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // no-op after the rename
	if _, err = f.Write(text); err == nil {
		err = f.Sync()
	}
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	if err == nil {
		err = os.Rename(f.Name(), c.path(e))
	}
	return err
}
