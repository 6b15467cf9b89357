package site_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
)

func oneOf[W ~string](t *rapid.T, words ...W) W { return rapid.SampledFrom(words).Draw(t, "word") }

// size draws round numbers in feet or metres as often as any number at all.
func size(t *rapid.T, lo, hi float64) float64 {
	x := rapid.Float64Range(lo, hi).Draw(t, "size")
	for _, round := range []float64{0.3048, 0.0254, 0.1, 1} {
		if n := float64(int(x/round)) * round; n >= lo && n <= hi && rapid.Bool().Draw(t, "round") {
			return n
		}
	}
	return x
}

func anyName(t *rapid.T) string {
	return strings.TrimSpace(rapid.StringMatching(`[A-Za-zäß"\\µ°#= ,.'-]{1,12}`).Draw(t, "name")) + "x"
}

func anyCloth(t *rapid.T) site.Cloth {
	if rapid.Bool().Draw(t, "by weight") {
		return site.Cloth{WeightKgM2: size(t, 0.015, 0.2)}
	}
	return site.Cloth{Name: oneOf(t, known().Covers...)}
}

func anyWhen(t *rapid.T, zone *time.Location) site.When {
	switch rapid.IntRange(0, 3).Draw(t, "when") {
	case 1:
		return site.When{Kind: site.EveningMorning}
	case 2:
		on := rapid.IntRange(0, 1439).Draw(t, "on")
		return site.When{Kind: site.Daily, OnMin: on, OffMin: (on + rapid.IntRange(1, 1439).Draw(t, "hours")) % 1440}
	case 3:
		from := time.Date(2027, 1, rapid.IntRange(1, 31).Draw(t, "day"), 16, 30, rapid.IntRange(0, 59).Draw(t, "s"), 0, zone)
		return site.When{Kind: site.Dates, From: from, To: from.Add(time.Duration(rapid.IntRange(1, 90).Draw(t, "h")) * time.Hour)}
	}
	return site.When{}
}

func point(t *rapid.T, lo, hi float64) *float64 {
	if rapid.Bool().Draw(t, "given") {
		x := rapid.Float64Range(lo, hi).Draw(t, "value")
		return &x
	}
	return nil
}

func anySpace(t *rapid.T, zone *time.Location, name string) site.Space {
	w := size(t, 0.3, 20)
	s := site.Space{
		Name: name, WidthM: w, LengthM: w + size(t, 0, 100), HeightM: size(t, 2.5, 8),
		Kind: oneOf(t, site.Bed, site.RaisedBed, site.Bench, site.LowHoop, site.ShadeHouse, site.TallHouse, site.Glasshouse),
		Axis: oneOf[site.Direction](t, "N", "NE", "E", "SSE"), Mulch: oneOf(t, site.NoMulch, site.Bark, site.BlackFilm),
		Ground: site.Ground{Texture: oneOf(t, site.Sand, site.Mix), Moisture: oneOf(t, site.Dry, site.Wet)},
		Pots:   oneOf(t, site.Block, site.Spaced), ColdAirFrom: oneOf[site.Direction](t, "", "NNE"), ColdSpot: rapid.Bool().Draw(t, "spot"),
		Hem: oneOf(t, site.Sealed, site.Loose), SkyView: point(t, 0.02, 1), Worth: size(t, 1e6, 2e6),
	}
	if s.Mulch == site.Bark {
		s.MulchDepthM = size(t, 0.01, 0.2)
	}
	if s.Kind == site.Bench || rapid.Bool().Draw(t, "bench") {
		s.BenchHeightM = size(t, 0.3, 1)
	}
	if s.Axis == "E" && rapid.Bool().Draw(t, "sides") {
		s.Sides = []site.Direction{"W", "N"}
	}
	if s.Kind == site.TallHouse || s.Kind == site.Glasshouse {
		s.House = &site.House{
			Glazing: oneOf(t, known().Covers...), Layers: rapid.IntRange(1, 2).Draw(t, "layers"), EaveHeightM: size(t, 0, 2.4),
			Leaks: oneOf(t, site.Tight, site.Leaky),
		}
		if s.House.Layers == 2 {
			s.House.BlowerMains = rapid.Bool().Draw(t, "blower mains")
			if rapid.Bool().Draw(t, "blower") {
				s.House.BlowerW = size(t, 1, 500)
			}
		}
		if rapid.Bool().Draw(t, "snowy") {
			s.House.SnowM, s.House.SnowLimitKgM2 = size(t, 0.01, 0.5), size(t, 20, 200)
		}
		if rapid.Bool().Draw(t, "openings") {
			s.House.OpeningLowM2, s.House.OpeningHighM2 = size(t, 0.001, 0.2), size(t, 0, 0.1)
		}
		if rapid.Bool().Draw(t, "vents") {
			s.House.VentAreaM2, s.House.Vents = size(t, 0.1, 50), rapid.Float64Range(0, 1).Draw(t, "open")
		}
		if rapid.Bool().Draw(t, "curtain") {
			s.House.Curtain = "thermal screen"
			s.House.CurtainWhen.Kind = rapid.SampledFrom([]site.WhenKind{site.Always, site.EveningMorning}).Draw(t, "drawn")
		}
	}
	for range rapid.IntRange(0, 2).Draw(t, "shelters") {
		s.Shelters = append(s.Shelters, site.Shelter{
			From: oneOf[site.Direction](t, "N", "WSW"), What: oneOf(t, site.Wall, site.Hedge), HeightM: size(t, 0.2, 30),
			DistanceM: size(t, 0, 100), LengthM: rapid.SampledFrom([]float64{0, 12.5}).Draw(t, "run"), SurfaceC: point(t, -20, 50),
		})
	}
	if rapid.Bool().Draw(t, "parked") {
		s.Parked = &site.Parked{
			Cloth: anyCloth(t), Layers: rapid.IntRange(1, 3).Draw(t, "parked layers"), HeightM: size(t, 0.2, 2.4), DownMin: size(t, 1, 60), UpMin: size(t, 1, 60),
			Shade: rapid.Float64Range(0, 0.6).Draw(t, "shade"), Rolled: oneOf(t, site.OpenUp, site.OpenDown),
		}
	}
	for range rapid.IntRange(0, 2).Draw(t, "covers") {
		c := site.Cover{Cloth: anyCloth(t), Layers: rapid.IntRange(1, 6).Draw(t, "layers"), Fit: site.Touching, When: anyWhen(t, zone), SnowM: size(t, 0, 0.5)}
		if rapid.Bool().Draw(t, "hoops") {
			c.Fit, c.HeightM = site.OnHoops, size(t, 0.1, 2)
		}
		s.Covers = append(s.Covers, c)
	}
	for range rapid.IntRange(0, 3).Draw(t, "groups") {
		g := site.Group{
			Plant: anyName(t), Word: oneOf(t, "", "tender"), Place: oneOf(t, site.Anywhere, site.WindwardEdge), Tissue: oneOf(t, "", "leaf-small"),
			Count: rapid.IntRange(1, 5000).Draw(t, "count"), HeightM: size(t, 0.05, 3), WetFoliage: rapid.Bool().Draw(t, "wet"), NeverLose: rapid.Bool().Draw(t, "never"),
			Odds: rapid.SampledFrom([]float64{0, 1.0 / 20, 3.0 / 7, 1.0 / 1000}).Draw(t, "odds"), AliveC: point(t, -40, -10), SaleableC: point(t, -10, 5), ValueEach: size(t, 0.01, 50),
		}
		if rapid.Bool().Draw(t, "trim") {
			g.TrimToM, g.TrimLoss = 0.5*g.HeightM, rapid.Float64Range(0, 1).Draw(t, "trim loss")
		}
		switch rapid.IntRange(0, 2).Draw(t, "pot") {
		case 1:
			g.Pot.DiameterM = size(t, 0.03, 1)
		case 2:
			g.Pot.VolumeM3 = size(t, 0.0001, 0.2)
		}
		s.Groups = append(s.Groups, g)
	}
	if rapid.Bool().Draw(t, "placed") {
		s.Spot = &site.Spot{EastM: rapid.Float64Range(-5000, 5000).Draw(t, "east"), NorthM: size(t, 0, 400)}
	}
	if rapid.Bool().Draw(t, "free") {
		s.FreeBenchM2 = size(t, 0.5, 50)
	}
	if len(s.Groups) == 0 {
		share := rapid.Float64Range(0.01, 0.99).Draw(t, "share")
		for _, x := range []float64{share, 1 - share} {
			s.Groups = append(s.Groups, site.Group{Word: oneOf(t, "tender", "hardy"), Share: x, Place: site.Anywhere, HeightM: 0.3})
		}
	}
	return s
}

func TestFormatReadsBack(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		s := &site.Site{
			Name: anyName(t), LatDeg: rapid.Float64Range(-90, 90).Draw(t, "lat"), LonDeg: rapid.Float64Range(-180, 180).Draw(t, "lon"),
			ElevationM: size(t, -400, 4000), Zone: zone, Units: rapid.SampledFrom([]measure.Units{measure.SI, measure.Customary}).Draw(t, "units"), Money: oneOf(t, "", "euro"),
			Surroundings: oneOf(t, site.Open, site.Wooded), Odds: rapid.SampledFrom([]float64{0, 1.0 / 15}).Draw(t, "odds of all"), HeatBy: oneOf(t, "", site.HeatByCost, site.HeatByOdds), Risk: oneOf(t, "", site.UsualRisk, site.CarefulRisk, site.VeryCareful), Ground: site.Ground{Texture: site.Loam, Moisture: site.Moist},
			Labour: site.Labour{
				LargePer100M2: size(t, 1, 50), UsualPer100M2: 20, HoopsPer100M2: 40, WindyTimes: 1.5, UncoverPer100M2: 5,
				CupsPer100: 60, PanelEach: 4, WalkPerSpace: 0,
				WrapPer100: 150, TrimPer100: 90, CarryPer100: 25, WaterPer100L: 5,
			},
		}
		for _, name := range []string{"A", "B"}[:rapid.IntRange(1, 2).Draw(t, "spaces")] {
			s.Spaces = append(s.Spaces, anySpace(t, zone, name))
		}
		if rapid.Bool().Draw(t, "shed") {
			s.Shed = site.Shed{
				Clamps: 3, Cups: []site.ShedCup{{Kind: "rose cone", Count: 4, FitsM: size(t, 0.1, 1)}},
				Panels: []site.ShedPanel{{LengthM: size(t, 1, 4), HeightM: size(t, 0.5, 2), Count: 2}},
				Cloths: []site.ShedCloth{{Cloth: anyCloth(t), LengthM: size(t, 1, 100), WidthM: size(t, 1, 12), Pieces: 3, Condition: site.Torn}},
			}
			s.Shed.Wraps = []site.ShedWrap{{Kind: oneOf(t, site.FoamPipe, site.Sacking), ThickM: size(t, 0.002, 0.1), Count: 20, FitsM: rapid.SampledFrom([]float64{0, 0.1}).Draw(t, "fits")}}
			s.Shed.Barrels = []site.ShedBarrel{{HoldsM3: size(t, 0.02, 1), Count: 4}}
			if n := rapid.IntRange(0, 9).Draw(t, "rolls"); rapid.Bool().Draw(t, "said") {
				s.Shed.Tape, s.Shed.Igniters = &n, new(int)
			}
			s.Rooms = []site.Room{{Name: "shed " + anyName(t), KeepsC: rapid.Float64Range(-5, 20).Draw(t, "keeps"), FreeBenchM2: size(t, 0, 40), Light: rapid.Float64Range(0, 1).Draw(t, "light"), DistanceM: size(t, 0, 200)}}
			s.Crew = []site.Worker{{Name: anyName(t), People: 2, FromMin: 13 * 60, ToMin: 26*60 + 30}}
		}
		if rapid.Bool().Draw(t, "heat") {
			addHeat(t, s)
		}
		text := site.Format(s)
		again, _, err := site.Parse(text, "again.toml", known())
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if !same(s, again) {
			t.Fatalf("wrote\n%s\n%+v\nread as\n%+v", text, *s, *again)
		}
	})
}

// seeds are the files of testdata and a few of their own kind.
func seeds(t testing.TB) [][]byte {
	files, err := filepath.Glob("testdata/bad/*.toml")
	if err != nil {
		t.Fatal(err)
	}
	out := [][]byte{example(t), []byte(minimal), []byte("a.b.c = 1\n[site.name]\n"), []byte("[[space]]\n[[space.house]]\nglazing=[[]]\n")}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, data)
	}
	return out
}

func TestSeeds(t *testing.T) {
	if n := len(seeds(t)); n != 33 {
		t.Errorf("%d seeds", n)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range seeds(f) {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, _, err := site.Parse(data, "fuzz.toml", known())
		var ps site.Problems
		if err != nil {
			if !errors.As(err, &ps) || len(ps) == 0 || s != nil {
				t.Fatalf("%T %v", err, err)
			}
			for _, p := range ps {
				if p.Line < 1 || p.Column < 1 || p.Line > strings.Count(string(data), "\n")+1 || p.Hint == "" {
					t.Fatalf("%+v", p)
				}
			}
			return
		}
		for i := range s.Spaces {
			s.Spaces[i].Cells()
		}
		text := site.Format(s)
		again, _, err := site.Parse(text, "again.toml", known())
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if !same(s, again) {
			t.Fatalf("not the same after writing:\n%s\n%s", text, site.Format(again))
		}
	})
}
