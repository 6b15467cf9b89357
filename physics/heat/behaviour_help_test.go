package heat

import (
	"math"
	"slices"
	"testing"

	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/ground"
	"example.org/coldnight/physics/sky"
	"example.org/coldnight/physics/sun"
)

// The behaviour tests (behaviour_*_test.go) hold the whole network against what
// was measured or is agreed among those who protect plants. Weather and sizes are
// invented within what the sources state; every run checks both ledgers.

// dayWeather makes days alike: sunrise at 7, sunset at 17, coldest at sunrise.
type dayWeather struct {
	lowC, highC         float64 // screen air [°C]
	dewC                float64 // dew point, held to the air's temperature [°C]
	windMS, windNightMS float64 // at Outside.WindM, by day and by night
	cloud, cloudNight   float64 // 0..1
	sunPeakWM2          float64 // clear sky at noon
	surroundK           float64 // ground around minus air on a clear night [K]
	deepC               float64
}

// calmClear is a radiation night after a fair day: -2 °C at the screen.
func calmClear() dayWeather {
	return dayWeather{lowC: -2, highC: 11, dewC: -4, windMS: 2, windNightMS: 0.8, sunPeakWM2: 450, surroundK: -1.5, deepC: 8}
}

const (
	sunriseH = 7.0
	sunsetH  = 17.0
)

// at returns the weather of hour h, counted from the first midnight.
func (o dayWeather) at(h float64) Sample {
	cs, cl := sky.Default()
	of := math.Mod(h, 24)
	rise := func(t float64) float64 {
		// Parton & Logan 1981 for the day: sine over the day's length and twice 1.5 h
		return o.lowC + (o.highC-o.lowC)*math.Sin(math.Pi*(t-sunriseH)/(sunsetH-sunriseH+3))
	}
	dark := of < sunriseH || of > sunsetH
	d := Sample{DeepC: o.deepC, SideGroundC: o.deepC, AirC: 0, WindMS: o.windMS}
	cloud := o.cloud
	if dark {
		// Parton & Logan 1981 for the night, stretched to reach the low at sunrise
		const night = 24 - sunsetH + sunriseH
		dusk := rise(sunsetH)
		d.AirC = dusk + (ground.NightDecay(dusk, o.lowC, math.Mod(of-sunsetH+24, 24), night)-dusk)*
			(o.lowC-dusk)/(ground.NightDecay(dusk, o.lowC, night, night)-dusk)
		d.WindMS, cloud = o.windNightMS, o.cloudNight
		d.SurroundC = d.AirC + o.surroundK*(1-cloud)
	} else {
		d.AirC = rise(of)
		d.SunWM2 = o.sunPeakWM2 * math.Sin(math.Pi*(of-sunriseH)/(sunsetH-sunriseH)) * sun.ThroughCloud(cloud)
		d.SurroundC = d.AirC
	}
	d.HemWindMS = 0.5 * d.WindMS
	e := math.Min(air.SaturationPressureWater(o.dewC), air.SaturationPressure(d.AirC))
	d.VapourKgM3 = air.VapourDensity(e, d.AirC)
	d.SkyWM2 = sky.Longwave(cs, cl, sky.Obs{AirC: d.AirC, VapourHPa: e / 100, PressureHPa: 1013.25}, cloud)
	return d
}

// days returns n days of hourly weather from midnight and one hour more.
func (o dayWeather) days(n int) []Sample {
	out := make([]Sample, 24*n+1)
	for i := range out {
		out[i] = o.at(float64(i))
	}
	return out
}

// isNight tells whether hour i, counted from a midnight, is dark.
func isNight(i int) bool { of := i % 24; return of <= sunriseH || of > sunsetH }

// behave carries a cell through hourly weather from ground at groundC, hands
// every hour to see, and fails when a ledger does not close.
func behave(t testing.TB, c Cell, w []Sample, groundC float64, see func(i int, s *Sim, d *Sample), tissues ...Tissue) *Sim {
	t.Helper()
	s, err := New(c, tissues...)
	if err != nil {
		t.Fatal(err)
	}
	s.Begin(Start{AirC: w[0].AirC, VapourKgM3: w[0].VapourKgM3, GroundC: slices.Repeat([]float64{groundC}, len(c.Ground.Layers))})
	goOn(t, s, w, 0, len(w)-1, see)
	return s
}

// goOn carries s from hour `from` to hour `to` of the weather.
func goOn(t testing.TB, s *Sim, w []Sample, from, to int, see func(i int, s *Sim, d *Sample)) {
	t.Helper()
	s.Audit(true)
	for i := from; i < to; i++ {
		if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
			t.Fatalf("hour %d: %v", i, err)
		}
		if see != nil {
			see(i+1, s, &w[i+1])
		}
	}
	l := s.Ledger()
	if g := l.SchemeGap(); g > 1e-9 {
		t.Errorf("ledger (a) open by %.1e of the gross exchange", g)
	}
	if g := l.NonlinearGap(); g > ledgerLimit {
		t.Errorf("ledger (b) open by %.2e of the gross exchange", g)
	}
}

// ledgerLimit is what ledger (b) may be open by in any run of these tests: half a
// percent of the night's exchange.
const ledgerLimit = 0.005

// washed returns the weather with the outdoor air of a covered cell held at that
// of the open ground beside it, at the height open.Outside.LocalM.
func washed(t testing.TB, open Cell, w []Sample, groundC float64) []Sample {
	t.Helper()
	out := slices.Clone(w)
	out[0].LocalC, out[0].HoldLocal = w[0].AirC, true
	behave(t, open, w, groundC, func(i int, s *Sim, d *Sample) {
		out[i].LocalC, out[i].HoldLocal = s.State(d).LocalC, true
	})
	return out
}

// floorOf is a column of one material, n layers from 1 cm down to depth [m].
func floorOf(m ground.Material, n int, depth float64) []Layer {
	out := make([]Layer, 0, n)
	for _, d := range ground.Grid(n, 0.01, depth) {
		out = append(out, Layer{ThickM: d, Material: m})
	}
	return out
}

// insulation is a floor that holds and passes next to nothing, to make a heated
// house's only way out its cover.
func insulation() ground.Material {
	return ground.Material{K: 1e-4, KFrozen: 1e-4, C: 2e4, CFrozen: 2e4, Range: 0.5}
}

func findCover(t testing.TB, key string) cover.Material {
	t.Helper()
	m, ok := cover.Find(cover.Materials(), key)
	if !ok {
		t.Fatalf("no cover %q in the table", key)
	}
	return m
}

// openBed is a bed in the open whose air is taken at localM [m].
func openBed(soil ground.Material, moisture, localM float64) Cell {
	return Cell{
		PressurePa: 101325,
		Outside:    Outside{ScreenM: 2, WindM: 10, RoughM: 0.03, LocalM: localM, CalmMS: air.CalmFloor, WindShare: 1},
		Zones:      []Zone{{DepthM: localM}},
		Ground:     Ground{Layers: floorOf(soil, 12, 1), Eps: 0.95, Albedo: 0.2, Moisture: moisture, RoughM: 0.005},
	}
}

// lowPlants is a bed half covered by plants 30 cm high.
func lowPlants() Canopy {
	return Canopy{LAI: 1.2, Cover: 0.5, CapacityJK: 3000, LeafM: 0.05, Eps: 0.96, Albedo: 0.2, Stomata: 150, FilmCap: 0.2}
}

// under puts sheets of a material over a cell, top first, with air of height [m]
// below the last. Sheets lie on one another; what is lower than 1 m meets the wind as a
// low sheet, what is higher as a house.
func under(c Cell, height float64, leak Leak, ms ...cover.Material) Cell {
	c.Skins = slices.Clone(c.Skins)
	c.Zones = slices.Clone(c.Zones)
	for j, m := range ms {
		sk := testSheet(m, m.Key+string(rune('a'+len(c.Skins))))
		if j+1 < len(ms) {
			sk.Below, sk.GapM = GapBelow, cover.Touching
		} else {
			sk.Leak = leak
		}
		c.Skins = append(c.Skins, sk)
	}
	c.Zones = append(c.Zones, Zone{DepthM: height, StillMS: 0.05, WindShare: 0.05})
	c.Outside.LowSheet = height < 1
	return c
}

// bareLeaf is a small thin leaf that gives no heat of fusion.
func bareLeaf(lengthM float64) Tissue {
	return Tissue{
		Key: "leaf", Shape: Leaf, LengthM: lengthM, ThickM: 0.0003, Eps: 0.96, Absorb: 0.5,
		Material: ground.Material{K: 0.5, KFrozen: 0.5, C: 3.8e6, CFrozen: 3.8e6},
	}
}
