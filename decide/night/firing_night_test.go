package night

import (
	"fmt"
	"math"
	"reflect"
	"runtime"
	"testing"
	"time"

	"pgregory.net/rapid"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// A higher set-point: warmer minima and more fuel, step by step.
func TestSetpointsAreMonotone(t *testing.T) {
	sc, sp := shelter{lengthM: 15, widthM: 6, heightM: 3, leaks: "usual", more: gasHeater(25000, 0) + "setpoint = \"5 °C\"\n" + bottles(100, 1, 0, false)}.scene(t)
	s := evenWeather(sc, -2, 4, 1.5, 0.2)
	lastMin, lastUsed := math.Inf(-1), -1.0
	for c := 0.0; c <= 16; c += 2 {
		f := sc.Written(sp)
		f.Lit[0].SetpointC = c
		tr := burning(t, sc, sp, f, Central(), s)
		coldest, used := low(Track{Hours: tr[0].Hours[6:]}, func(h *Hour) float64 { return h.State.AirC }), last(tr).UsedKg[0] // from 18:00
		t.Logf("set at %2.0f °C: coldest air %.2f °C, %.2f kg", c, coldest, used)
		if coldest <= lastMin || used <= lastUsed {
			t.Errorf("set at %.0f °C: coldest %.3f °C after %.3f, %.3f kg after %.3f", c, coldest, lastMin, used, lastUsed)
		}
		lastMin, lastUsed = coldest, used
	}
	// a set-point of its own for the night is the same as that set-point
	f := sc.Written(sp)
	f.Lit[0].SetpointC = 10
	want := last(burning(t, sc, sp, f, Central(), s)).UsedKg[0]
	from, _ := lastNight(s)
	f.Lit[0].SetpointC, f.Lit[0].Nights = 5, map[string]float64{from.Format(time.DateOnly): 10}
	near(t, "turned up for the night", last(burning(t, sc, sp, f, Central(), s)).UsedKg[0], want, 1e-9)
}

// The mean of the cycles is what a thermostat with hysteresis does: a heater of twice
// the size burns half as long, and a wider swing leaves the mean where it is.
func TestThermostatMeans(t *testing.T) {
	used := func(inputW, swing float64) float64 {
		sc, sp := shelter{lengthM: 15, widthM: 6, heightM: 3, leaks: "usual", more: gasHeater(inputW, 0) + fmt.Sprintf("setpoint = \"6 °C\"\nswing = \"%.1f K\"\n", swing)}.scene(t)
		sc.Site.Heaters[0].Radiant = 0
		return last(burning(t, sc, sp, sc.Written(sp), Central(), evenWeather(sc, -3, 0, 1.5, 1))).UsedKg[0]
	}
	one, twice, wide := used(25000, 2), used(50000, 2), used(25000, 4)
	t.Logf("25 kW %.2f kg, 50 kW %.2f kg, 25 kW with twice the swing %.2f kg", one, twice, wide)
	near(t, "twice the size", twice, one, 0.06)
	near(t, "twice the swing", wide, one, 0.06)
}

// fullRequest is one with everything that can happen: two lines on one store, a
// device, failures and an opening.
func fullRequest(t testing.TB, draws int) (*Scene, Request) {
	more := gasHeater(7000, 0.18) + `setpoint = "6 °C"
[[heater]]
name = "wall"
space = "House"
kind = "electric"
input = "2 kW"
setpoint = "4 °C"
` + bottles(20, 2, 1, false)
	sc, sp := shelter{lengthM: 12, widthM: 5, heightM: 2.5, leaks: "tight", more: more}.scene(t)
	s := coldSpell(sc, -3, 1, 0.1)
	from, to := lastNight(s)
	open, out := sc.Written(sp), sc.Written(sp)
	open.OpeningM2 = 0.05
	out.Fails = []Failure{{From: from.Add(9 * time.Hour), Mains: true}, {From: from.Add(10 * time.Hour), Heater: "gas"}}
	return sc, Request{
		Space: sp, Members: []weather.Series{s}, From: from, To: to, Draws: Draws(draws, 1, 3),
		Protections: []Protection{{Key: "none", Firing: sc.Automatic(sp)}, {Key: "sealed", Firing: sc.Written(sp)}, {Key: "open", Firing: open}, {Key: "out", Firing: out}},
	}
}

// With heaters too the answer does not depend on how many cores do the work, nor on
// what else is asked: no state passes from one protection or draw to the next.
func TestFiresAreDeterministic(t *testing.T) {
	sc, q := fullRequest(t, 6)
	old := runtime.GOMAXPROCS(1)
	a, err := sc.Outlook(q)
	runtime.GOMAXPROCS(4)
	b, err2 := sc.Outlook(q)
	runtime.GOMAXPROCS(old)
	if err != nil || err2 != nil {
		t.Fatal(err, err2)
	}
	alone := q
	alone.Protections = []Protection{q.Protections[0], q.Protections[2]}
	c, err := sc.Outlook(alone)
	if err != nil {
		t.Fatal(err)
	}
	same := func(name string, x, y *Result) {
		// as written: a NaN is what it was
		if got, want := fmt.Sprintf("%v %v %v", x.LossByDraw, *x.Heat, x.Reach), fmt.Sprintf("%v %v %v", y.LossByDraw, *y.Heat, y.Reach); got != want {
			t.Errorf("%s differs", name)
		}
	}
	for k := range a.Options {
		same("with the cores: "+a.Options[k].Protection.Key, &a.Options[k], &b.Options[k])
	}
	same("with what else is asked", &a.Options[2], &c.Options[1])
	if !reflect.DeepEqual(Draws(6, 1, 3), Draws(20, 1, 3)[:6]) {
		t.Error("a draw depends on how many there are")
	}
	for k, r := range a.Options[3].Reach {
		if r.Early > r.Usual || r.Odds < 0 || r.Odds > 1 {
			t.Errorf("stock %d: %+v", k, r)
		}
	}
	if a.Options[3].Loss < a.Options[1].Loss {
		t.Errorf("loss %.2f with everything out, %.2f with it running", a.Options[3].Loss, a.Options[1].Loss)
	}
}

// What the outlook says of lines is each line's own, and its nights add up to the span.
func TestOutlookByLine(t *testing.T) {
	more := gasHeater(15000*btuH, 0) + bottles(20, 1, 2, false) + "[[heater]]\nname = \"wall\"\nspace = \"House\"\nkind = \"electric\"\ninput = \"1 kW\"\n"
	sc, sp := shelter{lengthM: 12, widthM: 5, heightM: 2.5, leaks: "usual", more: more}.scene(t)
	s := evenWeather(sc, 6, 2, 1, 1)
	o, err := sc.Outlook(Request{
		Space: sp, Members: []weather.Series{s}, Draws: boiling(Draws(5, 1, 3)), From: s.Rows[36].Time, To: s.Rows[84].Time,
		Protections: []Protection{{Key: "none"}, {Key: "lit", Firing: sc.Written(sp)}},
	})
	if err != nil {
		t.Fatal(err)
	}
	gas, wall := o.Options[1].Heat.Lines[0], o.Options[1].Heat.Lines[1]
	if len(gas.Swap) != 1 || gas.Swap[0].Odds != 1 || gas.Swap[0].Early.After(gas.Swap[0].Usual) || gas.Swap[0].Earliest.After(gas.Swap[0].Early) || gas.Swaps.P50 != 1 {
		t.Errorf("gas: changed %+v, %+v", gas.Swaps, gas.Swap)
	}
	if len(wall.Swap) != 0 || wall.Swaps.P90 != 0 || !math.IsNaN(wall.Left.P50) || wall.Empty.Odds != 0 || gas.Empty.Odds != 0 {
		t.Errorf("electric: changed %+v, %+v", wall.Swaps, wall.Swap)
	}
	for _, l := range []LineOutlook{gas, wall} {
		sum := 0.0
		for _, n := range l.Nights {
			sum += n.Used.P50
		}
		if len(l.Nights) != 2 {
			t.Errorf("%d nights", len(l.Nights))
		}
		near(t, l.Heater+": nights", sum, l.Used.P50, 0.002)
		near(t, l.Heater+": mean", l.Mean, l.Used.P50, 0.002) // no thermostat: the draws burn alike
	}
	near(t, "kWh", wall.Mean, wall.Used.P90, 1e-9)
	near(t, "the same hours", wall.Mean/1, gas.Mean*50.3e6/3.6e6/(15000*btuH/1000), 0.01) // 50.3 MJ/kg
}

// Any firing: gases within what outdoor air holds, fuel never below nothing, numbers
// that are numbers, what fails is out.
func TestAnyFiring(t *testing.T) {
	h := shelter{lengthM: 10, widthM: 4, heightM: 2.2, leaks: "tight", more: gasHeater(5000, 0.18) + `[[heater]]
name = "second"
space = "House"
kind = "vented gas"
input = "6 kW"
fuel = "propane"
mains = true
setpoint = "5 °C"
[[cylinder]]
name = "bottles"
fuel = "propane"
holds = "9 kg"
count = 2
spare = 1
together = true
feeds = ["gas", "second"]
`}
	sc, sp := h.scene(t)
	s := evenWeather(sc, -6, 3, 1, 0.3)
	from, to := lastNight(s)
	i, j, err := Span(s, from, to)
	if err != nil {
		t.Fatal(err)
	}
	store := &sc.Site.Cylinders[0]
	rapid.Check(t, func(t *rapid.T) {
		store.Together = rapid.Bool().Draw(t, "together")
		store.Indoors = rapid.Bool().Draw(t, "indoors")
		store.Spare = rapid.IntRange(0, 2).Draw(t, "spare")
		store.LeftKg = []float64{rapid.Float64Range(0, 9).Draw(t, "left"), rapid.Float64Range(0, 9).Draw(t, "left")}
		f := sc.Written(sp)
		for l := range f.Lit {
			x := *f.Lit[l].Heater
			x.InputW = rapid.SampledFrom([]float64{50, 2000, 9000, 60000}).Draw(t, "W")
			x.Least = rapid.Float64Range(0, 1).Draw(t, "least")
			x.CutoffO2 = rapid.SampledFrom([]float64{0, 0.18, 0.195}).Draw(t, "cutoff")
			f.Lit[l].Heater = &x
			f.Lit[l].SetpointC = rapid.SampledFrom([]float64{-3, 4, 15, math.Inf(1)}).Draw(t, "set")
			f.Lit[l].Share = rapid.SampledFrom([]float64{0, 0.3, 1}).Draw(t, "share")
			if rapid.Bool().Draw(t, "always") {
				f.Lit[l].When = site.When{}
			}
		}
		f.OpeningM2 = rapid.SampledFrom([]float64{0, 0.02, 0.5}).Draw(t, "opening")
		f.NoSwaps = rapid.Bool().Draw(t, "nobody")
		at := from.Add(time.Duration(rapid.IntRange(-600, 1500).Draw(t, "minute")) * time.Minute)
		fail := Failure{From: at, Mains: rapid.Bool().Draw(t, "mains"), All: rapid.Bool().Draw(t, "all")}
		if rapid.Bool().Draw(t, "ends") {
			fail.To = at.Add(3 * time.Hour)
		}
		f.Fails = []Failure{fail}
		d := Central()
		d.Fuel, d.Cutoff = rapid.Float64Range(-3, 3).Draw(t, "fuel"), rapid.Float64Range(-3, 3).Draw(t, "device")
		out, err := sc.run(sp, sp.Cells()[:1], []Protection{{Key: "none"}, {Key: "lit", Firing: f}}, onlyLeaves(), d, s, span{i, j})
		if err != nil {
			t.Fatal(err)
		}
		for r, x := range out[1][0].Hours {
			g := x.Fire
			for l := range f.Lit {
				for name, v := range map[string]float64{"share": g.Share[l], "used": g.UsedKg[l], "left": g.LeftKg[l]} {
					if !(v >= 0) || math.IsInf(v, 0) {
						t.Fatalf("row %d: %s of line %d is %g", r, name, l, v)
					}
				}
				if g.Share[l] > 1+1e-9 {
					t.Fatalf("row %d: share %g", r, g.Share[l])
				}
				if fail.All && !x.Time.Add(-time.Hour).Before(at) && (fail.To.IsZero() || !x.Time.After(fail.To)) && g.Share[l] != 0 {
					t.Fatalf("row %d: line %d burns %g of full while it is out", r, l, g.Share[l])
				}
			}
			for _, a := range []float64{g.Gases.O2, g.Worst.O2, 0.2095 - g.Worst.O2} {
				if !(a >= 0 && a <= 0.2095) {
					t.Fatalf("row %d: oxygen %v, worst %v", r, g.Gases, g.Worst)
				}
			}
			if d := g.Gases.CO2 - 400e-6 - 0.6*(0.2095-g.Gases.O2); math.Abs(d) > 1e-9 {
				t.Fatalf("row %d: carbon dioxide is off its line by %g", r, d)
			}
			if !(g.Gases.CO2 >= 400e-6-1e-12 && g.Gases.CO2 <= g.Worst.CO2+1e-12 && g.Worst.CO2 < 0.15) || math.IsNaN(x.State.AirC) || !(g.PerH > 0 || r == 0) || !(g.HeatW >= 0) {
				t.Fatalf("row %d: %+v, air %g °C", r, g, x.State.AirC)
			}
		}
	})
}

// BenchmarkHouseHour compares an hour of a heated cell with one of the same unheated.
func BenchmarkHouseHour(b *testing.B) {
	for _, c := range []struct {
		name string
		lit  bool
	}{{"unheated", false}, {"heated", true}} {
		b.Run(c.name, func(b *testing.B) {
			sc, sp := shelter{lengthM: 15, widthM: 6, heightM: 3, leaks: "usual", more: gasHeater(25000, 0) + "setpoint = \"6 °C\"\n" + bottles(100, 2, 5, true)}.scene(b)
			s := coldSpell(sc, -3, 1.5, 0.1)
			f := sc.Written(sp)
			if !c.lit {
				f = nil
			}
			w := watch(b, sc, sp, f, s)
			w.cur.Audit(false)
			if c.lit {
				w.fires.stores[0].spare = math.MaxInt // it never runs out
			}
			for k := 0; b.Loop(); k++ {
				i := 24 + k%48
				if err := w.advance(&w.samples[i], &w.samples[i+1], i); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// boiling is draws whose cylinders give what the published table says.
func boiling(ds []Draw) []Draw {
	for i := range ds {
		ds[i].Boil = 1
	}
	return ds
}

// Cylinders that boil off less starve sooner and never burn more.
func TestFrostedCylindersStarveSooner(t *testing.T) {
	h := shelter{lengthM: 12, widthM: 5, heightM: 2.5, leaks: "usual", more: gasHeater(20000*btuH, 0) + bottles(20, 1, 0, false)}
	sc, sp := h.scene(t)
	s := evenWeather(sc, -8, 2, 1, 1)
	starts, used := math.Inf(1), math.Inf(1)
	for _, boil := range []float64{1, 0.72, boilLeast} {
		d := Central()
		d.Boil = boil
		tr := burning(t, sc, sp, always(sc.Written(sp)), d, s)
		first := last(tr).Log.First[0][Starved]
		if first.IsZero() {
			t.Fatalf("at %.2f of the table it never starves", boil)
		}
		at, kg := first.Sub(s.Rows[0].Time).Hours(), last(tr).UsedKg[0]
		if at > starts || kg > used+1e-9 {
			t.Errorf("at %.2f of the table it starves after %.2f h and burns %.2f kg, more than with more", boil, at, kg)
		}
		starts, used = at, kg
	}
}
