// Package demo is an invented nursery and ten invented days: the material of
// `coldnight demo`, of pages before a grower has a file of their own, and of
// tests that want a whole site. Nothing in it stands for a real place, person or
// firm, and no value is a measurement.
//
//	Site     the site file, as a grower would write it
//	Weather  ten days around a freeze, by a generator written down in weather.go
//	Start    the midnight they begin at, Now the moment the demo looks from
package demo

import (
	_ "embed"
	"slices"
	"time"
)

//go:embed site.toml
var siteTOML []byte

// SiteName is the name to show for the text of [Site] in messages about it.
const SiteName = "demo.toml"

// Site returns the site file of the invented nursery.
func Site() []byte { return slices.Clone(siteTOML) }

// The invented valley; the site file says the same, and a test compares them.
const (
	latDeg  = -31.6
	lonDeg  = 23.4
	elevM   = 780.0
	offsetH = 2 // its clock is two hours ahead of Greenwich all year
)

// Valley returns where the weather of [Weather] is for: degrees north and east,
// height above the sea [m], and how far its clock is ahead of Greenwich.
func Valley() (lat, lon, elev float64, ahead time.Duration) {
	return latDeg, lonDeg, elevM, offsetH * time.Hour
}

// clock is the valley's clock: fixed, so that no zone database is needed.
func clock() *time.Location { return time.FixedZone("", offsetH*60*60) }

// Start returns the local midnight the ten days begin at: 6 July, midwinter in
// the southern half of the world.
func Start(year int) time.Time { return time.Date(year, time.July, 6, 0, 0, 0, 0, clock()) }

// Now returns the moment the demo looks from: half past nine in the morning
// before the first freezing night, with three days of weather already seen.
func Now(start time.Time) time.Time { return start.Add(3*day + 9*time.Hour + 30*time.Minute) }

// issued is when the forecast of the days ahead was made.
func issued(start time.Time) time.Time { return start.Add(3*day + 8*time.Hour) }

const day = 24 * time.Hour
