package air_test

import (
	"fmt"
	"math"
	"testing"

	"example.org/coldnight/physics/air"
)

// FAO Environment and Natural Resources Series 10 (Snyder and de Melo-Abreu 2005)
// vol. 1 ch. 5, and the UC Davis leaflet FP002.
func TestNightTrend(t *testing.T) {
	want := []float64{-0.8250406, -1.5602865, -2.1244606, -2.6000813, -3.0191115, -3.3979438, -3.7463161, -4.0705731, -4.3751219, -4.6631713, -4.9371438, -5.1989211, -5.45}
	for i, w := range want {
		near(t, fmt.Sprintf("hour %d", i+3), air.NightTrend(0.95, -5.45, 15, float64(i+3)), w, 1e-4)
	}
	near(t, "before two hours", air.NightTrend(0.95, -5.45, 15, 0), 0.95, 0)
	near(t, "after sunrise", air.NightTrend(0.95, -5.45, 15, 18), -5.45, 1e-12)
	near(t, "no night", air.NightTrend(0.95, -5.45, 1, 1), 0.95, 0)
}

// ten calm clear nights of the FAO frost manual, vol. 1 ch. 5
func tenNights() (t0, td, tn []float64) {
	return []float64{3.2, 0.8, 0.2, 2.6, 4.4, 5.2, 2.7, 1.2, 4.5, 5.6},
		[]float64{-4.2, -8.8, -6.5, -6.2, -6.1, 2.6, -0.7, -1.7, -1.2, 0.1},
		[]float64{-3.1, -5, -6.3, -5.4, -4, -2.5, -4.8, -5, -4.4, -3.3}
}

func ExampleFitMinimum() {
	// FAO frost manual (2005) vol. 1 ch. 5 prints -0.7409219 for the new evening.
	t0, td, tn := tenNights()
	m, _ := air.FitMinimum(t0, td, tn)
	fmt.Printf("%.7f\n", m.At(10, 2))
	// Output: -0.7409219
}

func TestFitMinimum(t *testing.T) {
	t0, td, tn := tenNights()
	m, err := air.FitMinimum(t0, td, tn)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "b1", m.PerAir, 0.5028121, 1e-6)
	near(t, "b2", m.PerDew, 0.0264716, 1e-6)
	near(t, "b0", m.Base, -5.8219867, 1e-6)
	near(t, "RMSE", m.RMSE, 0.631, 1e-3)
	for _, bad := range [][3][]float64{
		{nil, nil, nil},
		{{1, 2}, {1, 2}, {1, 2}},
		{{1, 1, 1}, {1, 2, 3}, {1, 2, 3}},
		{{1, 2, 3}, {2, 2, 2}, {1, 2, 3}},
		{{1, 2, 3}, {1, 2}, {1, 2, 3}},
		{{1, 2, math.NaN()}, {1, 2, 3}, {1, 2, 3}},
	} {
		if _, err := air.FitMinimum(bad[0], bad[1], bad[2]); err != air.ErrTooFewNights {
			t.Errorf("%v: error %v", bad, err)
		}
	}
}
