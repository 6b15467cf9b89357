package ground

import "math"

// SturmQuadratic returns the effective conductivity of snow [W/mK] at density
// rho [kg/m3], 50 to 600. Sturm, Holmgren, König & Morris 1997, J. Glaciol.
// 43(143), Eq 4 (R² 0.79).
func SturmQuadratic(rho float64) float64 {
	g := rho / 1000 // g/cm3
	if g < 0.156 {
		return 0.023 + 0.234*g // Sturm 1997 Eq 4, light snow
	}
	return 0.138 - 1.01*g + 3.233*g*g // Sturm 1997 Eq 4
}

// SturmLog is the logarithmic form of the same data [W/mK], 100 to 600 kg/m3.
func SturmLog(rho float64) float64 {
	return math.Pow(10, 2.650*rho/1000-1.652) // Sturm 1997 Eq 7
}

// Calonne returns the effective conductivity of snow [W/mK] at density rho
// [kg/m3], 100 to 550, from tomography. Calonne et al. 2011, Geophys. Res.
// Lett. 38. The default of this package: smooth, and between the two of Sturm
// at the densities of new and settled snow.
func Calonne(rho float64) float64 {
	return 2.5e-6*rho*rho - 1.23e-4*rho + 0.024 // Calonne et al. 2011 Eq 12
}

// Snow returns snow of density rho [kg/m3] (held to 50..900) as a material:
// frozen below 0 °C, melting in place within 0.2 K. Melt water is not drained.
func Snow(rho float64) Material {
	rho = min(max(rho, 50), 900)
	k := Calonne(max(rho, 70))
	return Material{K: k, KFrozen: k, C: rho * 4218, CFrozen: rho * 2101, Water: rho / 1000, Range: 0.2}
}
