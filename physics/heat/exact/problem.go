package exact

import "math"

// End is the condition at one end of a problem's column.
type End struct {
	FluxWM2     float64 // into the column [W/m2]
	ConductWM2K float64 // to the outside; +Inf holds the face [W/m2K]
	OutsideC    float64 // [°C]
}

// Point is a place and a time at which the answer is compared.
type Point struct {
	DepthM, TimeS float64
}

// Problem is a layered column with a known answer, for any solver.
type Problem struct {
	Name   string
	Source string
	Slabs  []Slab                     // top first
	First  int                        // layers to cut the first slab into, at least; the rest alike per metre
	Start  func(x float64) float64    // first temperature [°C] at depth
	Top    func(t float64) End        // condition at time [s]
	Bottom End                        //
	StepS  float64                    // step at which TolK is met
	Points []Point                    //
	Answer func(x, t float64) float64 // [°C]
	TolK   float64                    // error allowed at every point [K]
}

// Problems returns the list. A column that stands for a half-space is so deep
// that its bottom changes the answer by less than 1e-6 K.
func Problems() []Problem {
	uniform := func(tC float64) func(float64) float64 { return func(float64) float64 { return tC } }
	always := func(e End) func(float64) End { return func(float64) End { return e } }
	inf := math.Inf(1)
	soil := Slab{ThickM: 2, K: 1, C: 2e6}
	wide := 4.0 // [m] of the deepest
	two := [2]Slab{{ThickM: 0.10, K: 0.30, C: 1.3e6}, {ThickM: 0.20, K: 1.8, C: 2.2e6}}
	const hour, day = 3600.0, 86400.0
	return []Problem{
		{
			Name: "wave on the surface", Source: "Carslaw & Jaeger §2.6; κ = 5e-7 m2/s",
			Slabs: []Slab{soil}, First: 400, StepS: 450,
			Start:  func(x float64) float64 { return 10 + PeriodicSurface(x, 0, 5e-7, day, 8) },
			Top:    func(t float64) End { return End{0, inf, 10 + PeriodicSurface(0, t, 5e-7, day, 8)} },
			Points: []Point{{0.05, day}, {0.1, 1.3 * day}, {0.2, 2 * day}, {0.4, 2 * day}},
			Answer: func(x, t float64) float64 { return 10 + PeriodicSurface(x, t, 5e-7, day, 8) },
			TolK:   0.002,
		},
		{
			Name: "flux wave", Source: "Carslaw & Jaeger §2.9",
			Slabs: []Slab{soil}, First: 400, StepS: 450,
			Start:  func(x float64) float64 { return PeriodicFlux(x, 0, 1, 2e6, day, 100) },
			Top:    func(t float64) End { return End{FluxWM2: 100 * math.Sin(2*math.Pi*t/day)} },
			Points: []Point{{0.025, day}, {0.1, 1.3 * day}, {0.2, 2 * day}},
			Answer: func(x, t float64) float64 { return PeriodicFlux(x, t, 1, 2e6, day, 100) },
			TolK:   0.002,
		},
		{
			Name: "step on the surface", Source: "Carslaw & Jaeger §2.4; buried pipe: 20 °C ground, -15 °C surface, 60 days",
			Slabs: []Slab{{ThickM: 6, K: 0.276, C: 2e6}}, First: 300, StepS: 6 * hour,
			Start: uniform(20), Top: always(End{0, inf, -15}),
			Points: []Point{{0.2, 60 * day}, {0.677, 60 * day}, {1.5, 60 * day}},
			Answer: func(x, t float64) float64 { return StepSurface(x, t, 1.38e-7, 20, -15) },
			TolK:   0.002,
		},
		{
			Name: "convective surface", Source: "Carslaw & Jaeger §2.7; h = 10 W/m2K",
			Slabs: []Slab{soil}, First: 400, StepS: 300,
			Start: uniform(15), Top: always(End{0, 10, -5}),
			Points: []Point{{0.05, 12 * hour}, {0.1, 12 * hour}, {0.3, 12 * hour}},
			Answer: func(x, t float64) float64 { return 15 - 20*ConvectiveStep(x, t, 1, 2e6, 10) },
			TolK:   0.002,
		},
		{
			Name: "constant loss", Source: "Carslaw & Jaeger §2.9; 60 W/m2 for 10 h",
			Slabs: []Slab{soil}, First: 400, StepS: 300,
			Start: uniform(10), Top: always(End{FluxWM2: -60}),
			Points: []Point{{0.02, 10 * hour}, {0.05, 10 * hour}, {0.1, 10 * hour}},
			Answer: func(x, t float64) float64 { return 10 - ConstantFlux(x, t, 1, 2e6, 60) },
			TolK:   0.002,
		},
		{
			Name: "plate in air", Source: "Carslaw & Jaeger §3.11; insulated bottom",
			Slabs: []Slab{{ThickM: 0.15, K: 0.5, C: 2.5e6}}, First: 60, StepS: 300,
			Start: uniform(12), Top: always(End{0, 12, -6}),
			Points: []Point{{0.0125, 2 * hour}, {0.075, 6 * hour}, {0.15, 12 * hour}},
			Answer: func(x, t float64) float64 { return -6 + 18*ConvectivePlate(0.15-x, t, 0.15, 0.5, 2.5e6, 12) },
			TolK:   0.002,
		},
		{
			Name: "two layers in time", Source: "Carslaw & Jaeger §12.8 (eigenfunctions); mulch over sand",
			Slabs: two[:], First: 50, StepS: 120,
			Start: uniform(10), Top: always(End{0, inf, -8}), Bottom: End{0, inf, -8},
			Points: []Point{{0.05, 3 * hour}, {0.10, 3 * hour}, {0.15, 6 * hour}, {0.25, 2 * hour}},
			Answer: func(x, t float64) float64 { return TwoLayers(x, t, two[0], two[1], 10, -8) },
			TolK:   0.002,
		},
		{
			Name: "two layers at rest", Source: "series of resistances",
			Slabs: two[:], First: 10, StepS: 5 * day,
			Start: uniform(10), Top: always(End{0, 8, -10}), Bottom: End{0, inf, 12},
			Points: []Point{{0.05, 100 * day}, {0.12, 100 * day}, {0.25, 100 * day}},
			Answer: func(x, _ float64) float64 { return CompositeSteady(x, two[:], 8, -10, inf, 12) },
			TolK:   1e-6,
		},
		{
			Name: "deep step, convective", Source: "Carslaw & Jaeger §2.7; weeks",
			Slabs: []Slab{{ThickM: wide, K: 1.2, C: 2.4e6}}, First: 200, StepS: 3 * hour,
			Start: uniform(8), Top: always(End{0, 15, -4}),
			Points: []Point{{0.1, 10 * day}, {0.5, 10 * day}, {1, 10 * day}},
			Answer: func(x, t float64) float64 { return 8 - 12*ConvectiveStep(x, t, 1.2, 2.4e6, 15) },
			TolK:   0.002,
		},
	}
}
