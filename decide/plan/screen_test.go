package plan

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"reflect"
	"runtime"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// inventedSite is a site of so many spaces of three cells and a shed of so many cloths and
// two kinds of cup, for every space to be treated in 3·cloths+3 ways. Everything in it is
// invented.
func inventedSite(seed uint64, spaces, cloths int) string {
	r := rand.New(rand.NewPCG(seed, 77))
	var b strings.Builder
	b.WriteString(yard + `name = "Many"
`)
	for i := range spaces {
		limit := -1 - 4*r.Float64()
		fmt.Fprintf(&b, `
[[space]]
name = "Bed %d"
kind = "%s"
length = "%d m"
width = "1.5 m"
height = "0.6 m"
axis = "%s"

[[space.group]]
plant = "test leaf %d"
height = "0.3 m"
word = "tender"
count = %d
value_each = %d
saleable = "%.1f °C"
alive = "%.1f °C"
`, i+1, []string{"bed", "low hoop"}[r.IntN(2)], 6+r.IntN(12), []string{"E-W", "N-S"}[r.IntN(2)], i+1, 40+r.IntN(60), 1+r.IntN(30), limit, limit-2.5)
	}
	for i := range cloths {
		fmt.Fprintf(&b, "\n[[shed.cloth]]\ncloth = \"%d g/m2\"\nlength = \"20 m\"\nwidth = \"4 m\"\npieces = %d\ncondition = \"good\"\n", 17+6*i, 1+spaces/4)
	}
	for _, kind := range []string{"rose cone", "plastic jug"} {
		fmt.Fprintf(&b, "\n[[shed.cup]]\nkind = \"%s\"\ncount = %d\nfits = \"0.4 m\"\n", kind, 60*(1+spaces/8))
	}
	b.WriteString("\n[[crew]]\nname = \"hand\"\npeople = 3\nfrom = \"08:00\"\nto = \"22:00\"\n")
	return b.String()
}

// inventedFreeze is such a site under mild days and then cold ones, all invented.
func inventedFreeze(t testing.TB, text string, seed uint64, mild, cold, draws int) Freeze {
	t.Helper()
	s, _, err := site.Parse([]byte(text), "test.toml", night.Known())
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	sc, err := night.NewScene(s)
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(seed, 78))
	t0 := time.Date(2026, 7, 10, 0, 0, 0, 0, s.Zone)
	w := weather.Series{Source: "invented", Step: time.Hour, Issued: t0}
	for d := range 2 + mild + cold {
		mean, wind, cloud := 12.0, 1+2*r.Float64(), 0.3*r.Float64()
		if d > mild {
			mean = 1 + 2*r.Float64()
		}
		for h := range 24 {
			x := weather.EmptyRow(t0.Add(time.Duration(24*d+h) * time.Hour))
			x.AirC = mean + 5*math.Cos((float64(h)-14.5)/24*2*math.Pi)
			x.DewC, x.WindMS, x.GustMS, x.WindFromDeg, x.CloudFrac = mean-6, wind, 1.6*wind, 0, cloud
			w.Rows = append(w.Rows, x)
		}
	}
	f := Freeze{Scene: sc, Issued: t0, Now: t0.Add(34 * time.Hour), Seed: seed, Draws: draws}
	f.Members = weather.Ensemble(weather.Forecast{Members: []weather.Series{w}, Issued: t0}, draws, seed,
		weather.EnsembleOptions{LatDeg: s.LatDeg, LonDeg: s.LonDeg, ElevM: s.ElevationM, Now: f.Now})
	return f
}

// What screening costs: the plan of a screened run is whole, so its objective can be held
// against that of a run of everything. At most 0.5 % more; each site on its own.
func TestScreeningLosesLittle(t *testing.T) {
	if testing.Short() {
		t.Skip("long; not in short runs")
	}
	sites := uint64(2)
	if os.Getenv("COLDNIGHT_LONG") != "" {
		sites = 12
	}
	worst, sum := 0.0, 0.0
	for seed := range sites {
		f := inventedFreeze(t, inventedSite(seed, 4, 2), seed, 0, 1, 9+4*int(seed%3))
		if seed%4 == 3 {
			f.Scene.Site.Risk = site.Risk(VeryCareful)
		}
		f.Limits.PriceNodes = 1
		screened := planOf(t, f)
		f.Full = true
		full := planOf(t, f)
		more := screened.Plan.Objective/full.Plan.Objective - 1
		worst, sum = max(worst, more), sum+more
		t.Logf("site %d: %.2f screened, %.2f full, %+.3f %%", seed, screened.Plan.Objective, full.Plan.Objective, 100*more)
		if more > 0.005 {
			t.Errorf("site %d: screening costs %.2f %% of %.2f", seed, 100*more, full.Plan.Objective)
		}
		for i := range screened.Spaces {
			s := &screened.Spaces[i]
			for _, k := range []int{0, s.Chosen} {
				if !reflect.DeepEqual(s.Outlook.Options[k].LossByDraw, full.Spaces[i].Outlook.Options[k].LossByDraw) {
					t.Errorf("site %d, %s, %s: not what the full run says, though it is %d of 0 and chosen", seed, s.Outlook.Space.Name, s.Outlook.Options[k].Protection.Key, k)
				}
			}
		}
	}
	t.Logf("%d sites: mean %+.4f %%, greatest %+.3f %%", sites, 100*sum/float64(sites), 100*worst)
}

// The plan is the same on any number of cores, whoever listens, and with what was kept of
// the plan before; a change of one space runs that space alone.
func TestScreenedPlanIsTheSame(t *testing.T) {
	f := inventedFreeze(t, inventedSite(1, 3, 1), 1, 0, 1, 8)
	f.Limits.PriceNodes = 1
	was := runtime.GOMAXPROCS(1)
	one := planOf(t, f)
	runtime.GOMAXPROCS(max(was, 2))
	defer runtime.GOMAXPROCS(was)
	first := 0
	f.Kept = new(night.Kept)
	two, err := MakeContext(t.Context(), f, func(s Stage) {
		if s.First != nil {
			first++
			if s.First.First == 0 || len(s.First.Plan.Nights) == 0 || !strings.Contains(s.First.Plan.Assumed[0], "first look") {
				t.Errorf("the first plan is not marked as one: %d draws, %q", s.First.First, s.First.Plan.Assumed[0])
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	if first != 1 {
		t.Errorf("%d first plans, want 1", first)
	}
	if !reflect.DeepEqual(one.Plan, two.Plan) {
		t.Error("another plan on two cores")
	}
	f.Kept.Turn()
	began := time.Now()
	if three := planOf(t, f); !reflect.DeepEqual(one.Plan, three.Plan) {
		t.Error("another plan from what was kept")
	}
	again := time.Since(began)
	f.Kept.Turn()
	f.Scene.Site.Spaces[1].Groups[0].Count += 5
	began = time.Now()
	four := planOf(t, f)
	t.Logf("nothing changed %v, one space %v", again.Round(time.Millisecond), time.Since(began).Round(time.Millisecond))
	f.Kept = nil
	if bare := planOf(t, f); !reflect.DeepEqual(bare.Plan, four.Plan) || reflect.DeepEqual(bare.Plan.Nights, one.Plan.Nights) {
		t.Error("after a change of one space what was kept gives another plan than nothing kept, or the change none")
	}
}

// A context that ends stops the making at once, with its error and no plan.
func TestMakeStops(t *testing.T) {
	f := inventedFreeze(t, inventedSite(1, 3, 1), 1, 0, 1, 8)
	ctx, stop := context.WithCancel(t.Context())
	told := 0
	a, err := MakeContext(ctx, f, func(s Stage) {
		if told++; s.Done == 1 {
			stop()
		}
	})
	if a != nil || !errors.Is(err, context.Canceled) {
		t.Errorf("plan %v, error %v", a != nil, err)
	}
	if told > 2 {
		t.Errorf("%d stages after it was stopped in the second space", told)
	}
}
