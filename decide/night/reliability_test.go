package night

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/heat"
	"example.org/coldnight/physics/sky"
)

// TestReliability asks how often the truth falls inside the 80 % band, on 500
// synthetic nights. The truth is not the program's own model: it runs with
// another convection law (MCAD), another stability function (LOUIS79), another
// sky (ANG18 with MC73), parameters drawn from priors a third wider, weather
// drawn outside the ensemble with errors of dew, cloud and wind a fifth larger, and is read by a probe with
// noise and a radiation error. What it shares with the program is the shape of
// the network. It needs minutes, so it runs when COLDNIGHT_LONG is set.
func TestReliability(t *testing.T) {
	if os.Getenv("COLDNIGHT_LONG") == "" {
		t.Skip("500 nights take minutes: set COLDNIGHT_LONG=1 to run them")
	}
	plan := readReliability(t)
	sc := valley(t)
	truth := *sc
	truth.Laws = heat.Laws{
		// less the radiation of a black face at 0 °C that the law holds
		OuterForced: func(u float64) float64 { return air.McAdamsFlat(u) - 4.6 },
		Stability:   air.Louis1979,
	}
	held, below := map[string]int{}, map[string]int{}
	asked := map[string]int{}
	var width float64
	for k := range plan.nights {
		name := plan.spaces[k%len(plan.spaces)]
		band, got := syntheticNight(t, sc, &truth, name, plan, k)
		asked[name]++
		width += (band.P90 - band.P10) / float64(plan.nights)
		switch {
		case got < band.P10:
			below[name]++
		case got <= band.P90:
			held[name]++
		}
	}
	all, low := 0, 0
	for _, name := range plan.spaces {
		t.Logf("%-11s %3d nights: inside %2.0f %%, colder than the band %2.0f %%", name, asked[name],
			100*float64(held[name])/float64(asked[name]), 100*float64(below[name])/float64(asked[name]))
		all += held[name]
		low += below[name]
	}
	share := float64(all) / float64(plan.nights)
	t.Logf("all: inside the 80 %% band %.1f %% of %d nights, colder %.1f %%; mean width %.1f K", 100*share, plan.nights, 100*float64(low)/float64(plan.nights), width)
	if share < 0.75 || share > 0.85 {
		t.Errorf("the 80 %% band holds %.1f %% of the nights; expected 75 to 85", 100*share)
	}
}

type reliability struct {
	seed          uint64
	nights, draws int
	spaces        []string
}

func readReliability(t *testing.T) reliability {
	data, err := os.ReadFile("testdata/reliability.txt")
	if err != nil {
		t.Fatal(err)
	}
	var r reliability
	for line := range strings.Lines(string(data)) {
		key, rest, _ := strings.Cut(strings.TrimSpace(line), " ")
		switch key {
		case "seed":
			_, err = fmt.Sscan(rest, &r.seed)
		case "nights":
			_, err = fmt.Sscan(rest, &r.nights)
		case "draws":
			_, err = fmt.Sscan(rest, &r.draws)
		case "spaces":
			for s := range strings.SplitSeq(rest, ";") {
				r.spaces = append(r.spaces, strings.TrimSpace(s))
			}
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if r.nights < 1 || r.draws < 1 || len(r.spaces) == 0 {
		t.Fatal("testdata/reliability.txt says too little")
	}
	return r
}

// syntheticNight returns the band of the coldest air at the plants and what the
// probe read.
func syntheticNight(t *testing.T, sc, truth *Scene, name string, plan reliability, k int) (Band, float64) {
	t.Helper()
	r := rand.New(rand.NewPCG(plan.seed, uint64(k)))
	space, cover, _ := strings.Cut(name, " cloth")
	space = strings.TrimSuffix(space, " bare")
	sp := *sc.Site.Space(space)
	sp.Sides = nil // the core alone
	if cover != "" || strings.HasSuffix(name, "cloth") {
		sp.Covers = []site.Cover{{
			Cloth: site.Cloth{WeightKgM2: 0.030}, Layers: 1 + k%2, Fit: site.OnHoops, HeightM: 0.6,
			When: site.When{Kind: site.EveningMorning},
		}}
	}
	// a forecast: three days with any mean, wind and sky of a cold spell
	base := weather.Series{Source: "invented", Step: time.Hour}
	t0 := time.Date(2026, 7, 10, 0, 0, 0, 0, sc.Site.Zone)
	mean, swing := -5+9*r.Float64(), 3+5*r.Float64()
	wind, cloud, dry := math.Exp(0.5+0.7*r.NormFloat64()), math.Pow(r.Float64(), 2), 2+8*r.Float64()
	for i := range 61 {
		w := weather.EmptyRow(t0.Add(time.Duration(i) * time.Hour))
		w.AirC = mean + swing*(1-0.6*cloud)*math.Cos((float64(i%24)-14.5)/24*2*math.Pi)
		w.DewC, w.CloudFrac = mean-dry*(1-0.5*cloud), cloud
		w.WindMS, w.GustMS, w.WindFromDeg = wind, 1.6*wind, 360*r.Float64()
		base.Rows = append(base.Rows, w)
	}
	now := base.Rows[33].Time
	base.Issued = now
	f := weather.Forecast{Members: []weather.Series{base}, Issued: now}
	opt := weather.EnsembleOptions{LatDeg: sc.Site.LatDeg, LonDeg: sc.Site.LonDeg, ElevM: sc.Site.ElevationM, Now: now}
	members := weather.Ensemble(f, plan.draws, plan.seed+uint64(k), opt)
	o, err := sc.Outlook(Request{
		Space: &sp, Protections: []Protection{{Key: "as it is", Covers: sp.Covers}}, Members: members,
		Draws: Draws(plan.draws, len(members), plan.seed+uint64(k)), From: base.Rows[36].Time, To: base.Rows[60].Time,
	})
	if err != nil {
		t.Fatalf("night %d: %v", k, err)
	}
	// the truth: larger errors, another sky, wider parameters, other laws
	wide := weather.DefaultErrors()
	wide.DewK, wide.CloudFrac, wide.LogWind = 1.2*wide.DewK, 1.2*wide.CloudFrac, 1.2*wide.LogWind
	opt.Errors = &wide
	real := weather.Ensemble(f, 1, plan.seed^0xfeed+uint64(k), opt)[0]
	clear, clouds, ok := sky.Find("ANG18", "MC73")
	if !ok {
		t.Fatal("the rival sky is gone")
	}
	for i := range real.Rows {
		w := &real.Rows[i]
		e := air.SaturationPressureWater(w.DewC) / 100
		obs := sky.Obs{AirC: w.AirC, VapourHPa: e, PressureHPa: w.PressureHPa, SolarHour: float64((i + 24) % 24)}
		w.LongwaveWM2 = sky.Longwave(clear, clouds, obs, w.CloudFrac)
	}
	tracks, err := truth.run(&sp, sp.Cells(), []Protection{{Key: "as it is", Covers: sp.Covers}}, make([]bool, len(Classes())),
		wider(Draws(1, 1, plan.seed^0xbeef+uint64(k))[0]), real, span{36, 60})
	if err != nil {
		t.Fatalf("night %d, truth: %v", k, err)
	}
	low, _ := coldest(tracks[0][0].Hours, func(h *Hour) float64 { return h.State.AirC })
	probe := low + 0.2*r.NormFloat64()
	if len(sp.Covers) == 0 && sp.House == nil {
		probe -= 0.3 * (1 - cloud) // a bare probe sees the sky
	}
	return o.Options[0].Cells[0].Nights[0].Air, probe
}

// wider stretches a draw by a third.
func wider(d Draw) Draw {
	const by = 1.33
	for _, f := range []*float64{&d.Hem, &d.Leaks, &d.Moisture, &d.Calm, &d.StillAir, &d.Conductivity, &d.WindPressure} {
		*f = math.Pow(*f, by)
	}
	for _, s := range []*float64{&d.CoverTau, &d.CoverAir, &d.Cold, &d.Deep} {
		*s *= by
	}
	d.Sky = 0 // the rival sky is its own error
	return d
}
