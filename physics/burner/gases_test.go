package burner

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"example.org/coldnight/physics/air"
)

// of returns the flames of a heat density [W/m3] in air of 20 °C at one atmosphere, the state of the published figures.
func of(f Fuel, wM3 float64) Source { return f.Source(wM3, 1, 20, mmHg) }

// Greatest heat density before each limit [kW/m3], derived with the trade facts for propane.
func TestHeatDensity(t *testing.T) {
	f := find(t, "propane")
	for _, c := range []struct{ n, co2, o2Hazard, o2Cutoff float64 }{
		{0.25, 0.0098, 0.019, 0.038},
		{0.5, 0.0196, 0.037, 0.076},
		{1, 0.039, 0.074, 0.151},
		{2, 0.078, 0.149, 0.303},
	} {
		for _, x := range []struct {
			limit Gases
			kW    float64
		}{{Gases{CO2: CO2Workday}, c.co2}, {Gases{O2: HazardO2}, c.o2Hazard}, {Gases{O2: CutoffO2}, c.o2Cutoff}} {
			got := HeatDensity(f, Outdoors(), x.limit, c.n, 20, mmHg) / 1000
			near(t, fmt.Sprintf("%v at %g/h", x.limit, c.n), got, x.kW, 0.027) // half of its last digit
			end := Steady(Outdoors(), c.n, of(f, got*1000))
			if x.limit.O2 > 0 {
				near(t, "oxygen", end.O2, x.limit.O2, 1e-9)
			} else {
				near(t, "carbon dioxide", end.CO2, x.limit.CO2, 1e-9)
			}
		}
	}
}

// 50 W/m3 (nearly 5 BTU/h per ft3) in an airtight house: 5,000 ppm after 47 min, 18 % oxygen after 182 min (derived
// with the trade facts at 71.8 g of propane for each kWh; ours 71.5 g with 20 °C: 181).
func ExampleTimeToO2() {
	f, _ := Find("propane")
	s := f.Source(50, 1, 20, 101325)
	co2, _ := TimeToCO2(Outdoors(), Outdoors(), 0, s, CO2Workday)
	o2, _ := TimeToO2(Outdoors(), Outdoors(), 0, s, CutoffO2)
	fmt.Printf("5,000 ppm after %.0f min, 18 %% oxygen after %.0f min\n", co2/60, o2/60)
	_, ok := TimeToO2(Outdoors(), Outdoors(), 2, s, CutoffO2)
	fmt.Println("with 2 air changes per hour it comes to 18 %:", ok)
	// Output:
	// 5,000 ppm after 47 min, 18 % oxygen after 181 min
	// with 2 air changes per hour it comes to 18 %: false
}

// Eight unvented heaters in a house of 240 m3, 0.36 to 1.14 air changes per hour (K7): carbon dioxide 1,930 to 11,100
// ppm, oxygen 20.7 to 19.1 %. Both come from one flame: what one gas says, the other has to.
func TestMeasuredGasesOfEightHeaters(t *testing.T) {
	f := find(t, "propane")
	for _, c := range []struct{ ppm, percent, within float64 }{
		{1930, 20.7, 0.005}, {11100, 19.1, 0.1}, // measured; the second is 0.07 off by the plain balance, 0.22 by dry gas
		{18100, 18, 0.005}, // computed
	} {
		o2 := Outdoors().O2 - (c.ppm*1e-6-Outdoors().CO2)/0.6
		if math.Abs(100*o2-c.percent) > c.within+0.001 {
			t.Errorf("%.0f ppm: oxygen %.2f %%, read %.1f", c.ppm, 100*o2, c.percent)
		}
		// the same through the balance, whatever the leaks
		for _, n := range []float64{0.36, 1.14} {
			w := n * (c.ppm*1e-6 - Outdoors().CO2) / (of(f, 1).CO2 * 3600)
			g := Steady(Outdoors(), n, of(f, w))
			near(t, "carbon dioxide", g.CO2, c.ppm*1e-6, 1e-9)
			near(t, "oxygen", g.O2, o2, 1e-9)
			t.Logf("%.0f ppm at %.2f/h: %.1f kW in 240 m3, oxygen %.2f %%", c.ppm, n, w*0.24, 100*g.O2)
		}
	}
}

// Derived: 0.195 m3 of oxygen over 2.95 %, 0.117 m3 of carbon dioxide over 4,600 ppm, for each kWh at 20 °C.
func TestFreshAir(t *testing.T) {
	f := find(t, "propane")
	o2 := FreshAirM3PerHourPerKW(f, Outdoors(), Gases{O2: CutoffO2}, 20, mmHg)
	co2 := FreshAirM3PerHourPerKW(f, Outdoors(), Gases{CO2: CO2Workday}, 20, mmHg)
	near(t, "18 %", o2, 0.195/0.0295, 0.003)
	near(t, "5,000 ppm", co2, 0.117/0.0046, 0.003)
	// 7.0 and 27 are named too, 6 % above: they follow from none of the figures above, which are by the higher heating value
	// at 20 °C. By the lower value, with gas at the 15 °C of the gas trade, they are met to 1 %; 12 °C would meet them to 0.5 %.
	lower := f.HHV / f.LHV
	lo2 := FreshAirM3PerHourPerKW(f, Outdoors(), Gases{O2: CutoffO2}, 15, mmHg) * lower
	lco2 := FreshAirM3PerHourPerKW(f, Outdoors(), Gases{CO2: CO2Workday}, 15, mmHg) * lower
	near(t, "18 %, lower value at 15 °C", lo2, 7.0, 0.01)
	near(t, "5,000 ppm, lower value at 15 °C", lco2, 27, 0.01)
	// ours, as OpeningFor asks: the plate by the higher value, air of 5 °C
	t.Logf("m3/h for each kW, 18 %% and 5,000 ppm: %.2f, %.1f (higher value, 20 °C); %.2f, %.1f (lower, 15 °C); ours %.2f, %.1f (higher, 5 °C)", o2, co2, lo2, lco2,
		FreshAirM3PerHourPerKW(f, Outdoors(), Gases{O2: CutoffO2}, 5, mmHg), FreshAirM3PerHourPerKW(f, Outdoors(), Gases{CO2: CO2Workday}, 5, mmHg))
	both := FreshAirM3PerHourPerKW(f, Outdoors(), Gases{O2: CutoffO2, CO2: CO2Workday}, 20, mmHg)
	near(t, "both", both, co2, 1e-12)
	if !math.IsInf(FreshAirM3PerHourPerKW(f, Outdoors(), Gases{CO2: 300e-6}, 20, mmHg), 1) {
		t.Error("cleaner than outdoors is possible")
	}
	if FreshAirM3PerHourPerKW(f, Outdoors(), Gases{}, 20, mmHg) != 0 {
		t.Error("no limit asks for air")
	}
}

// A pilot feels the pressure of oxygen: fresh air has that of 18 % at 86.9 kPa, about 1,270 m, and of 17 % at about
// 1,730 m (derived).
func TestAltitude(t *testing.T) {
	near(t, "kPa", SeaLevelO2(Outdoors(), 87060), 0.18, 0.001)
	near(t, "1,270 m", SeaLevelO2(Outdoors(), air.PressureAt(1270)), 0.18, 0.002)
	near(t, "there and back", LocalO2(SeaLevelO2(Outdoors(), 80000), 80000), Outdoors().O2, 1e-12)
	near(t, "1,730 m", SeaLevelO2(Outdoors(), air.PressureAt(1730)), 0.17, 0.002)
	for _, c := range []struct {
		o2        float64
		may, will bool
	}{{0.2095, false, false}, {0.184, false, false}, {0.1825, true, false}, {0.178, true, false}, {0.176, true, true}} {
		if may, will := MayTrip(c.o2, CutoffO2); may != c.may || will != c.will {
			t.Errorf("at %.2f %% it may %v, will %v", 100*c.o2, may, will)
		}
	}
	if may, will := MayTrip(0.1, 0); may || will {
		t.Error("no device, and it trips")
	}
}

// Against small Euler steps, written apart.
func TestStepIsExact(t *testing.T) {
	f := find(t, "propane")
	for _, c := range []struct{ n, wM3, hours float64 }{{0.5, 60, 9}, {0, 60, 3}, {3, 500, 1}, {0.3, 400, 5}} {
		s := of(f, c.wM3)
		g, x := Gases{O2: 0.205, CO2: 900e-6}, Gases{O2: 0.205, CO2: 900e-6}
		got := Step(g, Outdoors(), c.n, s, c.hours*3600)
		const h = 0.25
		for range int(c.hours * 3600 / h) {
			in := c.n / 3600 * Outdoors().O2
			pace := 1.0
			if x.O2 <= 0 {
				pace = math.Min(1, in/s.O2) // only what comes in burns
			}
			x.O2 = math.Max(x.O2+h*(in-c.n/3600*x.O2-pace*s.O2), 0)
			x.CO2 += h * (c.n/3600*(Outdoors().CO2-x.CO2) + pace*s.CO2)
		}
		if math.Abs(got.O2-x.O2) > 2e-5 || math.Abs(got.CO2-x.CO2) > 2e-5 {
			t.Errorf("%v: %v, by small steps %v", c, got, x)
		}
	}
}

// What holds whatever the flame, the leaks and the steps.
func TestGasesConserve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := Fuels()[rapid.IntRange(0, 3).Draw(t, "fuel")]
		s := of(f, rapid.SampledFrom([]float64{0, 1e-6, 20, 80, 300, 5000}).Draw(t, "W/m3"))
		n := rapid.SampledFrom([]float64{0, 1e-12, 1e-6, 0.1, 0.7, 5, 60}).Draw(t, "per hour")
		seconds := rapid.Float64Range(0, 40000).Draw(t, "seconds")
		out := Outdoors()
		burnt := rapid.Float64Range(0, out.O2).Draw(t, "burnt")
		ratio := f.CO2Mol / f.O2Mol
		g := Gases{O2: out.O2 - burnt, CO2: out.CO2 + ratio*burnt}

		end := Step(g, out, n, s, seconds)
		if end.O2 < 0 || end.O2 > out.O2*(1+1e-12) || math.IsNaN(end.CO2) {
			t.Fatalf("%v", end)
		}
		// carbon dioxide is background and a share of the drop in oxygen, from such a start, with whatever leaks
		if d := end.CO2 - out.CO2 - ratio*(out.O2-end.O2); math.Abs(d) > 1e-9 {
			t.Fatalf("carbon dioxide is off its line by %g", d)
		}
		a := Step(Step(g, out, n, s, 0.4*seconds), out, n, s, 0.6*seconds)
		if math.Abs(a.O2-end.O2) > 1e-9 || math.Abs(a.CO2-end.CO2) > 1e-9 {
			t.Fatalf("two steps %v, one %v", a, end)
		}
		// more air, more oxygen; more fire, less
		if Step(g, out, n+0.3, s, seconds).O2 < end.O2-1e-12 {
			t.Fatal("more air, less oxygen")
		}
		if Step(g, out, n, Source{1.2 * s.O2, 1.2 * s.CO2}, seconds).O2 > end.O2+1e-12 {
			t.Fatal("more fire, more oxygen")
		}
		// the limits are reached when they are said to be
		limit := rapid.Float64Range(0, out.O2).Draw(t, "limit")
		if at, ok := TimeToO2(g, out, n, s, limit); ok && at > 0 && at < 1e9 {
			if d := Step(g, out, n, s, at).O2 - limit; math.Abs(d) > 1e-8 {
				t.Fatalf("oxygen misses %g by %g after %g s", limit, d, at)
			}
		} else if !ok && end.O2 < limit-1e-9 {
			t.Fatalf("oxygen %g never comes to %g", end.O2, limit)
		}
		top := out.CO2 + ratio*(out.O2-limit)
		if at, ok := TimeToCO2(g, out, n, s, top); ok && at > 0 && at < 1e9 {
			if d := Step(g, out, n, s, at).CO2 - top; math.Abs(d) > 1e-8 {
				t.Fatalf("carbon dioxide misses %g by %g after %g s", top, d, at)
			}
		}
		if n >= 0.1 {
			long, st := Step(g, out, n, s, 1e7), Steady(out, n, s)
			if math.Abs(long.O2-st.O2) > 1e-9 || math.Abs(long.CO2-st.CO2) > 1e-9 {
				t.Fatalf("after long %v, steady %v", long, st)
			}
		}
	})
}

// No flame takes no oxygen: a house opens and clears; nothing is reached that falls away.
func TestNoFlame(t *testing.T) {
	out := Outdoors()
	g := Gases{O2: 0.19, CO2: 0.01}
	if _, ok := TimeToO2(g, out, 1, Source{}, 0.18); ok {
		t.Error("oxygen falls with no flame")
	}
	if at, ok := TimeToO2(g, out, 1, Source{}, 0.195); !ok || at != 0 {
		t.Error("what is below the limit is not said to be")
	}
	if _, ok := TimeToCO2(g, out, 1, Source{}, 0.02); ok {
		t.Error("carbon dioxide rises with no flame")
	}
	// an hour of one air change leaves 1/e of the difference
	near(t, "clears", Step(g, out, 1, Source{}, 3600).CO2-out.CO2, (0.01-out.CO2)/math.E, 1e-12)
	if Steady(out, 0, Source{}) != out {
		t.Error("still air without a flame")
	}
	s := of(find(t, "propane"), 50)
	if end := Steady(out, 0, s); end.O2 != 0 || math.Abs(end.CO2-(out.CO2+0.6*out.O2)) > 1e-12 {
		t.Errorf("airtight: %v", end)
	}
	// used up first, then more carbon dioxide only as air comes in
	if at, ok := TimeToCO2(out, out, 0, s, 0.2); ok {
		t.Errorf("20 %% carbon dioxide after %g s without air", at)
	}
}

func BenchmarkStep(b *testing.B) {
	f, _ := Find("propane")
	s := f.Source(60, 1, 10, mmHg)
	g := Outdoors()
	b.ReportAllocs()
	for range b.N {
		g = Step(g, Outdoors(), 0.5, s, 600)
	}
	if g.O2 > 0.2095 {
		b.Fatal(g)
	}
}

func TestNoAllocation(t *testing.T) {
	f := find(t, "propane")
	s := of(f, 60)
	c := Cylinder{9, 9}
	bank := Bank{Cylinders: []Cylinder{{9, 9}, {9, 5}}, Together: true}
	g := Outdoors()
	if n := testing.AllocsPerRun(100, func() {
		g = Step(g, Outdoors(), 0.5, s, 600)
		_, _ = MaxDraw(9, 5, -8)
		c.Burn(f, 3000, -8, 60)
		bank.Burn(f, 30000, -8, 60)
		_, _ = Duty(5, 5, 1, 1)
		_, _ = Find("kerosene")
	}); n != 0 {
		t.Errorf("%g allocations", n)
	}
}
