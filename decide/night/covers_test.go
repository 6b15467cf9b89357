package night

import (
	"testing"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/cover"
)

// Cloth low in the open meets the wind as a plate; a house, cloth inside one, and
// cloth hooped as high as the screen do so as a building.
func TestWhatIsALowSheet(t *testing.T) {
	sc := valley(t)
	pp, ok := cover.Find(sc.Covers, "pp30")
	if !ok {
		t.Fatal("no cloth pp30 in the table")
	}
	for _, v := range []struct {
		space   string
		heightM float64
		covered bool
		low     bool
	}{
		{"Bed 1", 0, false, false},
		{"Bed 1", 0, true, true},
		{"Bed 1", 0.6, true, true},
		{"Bed 1", 2.2, true, false},
		{"House 1", 0, false, false},
		{"House 1", 0.6, true, false},
	} {
		sp := sc.Site.Space(v.space)
		var on []active
		if v.covered {
			on = []active{{site.Cover{HeightM: v.heightM, Layers: 1}, pp}}
		}
		b := &builder{scene: sc, space: sp, shape: sp.Cells()[0], draw: Central()}
		c, err := b.cell(on, false)
		if err != nil {
			t.Fatal(err)
		}
		if c.Outside.LowSheet != v.low {
			t.Errorf("%s, covered %v at %g m: low sheet %v, want %v", v.space, v.covered, v.heightM, c.Outside.LowSheet, v.low)
		}
	}
}
