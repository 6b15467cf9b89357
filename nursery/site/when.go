package site

import "time"

// When says at which hours a cover is on or a curtain is drawn.
type When struct {
	Kind   WhenKind
	OnMin  int // Daily: minutes after local midnight
	OffMin int
	From   time.Time // Dates: from this moment
	To     time.Time // until this one
}

// WhenKind is how the hours of a When are given.
type WhenKind int

const (
	Always         WhenKind = iota
	EveningMorning          // from an hour before sunset to two hours after sunrise
	Daily                   // by the clock, every day
	Dates                   // once, from a date and hour to another
)

const (
	// BeforeSunset and AfterSunrise are the hours of "evening-morning": invented, listed as an assumption.
	BeforeSunset = time.Hour
	AfterSunrise = 2 * time.Hour
)

// On reports whether the cover is on at t. t must be in the site's zone; rise and set are sunrise and sunset of t's day
// there (zero on a day without: the cover then stays on).
func (w When) On(t, rise, set time.Time) bool {
	switch w.Kind {
	case EveningMorning:
		if rise.IsZero() || set.IsZero() {
			return true
		}
		return t.Before(rise.Add(AfterSunrise)) || !t.Before(set.Add(-BeforeSunset))
	case Daily:
		m := t.Hour()*60 + t.Minute()
		if w.OnMin <= w.OffMin {
			return m >= w.OnMin && m < w.OffMin
		}
		return m >= w.OnMin || m < w.OffMin
	case Dates:
		return !t.Before(w.From) && t.Before(w.To)
	}
	return true
}
