package sun_test

import (
	"bufio"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/internal/beside"
	"example.org/coldnight/physics/sun"
)

// Two SURFRAD days (NOAA): the zenith the station's own software writes on each line,
// clear-sky sunshine, the diffuse share and the visible share against the instruments.
func TestAgainstSURFRAD(t *testing.T) {
	for _, s := range []struct {
		file string
		p    sun.Place
	}{
		{"longwave/surfrad_psu17001.dat", sun.Place{LatDeg: 40.72, LonDeg: -77.93, ElevM: 376}},
		// the header's longitude has no sign; Alamosa is in the west
		{"longwave/surfrad_slv15365.dat", sun.Place{LatDeg: 37.70, LonDeg: -105.92, ElevM: 2317}},
	} {
		f := beside.Open(t, "data/"+s.file)
		lines := bufio.NewScanner(f)
		var zenithOff, parSum, ghiSum, clearSum, clearN float64
		diffuse := map[string]*[3]float64{} // n, sum, sum of squares of the error in W/m2
		n := 0
		for lines.Scan() {
			v := strings.Fields(lines.Text())
			if len(v) < 48 {
				continue // the two header lines
			}
			num := func(i int) float64 { x, _ := strconv.ParseFloat(v[i], 64); return x }
			at := time.Date(int(num(0)), time.Month(num(2)), int(num(3)), int(num(4)), int(num(5)), 0, 0, time.UTC).Add(-30 * time.Second)
			a := sun.Position(at, s.p, num(46)*100, num(38))
			n++
			if a.TrueZenithDeg < 87 || a.TrueZenithDeg > 91.5 { // at the horizon the station assumes another refraction
				zenithOff = math.Max(zenithOff, math.Abs(a.ZenithDeg-num(7)))
			}
			ghi, ok := num(8), v[9] == "0" && v[15] == "0"
			if !ok || ghi < 50 || a.ZenithDeg > 80 {
				continue
			}
			if v[31] == "0" {
				parSum, ghiSum = parSum+num(30), ghiSum+ghi
			}
			extra := sun.SolarConstant / (a.DistanceAU * a.DistanceAU)
			clear := sun.ClearNow(at, s.p, 2)
			if num(12) > 0.95*clear.DNI && num(14) < 0.3*ghi {
				clearSum, clearN = clearSum+ghi/clear.GHI, clearN+1
			}
			for _, m := range sun.Splits() {
				e := diffuse[m.Key]
				if e == nil {
					e = new([3]float64)
					diffuse[m.Key] = e
				}
				d := m.Diffuse(sun.Seen{GHI: ghi, ClearGHI: clear.GHI, Extra: extra, ZenithDeg: a.ZenithDeg, SolarHour: a.SolarHour})*ghi - num(14)
				e[0], e[1], e[2] = e[0]+1, e[1]+d, e[2]+d*d
			}
		}
		if n < 1400 {
			t.Fatalf("%s: %d lines", s.file, n)
		}
		t.Logf("%s: worst zenith %.3f°; clear minutes %.0f, measured over IP02 at turbidity 2: %.3f; visible share %.3f", s.file, zenithOff, clearN, clearSum/clearN, parSum/ghiSum)
		for k, e := range diffuse {
			t.Logf("   diffuse by %-7s bias %+6.1f rmse %5.1f W/m2 over %.0f minutes", k, e[1]/e[0], math.Sqrt(e[2]/e[0]), e[0])
		}
		if zenithOff > 0.06 {
			t.Errorf("zenith %.3f° from the station's own", zenithOff)
		}
	}
}

// Two winter months at Lyngby (DTU, 10 min, global and diffuse): the split's error, and
// how clear a clear sky is.
func TestAgainstLyngby(t *testing.T) {
	p := sun.Place{LatDeg: 55.79, LonDeg: 12.53, ElevM: 50}
	lines := bufio.NewScanner(beside.Open(t, "data/longwave/dtu_lyngby_10min_2024-11_2024-12.csv"))
	square, n := map[string]float64{}, 0.0
	var ratio, clearN float64
	for lines.Scan() {
		v := strings.Split(lines.Text(), ",")
		at, err := time.Parse(time.RFC3339, v[0])
		if err != nil {
			continue
		}
		at = at.Add(5 * time.Minute) // stamped at the start
		ghi, err1 := strconv.ParseFloat(v[1], 64)
		dhi, err2 := strconv.ParseFloat(v[2], 64)
		a := sun.Position(at, p, 101325, 5)
		if err1 != nil || err2 != nil || a.ZenithDeg > 80 || ghi < 10 {
			continue
		}
		clear := sun.ClearNow(at, p, sun.StandardLinke)
		n++
		for _, m := range sun.Splits() {
			d := m.Diffuse(sun.Seen{GHI: ghi, ClearGHI: clear.GHI, Extra: sun.Extraterrestrial(float64(at.YearDay())), ZenithDeg: a.ZenithDeg, SolarHour: a.SolarHour})*ghi - dhi
			square[m.Key] += d * d
		}
		if dhi < 0.35*ghi {
			ratio, clearN = ratio+ghi/clear.GHI, clearN+1
		}
	}
	if n < 500 || clearN < 20 {
		t.Fatalf("%.0f rows, %.0f of them clear", n, clearN)
	}
	t.Logf("%.0f rows: diffuse rmse ENG15 %.1f, ERBS82 %.1f W/m2; clear sky (%.0f rows) measured over computed %.3f", n, math.Sqrt(square["ENG15"]/n), math.Sqrt(square["ERBS82"]/n), clearN, ratio/clearN)
	if first := sun.Splits()[0].Key; square[first] > square["ERBS82"] {
		t.Errorf("%s is first and not the better one", first)
	}
	if r := ratio / clearN; r < 0.9 || r > 1.1 {
		t.Errorf("clear sky at turbidity %.1f: measured over computed %.3f", sun.StandardLinke, r)
	}
}
