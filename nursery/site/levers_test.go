package site_test

import (
	"math"
	"testing"

	"example.org/coldnight/nursery/site"
)

// The usual steel drum holds 208 l and is 57 by 85 cm inside (from memory); pots take the
// square of their width, those told by volume that of a pot as wide as high; every kind of
// wrap insulates like one, 0.03 to 0.08 W/mK.
func TestSizesOfLevers(t *testing.T) {
	w, h := site.ShedBarrel{HoldsM3: 0.208}.Size()
	if math.Abs(w-0.57) > 0.02 || math.Abs(h-0.85) > 0.02 {
		t.Errorf("a drum of 208 l is %.2f by %.2f m", w, h)
	}
	for spot, g := range map[float64]site.Group{
		0.04: {Pot: site.Pot{DiameterM: 0.2}}, 0.01: {Pot: site.Pot{VolumeM3: math.Pi / 4 * 0.001}}, 0: {Count: 3},
	} {
		if got := g.SpotM2(); math.Abs(got-spot) > 1e-9 {
			t.Errorf("%+v takes %.4f m2, want %.4f", g.Pot, got, spot)
		}
	}
	for _, k := range []site.Wrap{site.FoamPipe, site.BlanketRag, site.Sacking, site.BubbleWrap, site.FleeceWrap, site.StrawWrap} {
		if c := k.Conductivity(); c < 0.03 || c > 0.08 {
			t.Errorf("%s conducts %.3f W/mK", k, c)
		}
	}
	if site.Wrap("bricks").Conductivity() != 0 {
		t.Error("bricks are a wrap")
	}
}
