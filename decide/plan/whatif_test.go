package plan

import (
	"math"
	"reflect"
	"strings"
	"testing"
	"time"
)

// A degree scale of the invented two beds: one cloth, and cold that the cloth may or
// may not hold off.
func TestWhatIfColderOrWarmer(t *testing.T) {
	if testing.Short() {
		t.Skip("long; not in short runs")
	}
	f := freezeOf(t, 2, 34*time.Hour)
	before := f.Members[0].Rows[60]
	turns, err := WhatIf(t.Context(), f, -2, 2, 0)
	if err != nil {
		t.Fatal(err)
	}
	if f.Members[0].Rows[60] != before {
		t.Error("the freeze that was asked about has changed")
	}
	colder, warmer, same := turns[0], turns[1], turns[2]
	if !(colder.IsLoss > colder.WasLoss && warmer.IsLoss < warmer.WasLoss) {
		t.Errorf("losses: 2 K colder %.0f after %.0f, warmer %.0f", colder.IsLoss, colder.WasLoss, warmer.IsLoss)
	}
	if same.Is != same.Was || same.IsLoss != same.WasLoss || len(same.Changes) != 0 || same.Regret != 0 || !strings.Contains(same.Words, "The same would be done") {
		t.Errorf("no turn at all: %+v", same)
	}
	for _, turn := range turns {
		if turn.Regret < 0 || turn.Kept < turn.Is-1e-6 || (turn.Regret > 1e-6 && len(turn.Changes) == 0) {
			t.Errorf("%+v", turn)
		}
		t.Log(turn.Words)
	}
	again, err := WhatIf(t.Context(), f, -2)
	if err != nil || !reflect.DeepEqual(again[0], colder) {
		t.Errorf("another answer the second time: %v\n%+v\n%+v", err, again, colder)
	}
	// Far warmer weather leaves nothing to cover.
	far, err := WhatIf(t.Context(), f, 18)
	if err != nil {
		t.Fatal(err)
	}
	if len(far[0].Changes) != 1 || far[0].Changes[0].Space != "Dear" || far[0].IsLoss > 1 || far[0].Regret <= 0 {
		t.Errorf("18 K warmer: %+v", far[0])
	}
	if Matters([]Turn{same, far[0]}) != 1 || Matters(nil) != -1 {
		t.Error("what matters most is not what the plan fits worst")
	}
	if _, err := WhatIf(t.Context(), f, math.NaN()); err == nil {
		t.Error("NaN kelvin: taken")
	}
}

// What is past stays as it was; sky and dew point go with the air.
func TestTurnedWeather(t *testing.T) {
	f := freezeOf(t, 2, 34*time.Hour)
	g := f.turned(-3)
	for i, r := range f.Members[0].Rows {
		s := g.Members[0].Rows[i]
		if r.Time.Before(f.Now) {
			if s != r {
				t.Fatalf("%s is past, and changed", r.Time)
			}
			continue
		}
		// sigma eps T^4: at 0 °C three kelvin are 4 x 3 / 273 = 4.4 % less, a little less for the curve.
		ratio := s.LongwaveWM2 / r.LongwaveWM2
		if !near(s.AirC, r.AirC-3) || !near(s.DewC, r.DewC-3) || s.WindMS != r.WindMS || ratio > 0.965 || ratio < 0.95 {
			t.Fatalf("%+v became %+v", r, s)
		}
	}
}
