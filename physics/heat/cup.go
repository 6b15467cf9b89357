package heat

import "example.org/coldnight/physics/air"

const (
	cupGroundWK = 10   // from the ground at 10 cm to the floor under a cup [W/m2K], moist soil
	cupStillMS  = 0.05 // air speed under a cup [m/s]
)

// stepCup solves the little network of a cup standing on the floor: outer wall,
// inner wall, air inside, the floor under it and the tip, all without storage
// except the tip. Areas are per m2 of floor under the cup; the tip has one m2 of
// leaf. What the wall lets through falls half on the tip and half on the floor.
// Dew and frost on the wall are left out: about 0.6 K on the cold side.
func (x *tissueState) stepCup(f *Feel, tau, rhoCp float64) {
	const outer, inner, within, floor, tip = 0, 1, 2, 3, 4
	c := &x.Cup
	start, sl := x.Material.Temperature(x.h[0])
	m := x.vol[0] / sl / tau
	tipC, wallC, inC, floorC := start, x.inside[0], x.inside[1], f.GroundC
	var z [5]float64
	for range 3 {
		var a [5][5]float64
		var r [5]float64
		link := func(i, k int, g float64) {
			a[i][i] += g
			a[k][k] += g
			a[i][k] -= g
			a[k][i] -= g
		}
		to := func(i int, g, t float64) { a[i][i] += g; r[i] += g * t }

		// the wall sees the flux from above on its top, half of each on its side
		to(outer, c.WallRatio*air.Stem(x.LengthM, f.WindMS, wallC-f.AirC), f.AirC)
		sees := f.DownWM2 + (c.WallRatio-1)*0.5*(f.DownWM2+f.UpWM2)
		hr := 4 * stefanBoltzmann * cube(wallC+273.15)
		a[outer][outer] += c.WallRatio * c.Eps * hr
		r[outer] += c.Eps * (sees - c.WallRatio*(quartic(wallC)-hr*wallC))
		link(outer, inner, c.WallRatio*c.WallWK)

		// inside: still air, faces that see each other
		hw, _ := plate(inC-wallC, cupStillMS)
		hf, _ := plate(floorC-inC, cupStillMS)
		hl, _ := air.Leaf(0.05, cupStillMS, tipC-inC)
		link(inner, within, c.WallRatio*hw)
		link(floor, within, hf)
		link(tip, within, 2*hl)
		rad := 4 * stefanBoltzmann * cube(inC+273.15)
		link(inner, floor, 0.5*c.Eps*rad)
		link(inner, tip, 1.2*c.Eps*x.Eps*rad)
		link(tip, floor, 0.6*x.Eps*rad)
		to(within, rhoCp*c.LeakMS, f.AirC)
		to(floor, cupGroundWK, f.GroundC)

		r[tip] += 0.5 * c.Tau * x.Eps * (f.DownWM2 - quartic(tipC))
		r[floor] += 0.5 * c.Tau * (f.DownWM2 - quartic(floorC))
		r[tip] += 0.3 * x.Absorb * c.SunTau * f.SunWM2
		r[floor] += 0.7 * c.SunTau * f.SunWM2
		r[outer] += (1 - c.SunTau) * 0.5 * f.SunWM2
		to(tip, m, start)
		solve5(&a, &r, &z)
		wallC, inC, floorC, tipC = z[outer], z[within], z[floor], z[tip]
	}
	x.inside = [2]float64{wallC, inC}
	x.h[0] += (tipC - start) * m * tau / x.vol[0]
	x.t[0], _ = x.Material.Temperature(x.h[0])
}

// solve5 solves a small diagonally dominant system by elimination.
func solve5(a *[5][5]float64, r, z *[5]float64) {
	for k := range 5 {
		for i := k + 1; i < 5; i++ {
			f := a[i][k] / a[k][k]
			for j := k; j < 5; j++ {
				a[i][j] -= f * a[k][j]
			}
			r[i] -= f * r[k]
		}
	}
	for i := 4; i >= 0; i-- {
		v := r[i]
		for j := i + 1; j < 5; j++ {
			v -= a[i][j] * z[j]
		}
		z[i] = v / a[i][i]
	}
}
