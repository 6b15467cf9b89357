package burner

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// 20 lb at 15,000 BTU/h: 28.7 h, at 30,000 14.4 h (derived at 21,548 BTU/lb); less when it starves first.
func TestHoursOfTwentyPounds(t *testing.T) {
	f := find(t, "propane")
	c := Cylinder{CapacityKg: 20 * pound, LiquidKg: 20 * pound}
	for _, x := range []struct{ btu, hours float64 }{{15000, 28.7}, {30000, 14.4}} {
		_, starves := c.HoursLeft(f, x.btu*btuH, 30)
		plain := c.LiquidKg * f.HHV / (x.btu * btuH) / 3600
		near(t, "hours", plain, x.hours, 0.006)
		for _, air := range []float64{30, -6.67, -17.78} { // 86, 20, 0 °F
			empty, starves := c.HoursLeft(f, x.btu*btuH, air)
			t.Logf("%.0f BTU/h in %.0f °C: starves after %.1f h, empty after %.1f h (plain %.1f)", x.btu, air, starves, empty, plain)
			if empty < plain-1e-9 || starves > plain+1e-9 {
				t.Errorf("%.0f °C: empty after %.2f h, starves after %.2f h, plain %.2f h", air, empty, starves, plain)
			}
		}
		if cold := func() float64 { _, s := c.HoursLeft(f, x.btu*btuH, -17.78); return s }(); cold >= starves {
			t.Errorf("%.0f BTU/h starves in the cold after %.1f h, in the warm after %.1f h", x.btu, cold, starves)
		}
	}
}

// A third full at 20 °F with 15,000 BTU/h asked for.
func ExampleCylinder_HoursLeft() {
	f, _ := Find("propane")
	c := Cylinder{CapacityKg: 9.07, LiquidKg: 3}
	empty, starves := c.HoursLeft(f, 4396, -6.7)
	fmt.Printf("starves after %.1f h, empty after %.1f h\n", starves, empty)
	// Output: starves after 5.3 h, empty after 10.8 h
}

// In one long step, and in seconds: the same, and what burns is what is missing.
func TestBurnIsExact(t *testing.T) {
	f := find(t, "propane")
	start := Cylinder{CapacityKg: 9.07, LiquidKg: 9.5} // a little over full, invented
	want := 12000.0
	long, short := start, start
	got, starved := long.Burn(f, want, -12, 20*3600)
	heat := 0.0
	for range 20 * 3600 {
		limit, _ := f.DrawLimit(short.CapacityKg, short.LiquidKg, -12)
		w := math.Min(want, limit) // first order, so that the two do not share code
		short.LiquidKg -= w / f.HHV
		heat += w
	}
	if !starved {
		t.Error("not starved")
	}
	near(t, "burnt", start.LiquidKg-long.LiquidKg, start.LiquidKg-short.LiquidKg, 2e-5)
	near(t, "heat", got*20*3600, heat, 2e-5)
	near(t, "balance", got*20*3600, (start.LiquidKg-long.LiquidKg)*f.HHV, 1e-12)
}

// One who does not starve burns what was asked; none burns from nothing, or below the boiling point.
func TestBurnEnds(t *testing.T) {
	f := find(t, "propane")
	c := Cylinder{CapacityKg: 9, LiquidKg: 0.5}
	got, starved := c.Burn(f, 3000, 20, 24*3600)
	if !starved || c.LiquidKg != 0 {
		t.Errorf("%.3g kg left, starved %v", c.LiquidKg, starved)
	}
	near(t, "heat", got*24*3600, 0.5*f.HHV, 1e-9)
	if got, starved := c.Burn(f, 3000, 20, 3600); got != 0 || !starved {
		t.Errorf("an empty one gives %.0f W", got)
	}
	c = Cylinder{CapacityKg: 9, LiquidKg: 9}
	if got, starved := c.Burn(f, 3000, -45, 3600); got != 0 || !starved || c.LiquidKg != 9 {
		t.Errorf("at -45 °C %.0f W, %.2f kg", got, c.LiquidKg)
	}
	if empty, starves := c.HoursLeft(f, 3000, -45); !math.IsInf(empty, 1) || starves != 0 {
		t.Errorf("at -45 °C empty after %g h, starves after %g h", empty, starves)
	}
	if empty, starves := c.HoursLeft(f, 0, 10); !math.IsInf(empty, 1) || !math.IsInf(starves, 1) {
		t.Errorf("unlit: %g, %g h", empty, starves)
	}
	if got, starved := c.Burn(f, 1000, 10, 0); got != 1000 || starved || c.LiquidKg != 9 {
		t.Errorf("over no time %.0f W", got)
	}
	if got, starved := c.Burn(f, 0, 10, 3600); got != 0 || starved || c.LiquidKg != 9 {
		t.Errorf("unlit %.0f W", got)
	}
	k := Cylinder{CapacityKg: 4, LiquidKg: 4}
	kero := find(t, "kerosene")
	empty, _ := k.HoursLeft(kero, 3000, -30)
	near(t, "kerosene", empty, 4*kero.HHV/3000/3600, 1e-12)
	if got, starved := k.Burn(kero, 3000, -30, empty*3600/2); got != 3000 || starved || math.Abs(k.LiquidKg-2) > 1e-9 {
		t.Errorf("kerosene: %.0f W, %.3f kg left", got, k.LiquidKg)
	}
}

// Nothing is lost or made, whatever is asked; two halves are a whole; HoursLeft and Burn agree.
func TestBurnConserves(t *testing.T) {
	f := find(t, "propane")
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 4).Draw(t, "cylinders")
		together := rapid.Bool().Draw(t, "together")
		b := Bank{Together: together}
		for range n {
			c := rapid.Float64Range(4, 50).Draw(t, "capacity")
			b.Cylinders = append(b.Cylinders, Cylinder{c, c * rapid.Float64Range(0, 1.1).Draw(t, "fill")})
		}
		want := rapid.Float64Range(0, 60000).Draw(t, "want")
		air := rapid.Float64Range(-45, 25).Draw(t, "air")
		seconds := rapid.Float64Range(0, 40*3600).Draw(t, "seconds")
		twice := Bank{Cylinders: append([]Cylinder(nil), b.Cylinders...), Together: together}
		empty, starves := b.HoursLeft(f, want, air)
		before := b.LeftKg()

		got, starved := b.Burn(f, want, air, seconds)
		after := b.LeftKg()
		if got < 0 || got > want*(1+1e-12) || math.IsNaN(got) || after > before {
			t.Fatalf("got %g of %g W, %g kg from %g", got, want, after, before)
		}
		for _, c := range b.Cylinders {
			if c.LiquidKg < 0 || math.IsNaN(c.LiquidKg) {
				t.Fatalf("%g kg left", c.LiquidKg)
			}
		}
		if d := got*seconds - (before-after)*f.HHV; math.Abs(d) > 1e-9*(before*f.HHV+1) {
			t.Fatalf("heat less fuel %g J", d)
		}
		if !starved && got != want && seconds > 0 {
			t.Fatalf("got %g of %g W and did not starve", got, want)
		}
		if want > 0 && seconds > 0 && (starved && seconds < starves*3600*(1-1e-6) || !starved && seconds > starves*3600*(1+1e-6)+1e-3) {
			t.Fatalf("starved %v in %g s; HoursLeft says after %g s", starved, seconds, starves*3600)
		}
		if want > 0 && n == 1 && seconds > empty*3600+1 && after > 1e-9 {
			t.Fatalf("%g kg left after %g s; empty after %g s", after, seconds, empty*3600)
		}
		first, _ := twice.Burn(f, want, air, 0.3*seconds)
		second, _ := twice.Burn(f, want, air, 0.7*seconds)
		if d := (0.3*first + 0.7*second - got) * seconds; math.Abs(d) > 1e-9*(before*f.HHV+1) {
			t.Fatalf("in two steps %g J more than in one", d)
		}
	})
}

// Two alike on a manifold starve later than one alone, and give alike; uneven ones give by what each could.
func TestManifold(t *testing.T) {
	f := find(t, "propane")
	one := Bank{Cylinders: []Cylinder{{9.07, 9.07}}}
	two := Bank{Cylinders: []Cylinder{{9.07, 9.07}, {9.07, 9.07}}, Together: true}
	_, alone := one.HoursLeft(f, 8000, -10)
	empty, both := two.HoursLeft(f, 8000, -10)
	t.Logf("8 kW at -10 °C: one 20-lb starves after %.1f h, two together after %.1f h (empty %.1f h)", alone, both, empty)
	if both < 2.2*alone {
		t.Errorf("one starves after %.2f h, two together after %.2f h", alone, both)
	}
	two.Burn(f, 8000, -10, 3600)
	near(t, "alike", two.Cylinders[0].LiquidKg, two.Cylinders[1].LiquidKg, 1e-12)

	uneven := Bank{Cylinders: []Cylinder{{9.07, 9.07}, {9.07, 3}}, Together: true}
	a, _ := f.DrawLimit(9.07, 9.07, -10)
	b, _ := f.DrawLimit(9.07, 3, -10)
	near(t, "limit", uneven.DrawLimit(f, -10), a+b, 1e-12)
	uneven.Burn(f, 5000, -10, 1)
	near(t, "shares", (9.07-uneven.Cylinders[0].LiquidKg)/(3-uneven.Cylinders[1].LiquidKg), a/b, 1e-3)
	frosted := Bank{Cylinders: []Cylinder{{9.07, 9.07}}, DrawShare: 0.44}
	near(t, "frosted", frosted.DrawLimit(f, -10), 0.44*a, 1e-12)
	if got, starved := frosted.Burn(f, a, -10, 1); !starved || math.Abs(got/a-0.44) > 1e-3 {
		t.Errorf("frosted: %.0f of %.0f W", got, a)
	}
	if two.Next() {
		t.Error("changed over on a manifold")
	}
}

// One after the other the heat stops at an empty one until a hand changes it.
func TestChangeOver(t *testing.T) {
	f := find(t, "propane")
	b := Bank{Cylinders: []Cylinder{{9.07, 0.2}, {9.07, 0}, {9.07, 9.07}}}
	all := b.HoursToEmpty(f, 4000, 0)
	got, starved := b.Burn(f, 4000, 0, 12*3600)
	if !starved || b.Cylinders[2].LiquidKg != 9.07 {
		t.Errorf("got %.0f W, starved %v, the third holds %.2f kg", got, starved, b.Cylinders[2].LiquidKg)
	}
	if !b.Next() || b.At != 2 {
		t.Errorf("changed over to %d, want 2", b.At)
	}
	if got, starved := b.Burn(f, 4000, 0, 3600); got != 4000 || starved {
		t.Errorf("after the change %.0f W, starved %v", got, starved)
	}
	if b.Next() {
		t.Error("changed over to an empty one")
	}
	single, _ := Cylinder{9.07, 9.07}.HoursLeft(f, 4000, 0)
	if first, _ := (Cylinder{9.07, 0.2}).HoursLeft(f, 4000, 0); math.Abs(all-single-first) > 1e-9 {
		t.Errorf("all last %.2f h, one by one %.2f h", all, single+first)
	}
	out := Bank{At: 3}
	if got, starved := out.Burn(f, 100, 0, 10); got != 0 || !starved {
		t.Errorf("no cylinder gives %.0f W", got)
	}
}

// The broken line that is burnt along is MaxDraw itself.
func TestTapIsTheDrawLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := Fuels()[rapid.IntRange(0, 1).Draw(t, "fuel")]
		c := rapid.Float64Range(1, 300).Draw(t, "capacity")
		kg := c * rapid.Float64Range(0, 1.2).Draw(t, "fill")
		air := rapid.Float64Range(-60, 60).Draw(t, "air")
		want, _ := f.DrawLimit(c, kg, air)
		p := f.tap(Cylinder{c, kg}, air, 1)
		if got := p.draw(kg); math.Abs(got-want) > 1e-9*want {
			t.Fatalf("%g W, MaxDraw %g", got, want)
		}
	})
}

func BenchmarkBurn(b *testing.B) {
	f, _ := Find("propane")
	b.ReportAllocs()
	bank := Bank{Cylinders: []Cylinder{{9, 9}, {9, 7}}, Together: true}
	for range b.N {
		bank.Burn(f, 3000, -10, 600)
		if bank.Cylinders[0].LiquidKg < 1 {
			bank.Cylinders[0].LiquidKg, bank.Cylinders[1].LiquidKg = 9, 7
		}
	}
}
