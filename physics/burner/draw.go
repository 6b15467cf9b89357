package burner

import "math"

const (
	btuH     = 1055.05585262 / 3600 // one BTU (IT) per hour [W]
	pound    = 0.45359237           // [kg]
	hundred  = 100 * pound          // fuel in a full 100-lb cylinder [kg]
	propaneC = -42.1                // boiling point of propane; below it nothing boils off
)

// Basis says how a draw was found, for the reader to know how far to trust it; flags
// that may stand together. The zero value is the table itself, or between its rows.
type Basis uint8

const (
	Table        Basis = 0 // from the published table, or between its rows
	Extrapolated Basis = 1 // outside the table's temperatures or fills, by the law fitted to it
	Scaled       Basis = 2 // another size than the table's, by wetted area
	Unlimited    Basis = 4 // does not leave its vessel as vapour: no such limit
)

// String returns the basis in words.
func (b Basis) String() string {
	switch {
	case b&Unlimited != 0:
		return "no limit of this kind"
	case b == Extrapolated|Scaled:
		return "outside the table, and scaled from the 100-lb cylinder"
	case b == Extrapolated:
		return "outside the table"
	case b == Scaled:
		return "scaled from the 100-lb cylinder"
	}
	return "from the table"
}

// drawTable is the greatest continuous draw of a 100-lb cylinder [1,000 BTU/h], rows of
// 10 to 100 lb left, columns of 0, 20, 40, 60 and 70 °F.   DRAW100
var drawTable = [10][5]float64{
	{28, 38, 49, 60, 66},
	{36, 51, 68, 83, 92},
	{45, 66, 85, 107, 118},
	{55, 79, 105, 131, 141},
	{64, 94, 125, 154, 167},
	{75, 109, 140, 176, 192},
	{83, 122, 160, 199, 214},
	{94, 137, 180, 214, 236},
	{104, 152, 200, 247, 277},
	{113, 167, 214, 277, 300},
}

var drawF = [5]float64{0, 20, 40, 60, 70}

// bottom is the share of the full draw that a cylinder with nearly no liquid left gives
// through its bottom; of the law fitted to the table, OWN:
//
//	Q = 2600 (T + 44) (0.16 + 0.84 fill)  BTU/h, T in °F
const bottom = 0.16

// MaxDraw returns the greatest continuous draw of a propane cylinder [W by the higher
// heating value] that holds capacityKg when full and liquidKg now, in still air of airC
// [°C]; and how it was found. Boiling takes heat, which comes through the wall that the
// liquid wets; when the burner asks for more, the liquid cools until the pressure fails.
//
// Inside the published table of the 100-lb cylinder (10 to 100 lb, 0 to 70 °F) it is
// linear between its rows and columns. Outside, the nearest edge of the table is carried
// on by the fitted law, which reaches nothing at the boiling point. Other sizes are
// scaled as cylinders of one shape, by capacity to the power 2/3, at equal fill: an
// assumption; 0.34 of the 100-lb for a 20-lb, where 0.29 (by its outer dimensions) and a
// third are seen too. An empty cylinder gives nothing; a nearly empty one still gives
// what its wetted bottom does. Never falls with liquid, warmth, or size at equal fill.
//
// The table lets the liquid cool nearly to its boiling point. Frost on the wall, cylinders
// that touch, standing air and a regulator that needs pressure leave less: see [DrawAbove]
// and [PlanningDraw]. Bursts can be stronger for a while. A regulator that freezes has water
// in its gas (REGICE): another fault than starving, and not in this number. DRAW100; accuracy
// not given, table and planning rule differ by a factor of two at 0 °F.
func MaxDraw(capacityKg, liquidKg, airC float64) (w float64, how Basis) {
	if !(capacityKg > 0) || !(liquidKg > 0) || !(airC > propaneC) {
		return 0, Extrapolated
	}
	fill := math.Min(liquidKg/capacityKg, 1)
	warm := warmth(airC)
	in := math.Max(fill, 0.1)
	y := in*10 - 1
	i := min(int(y), 8)
	y -= float64(i)
	w = (warm.row(i)*(1-y) + warm.row(i+1)*y) * scale(capacityKg)
	if in-fill > 1e-9 {
		w *= (bottom + (1-bottom)*fill) / (bottom + (1-bottom)*in)
		how |= Extrapolated
	}
	if warm.outside {
		how |= Extrapolated
	}
	if math.Abs(capacityKg/hundred-1) > 0.02 {
		how |= Scaled
	}
	return w, how
}

// scale is the wetted area of a cylinder over that of a 100-lb one of its shape and fill.
func scale(capacityKg float64) float64 {
	r := math.Cbrt(capacityKg / hundred)
	return r * r
}

// tableAt is the table at one temperature.
type tableAt struct {
	j       int // between columns j and j+1
	x       float64
	factor  float64 // beyond its ends
	outside bool
}

func warmth(airC float64) tableAt {
	tF := airC*1.8 + 32
	at := math.Min(math.Max(tF, 0), 70)
	j := 0
	for j < 3 && at > drawF[j+1] {
		j++
	}
	t := tableAt{j: j, x: (at - drawF[j]) / (drawF[j+1] - drawF[j]), factor: 1}
	if math.Abs(at-tF) > 1e-9 {
		// what boils is in proportion to the warmth above the boiling point
		t.factor, t.outside = math.Max(airC-propaneC, 0)/((at-32)/1.8-propaneC), true
	}
	return t
}

// row returns row i of the table [W].
func (t tableAt) row(i int) float64 {
	r := drawTable[i]
	return (r[t.j]*(1-t.x) + r[t.j+1]*t.x) * 1000 * btuH * t.factor
}

// DrawLimit is [MaxDraw] for a fuel. Butane is taken as propane in air as far above its
// own boiling point (judgement; mixtures give off the lighter part first and weaken). A
// fuel that does not leave as vapour has no such limit: +Inf while some is left.
func (f Fuel) DrawLimit(capacityKg, liquidKg, airC float64) (w float64, how Basis) {
	if !f.Vapour {
		if liquidKg > 0 {
			return math.Inf(1), Unlimited
		}
		return 0, Unlimited
	}
	return MaxDraw(capacityKg, liquidKg, f.asPropane(airC))
}

// asPropane returns the air temperature in which propane boils off as f does in airC.
func (f Fuel) asPropane(airC float64) float64 { return airC - (f.BoilC - propaneC) }

// DrawAbove is the rival of [MaxDraw] that keeps the liquid of propane at or above leastC
// [°C], for a regulator that needs its pressure: what crosses the same wall with less
// difference. About -29 °C (-20 °F) is what a first regulator's 10 to 15 psi ask for
// (LPGAS vapour pressures). Take it when cylinders are frosted, touch, or stand in dead air.
func DrawAbove(capacityKg, liquidKg, airC, leastC float64) float64 {
	w, _ := MaxDraw(capacityKg, liquidKg, airC)
	if w == 0 || leastC >= airC {
		return 0
	}
	return w * math.Min((airC-leastC)/(airC-propaneC), 1)
}

// PlanningDraw is the makers' rule for planning: 50,000 BTU/h for each 100-lb cylinder
// down to 0 °F [W]; other sizes by wetted area as in [MaxDraw]. DRAW100.
func PlanningDraw(capacityKg float64) float64 {
	return 50000 * btuH * scale(math.Max(capacityKg, 0))
}

// TankDraw is the makers' rule for a fixed tank at 0 °F, D·L·K [W]: diameter and length
// [m], fill 0..1. K is 45, 60, 70, 80, 90, 100 at 10 to 60 % full, linear between, the
// last above; below 10 % it falls to nothing. Other temperatures by the difference to
// -20 °F, which the rule allows the liquid: from memory. DRAW100.
func TankDraw(diameterM, lengthM, fill, airC float64) float64 {
	const inch = 0.0254
	k := [...]float64{0, 45, 60, 70, 80, 90, 100}
	x := math.Min(math.Max(fill, 0)*10, 6)
	i := min(int(x), 5)
	at := k[i] + (x-float64(i))*(k[i+1]-k[i])
	warm := math.Max((airC*1.8+32+20)/20, 0)
	return diameterM / inch * lengthM / inch * at * warm * btuH
}
