package weather

import (
	"errors"
	"fmt"
	"strings"
	"time"
)

// ParseTime reads a time with its offset, or a local time whose zone the caller
// knows. A local hour that the clock shows twice, or never, is an error: in
// autumn the same "01:30" can be an hour before the minimum or an hour after.
func ParseTime(text string, zone *time.Location) (time.Time, error) {
	text = strings.TrimSpace(text)
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04Z07:00", "2006-01-02 15:04:05Z07:00", "2006-01-02 15:04Z07:00", "2006-01-02T15:04:05-0700"} {
		if t, err := time.Parse(layout, text); err == nil {
			return sane(t)
		}
	}
	for _, layout := range []string{"2006-01-02T15:04:05", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02 15:04"} {
		t, err := time.ParseInLocation(layout, text, time.UTC)
		if err != nil {
			continue
		}
		if zone == nil {
			return time.Time{}, fmt.Errorf("the time %q has no offset; write 2001-02-03T04:00:00-06:00, or put a line \"# zone: America/Chicago\" above the header", clip(text))
		}
		return inZone(t, zone)
	}
	return time.Time{}, fmt.Errorf("%q is not a time; write 2001-02-03T04:00:00-06:00", clip(text))
}

func sane(t time.Time) (time.Time, error) {
	if y := t.Year(); y < 1700 || y > 2200 {
		return t, fmt.Errorf("the year %d cannot be meant", y)
	}
	return t, nil
}

var errClock = errors.New("clock change")

// inZone turns a wall clock reading into the instant it means in a zone.
func inZone(wall time.Time, zone *time.Location) (time.Time, error) {
	reading := wall.Format("2006-01-02 15:04:05")
	t := time.Date(wall.Year(), wall.Month(), wall.Day(), wall.Hour(), wall.Minute(), wall.Second(), 0, zone)
	if t.Format("2006-01-02 15:04:05") != reading {
		return t, fmt.Errorf("%w: %s does not exist in %s, the clocks went forward; write times with their offset", errClock, reading, zone)
	}
	// Clock changes are of 30, 60 or (rarely) 120 minutes.
	for _, d := range []time.Duration{30 * time.Minute, time.Hour, 2 * time.Hour} {
		for _, other := range []time.Time{t.Add(d), t.Add(-d)} {
			if other.Format("2006-01-02 15:04:05") == reading {
				return t, fmt.Errorf("%w: %s happens twice in %s (%s and %s), the clocks went back; write times with their offset",
					errClock, reading, zone, t.Format("-07:00"), other.Format("-07:00"))
			}
		}
	}
	return sane(t)
}
