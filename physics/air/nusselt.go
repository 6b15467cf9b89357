package air

import "math"

// Nusselt numbers of published relations, the yardsticks behind the fast functions
// of this package. gr is the Grashof number, ra the Rayleigh number gr·pr.

// NuVerticalPlate is CC75 for a vertical plate, laminar and turbulent, ra below 1e12.
func NuVerticalPlate(pr, gr float64) float64 {
	// CC75: [0.825 + 0.387 Ra^(1/6)/(1+(0.492/Pr)^(9/16))^(8/27)]²
	return sq(0.825 + 0.387*math.Pow(pr*gr, 1.0/6)/math.Pow(1+math.Pow(0.492/pr, 9.0/16), 8.0/27))
}

// NuHorizontalPlate is MCAD for a horizontal plate: buoyant is the warm face looking
// up or the cold face looking down, the other is stable.
func NuHorizontalPlate(pr, gr float64, buoyant bool) float64 {
	ra := pr * gr
	switch {
	case !buoyant:
		return 0.27 * math.Sqrt(math.Sqrt(ra)) // MCAD: 0.27 Ra^(1/4)
	case ra <= 1e7:
		return 0.54 * math.Sqrt(math.Sqrt(ra)) // MCAD: 0.54 Ra^(1/4)
	}
	return 0.15 * math.Cbrt(ra) // MCAD: 0.15 Ra^(1/3)
}

// NuHorizontalCylinder is CC75 for a long horizontal cylinder, ra below 1e12.
func NuHorizontalCylinder(pr, gr float64) float64 {
	// CC75: [0.60 + 0.387 Ra^(1/6)/(1+(0.559/Pr)^(9/16))^(8/27)]²
	return sq(0.60 + 0.387*math.Pow(pr*gr, 1.0/6)/math.Pow(1+math.Pow(0.559/pr, 9.0/16), 8.0/27))
}

// NuVerticalCylinder is PC (Popiel 2008 after Churchill) for the side of a cylinder of
// height l and diameter d [m], a pot's wall; gr is by height.
func NuVerticalCylinder(pr, gr, l, d float64) float64 {
	b := 0.0571322 + 0.20305*math.Pow(pr, -0.43)
	c := 0.9165 - 0.0043*math.Sqrt(pr) + 0.01333*math.Log(pr) + 0.0004809/pr
	// PC: Nu/Nu_plate = 1 + B (32^(1/2) Gr^(-1/4) L/D)^C
	return NuVerticalPlate(pr, gr) * (1 + b*math.Pow(math.Sqrt(32)/math.Sqrt(math.Sqrt(gr))*l/d, c))
}

// NuSphere is CHU83 for natural convection of a sphere (a fruit, a bud), ra below 1e11.
func NuSphere(pr, gr float64) float64 {
	ra := pr * gr
	f := 1 + math.Pow(0.469/pr, 9.0/16)
	// CHU83: 2 + 0.589 Ra^(1/4)/f^(4/9)·(1 + 7.44e-8 Ra/f^(16/9))^(1/12)
	return 2 + 0.589*math.Sqrt(math.Sqrt(ra))/math.Pow(f, 4.0/9)*math.Pow(1+7.44e-8*ra/math.Pow(f, 16.0/9), 1.0/12)
}

// NuCrossFlow is CB77 for a cylinder across the wind, re·pr above 0.2.
func NuCrossFlow(re, pr float64) float64 {
	// CB77: 0.3 + 0.62 Re^(1/2) Pr^(1/3)/(1+(0.4/Pr)^(2/3))^(1/4)·(1+(Re/282000)^(5/8))^(4/5)
	return 0.3 + 0.62*math.Sqrt(re)*math.Cbrt(pr)/math.Pow(1+math.Pow(0.4/pr, 2.0/3), 0.25)*
		math.Pow(1+math.Pow(re/282000, 5.0/8), 0.8)
}

// NuCrossFlowZukauskas is the rival of [NuCrossFlow] by Zukauskas 1972, with prWall
// taken at the wall's temperature; re 1 to 1e6. Steps at the joints of its pieces.
func NuCrossFlowZukauskas(re, pr, prWall float64) float64 {
	c, m := 0.076, 0.7
	switch {
	case re <= 40:
		c, m = 0.75, 0.4
	case re < 1e3:
		c, m = 0.51, 0.5
	case re < 2e5:
		c, m = 0.26, 0.6
	}
	n := 0.37
	if pr > 10 {
		n = 0.36
	}
	// Zukauskas 1972: C Re^m Pr^n (Pr/Prw)^(1/4)
	return c * math.Pow(re, m) * math.Pow(pr, n) * math.Pow(pr/prWall, 0.25)
}

// NuPlateForced is Pohlhausen's laminar flat plate, re below 5e5.
func NuPlateForced(re, pr float64) float64 {
	return 0.664 * math.Sqrt(re) * math.Cbrt(pr) // Pohlhausen 1921
}

// WideLayer is the Rayleigh number at which a wide flat layer of air begins to turn
// over (between parallel plates).
const WideLayer = 1708.0

// NuLayer is HOL (Hollands 1984 as in the VDI Heat Atlas 2010) for a horizontal layer
// warm below: the gap of an inflated double film. critical is the Rayleigh number at
// which motion begins, [WideLayer] for wide gaps; below it, and for a layer warm above,
// the air only conducts and Nu is 1. The atlas prints 5803 where the paper of 1975 on
// wide layers has 5830: 0.2 % of Nu.
func NuLayer(pr, gr, critical float64) float64 {
	ra := pr * gr
	if !(ra > critical) {
		return 1
	}
	third := math.Cbrt(ra)
	k1 := 1.44 / (1 + 0.018/pr + 0.00136/(pr*pr))
	k2 := 75 * math.Exp(1.5/math.Sqrt(pr))
	walls := 1.0 // side walls damp the motion of narrow cells
	if critical > WideLayer {
		walls = 1 - math.Exp(-0.95*(third/math.Cbrt(critical)-1))
	}
	// HOL: 1 + [1-Rc/Ra]·[k1 + 2 (Ra^(1/3)/k2)^(1-ln(Ra^(1/3)/k2))] + [(Ra/5803)^(1/3)-1]·[1-exp(-0.95((Ra/Rc)^(1/3)-1))]
	return 1 + (1-critical/ra)*(k1+2*math.Pow(third/k2, 1-math.Log(third/k2))) + math.Max(math.Cbrt(ra/5803)-1, 0)*walls
}

func sq(x float64) float64 { return x * x }
