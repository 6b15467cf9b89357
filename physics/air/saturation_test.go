package air_test

import (
	"fmt"
	"math"
	"testing"

	"example.org/coldnight/physics/air"
)

// near fails unless got is within tol of want.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g within %.2g", what, got, want, tol)
	}
}

// nearRel fails unless got is within the share tol of want.
func nearRel(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	near(t, what, got, want, tol*math.Abs(want))
}

// ASHRAE Fundamentals 2017 ch. 1 Table 3 [Pa].
func TestSaturationPressureAgainstASHRAETable3(t *testing.T) {
	for _, r := range []struct{ t, p, tol float64 }{
		{-60, 1.08, 0.01},
		{-20, 103.24, 3e-4 * 103.24},
		{-5, 401.74, 3e-4 * 401.74},
		{5, 872.6, 3e-4 * 872.6},
		{25, 3169.7, 3e-4 * 3169.7},
		{50, 12351.3, 3e-4 * 12351.3},
		{100, 101418, 3e-4 * 101418},
		{150, 476101.4, 3e-4 * 476101.4},
	} {
		near(t, fmt.Sprintf("es(%g)", r.t), air.SaturationPressure(r.t), r.p, r.tol)
	}
}

// US Weather Bureau psychrometric tables (National Weather Service copy): over ice
// [inHg at °F].
func TestSaturationOverIceAgainstWeatherBureau(t *testing.T) {
	for _, r := range []struct{ f, inHg float64 }{
		{15, 0.081}, {16, 0.085}, {17, 0.0891}, {18, 0.0933}, {19, 0.0979}, {20, 0.1026}, {-30, 0.0069}, {-40, 0.0039}, {-50, 0.0021},
	} {
		tol := 2e-4
		if r.f == 15 || r.f == 16 {
			tol = 5e-4 // printed to three places only
		}
		near(t, fmt.Sprintf("es_ice(%g °F) inHg", r.f), air.SaturationPressureIce((r.f-32)/1.8)/3386.389, r.inHg, tol)
	}
}

func TestSaturationPressureIsContinuous(t *testing.T) {
	below, above := air.SaturationPressure(math.Nextafter(air.TriplePoint, -1)), air.SaturationPressure(air.TriplePoint)
	nearRel(t, "jump at the triple point", below, above, 1e-8)
}

func TestSaturationSlope(t *testing.T) {
	for tC := -59.5; tC < 60; tC++ {
		const h = 1e-4
		fd := (air.SaturationPressure(tC+h) - air.SaturationPressure(tC-h)) / (2 * h)
		nearRel(t, fmt.Sprintf("slope at %g", tC), air.SaturationSlope(tC), fd, 1e-6)
	}
}

// The fast density against Hyland and Wexler with the gas law: the accuracy its
// comment states.
func TestSaturationDensityAccuracy(t *testing.T) {
	worst, at := 0.0, 0.0
	for i := range 13001 {
		tC := -60 + 0.01*float64(i)
		q, _ := air.SaturationDensity(tC)
		if e := math.Abs(q/air.VapourDensity(air.SaturationPressure(tC), tC) - 1); e > worst {
			worst, at = e, tC
		}
	}
	t.Logf("worst relative error %.2g at %.2f °C", worst, at)
	if worst > 3e-4 {
		t.Errorf("relative error %.2g at %.2f °C, comment states 3e-4", worst, at)
	}
}

func TestSaturationDensityIsSmooth(t *testing.T) {
	const h = 1e-3
	q0, d0 := air.SaturationDensity(-150)
	for tC := -150 + h; tC < 150; tC += h {
		q, d := air.SaturationDensity(tC)
		if !(q > q0) || !(d > 0) {
			t.Fatalf("not rising at %.3f °C", tC)
		}
		// mean slope lies between or near the end slopes; slope moves little per step
		if m := (q - q0) / h; math.Abs(m-0.5*(d+d0)) > 1e-4*d {
			t.Fatalf("slope at %.3f °C is %.6g, difference says %.6g", tC, d, m)
		}
		if math.Abs(d-d0) > 2e-3*d {
			t.Fatalf("slope jumps by %.2g at %.3f °C", (d-d0)/d, tC)
		}
		q0, d0 = q, d
	}
	for _, tC := range []float64{-1e9, -273.15, 1e3, math.Inf(-1)} {
		if q, d := air.SaturationDensity(tC); math.IsNaN(q) || q < 0 || math.IsNaN(d) {
			t.Errorf("SaturationDensity(%g) = %g, %g", tC, q, d)
		}
	}
}

func TestRivals(t *testing.T) {
	// FAO-56 Examples 3, 4, 20 [kPa]
	near(t, "FAO56 es(15)", air.SaturationFAO56(15)/1000, 1.705, 0.0005)
	near(t, "FAO56 es(24.5)", air.SaturationFAO56(24.5)/1000, 3.075, 0.0005)
	near(t, "FAO56 es(19.5)", air.SaturationFAO56(19.5)/1000, 2.267, 0.0005)
	near(t, "FAO56 ea(dew 14.8)", air.SaturationFAO56(14.8)/1000, 1.68, 0.005)
	// FAO-56 Example 17; NCL documentation of Eq 13
	near(t, "FAO56 slope(30.2)", air.SlopeFAO56(30.2)/1000, 0.246, 0.0005)
	near(t, "FAO56 slope(19.75)", air.SlopeFAO56(19.75)/1000, 0.142793, 1e-5)
	// Bolton 1980 [hPa]
	for tC, e := range map[float64]float64{0: 6.112, 5: 8.72, 10: 12.27, 18: 20.63, 25: 31.67} {
		near(t, fmt.Sprintf("Bolton es(%g)", tC), air.SaturationBolton(tC)/100, e, 0.005)
	}
	// Bolton's formula for 25 °C with a dew point of 15 °C
	near(t, "Bolton RH", air.RelativeHumidityBolton(25, 15), 53.8, 0.005)
	near(t, "Bolton dew point", air.DewPointBolton(air.SaturationBolton(-7.5)), -7.5, 1e-9)
	for _, s := range air.Saturations() {
		worst := 0.0
		for tC := 0.0; tC <= 50; tC++ {
			worst = math.Max(worst, math.Abs(s.Pressure(tC)/air.SaturationPressureWater(tC)-1))
		}
		t.Logf("%s: within %.2g of HW83 from 0 to 50 °C", s.Key, worst)
		if worst > 0.005 {
			t.Errorf("%s differs by %.2g", s.Key, worst)
		}
	}
}

func ExampleSaturationPressure() {
	// ASHRAE Fundamentals 2017 ch. 1 Table 3 prints 401.74 Pa at -5 °C, 3169.7 at 25 °C (3169.2 here).
	fmt.Printf("%.0f Pa, %.0f Pa\n", air.SaturationPressure(-5), air.SaturationPressure(25))
	// Output: 402 Pa, 3169 Pa
}

func BenchmarkSaturationDensity(b *testing.B) {
	b.ReportAllocs()
	x := -12.0
	sum := 0.0
	for b.Loop() {
		q, d := air.SaturationDensity(x)
		sum += q + d
		if x += 0.01; x > 20 {
			x = -12
		}
	}
	_ = sum
}
