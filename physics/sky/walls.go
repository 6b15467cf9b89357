package sky

import "math"

// Wall is something warmer than the sky that stands before it: a building, a heated
// house, a hedge, a tree.
type Wall struct {
	View       float64 // share of the view from the bed that it fills, see WallView
	TempC      float64 // of the face that is seen [°C]; trees: the air's temperature
	Emissivity float64 // of that face: brick, wood, leaves, glass 0.9-0.95; bare metal 0.1-0.3
}

// Surroundings returns what a horizontal bed receives from everything above the horizon
// [W/m2]: sky, where it is open, and the walls in front of it. A wall reflects what it
// does not emit, half of it sky and half ground near its own temperature. Views above 1
// in sum are scaled down.
func Surroundings(skyWM2 float64, walls ...Wall) float64 {
	var view float64
	for _, w := range walls {
		view += w.View
	}
	scale := 1.0
	if view > 1 {
		scale = 1 / view
	}
	flux := skyWM2
	for _, w := range walls {
		own := Black(w.TempC)
		seen := w.Emissivity*own + (1-w.Emissivity)*(skyWM2+own)/2
		flux += scale * w.View * (seen - skyWM2)
	}
	return flux
}

// SurroundingsMix is [Surroundings] when only the open sky's share skyView (0-1) and one
// temperature of everything else, black, are known.
func SurroundingsMix(skyWM2, skyView, wallsC float64) float64 {
	v := math.Min(math.Max(skyView, 0), 1)
	return Surroundings(skyWM2, Wall{View: 1 - v, TempC: wallsC, Emissivity: 1})
}

// WallView returns the share of a horizontal point's view that a wall fills: heightM
// above the point, distanceM away, reaching leftM and rightM along from the foot of the
// perpendicular (all m). A wall without end of height h at distance d gives
// (1 - d/√(d²+h²))/2: as far away as it is high 0.15, touching it 0.5.
//
// A small face at right angles to a rectangle; exact (Howell's catalogue, SURF).
func WallView(heightM, distanceM, leftM, rightM float64) float64 {
	return cornerView(heightM, distanceM, leftM) + cornerView(heightM, distanceM, rightM)
}

// cornerView is the rectangle that begins at the foot of the perpendicular.
func cornerView(h, d, w float64) float64 {
	if h <= 0 || w == 0 {
		return 0
	}
	d = math.Max(d, 1e-9)
	far := math.Hypot(h, d)
	// SURF: (atan(w/d) - d/√(d²+h²)·atan(w/√(d²+h²)))/2π
	return (math.Atan(w/d) - d/far*math.Atan(w/far)) / (2 * math.Pi)
}
