package heat

import "example.org/coldnight/physics/air"

// stepCup solves the little network of a cup standing on the floor: outer wall,
// inner wall, air inside and the tip, all without storage except the tip. The
// floor under the cup is the floor of the cell. Areas are per m2 of floor under
// the cup; the tip has one m2 of leaf.
func (x *tissueState) stepCup(f *Feel, tau, rhoCp float64) {
	c := &x.Cup
	_, sl := x.Material.Temperature(x.h[0])
	start, _ := x.Material.Temperature(x.h[0])
	m := x.vol[0] / sl / tau
	tip, wall := start, x.inside[0]
	in := x.inside[1]
	var z [4]float64
	for range 3 {
		// unknowns: 0 outer wall, 1 inner wall, 2 air, 3 tip
		var a [4][4]float64
		var r [4]float64
		link := func(i, k int, g float64) {
			a[i][i] += g
			a[k][k] += g
			a[i][k] -= g
			a[k][i] -= g
		}
		to := func(i int, g, t float64) { a[i][i] += g; r[i] += g * t }
		ho := stem(x.LengthM, f.WindMS, wall-f.AirC)
		hr := 4 * stefanBoltzmann * cube(wall+273.15)
		to(0, c.WallRatio*ho, f.AirC)
		// the wall sees the flux from above on its top, half of each on its side
		sees := f.DownWM2 + (c.WallRatio-1)*0.5*(f.DownWM2+f.UpWM2)
		e := quartic(wall)
		a[0][0] += c.WallRatio * c.Eps * hr
		r[0] += c.Eps * (sees - c.WallRatio*(e-hr*wall))
		link(0, 1, c.WallRatio*c.WallWK)
		hi, _ := plate(0.5, 0.05)
		link(1, 2, c.WallRatio*hi)
		to(2, hi, f.FloorC)
		to(2, rhoCp*c.LeakMS, f.AirC)
		hl, _ := air.Leaf(0.05, 0.05, tip-in)
		link(2, 3, 2*hl)
		rad := 4 * stefanBoltzmann * cube(in+273.15)
		to(1, 0.8*c.Eps*rad, f.FloorC)      // floor to wall
		link(1, 3, 1.2*c.Eps*x.Eps*rad)     // tip to wall: upper face and part of the lower
		to(3, 0.6*x.Eps*rad, f.FloorC)      // tip to floor
		through := f.DownWM2 - quartic(tip) // what the wall lets through
		r[3] += c.Tau * x.Eps * through
		r[3] += x.Absorb * c.SunTau * f.SunWM2
		r[2] += 0.3 * (1 - c.SunTau) * f.SunWM2
		to(3, m, start)
		solve4(&a, &r, &z)
		wall, in, tip = z[0], z[2], z[3]
	}
	x.inside = [2]float64{wall, in}
	x.h[0] += (tip - start) * m * tau / x.vol[0]
	x.t[0], _ = x.Material.Temperature(x.h[0])
}

// solve4 solves a small diagonally dominant system.
func solve4(a *[4][4]float64, r, z *[4]float64) {
	for k := range 4 {
		for i := k + 1; i < 4; i++ {
			f := a[i][k] / a[k][k]
			for j := k; j < 4; j++ {
				a[i][j] -= f * a[k][j]
			}
			r[i] -= f * r[k]
		}
	}
	for i := 3; i >= 0; i-- {
		v := r[i]
		for j := i + 1; j < 4; j++ {
			v -= a[i][j] * z[j]
		}
		z[i] = v / a[i][i]
	}
}
