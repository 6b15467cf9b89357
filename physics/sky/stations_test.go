package sky_test

import (
	"bufio"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/internal/beside"
	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/sky"
	"example.org/coldnight/physics/sun"
)

// station is a place where somebody measured the longwave radiation of the sky.
type station struct {
	name  string
	file  string
	place sun.Place
	read  func(t *testing.T, s station, lines *bufio.Scanner) []reading
	hours []hour
}

// reading is one line of a file that passed its checks.
type reading struct {
	at  time.Time // middle of its interval
	obs sky.Obs
	lw  float64 // longwave down [W/m2]
	ghi float64 // sunshine [W/m2], NaN when not given
}

// hour is the mean of an hour's readings.
type hour struct {
	at       time.Time
	obs      sky.Obs
	eps      float64 // measured longwave over a black body at air temperature
	lw       float64
	flicker  float64 // what is left of the longwave's spread within the hour after a straight line [W/m2]; NaN for hourly files
	zenith   float64
	sunIndex float64 // sunshine over clear-sky sunshine; NaN at night
}

// stations reads all measured skies, or skips.
func stations(t *testing.T) []station {
	t.Helper()
	all := []station{
		{name: "Lyngby", file: "dtu_lyngby_10min_2024-11_2024-12.csv", place: sun.Place{LatDeg: 55.79, LonDeg: 12.53, ElevM: 50}, read: readLyngby},
		{name: "Bleiswijk", file: "bleiswijk_nl_5min_2019-12_2020-02_pyrgeometer.csv", place: sun.Place{LatDeg: 52.02, LonDeg: 4.53, ElevM: -4}, read: readBleiswijk},
		{name: "Santa Maria", file: "santa_maria_brazil_hourly_2014.csv", place: sun.Place{LatDeg: -29.72, LonDeg: -53.76, ElevM: 95}, read: readSantaMaria},
		{name: "Penn State", file: "surfrad_psu17001.dat", place: sun.Place{LatDeg: 40.72, LonDeg: -77.93, ElevM: 376}, read: readSURFRAD},
		// the file's longitude has lost its sign
		{name: "Alamosa", file: "surfrad_slv15365.dat", place: sun.Place{LatDeg: 37.70, LonDeg: -105.92, ElevM: 2317}, read: readSURFRAD},
	}
	for i := range all {
		f, err := os.Open(beside.Path(t, "data/longwave/"+all[i].file))
		if err != nil {
			t.Skip("measured data not here: ../shared/data/longwave/" + all[i].file + " (not part of the project)")
		}
		readings := all[i].read(t, all[i], bufio.NewScanner(io.Reader(f)))
		f.Close()
		all[i].hours = hourMeans(all[i], readings)
		if len(all[i].hours) < 20 {
			t.Fatalf("%s: only %d hours", all[i].file, len(all[i].hours))
		}
	}
	return all
}

// numbers parses cells, telling of any that is empty, no number, or the sentinel -9999.9.
func numbers(cells []string, want ...int) (v []float64, ok bool) {
	v = make([]float64, len(want))
	for i, c := range want {
		if c >= len(cells) {
			return nil, false
		}
		x, err := strconv.ParseFloat(strings.TrimSpace(cells[c]), 64)
		if err != nil || x < -9000 {
			return nil, false
		}
		v[i] = x
	}
	return v, true
}

func possible(lw, airC, rh float64) bool {
	return lw > 90 && lw < 500 && airC > -40 && airC < 45 && rh > 5 && rh <= 105
}

// readLyngby: DTU, Lyngby; 10 min, stamp at the start, UTC. LWD is the corrected downward flux.
func readLyngby(_ *testing.T, _ station, lines *bufio.Scanner) (all []reading) {
	for lines.Scan() {
		c := strings.Split(lines.Text(), ",")
		at, err := time.Parse(time.RFC3339, c[0])
		v, ok := numbers(c, 1, 3, 5, 6, 7)
		if err != nil || !ok || !possible(v[1], v[2], v[4]) {
			continue
		}
		all = append(all, reading{at.Add(5 * time.Minute), sky.Obs{AirC: v[2], VapourHPa: air.VapourPressureRH(v[2], v[4]) / 100, PressureHPa: v[3]}, v[1], v[0]})
	}
	return all
}

// readBleiswijk: a glasshouse's mast; 5 min, Dutch winter time (its noon says so). Pyrgeo is
// the NET flux in whole W/m2, so the radiation of the instrument is added, taken at air
// temperature: a pyrgeometer's body is 0.5-1.5 K colder on a clear night, which makes these
// skies look 2-6 W/m2 too bright. Zero is fog or a wet dome: kept, it belongs to cloud.
func readBleiswijk(_ *testing.T, s station, lines *bufio.Scanner) (all []reading) {
	cet := time.FixedZone("CET", 3600)
	for lines.Scan() {
		c := strings.Split(lines.Text(), ",")
		at, err := time.ParseInLocation("2006-01-02T15:04", c[0], cet)
		v, ok := numbers(c, 1, 2, 6, 7)
		if err != nil || !ok {
			continue
		}
		lw := v[3] + sky.Black(v[0])
		if possible(lw, v[0], v[1]) {
			all = append(all, reading{at, sky.Obs{AirC: v[0], VapourHPa: air.VapourPressureRH(v[0], v[1]) / 100, PressureHPa: 1013}, lw, v[2]})
		}
	}
	return all
}

// readSantaMaria: hourly, local time UTC-3, stamp taken as the hour's start (the sun's noon
// fits). es is the actual vapour pressure [hPa], Ta in kelvin; Li is empty where missing.
func readSantaMaria(_ *testing.T, _ station, lines *bufio.Scanner) (all []reading) {
	zone := time.FixedZone("", -3*3600)
	for lines.Scan() {
		c := strings.Split(lines.Text(), ",")
		at, err := time.ParseInLocation("2006-01-02T15:04:05", c[0], zone)
		v, ok := numbers(c, 1, 2, 3, 4, 6)
		if err != nil || !ok || !possible(v[3], v[1]-273.15, v[2]) {
			continue
		}
		all = append(all, reading{at.Add(30 * time.Minute), sky.Obs{AirC: v[1] - 273.15, VapourHPa: v[4], PressureHPa: 1003}, v[3], v[0]})
	}
	return all
}

// readSURFRAD: NOAA, 1 min, stamp at the end, UTC; each value is followed by its flag, and
// only flag 0 counts.
func readSURFRAD(_ *testing.T, _ station, lines *bufio.Scanner) (all []reading) {
	for lines.Scan() {
		c := strings.Fields(lines.Text())
		if len(c) < 48 || c[9] != "0" || c[17] != "0" || c[39] != "0" || c[41] != "0" || c[47] != "0" {
			continue
		}
		v, ok := numbers(c, 0, 2, 3, 4, 5, 8, 16, 38, 40, 46)
		if !ok || !possible(v[6], v[7], v[8]) {
			continue
		}
		at := time.Date(int(v[0]), time.Month(v[1]), int(v[2]), int(v[3]), int(v[4]), 0, 0, time.UTC).Add(-30 * time.Second)
		all = append(all, reading{at, sky.Obs{AirC: v[7], VapourHPa: air.VapourPressureRH(v[7], v[8]) / 100, PressureHPa: v[9]}, v[6], v[5]})
	}
	return all
}

// hourMeans keeps hours with at least three quarters of their readings.
func hourMeans(s station, all []reading) (out []hour) {
	step := time.Hour
	if len(all) > 1 {
		gaps := make([]time.Duration, 0, len(all))
		for i := 1; i < len(all); i++ {
			gaps = append(gaps, all[i].at.Sub(all[i-1].at))
		}
		slices.Sort(gaps)
		step = gaps[len(gaps)/2]
	}
	need := int(0.75 * float64(time.Hour/step))
	for i := 0; i < len(all); {
		k := i
		start := all[i].at.Truncate(time.Hour)
		for k < len(all) && all[k].at.Before(start.Add(time.Hour)) {
			k++
		}
		if k-i >= max(need, 1) {
			out = append(out, meanOf(s, start, all[i:k]))
		}
		i = k
	}
	return out
}

func meanOf(s station, start time.Time, in []reading) hour {
	h := hour{at: start.Add(30 * time.Minute), flicker: math.NaN(), sunIndex: math.NaN()}
	n := float64(len(in))
	var ghi, sx, sy, sxx, sxy, syy float64
	for _, r := range in {
		h.obs.AirC += r.obs.AirC / n
		h.obs.VapourHPa += r.obs.VapourHPa / n
		h.obs.PressureHPa += r.obs.PressureHPa / n
		h.lw += r.lw / n
		ghi += r.ghi / n
		x := r.at.Sub(start).Hours() - 0.5
		sx, sy, sxx, sxy, syy = sx+x, sy+r.lw, sxx+x*x, sxy+x*r.lw, syy+r.lw*r.lw
	}
	if len(in) >= 4 {
		vx, vy, cv := sxx-sx*sx/n, syy-sy*sy/n, sxy-sx*sy/n
		h.flicker = math.Sqrt(math.Max(vy-cv*cv/vx, 0) / n)
	}
	a := sun.Position(h.at, s.place, h.obs.PressureHPa*100, h.obs.AirC)
	h.obs.SolarHour, h.zenith = a.SolarHour, a.ZenithDeg
	h.eps = h.lw / sky.Black(h.obs.AirC)
	if h.zenith < 82 {
		h.sunIndex = ghi / sun.ClearGHI(start, start.Add(time.Hour), s.place, sun.StandardLinke)
	}
	return h
}
