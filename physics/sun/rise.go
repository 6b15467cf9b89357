package sun

import (
	"math"
	"time"
)

// DayKind says whether the sun rises and sets on a day.
type DayKind int

const (
	// Normal is a day with a sunrise and a sunset.
	Normal DayKind = iota
	// PolarDay is a day on which the sun does not set.
	PolarDay
	// PolarNight is a day on which the sun does not rise.
	PolarNight
)

// String names the kind in plain words.
func (k DayKind) String() string {
	switch k {
	case PolarDay:
		return "the sun does not set"
	case PolarNight:
		return "the sun does not rise"
	}
	return "the sun rises and sets"
}

// RiseSet returns sunrise, the sun's highest moment and sunset of the local date of
// day (in day's own location; its clock time does not matter), and whether there are
// any. The times are in that location. On a polar day or night rise and set are the
// zero time; on the few days when polar day begins or ends one of the two may be.
//
// Upper rim on a level sea horizon, standard refraction: SPA's convention. Within
// 1 s of SPA at middle latitudes; the weather's own refraction moves the true moment by
// some 20 s there, by minutes near the polar circles.
func RiseSet(day time.Time, p Place) (rise, transit, set time.Time, kind DayKind) {
	y, m, d := day.Date()
	noon := time.Date(y, m, d, 12, 0, 0, 0, day.Location())
	transit = noon
	for range 3 { // the sundial's gain within a day is 30 s at most: converges at once
		transit = transit.Add(hours(12 - Position(transit, p, 0, 0).SolarHour))
	}
	before, after := transit.Add(-12*time.Hour), transit.Add(12*time.Hour)
	high := altitude(transit, p)
	low0, low1 := altitude(before, p), altitude(after, p)
	switch {
	case high < horizonDeg:
		return time.Time{}, transit, time.Time{}, PolarNight
	case low0 >= horizonDeg && low1 >= horizonDeg:
		return time.Time{}, transit, time.Time{}, PolarDay
	}
	if low0 < horizonDeg {
		rise = crossing(before, transit, p)
	}
	if low1 < horizonDeg {
		set = crossing(after, transit, p)
	}
	return rise, transit, set, Normal
}

// altitude returns the true altitude of the sun's centre [°], without the parallax
// that SPA leaves out here as well.
func altitude(t time.Time, p Place) float64 {
	a := Position(t, p, 0, 0)
	return 90 - a.TrueZenithDeg + parallaxDeg/a.DistanceAU*math.Sin(a.TrueZenithDeg*rad)
}

// crossing finds the moment between down and up when the sun's rim is on the horizon,
// by halving: the altitude has one crossing there, however flat.
func crossing(down, up time.Time, p Place) time.Time {
	a, b := 0.0, up.Sub(down).Seconds()
	at := func(s float64) time.Time { return down.Add(time.Duration(s * float64(time.Second))) }
	for math.Abs(b-a) > 0.05 {
		if m := (a + b) / 2; altitude(at(m), p) < horizonDeg {
			a = m
		} else {
			b = m
		}
	}
	return at((a + b) / 2).In(down.Location())
}

func hours(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }
