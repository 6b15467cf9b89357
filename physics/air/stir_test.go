package air

import (
	"math"
	"testing"
)

// HAF (University of Connecticut): 2 ft3/min of fans for each ft2 of floor keep the air of a house of 30 by 100 ft
// at 50 to 100 ft/min; 10 ft is invented for its mean height.
func TestCirculatedInThePublishedHouse(t *testing.T) {
	const foot = 0.3048
	flow := 2 * 30 * 100 * foot * foot * foot / 60
	u := Circulated(flow, 30*10*foot*foot) / foot * 60
	if u < 50 || u > 100 || math.Abs(u-75) > 2 {
		t.Errorf("%.0f ft/min, published 50 to 100, fitted to the middle", u)
	}
	// half the section, once with nothing dragged along: 6,000 ft3/min through 150 ft2
	t.Logf("%.0f ft/min; 40 if the fans dragged nothing along", u)
	if Circulated(0, 100) != 0 || Circulated(1, 0) != 0 || Circulated(2, 50) != 2*Circulated(1, 50) {
		t.Error("nothing moved stirs nothing, and twice the air goes twice as fast")
	}
	if v := Sideways(u); v <= 0 || v >= u {
		t.Errorf("air going %g changes places at %g", u, v)
	}
}
