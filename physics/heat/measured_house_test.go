package heat

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"

	"example.org/coldnight/internal/beside"
	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/ground"
	"example.org/coldnight/physics/sky"
	"example.org/coldnight/physics/sun"
)

// houseQuarter is a quarter of an hour of the house's record, means.
type houseQuarter struct {
	at          time.Time // middle, UTC
	outC, outRH float64
	sun         float64 // as the sensor read it [W/m2]
	inC, inRH   float64
	measured    bool // false: a gap filled with the day before, never scored

	up    float64 // solar altitude [deg]
	clear float64 // clear-sky sunshine [W/m2]
	cloud float64 // cover inferred from the sun, see houseCloud
}

func housePlace() sun.Place { return sun.Place{LatDeg: 21.43, LonDeg: -103.11, ElevM: 2000} }

// houseZone returns how far the file's clock lies behind UTC. Its sunrise and
// sunset against the computed ones show four stretches, right to 10 minutes.
func houseZone(local time.Time) time.Duration {
	switch {
	case local.Before(time.Date(2020, 10, 30, 12, 0, 0, 0, time.UTC)):
		return 5 * time.Hour
	case local.Before(time.Date(2020, 11, 1, 1, 0, 0, 0, time.UTC)):
		return 6 * time.Hour
	case local.Before(time.Date(2020, 11, 16, 15, 0, 0, 0, time.UTC)):
		return 7 * time.Hour
	}
	return 6 * time.Hour
}

// readHouse reads the record of an unheated house (structures, open data):
// repaired rows dropped, rows written twice counted once, quarters of an hour on
// one clock, the 51 hours without data from 30 November filled with the day before.
func readHouse(t testing.TB) []houseQuarter {
	t.Helper()
	f, err := os.Open(beside.Path(t, "data/structures/zacatecas_unheated_greenhouse_5min_2020-10_2020-12.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	const quarter = 15 * time.Minute
	sums, counts, seen := map[time.Time]*[5]float64{}, map[time.Time]float64{}, map[string]bool{}
	for i, r := range rows[1:] {
		if r[7] != "0" || seen[r[0]] {
			continue
		}
		seen[r[0]] = true
		local, err := time.Parse("2006-01-02 15:04:05", r[0])
		if err != nil {
			t.Fatalf("row %d: %v", i+2, err)
		}
		at := local.Add(houseZone(local)).Truncate(quarter).Add(quarter / 2)
		if sums[at] == nil {
			sums[at] = new([5]float64)
		}
		for k := range 5 {
			v, err := strconv.ParseFloat(r[1+k], 64)
			if err != nil {
				t.Fatalf("row %d: %v", i+2, err)
			}
			sums[at][k] += v
		}
		counts[at]++
	}
	first, last := time.Time{}, time.Time{}
	for at := range sums {
		if first.IsZero() || at.Before(first) {
			first = at
		}
		if at.After(last) {
			last = at
		}
	}
	var out []houseQuarter
	p := housePlace()
	for at := first; !at.After(last); at = at.Add(quarter) {
		q := houseQuarter{at: at}
		if s, n := sums[at], counts[at]; n > 0 {
			q.outC, q.outRH, q.sun, q.inC, q.inRH, q.measured = s[0]/n, s[1]/n, s[2]/n, s[3]/n, s[4]/n, true
		} else {
			q = out[len(out)-96]
			q.at, q.measured = at, false
		}
		q.up = 90 - sun.Position(at, p, 0, 0).ZenithDeg
		q.clear = sun.ClearNow(at, p, 3).GHI
		out = append(out, q)
	}
	return out
}

// houseCloud infers cover from the sun of each day's morning, 8:40 to 9:40 solar
// time, the only hour at which the sensor sees the sun in all three months: from
// late morning it stands in something's shade and reads 30 to 60 W/m2 while the
// house passes 50 °C. The best quarter of that hour over the clear sky's, over its
// median of all days (most mornings of the dry season are cloudless), a tenth
// forgiven for haze and the moving shade. A night gets the mean of the mornings
// before and after it, a day its own.
func houseCloud(qs []houseQuarter) {
	p := housePlace()
	morning := map[int]float64{}
	var hour []float64
	// the record starts at midnight, so this counts days from midnight to midnight
	day := func(q *houseQuarter) int { return int(q.at.Sub(qs[0].at.Add(-time.Minute)).Hours() / 24) }
	for i := range qs {
		h := sun.Position(qs[i].at, p, 0, 0).SolarHour
		hour = append(hour, h)
		if h > 8.67 && h < 9.67 && qs[i].measured {
			d := day(&qs[i])
			morning[d] = math.Max(morning[d], qs[i].sun/qs[i].clear)
		}
	}
	var all []float64
	for _, v := range morning {
		all = append(all, v)
	}
	clear := median(all)
	for i := range qs {
		from, to := day(&qs[i]), day(&qs[i])
		if qs[i].up < 0 && hour[i] > 12 {
			to++
		} else if qs[i].up < 0 {
			from--
		}
		n := 0.0
		for d := from; d <= to; d++ {
			if v, ok := morning[d]; ok {
				qs[i].cloud += sun.CloudFromSun(v/clear + 0.1)
				n++
			}
		}
		qs[i].cloud /= math.Max(n, 1)
	}
}

// houseShape is what the variants of the house differ in.
type houseShape struct {
	film        string  // of the cover table
	vents       float64 // open area / floor area
	dryTop      float64 // dry soil on top [m]
	moisture    float64 // evaporation of the floor / of a wet one
	lai, hidden float64 // leaf area, share of the floor under leaves
}

// standardHouse: see TestUnheatedHouse.
func standardHouse() houseShape { return houseShape{"pe150", 0.2, 0.05, 0.15, 2.5, 0.83} }

// cell is the house of the record as a stranger would describe it.
func (h houseShape) cell() Cell {
	m, _ := cover.Find(cover.Materials(), h.film)
	sk := testSheet(m, "film")
	sk.AreaRatio, sk.OuterView = 1.7, 0.79
	const depth = 2.4
	// Boulard & Baille 1995: G = (S/2)·Cd·√(2g ΔT/T·H/4 + Cw u²), its two parts
	// added instead of in squares, with Cd 0.6, Cw 0.1, openings 1 m high, an insect
	// net that passes 0.6; besides, half an air change an hour through gaps
	const net, cd, cw, high = 0.6, 0.6, 0.1, 1.0
	half := 0.5 * h.vents * net * cd
	sk.Leak = Leak{
		Still:   0.5 * depth / 3600,
		PerWind: half*math.Sqrt(cw) + 0.25*depth/3600,
		Stack:   half * math.Sqrt(2*9.81/290*high/4),
	}
	c := Cell{
		PressurePa: 79500,
		Outside:    Outside{ScreenM: 2, WindM: 10, RoughM: 0.1, LocalM: 2, CalmMS: air.CalmFloor, WindShare: 1},
		Skins:      []Skin{sk},
		Zones:      []Zone{{DepthM: 2}, {DepthM: depth, StillMS: 0.1, WindShare: 0.05}},
		Canopy: Canopy{
			LAI: h.lai, Cover: h.hidden, CapacityJK: 2400 * h.lai, LeafM: 0.06, Eps: 0.96, Albedo: 0.2,
			// STAN87: 82 s/m per face in moist air, 272 at 10 hPa
			Stomata: 272, Closes: true, FilmCap: 0.2,
		},
		Ground: Ground{Eps: 0.95, Albedo: 0.2, Moisture: h.moisture, RoughM: 0.02},
	}
	x := 0.0
	for _, d := range ground.Grid(14, 0.01, 1.5) {
		wet := ground.Moist
		if x+d/2 < h.dryTop {
			wet = ground.Dry
		}
		x += d
		c.Ground.Layers = append(c.Ground.Layers, Layer{ThickM: d, Material: ground.Soil(ground.Loam, wet)})
	}
	return c
}

// houseState is the model at one row.
type houseState struct {
	inC, vapour, film float64 // [°C] [kg/m3] [kg/m2]
}

// houseRun returns the modelled house at each row. cloud < 0 takes the inferred cover. day, if given, replaces the cell while
// the sun stands above 10 degrees.
func houseRun(t testing.TB, c Cell, qs []houseQuarter, wind, cloud float64, day ...Cell) []houseState {
	t.Helper()
	cs, cl := sky.Default()
	s, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	other, isDay := s, false
	if len(day) > 0 {
		if other, err = New(day[0]); err != nil {
			t.Fatal(err)
		}
	}
	turn := func(q *houseQuarter) {
		if want := q.up > 10; len(day) > 0 && want != isDay {
			other.Become(s)
			s, other, isDay = other, s, want
		}
	}
	sample := func(q *houseQuarter, deep float64) Sample {
		e := air.VapourPressureRH(q.outC, q.outRH)
		n := q.cloud
		if cloud >= 0 {
			n = cloud
		}
		o := sky.Obs{AirC: q.outC, VapourHPa: e / 100, PressureHPa: c.PressurePa / 100}
		return Sample{
			AirC: q.outC, VapourKgM3: air.VapourDensity(e, q.outC), WindMS: wind, HemWindMS: 0,
			SkyWM2: sky.Longwave(cs, cl, o, n), SurroundC: q.outC - 1,
			SunWM2: q.clear * sun.ThroughCloud(q.cloud), DeepC: deep, SideGroundC: deep,
		}
	}
	// the house stood there before: the first ten days five times over, what lies
	// below the column being the mean of the floor in the pass before
	deep := 0.0
	for i := range qs {
		deep += qs[i].outC / float64(len(qs))
	}
	s.Begin(Start{AirC: qs[0].outC, VapourKgM3: sample(&qs[0], 0).VapourKgM3, GroundC: slices.Repeat([]float64{deep}, len(c.Ground.Layers))})
	for range 5 {
		sum := 0.0
		const days = 10 * 96
		for i := range days {
			turn(&qs[i])
			a, b := sample(&qs[i], deep), sample(&qs[i+1], deep)
			if err := s.Advance(&a, &b, 900); err != nil {
				t.Fatal(err)
			}
			st := s.State(&b)
			sum += st.FloorC / days
		}
		deep = sum
	}
	out := make([]houseState, len(qs))
	out[0].inC = math.NaN()
	for i := 0; i+1 < len(qs); i++ {
		turn(&qs[i])
		a, b := sample(&qs[i], deep), sample(&qs[i+1], deep)
		if err := s.Advance(&a, &b, 900); err != nil {
			t.Fatal(err)
		}
		st := s.State(&b)
		out[i+1] = houseState{st.AirC, st.VapourKgM3, st.FilmKgM2}
	}
	return out
}
