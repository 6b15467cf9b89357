package web

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
)

// voice is the site's own, with what only a page needs: it knows what time it is,
// and keeps a number and its unit on one line.
type voice struct {
	night.Voice
	now time.Time
}

func newVoice(v View) voice {
	w := voice{night.VoiceOf(v.Site), v.Now}
	if w.Zone == nil {
		w.Zone = time.UTC
	}
	return w
}

// nbsp does not break.
const nbsp = "\u00a0"

// tie keeps numbers and units together.
func tie(s string) string {
	return ties.Replace(s)
}

var ties = strings.NewReplacer(" °", nbsp+"°", " a.m.", nbsp+"a.m.", " p.m.", nbsp+"p.m.", " sq in", nbsp+"sq"+nbsp+"in", " cm²", nbsp+"cm²", " m³", nbsp+"m³")

func (v voice) degrees(c float64) string { return tie(v.Degrees(c)) }

func (v voice) clock(t time.Time) string { return tie(v.Clock(t)) }

// when is the clock, with the day unless it is today or the night that has begun.
func (v voice) when(t time.Time) string { return v.dated(t, v.clock(t)) }

// near is when, to the hour.
func (v voice) near(t time.Time) string { return v.dated(t, tie(v.Near(t))) }

// dated sets the day before a clock that could be taken for another day's.
func (v voice) dated(t time.Time, clock string) string {
	a, b := t.In(v.Zone), v.now.In(v.Zone)
	if a.Format(time.DateOnly) == b.Format(time.DateOnly) || t.After(v.now) && t.Sub(v.now) < 12*time.Hour {
		return clock
	}
	return a.Format("Mon") + " " + clock
}

// ago writes an age.
func ago(d time.Duration) string {
	switch {
	case d < 2*time.Minute:
		return "just now"
	case d < 2*time.Hour:
		return fmt.Sprintf("%d minutes ago", int(d.Minutes()))
	case d < 48*time.Hour:
		return fmt.Sprintf("%d hours ago", int(math.Round(d.Hours())))
	}
	return fmt.Sprintf("%d days ago", int(math.Round(d.Hours()/24)))
}

// list joins words; of many it names the first few and counts the rest.
func list(words []string, most int) string {
	return phrase.ListFew(words, most, func(n int) string { return strconv.Itoa(n) + " more" })
}
