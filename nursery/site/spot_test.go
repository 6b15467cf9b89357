package site_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.org/coldnight/nursery/site"
)

// area of a polygon by its corners.
func area(c [4]site.Spot) float64 {
	sum := 0.0
	for i, a := range c {
		b := c[(i+1)%4]
		sum += a.EastM*b.NorthM - b.EastM*a.NorthM
	}
	return math.Abs(sum) / 2
}

// The cells on the map have the areas of the cells that are computed, and fill the floor.
func TestCellsOnTheMap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := site.Space{
			LengthM: rapid.Float64Range(4, 60).Draw(t, "length"), HeightM: rapid.Float64Range(0, 4).Draw(t, "height"),
			Axis: oneOf[site.Direction](t, "N", "NNE", "E", "SE", "W"), Spot: &site.Spot{EastM: rapid.Float64Range(-90, 90).Draw(t, "east"), NorthM: 7},
		}
		s.WidthM = rapid.Float64Range(1, s.LengthM).Draw(t, "width")
		for _, right := range []float64{0, 90, 180, 270} {
			if rapid.Bool().Draw(t, "open") {
				s.Sides = append(s.Sides, compassAt(s.Axis.Deg()+right))
			}
		}
		cells, all := s.Cells(), 0.0
		for i, c := range cells {
			got := area(s.Floor(cells, i))
			if all += got; math.Abs(got-c.AreaM2) > 1e-6*(1+c.AreaM2) {
				t.Fatalf("%s: %v m2 on the map, %v computed", c.Name, got, c.AreaM2)
			}
			if !c.Edge {
				continue
			}
			a, b, ok := s.Side(c.Facing)
			if !ok || math.Abs(math.Hypot(a.EastM-b.EastM, a.NorthM-b.NorthM)-c.SideM) > 1e-6 {
				t.Fatalf("%s: side from %v to %v, %v long", c.Name, a, b, c.SideM)
			}
			sin, cos := math.Sincos(c.Facing.Deg() * math.Pi / 180)
			if out := ((a.EastM+b.EastM)/2-s.Spot.EastM)*sin + ((a.NorthM+b.NorthM)/2-s.Spot.NorthM)*cos; out < 0.49*s.WidthM {
				t.Fatalf("%s lies %v m toward %s", c.Name, out, c.Facing)
			}
		}
		if math.Abs(all-s.AreaM2()) > 1e-6*s.AreaM2() {
			t.Fatalf("cells are %v m2 of %v", all, s.AreaM2())
		}
	})
}

func compassAt(deg float64) site.Direction {
	return []site.Direction{"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"}[int(math.Round(deg/22.5))%16]
}

// A hedge 3 m north of a bed that runs east, invented: it stands where the file says.
func TestShelterOnTheMap(t *testing.T) {
	s := site.Space{LengthM: 10, WidthM: 2, Axis: "E", Spot: &site.Spot{EastM: 5, NorthM: 1}, Shelters: []site.Shelter{{From: "N", DistanceM: 3, LengthM: 8}, {From: "W", DistanceM: 2}}}
	for i, want := range [][2]site.Spot{{{1, 5}, {9, 5}}, {{-2, -3}, {-2, 5}}} { // by hand
		a, b := s.ShelterFace(i)
		for k, p := range [2]site.Spot{a, b} {
			if math.Hypot(p.EastM-want[k].EastM, p.NorthM-want[k].NorthM) > 1e-9 {
				t.Errorf("shelter %d: from %v to %v, want %v", i, a, b, want)
			}
		}
	}
}

func TestOverlap(t *testing.T) {
	a := &site.Space{LengthM: 10, WidthM: 2, Axis: "E", Spot: &site.Spot{}}
	for _, c := range []struct {
		east, north float64
		axis        site.Direction
		want        float64
	}{
		{0, 2, "E", 0}, {0, 1.5, "E", 0.5}, {9, 0.5, "E", 1}, {0, 5, "N", 1}, {0, 6, "N", 0}, // by hand
		// By hand: laid at 45 degrees it reaches (10 + 2)/2 · sin 45° = 4.243 m north and south of its middle.
		{0, 5, "NE", 6*math.Sqrt2/2 + 1 - 5}, {0, 5.3, "NE", 0},
	} {
		b := &site.Space{LengthM: 10, WidthM: 2, Axis: c.axis, Spot: &site.Spot{EastM: c.east, NorthM: c.north}}
		if got, again := a.Overlap(b), b.Overlap(a); math.Abs(got-again) > 1e-9 || math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%+v: %v and %v", c, got, again)
		}
	}
}

const placed = `[site]
name = "x"
latitude = 34
longitude = -82
timezone = "America/New_York"
[[space]]
name = "Bed 1"
kind = "bed"
length = "10 m"
width = "2 m"
worth = 10
east = "12 m"
north = "-30 ft"
[[space.mix]]
word = "hardy"
share = "100 %"
[[space]]
name = "Bed 2"
kind = "bed"
length = "10 m"
width = "2 m"
worth = 10
east = "15 m"
north = "-8 m"
[[space.mix]]
word = "hardy"
share = "100 %"
[shed]
mending_tape = 2
igniters = 0
`

func TestPlacesAndSpares(t *testing.T) {
	s, assumed, err := site.Parse([]byte(placed), "x.toml", site.Known{})
	if err != nil {
		t.Fatal(err)
	}
	if at := s.Spaces[0].Spot; at == nil || at.EastM != 12 || math.Abs(at.NorthM+9.144) > 1e-9 {
		t.Errorf("%+v", at)
	}
	if s.Shed.Tape == nil || *s.Shed.Tape != 2 || s.Shed.Igniters == nil || *s.Shed.Igniters != 0 {
		t.Errorf("%+v", s.Shed)
	}
	said := 0
	for _, a := range assumed {
		if a.What == "place" {
			said++
			if a.Where != "Bed 2" || !strings.Contains(a.Why, "it lies on Bed 1 by 86 cm") { // 2 - (9.144 - 8)
				t.Errorf("%+v", a)
			}
		}
	}
	if said != 1 {
		t.Errorf("%d remarks on places", said)
	}
	for from, want := range map[string]string{
		`north = "-30 ft"`: "east is given and north is not",
		`east = "12 m"`:    "north is given and east is not",
		`north = "-8 m"`:   "east is given and north is not",
	} {
		_, _, err := site.Parse([]byte(strings.Replace(placed, from, "", 1)), "x.toml", site.Known{})
		var ps site.Problems
		if !errors.As(err, &ps) || len(ps) != 1 || ps[0].Text != want || ps[0].Line == 0 {
			t.Errorf("without %s: %v", from, err)
		}
	}
	for _, c := range [][3]string{
		{`east = "12 m"`, `east = 12`, "x.toml:12:8: east is 12 without a unit"},
		{`east = "12 m"`, `east = "9000 m"`, "x.toml:12:8: "},
		{`mending_tape = 2`, `mending_tape = -1`, "x.toml:29:16: "},
		{`igniters = 0`, `igniters = 2.5`, "x.toml:30:12: igniters 2.5 is not a whole number"},
	} {
		if _, _, err := site.Parse([]byte(strings.Replace(placed, c[0], c[1], 1)), "x.toml", site.Known{}); err == nil || !strings.HasPrefix(err.Error(), c[2]) {
			t.Errorf("%s: %v", c[1], err)
		}
	}
}
