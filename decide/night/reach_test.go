package night

import (
	"math"
	"testing"
	"time"

	"example.org/coldnight/nursery/plant"
)

// holding is a stock of small leaves in one cell with its limit at 0 °C, and a track of
// the temperatures given, an hour apart from noon. Invented.
func holding(leaf ...float64) (*Stock, []Track, time.Time) {
	s := &Stock{class: 0, root: -1, Where: []float64{1}}
	s.Limits = plant.Resolved{}
	t0 := time.Date(2026, 7, 10, 12, 0, 0, 0, time.UTC)
	var tr Track
	for i, c := range leaf {
		h := Hour{Time: t0.Add(time.Duration(i) * time.Hour), Tissue: make([]float64, len(Classes()))}
		h.Tissue[0] = c
		tr.Hours = append(tr.Hours, h)
	}
	return s, []Track{tr}, t0
}

// The minutes to the limit lie on the straight line between two hours, from the
// failure; none before it; the coldest is that of all hours from it on.
func TestHoldTimes(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		name         string
		leaf         []float64
		from         time.Duration
		minutes, low float64
	}{
		{"half way", []float64{4, 2, -2, -5, 1}, 0, 90, -5},
		{"a quarter", []float64{4, 3, -1, 2, 2}, time.Hour, 45, -1},
		{"never", []float64{4, 3, 1, 2, 2}, time.Hour, inf, 1},
		{"there before", []float64{-1, -2, -3, 2, 2}, time.Hour, 0, -3},
		{"there before, between hours", []float64{-1, -2, -3, 2, 2}, 90 * time.Minute, 0, -3},
		{"met before, warm again", []float64{-1, 3, 1, 2, 2}, time.Hour, inf, 1},
		{"between hours", []float64{4, 2, -2, -1, 2}, 75 * time.Minute, 15, -2},
		{"just before it met", []float64{4, 2, -2, -1, 2}, 100 * time.Minute, 0, -2},
	} {
		s, tracks, t0 := holding(c.leaf...)
		got, coldest := s.holds(tracks, t0.Add(c.from), s.class)
		if got != c.minutes && math.Abs(got-c.minutes) > 1e-6 || coldest != c.low {
			t.Errorf("%s: %.2f min and %.1f °C, want %.2f and %.1f", c.name, got, coldest, c.minutes, c.low)
		}
	}
	// hardening moves the limit, an edge that holds none of the group does not count
	s, tracks, t0 := holding(4, 2, -2, -6)
	s.ShiftK = -4
	if got, _ := s.holds(tracks, t0, s.class); math.Abs(got-150) > 1e-6 {
		t.Errorf("hardened: %.1f min, want 150", got)
	}
	_, colder, _ := holding(-9, -9, -9, -9)
	s.Where = []float64{1, 0}
	if got, _ := s.holds(append(tracks, colder...), t0, s.class); math.Abs(got-150) > 1e-6 {
		t.Errorf("with an empty edge: %.1f min, want 150", got)
	}
}

// When something happens: the odds over all draws, the moments over those in which it
// does, no later than the middle one.
func TestMoments(t *testing.T) {
	t0 := time.Date(2026, 7, 10, 22, 0, 0, 0, time.UTC)
	var hours [][]Hour
	for k := range 20 { // 11 of 20 draws, a quarter of an hour apart, the later ones first
		g := &FireLog{First: make([][Failed + 1]time.Time, 1)}
		if k < 11 {
			g.note(0, Tripped, t0.Add(time.Duration(10-k)*15*time.Minute))
			g.note(0, Tripped, t0.Add(9*time.Hour)) // again: the first counts
		}
		hours = append(hours, []Hour{{Fire: &Fire{Log: g}}})
	}
	m := moment(hours, time.UTC, func(g *FireLog) time.Time { return g.First[0][Tripped] })
	want := Moment{Odds: 11.0 / 20, Earliest: t0, Early: t0.Add(15 * time.Minute), Usual: t0.Add(75 * time.Minute), Late: t0.Add(135 * time.Minute)}
	if m != want {
		t.Errorf("%+v, want %+v", m, want)
	}
	if m := moment(hours, time.UTC, func(g *FireLog) time.Time { return g.First[0][Starved] }); m != (Moment{}) {
		t.Errorf("what never happens: %+v", m)
	}
}
