package web

import (
	"testing"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
)

// A thermostat turned down is said to save fuel; one turned up, a cloth laid as well,
// or another set-point for one night is not that.
func TestTurnedDown(t *testing.T) {
	h := &site.Heater{Name: "heater"}
	at := func(setC float64, covers int) *night.Result {
		return &night.Result{Protection: night.Protection{
			Covers: make([]site.Cover, covers), Firing: &night.Firing{Lit: []night.Lit{{Heater: h, SetpointC: setC}}},
		}}
	}
	nights := at(2, 0)
	nights.Protection.Firing.Lit[0].Nights = map[string]float64{"2031-01-14": 8}
	for _, c := range []struct {
		name   string
		chosen *night.Result
		want   bool
	}{
		{"down", at(2, 0), true},
		{"as it is", at(9, 0), false},
		{"up", at(12, 0), false},
		{"down and cloth", at(2, 1), false},
		{"by night", nights, false},
		{"off", &night.Result{}, false},
	} {
		if got := turnedDown(at(9, 0), c.chosen); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}
