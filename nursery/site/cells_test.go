package site_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"example.org/coldnight/nursery/site"
)

func TestCells(t *testing.T) {
	// Invented: a bed 20 m by 4 m, hoops 0.4 m: edges of 0.8 m on all sides.
	s := site.Space{LengthM: 20, WidthM: 4, HeightM: 0.4, Axis: "E", Sides: []site.Direction{"E", "W", "S", "N"}}
	cells := s.Cells()
	want := []struct {
		name string
		area float64
	}{
		{"core", 18.4 * 2.4}, // (20 - 1.6)(4 - 1.6)
		{"edge E", 0.8 * (4 - 0.8)},
		{"edge W", 0.8 * (4 - 0.8)},
		{"edge S", 0.8 * (20 - 0.8)},
		{"edge N", 0.8 * (20 - 0.8)},
	}
	if len(cells) != len(want) {
		t.Fatalf("%d cells", len(cells))
	}
	for i, w := range want {
		if c := cells[i]; c.Name != w.name || math.Abs(c.AreaM2-w.area) > 1e-9 || c.SkyView != 1 {
			t.Errorf("%+v, want %+v", c, w)
		}
	}
}

func TestNarrowBedKeepsACore(t *testing.T) {
	s := site.Space{LengthM: 10, WidthM: 1.2, HeightM: 3, Axis: "N", Sides: []site.Direction{"E", "W"}} // invented
	if c := s.Cells()[0]; math.Abs(c.AreaM2-6) > 1e-9 {                                                 // half the width
		t.Errorf("core %v m2", c.AreaM2)
	}
}

func TestCellsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.Float64Range(0.3, 40).Draw(t, "width")
		s := site.Space{
			WidthM: w, LengthM: w + rapid.Float64Range(0, 100).Draw(t, "more"), HeightM: rapid.Float64Range(0, 8).Draw(t, "height"),
			Axis:  site.Direction(rapid.SampledFrom([]string{"N", "NNE", "ENE", "SE", "W"}).Draw(t, "axis")),
			Sides: nil,
		}
		all := s.Cells() // no sides yet: all core
		if len(all) != 1 {
			t.Fatalf("%d cells of a space without open sides", len(all))
		}
		deg := s.Axis.Deg()
		for _, d := range []float64{0, 90, 180, 270} {
			if rapid.Bool().Draw(t, "open") {
				for _, c := range []site.Direction{"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"} {
					if math.Mod(deg+d, 360) == c.Deg() {
						s.Sides = append(s.Sides, c)
					}
				}
			}
		}
		for range rapid.IntRange(0, 4).Draw(t, "shelters") {
			s.Shelters = append(s.Shelters, site.Shelter{
				From:    site.Direction(rapid.SampledFrom([]string{"N", "E", "SSW"}).Draw(t, "from")),
				HeightM: rapid.Float64Range(0.2, 30).Draw(t, "h"), DistanceM: rapid.Float64Range(0, 60).Draw(t, "d"),
				LengthM: rapid.SampledFrom([]float64{0, 3, 50}).Draw(t, "run"),
			})
		}
		sum := 0.0
		for _, c := range s.Cells() {
			if c.AreaM2 <= 0 {
				t.Fatalf("%+v", c)
			}
			sum += c.AreaM2
			view := c.SkyView
			for _, v := range c.Walls {
				view += v.Share
			}
			if math.Abs(view-1) > 1e-12 || c.SkyView < 0.05-1e-12 {
				t.Fatalf("views add up to %v, sky %v", view, c.SkyView)
			}
		}
		if math.Abs(sum-s.AreaM2()) > 1e-9*s.AreaM2() {
			t.Fatalf("cells have %v m2 of %v", sum, s.AreaM2())
		}
		if got := len(s.Cells()); got != 1+len(s.Sides) {
			t.Fatalf("%d cells for %d sides", got, len(s.Sides))
		}
	})
}

func TestWallTakesSky(t *testing.T) {
	// An endless wall as high as it is far takes (1 - cos 45°)/2 of a level surface's view: textbook (Hottel's strings for a
	// long strip). A small bed, so that its middle is where the strip is.
	s := site.Space{LengthM: 0.002, WidthM: 0.001, Axis: "E", Shelters: []site.Shelter{{From: "N", HeightM: 3, DistanceM: 3}}}
	want := (1 - math.Sqrt2/2) / 2
	if got := s.Cells()[0].Walls[0].Share; math.Abs(got-want) > 1e-3 {
		t.Errorf("%v, want %v", got, want)
	}
	// A long wall of a given length comes near the endless one, a short one takes less: numerical integral over its face.
	for _, run := range []float64{1000, 4} {
		s.Shelters[0].LengthM = run
		sum, n := 0.0, 800
		for i := range n {
			for j := range n {
				x, z := (float64(i)+0.5)/float64(n)*run-run/2, (float64(j)+0.5)/float64(n)*3
				r2 := x*x + 9 + z*z
				sum += z * 3 / (math.Pi * r2 * r2) * run / float64(n) * 3 / float64(n) // cos at the floor z/r, at the wall 3/r
			}
		}
		if got := s.Cells()[0].Walls[0].Share; math.Abs(got-sum) > 1e-3 {
			t.Errorf("run %v: %v, integral %v", run, got, sum)
		}
	}
	// Where the grower says how much sky is open, the wall takes the rest.
	open := 0.6
	s.SkyView = &open
	if c := s.Cells()[0]; c.SkyView != 0.6 || math.Abs(c.Walls[0].Share-0.4) > 1e-12 {
		t.Errorf("%+v", c)
	}
}
