package ground

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"

	"example.org/coldnight/internal/beside"
)

// stationDay is one row of the U.S. Climate Reference Network's daily product
// (NOAA, 2020). NaN = missing.
type stationDay struct {
	day                            time.Time
	airMin, face, faceMax, faceMin float64
	soil                           [5]float64 // 5, 10, 20, 50, 100 cm
}

func stations(t *testing.T) map[string][]stationDay {
	t.Helper()
	f, err := os.Open(beside.Path(t, "data/hourly/uscrn_daily_2020_lat24-39_oct-apr.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	col := map[string]int{}
	for i, h := range rows[0] {
		col[h] = i
	}
	out := map[string][]stationDay{}
	for _, r := range rows[1:] {
		num := func(name string) float64 {
			v, err := strconv.ParseFloat(r[col[name]], 64)
			if err != nil {
				return math.NaN()
			}
			return v
		}
		day, err := time.Parse("2006-01-02", r[col["lst_date"]])
		if err != nil {
			t.Fatal(err)
		}
		d := stationDay{day: day, airMin: num("t_daily_min"), face: num("sur_temp_daily_avg"), faceMax: num("sur_temp_daily_max"), faceMin: num("sur_temp_daily_min")}
		for i, k := range []string{"5", "10", "20", "50", "100"} {
			d.soil[i] = num("soil_temp_" + k + "_daily")
		}
		out[r[col["wban"]]] = append(out[r[col["wban"]]], d)
	}
	return out
}

// drive says what a column is driven by: a daily mean and the depth it belongs
// to. learn takes the mean difference to the 5 cm reading of the first 30 days
// off the rest: a site with one soil probe.
type drive struct {
	name    string
	texture Texture
	moist   Moisture
	mean    func(stationDay) float64
	depth   float64
	learn   bool
}

var stationDepths = [5]float64{0.05, 0.10, 0.20, 0.50, 1.00}

type stationScore struct {
	abs, sum [5]float64
	n        [5]int
	stations int
}

func (s *stationScore) mae(k int) float64 { return s.abs[k] / float64(s.n[k]) }

func (s *stationScore) show(t *testing.T, name string) {
	t.Helper()
	for k, z := range stationDepths {
		if s.n[k] > 0 {
			t.Logf("%-36s %2d stations %3.0f cm: MAE %.2f K, bias %+.2f K, %d days", name, s.stations, 100*z, s.mae(k), s.sum[k]/float64(s.n[k]), s.n[k])
		}
	}
}

// runStations drives one column per station and season and scores it. Choices,
// made once for all stations:
//   - the driving value of a day is held through the day;
//   - texture and moisture are not in the file: one default everywhere;
//   - start: the annual wave fitted to the station's own driving values of the
//     whole file (so it knows the later season, not the soil below); the first
//     30 days of each season are run and not scored;
//   - bottom 3 m below the driven face, held at that wave;
//   - a missing day keeps the last value; a gap above 3 days starts afresh.
func runStations(t *testing.T, all map[string][]stationDay, dr drive) (sc stationScore) {
	t.Helper()
	mat := Soil(dr.texture, dr.moist)
	thick := Grid(16, 0.02, 3)
	var layers []Layer
	for _, z := range thick {
		layers = append(layers, Layer{z, mat})
	}
	for _, days := range all {
		var doy, face []float64
		for _, d := range days {
			if v := dr.mean(d); !math.IsNaN(v) {
				doy, face = append(doy, float64(d.day.YearDay())), append(face, v)
			}
		}
		wave, ok := FitWave(doy, face)
		if !ok || len(face) < 150 {
			continue
		}
		sc.stations++
		var c *Column
		var last, offset, seen float64
		var good time.Time // last day with a reading
		age := 0
		for _, d := range days {
			v := dr.mean(d)
			fresh := c == nil || d.day.Sub(good) > 4*24*time.Hour
			if math.IsNaN(v) {
				if fresh {
					continue
				}
				v = last
			} else {
				good = d.day
			}
			today := float64(d.day.YearDay())
			if fresh {
				col, err := NewColumn(layers, 0)
				if err != nil {
					t.Fatal(err)
				}
				for k, z := range Centres(thick) {
					col.Set(k, wave.At(z, today, mat.Diffusivity()))
				}
				c, age, offset, seen = col, 0, 0, 0
			}
			last = v
			age++
			held := v
			if dr.learn {
				if age <= 30 && !math.IsNaN(d.soil[0]) {
					offset += d.soil[0] - v
					seen++
				}
				if age > 30 && seen > 0 {
					held += offset / seen
				}
			}
			before := c.Profile(nil)
			if err := c.Step(86400, Held(held), Held(wave.At(3, today, mat.Diffusivity()))); err != nil {
				t.Fatal(err)
			}
			after := c.Profile(nil)
			if age <= 30 || dr.learn && (age <= 60 || seen < 10) {
				continue
			}
			for k, z := range stationDepths {
				if z <= dr.depth || math.IsNaN(d.soil[k]) {
					continue
				}
				// the reading is a daily mean
				e := 0.5*(At(thick, before, z-dr.depth)+At(thick, after, z-dr.depth)) - d.soil[k]
				sc.abs[k] += math.Abs(e)
				sc.sum[k] += e
				sc.n[k]++
			}
		}
	}
	return sc
}

// The soil column against the thermometers of a network of stations. The aim
// was 1.5 K at 20 cm.
//
// Driven by the reading at 5 cm the column meets it with 0.4 K: conduction,
// start and default soil are good enough. Driven by the infrared surface it
// misses it, with 1.9 K: before any model the infrared daily mean lies 1.4 K
// below the reading at 5 cm (2.8 K in December, nothing in March). The likely
// reason is that the radiometer sees the tips of the grass and, reflected in
// them, some sky, while the ground below is sheltered. An offset learned from
// one soil probe in 30 days does not hold over the season. So the ground under
// grass or mulch is not to be driven by a radiometric surface.
func TestSoilColumnAgainstStations(t *testing.T) {
	all := stations(t)
	average := func(d stationDay) float64 { return d.face }
	middle := func(d stationDay) float64 { return (d.faceMax + d.faceMin) / 2 }
	probe := func(d stationDay) float64 { return d.soil[0] }

	p := runStations(t, all, drive{"", Loam, Moist, probe, 0.05, false})
	p.show(t, "5 cm reading, loam moist")
	if p.stations < 40 || p.n[2] < 3000 {
		t.Errorf("only %d stations and %d days compared", p.stations, p.n[2])
	}
	if p.mae(2) > 1.5 {
		t.Errorf("driven at 5 cm: 20 cm MAE %.2f K, aim 1.5", p.mae(2))
	}
	s := runStations(t, all, drive{"", Loam, Moist, average, 0, false})
	s.show(t, "infrared daily mean, loam moist")
	if s.mae(2) > 2.0 {
		t.Errorf("driven by the surface: 20 cm MAE %.2f K, was 1.91", s.mae(2))
	}
	var gap, n float64
	for _, days := range all {
		for _, d := range days {
			if v := d.face - d.soil[0]; !math.IsNaN(v) {
				gap += v
				n++
			}
		}
	}
	t.Logf("infrared daily mean minus 5 cm reading: %+.2f K over %g station-days", gap/n, n)
	for _, dr := range []drive{
		{"infrared (max+min)/2, loam moist", Loam, Moist, middle, 0, false},
		{"infrared + offset of 30 days", Loam, Moist, average, 0, true},
		{"infrared daily mean, loam dry", Loam, Dry, average, 0, false},
		{"infrared daily mean, loam wet", Loam, Wet, average, 0, false},
		{"infrared daily mean, sand moist", Sand, Moist, average, 0, false},
		{"5 cm reading, loam dry", Loam, Dry, probe, 0.05, false},
		{"5 cm reading, sand moist", Sand, Moist, probe, 0.05, false},
	} {
		sc := runStations(t, all, dr)
		sc.show(t, dr.name)
	}
}

// Surface minimum minus air minimum of the freezing station-nights (air minimum
// at or below 0 °C). The data's index says: 4,122 nights, median -1.6 K, 5th
// percentile -7.4 K; 3,438 of the 4,122 have a surface reading.
func TestGroundMinusScreen(t *testing.T) {
	var diff []float64
	for _, days := range stations(t) {
		for _, d := range days {
			if d.airMin <= 0 && !math.IsNaN(d.faceMin) {
				diff = append(diff, d.faceMin-d.airMin)
			}
		}
	}
	slices.Sort(diff)
	q := func(p float64) float64 { return diff[int(p*float64(len(diff)-1)+0.5)] }
	t.Logf("%d freezing station-nights: percentiles 1 %.1f, 5 %.1f, 10 %.1f, 25 %.1f, 50 %.1f, 75 %.1f, 90 %.1f, 95 %.1f, 99 %.1f K",
		len(diff), q(.01), q(.05), q(.10), q(.25), q(.50), q(.75), q(.90), q(.95), q(.99))
	near(t, "median", q(.5), -1.6, 0.05)
	near(t, "5th percentile", q(.05), -7.4, 0.05)
}
