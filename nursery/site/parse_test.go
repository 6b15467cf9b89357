package site_test

import (
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/nursery/site"
)

var update = flag.Bool("update", false, "write the expected output of testdata/bad")

// known is a short cover table, invented for the tests.
func known() site.Known {
	return site.Known{
		Covers:  []string{"frost cloth 30", "greenhouse film", "glass", "thermal screen", "rose cone", "twin-wall polycarbonate"},
		Words:   []string{"hardy", "borderline", "tender", "leafy-tender"},
		Tissues: []string{"leaf-small", "stem-3cm"},
	}
}

func example(t testing.TB) []byte {
	t.Helper()
	data, err := os.ReadFile("testdata/example.toml")
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func parsed(t testing.TB, text string) (*site.Site, []site.Assumption) {
	t.Helper()
	s, assumed, err := site.Parse([]byte(text), "test.toml", known())
	if err != nil {
		t.Fatal(err)
	}
	return s, assumed
}

func TestExample(t *testing.T) {
	s, assumed := parsed(t, string(example(t)))
	if got := len(s.Spaces); got != 4 {
		t.Fatalf("spaces: %d", got)
	}
	if s.LonDeg != -82.4 || s.Zone.String() != "America/New_York" || math.Abs(s.ElevationM-249.936) > 1e-9 { // 820 ft x 0.3048
		t.Errorf("site: %v %v %v", s.LonDeg, s.Zone, s.ElevationM)
	}
	wall := s.Space("wall  BED")
	if wall == nil {
		t.Fatal("no wall bed")
	}
	if c := wall.Covers[0]; c.Cloth.WeightKgM2 != 0.03 || c.Fit != site.OnHoops || math.Abs(c.HeightM-0.6096) > 1e-12 || c.When.Kind != site.EveningMorning {
		t.Errorf("cover: %+v", c)
	}
	if g := wall.Groups[0]; g.Count != 60 || math.Abs(*g.AliveC-(-25./9)) > 1e-9 || math.Abs(g.Pot.DiameterM-0.1524) > 1e-12 { // 27 °F
		t.Errorf("group: %+v", g)
	}
	if wall.Axis != "E" {
		t.Errorf("axis E-W read as %s", wall.Axis)
	}
	// The shed of the potting shed touches the bed within 1 ft, so that side is no edge.
	if got := fmt.Sprint(wall.Sides); got != "[E W S]" {
		t.Errorf("sides: %s", got)
	}
	if w := s.Crew[1]; w.FromMin != 21*60 || w.ToMin != 26*60 || w.People != 1 {
		t.Errorf("crew over midnight: %+v", w)
	}
	if s.Labour.UsualPer100M2 != 18 || s.Labour.HoopsPer100M2 != 40 {
		t.Errorf("labour: %+v", s.Labour)
	}
	// Each assumption of the example, in order. Six of labour, a trade gallon, the sky of a hedge without length, the heaters.
	want := []string{
		"Bed 4: height of plants", "Loropetalum: pot 1 gal",
		"North house, shelter NW: length", "North house: share", // by count
		"Wall bed: share", "labour: hoops", "labour: windy", "labour: uncover", "labour: cups", "labour: panel", "labour: walk",
		"North house, heater gas heater: efficiency", "North house, heater gas heater: fuel", // no cylinder feeds it
		"North house, heater wall heaters: swing", "heater oil radiator: radiant", "Hoop 1, heater head: setpoint",
		"Hoop 1, heater head: air to burn", "cylinder under the head: stands", "cylinder under the head: empty",
	}
	for _, w := range want {
		found := false
		for _, a := range assumed {
			found = found || a.Where+": "+a.What == w
		}
		if !found {
			t.Errorf("not listed as assumed: %s", w)
		}
	}
	for _, a := range assumed {
		if a.Value == "" || a.Why == "" || a.Where == "" {
			t.Errorf("an assumption without value, reason or place: %+v", a)
		}
		t.Logf("%3d %s: %s = %s (%s)", a.Line, a.Where, a.What, a.Value, a.Why)
	}
}

func TestWorth(t *testing.T) {
	s, _ := parsed(t, string(example(t)))
	bed := s.Space("Bed 4")
	if got := bed.WorthOf(0); math.Abs(got-3000) > 1e-9 { // 60 % of 5000
		t.Errorf("mix: %v", got)
	}
	north := s.Space("North house")
	if own, rest := north.WorthOf(0), north.WorthOf(1); own != 10000 || rest != 50000 { // 40 x 250; what is left of 60000
		t.Errorf("worth: %v %v", own, rest)
	}
	if got := north.AreaShare(1); math.Abs(got-1500./1540) > 1e-12 {
		t.Errorf("share by count: %v", got)
	}
}

// minimal is the shortest valid file.
const minimal = `[site]
name = "A"
latitude = 50
longitude = 8
timezone = "Europe/Berlin"
[[space]]
name = "Bed 1"
kind = "bed"
length = "10 m"
width = "1.2 m"
`

func TestMinimal(t *testing.T) {
	s, assumed := parsed(t, minimal)
	if s.Spaces[0].Line != 6 {
		t.Errorf("line %d", s.Spaces[0].Line)
	}
	// elevation, units, surroundings, ground, moisture; axis, mulch, sides and plants of the bed; crew; eight of labour
	if len(assumed) != 5+4+1+8 {
		t.Errorf("%d assumptions: %v", len(assumed), assumed)
	}
}

func TestTablesWithinLines(t *testing.T) {
	s, _ := parsed(t, strings.Replace(minimal, `width = "1.2 m"`, `width = "1.2 m"
worth = 10
mix = [{word = "tender", share = "100 %"}]
cover = [
  {cloth = "glass"}, # comment
  {cloth = "17 g/m2"},
]`, 1))
	if b := s.Spaces[0]; len(b.Groups) != 1 || len(b.Covers) != 2 || b.Covers[1].Cloth.WeightKgM2 != 0.017 {
		t.Errorf("%+v", b)
	}
}

func TestBadFiles(t *testing.T) {
	files, err := filepath.Glob("testdata/bad/*.toml")
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != 29 {
		t.Fatalf("%d files in testdata/bad", len(files))
	}
	for _, f := range files {
		t.Run(filepath.Base(f), func(t *testing.T) {
			data, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			s, _, err := site.Parse(data, filepath.Base(f), known())
			var ps site.Problems
			if s != nil || !errors.As(err, &ps) || len(ps) == 0 {
				t.Fatalf("site %v, error %v", s, err)
			}
			for _, p := range ps {
				if p.Hint == "" {
					t.Errorf("no way out of: %s", p.Text)
				}
				for _, word := range []string{"struct", "float64", "int64", "site.", "reflect", "nil", "map["} {
					if strings.Contains(p.Text+p.Hint, word) {
						t.Errorf("%q speaks of Go: %s; %s", word, p.Text, p.Hint)
					}
				}
			}
			want := strings.TrimSuffix(f, ".toml") + ".txt"
			got := err.Error() + "\n"
			if *update {
				if err := os.WriteFile(want, []byte(got), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			expected, err := os.ReadFile(want)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(expected) {
				t.Errorf("got:\n%s\nwant:\n%s", got, expected)
			}
		})
	}
}

func TestWhen(t *testing.T) {
	zone := time.FixedZone("", -5*3600)
	at := func(h, m int) time.Time { return time.Date(2027, 1, 17, h, m, 0, 0, zone) } // invented
	rise, set := at(7, 30), at(17, 40)
	for _, c := range []struct {
		w    site.When
		t    time.Time
		want bool
	}{
		{site.When{}, at(12, 0), true},
		{site.When{Kind: site.EveningMorning}, at(9, 29), true},
		{site.When{Kind: site.EveningMorning}, at(9, 30), false},
		{site.When{Kind: site.EveningMorning}, at(16, 39), false},
		{site.When{Kind: site.EveningMorning}, at(16, 40), true},
		{site.When{Kind: site.Daily, OnMin: 17 * 60, OffMin: 9 * 60}, at(3, 0), true},
		{site.When{Kind: site.Daily, OnMin: 17 * 60, OffMin: 9 * 60}, at(9, 0), false},
		{site.When{Kind: site.Daily, OnMin: 9 * 60, OffMin: 17 * 60}, at(9, 0), true},
		{site.When{Kind: site.Dates, From: at(4, 0), To: at(6, 0)}, at(5, 0), true},
		{site.When{Kind: site.Dates, From: at(4, 0), To: at(6, 0)}, at(6, 0), false},
	} {
		if got := c.w.On(c.t, rise, set); got != c.want {
			t.Errorf("%+v at %v: %v", c.w, c.t, got)
		}
	}
	if !(site.When{Kind: site.EveningMorning}).On(at(12, 0), time.Time{}, time.Time{}) {
		t.Error("a day without sunrise")
	}
}

func same(a, b *site.Site) bool {
	strip := func(s site.Site) site.Site {
		s.Spaces = append([]site.Space(nil), s.Spaces...)
		for i := range s.Spaces {
			s.Spaces[i].Line = 0
			s.Spaces[i].Groups = append([]site.Group(nil), s.Spaces[i].Groups...)
			for j := range s.Spaces[i].Groups {
				s.Spaces[i].Groups[j].Line = 0
			}
			s.Spaces[i].Covers = append([]site.Cover(nil), s.Spaces[i].Covers...)
			for j := range s.Spaces[i].Covers {
				w := &s.Spaces[i].Covers[j].When
				w.From, w.To = w.From.UTC(), w.To.UTC()
			}
		}
		noLine := func(list []site.ShedCloth) []site.ShedCloth {
			list = append([]site.ShedCloth(nil), list...)
			for i := range list {
				list[i].Line = 0
			}
			return list
		}
		s.Shed.Cloths, s.Shed.Curtains = noLine(s.Shed.Cloths), noLine(s.Shed.Curtains)
		s.Shed.Cups = append([]site.ShedCup(nil), s.Shed.Cups...)
		for i := range s.Shed.Cups {
			s.Shed.Cups[i].Line = 0
		}
		s.Shed.Panels = append([]site.ShedPanel(nil), s.Shed.Panels...)
		for i := range s.Shed.Panels {
			s.Shed.Panels[i].Line = 0
		}
		s.Fans = append([]site.Fan(nil), s.Fans...)
		for i := range s.Fans {
			s.Fans[i].Line = 0
		}
		s.Shed.Wraps = append([]site.ShedWrap(nil), s.Shed.Wraps...)
		for i := range s.Shed.Wraps {
			s.Shed.Wraps[i].Line = 0
		}
		s.Shed.Barrels = append([]site.ShedBarrel(nil), s.Shed.Barrels...)
		for i := range s.Shed.Barrels {
			s.Shed.Barrels[i].Line = 0
		}
		s.Rooms = append([]site.Room(nil), s.Rooms...)
		for i := range s.Rooms {
			s.Rooms[i].Line = 0
		}
		s.Heaters = append([]site.Heater(nil), s.Heaters...)
		for i := range s.Heaters {
			s.Heaters[i].Line = 0
		}
		s.Cylinders = append([]site.Cylinders(nil), s.Cylinders...)
		for i := range s.Cylinders {
			s.Cylinders[i].Line = 0
		}
		s.Circuits = append([]site.Circuit(nil), s.Circuits...)
		for i := range s.Circuits {
			s.Circuits[i].Line = 0
		}
		s.Backups = append([]site.Backup(nil), s.Backups...)
		for i := range s.Backups {
			s.Backups[i].Line = 0
		}
		if s.Zone.String() != "" {
			s.Zone = time.FixedZone(s.Zone.String(), 0)
		}
		return s
	}
	return reflect.DeepEqual(strip(*a), strip(*b))
}

func TestFormatExample(t *testing.T) {
	s, _ := parsed(t, string(example(t)))
	text := site.Format(s)
	again, _ := parsed(t, string(text))
	if !same(s, again) {
		t.Errorf("not the same after writing and reading:\n%s", text)
	}
	if !strings.Contains(string(text), `width = "4 ft"`) || !strings.Contains(string(text), `saleable = "31 °F"`) {
		t.Errorf("the grower's units were lost:\n%s", text)
	}
}

func TestMerge(t *testing.T) {
	got := site.Merge([]site.Assumption{
		{Where: "Bed 1", What: "hem", Value: "pinned", Why: "not given", Line: 3},
		{Where: "Bed 1, cover 1", What: "layers", Value: "1", Why: "not given", Line: 4},
		{Where: "Bed 2", What: "hem", Value: "pinned", Why: "not given", Line: 9},
	})
	if len(got) != 2 || got[0].Where != "Bed 1; Bed 2" || got[0].Line != 3 {
		t.Errorf("%+v", got)
	}
}
