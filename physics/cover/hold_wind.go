package cover

import "math"

// GustAt returns the gust [m/s] at height z [m] from a gust [m/s] given at zRef [m],
// over ground of roughness length z0 [m]: the peak pressure of the logarithmic
// profile with the turbulence that goes with it, which falls more slowly toward the
// ground than the mean wind does. Below two roughness lengths it stays as it is
// there. The code it is taken from stops the profile at some metres for buildings;
// carrying it on to crops and hoops is judgement.
//
// EN 1991-1-4 Eq 4.3, 4.7, 4.8: qp = (1 + 7 Iv) ½ρ vm², Iv = 1/ln(z/z0).
func GustAt(gust, zRef, z, z0 float64) float64 {
	low := math.Log(math.Max(z/z0, 2))
	ref := math.Log(math.Max(zRef/z0, 2))
	// EN 1991-1-4 Eq 4.8: qp ∝ ln(z/z0) (ln(z/z0) + 7)
	return gust * math.Sqrt(low*(low+7)/(ref*(ref+7)))
}

const (
	// InsideOpen is the pressure under a cover whose hem lets the wind in, and
	// InsideSealed under one that is closed all along, shares of the wind's pressure.
	// EN 1991-1-4 7.2.9 asks for the worse of +0.2 and -0.3 where openings are not
	// known; none for a sealed hem is judgement.
	InsideOpen   = 0.2
	InsideSealed = 0.0

	// Behind four heights the flow lies on a flat sheet again, and what is above and
	// below the cloth differs little. Judgement; no measured value was found.
	recovered   = 4.0
	recoveredCp = 0.05
)

// Lift returns the mean net coefficient that lifts a cover off (upward positive), a
// share of the wind's stagnation pressure at the cover's height, for wind across a
// cover of width spanM, run lengthM along the other way and height heightM [m].
// inside is the pressure below it ([InsideOpen], [InsideSealed]).
//
// Flat is a sheet on a crop: curved eaves (r/h 0.10), inside pressure within half an edge zone of
// the hem only. Tent has sharp eaves. Tunnel is an arch from the ground. The spread
// is some ±40 %: the tables are of stiff roofs much larger than a bed, and no measured
// uplift of cloth on hoops or crops was found. weak.
func Lift(s Shape, spanM, lengthM, heightM, inside float64) float64 {
	if s == Tunnel {
		return archLift(spanM, heightM) + inside
	}
	// EN 1991-1-4 Table 7.2, 10 m2, suctions of the zones G (edge), H, I (inside). Read
	// in three open programs that agree with one another, not in the code.
	zones, far := [3]float64{1.2, 0.7, 0.2}, math.Inf(1) // sharp eaves
	if s == Flat {
		zones, far = [3]float64{0.8, 0.3, 0.2}, recovered*heightM // curved eaves, r/h 0.10
	}
	// EN 1991-1-4 Fig 7.6: e = min(b, 2h); G to e/10, H to e/2, I beyond
	e := math.Min(lengthM, 2*heightM)
	edge, near := math.Min(e/10, spanM), math.Min(e/2, spanM)
	sum := edge*(zones[0]+inside) + (near-edge)*(zones[1]+inside)
	rest := spanM - near
	if s == Flat {
		behind := math.Min(rest, math.Max(far-near, 0))
		sum += behind*zones[2] + (rest-behind)*recoveredCp
	} else {
		sum += rest * (zones[2] + inside)
	}
	return sum / spanM
}

// archLift is the lift of an arch from the ground by its rise over span.
//
// ASCE 7 Fig 27.3-3, roof springing from the ground: windward quarter +1.4 r, centre
// half -0.7-r, leeward quarter -0.5. Centre and leeward read in a damaged copy of
// ASCE 7-22, windward from memory. The quarters are taken along the arc: the plan
// would give a third less, growers' weights ask for this one.
func archLift(spanM, riseM float64) float64 {
	r := math.Min(math.Max(riseM/spanM, 0.05), 0.6)
	phi := FootAngle(spanM, riseM)
	centre := math.Sin(phi/2) / math.Sin(phi) // share of the plan under the centre half of the arc
	side := (1 - centre) / 2
	return centre*(0.7+r) + side*0.5 - side*1.4*r
}

// FootAngle returns the angle [rad] at which an arch of a span and rise [m] meets the
// ground: that of a circle, π/2 from a half circle upward.
func FootAngle(spanM, riseM float64) float64 {
	h := math.Max(riseM, 0.05*spanM)
	if h >= spanM/2 {
		return math.Pi / 2
	}
	return 2 * math.Atan(2*h/spanM) // of a circular segment
}

// EffectivePorosity returns the porosity (0..1) of the round-wire mesh that resists a
// flow as a screen of loss coefficient k does. k = 0.52 (1-β²)/β² (from memory);
// Richards & Robinson 1999 define β so. weak.
func EffectivePorosity(k float64) float64 {
	return math.Sqrt(0.52 / (0.52 + math.Max(k, 0)))
}

// inertial is the loss coefficient that no cloth falls below: of a mesh half open.
// Judgement; it matters for open nets only.
const inertial = 1.56

// ClothLoad returns the pressure [Pa] that is left on a cloth of air resistance [Pa
// s/m] where a tight sheet would take fullPa: air that passes relieves it by the
// factor 1-β of its effective porosity (Richards & Robinson 1999, abstract read).
// More pressure presses relatively more air through; the load still rises with it.
// Within some 10 % of a tight sheet for cloth of 30 g/m2 and more. No measured value
// for frost cloth was found. weak.
func ClothLoad(fullPa, resistance float64) float64 {
	if math.IsInf(resistance, 1) || fullPa <= 0 {
		return fullPa
	}
	low, high := 0.0, fullPa
	for range 50 {
		load := (low + high) / 2
		// k = Δp/(½ρ u²) with u = Δp/R
		k := inertial + 2*resistance*resistance/(airDensity*math.Max(load, 1e-9))
		if load < fullPa*(1-EffectivePorosity(k)) {
			low = load
		} else {
			high = load
		}
	}
	return (low + high) / 2
}
