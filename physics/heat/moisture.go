package heat

import (
	"math"

	"example.org/coldnight/physics/air"
)

// moisture: dew, frost and evaporation on floor, canopy and skins.
func (s *Sim) moisture(d *Sample) {
	c, ix, f, hc := &s.cell, &s.ix, &s.fixed, &s.conv
	z := ix.inner
	vz := ix.thermal + z
	// Lewis: g = h/(ρ cp)·Le^(-2/3), Le = 0.87 (vapour in air); h as convection found it
	toMass := lewis / f.rhoCp
	s.deposit(vz, z, ix.soil, -1, f.soilOpen*toMass, hc.floor, c.Ground.Moisture, 0)
	if ix.nb > 0 {
		s.deposit(vz, z, ix.bench, -1, f.fp*toMass, hc.bench, 0.5*c.Ground.Moisture, 0)
	}
	if ix.canopy >= 0 {
		wet, drying := wetShare(s.film[ix.filmCanopy])
		area := f.leafArea * toMass
		s.deposit(vz, z, ix.canopy, ix.filmCanopy, area, hc.canopy, wet, drying)
		if !math.IsInf(c.Canopy.Stomata, 1) && d.SunWM2 > 0 {
			// stomata open with light: half at 50 W/m2, judgement
			s.transpire(vz, z, ix.canopy, area, toMass, hc.canopy, (1-wet)*d.SunWM2/(d.SunWM2+50))
		}
	}
	for j := range ix.ns {
		a, n := c.Skins[j].AreaRatio, ix.skins+j
		if zb := f.below[j]; zb >= 0 {
			k := ix.filmUnder + j
			wet, drying := wetShare(s.film[k] / a)
			s.deposit(ix.thermal+zb, zb, n, k, a*toMass, hc.under[j], wet, drying/a)
		}
		if za := f.above[j]; za >= 0 {
			k := ix.filmTop + j
			wet, drying := wetShare(s.film[k] / a)
			s.deposit(ix.thermal+za, za, n, k, a*toMass, hc.top[j], wet, drying/a)
		}
	}
}

// coefficients keeps the convection coefficients of one evaluation for the vapour
// that travels with the heat.
type coefficients struct {
	top, under           [MaxSkins]coefficient
	floor, bench, canopy coefficient
}

// coefficient is a convection coefficient h [W/m2K] and its derivative by how much
// warmer the face is than the air [W/m2K2].
type coefficient struct{ h, slope float64 }

// rising is the coefficient h whose flow h·dt has the derivative g, the face warmer
// than the air by dt.
func rising(h, g, dt float64) coefficient {
	if math.Abs(dt) < 1e-3 {
		return coefficient{h, 0} // nearly flat there, and the quotient is lost
	}
	return coefficient{h, (g - h) / dt} // (h·dt)' = h + h'·dt
}

const lewis = 1.097 // 0.87^(-2/3)

// wetShare is the share of a face that evaporates as water, half at 5 g/m2, and its
// derivative by the film [m2/kg].
func wetShare(film float64) (share, slope float64) {
	const half = 0.005
	film = max(0, film)
	inv := 1 / (film + half)
	return film * inv, half * inv * inv
}

// deposit: vapour goes to a face when the air is above its saturation, and
// leaves it as far as there is water: m = g·(D + available·(dq - D)), D the
// positive part of dq rounded off over 0.02 g/m3 (0.06 K). drying is the derivative of
// available by the film.
func (s *Sim) deposit(vz, z, i, film int, area float64, c coefficient, available, drying float64) {
	sat, slope := air.SaturationDensity(s.t[i])
	dq := s.q[z] - sat
	down, side := positive(dq)
	pull := area * (down + available*(dq-down))
	if film >= 0 {
		s.sys.wf[film] = c.h * area * (dq - down) * drying
	}
	s.sys.deposit(vz, i, z, film, c.h*pull, c.h*area*(side+available*(1-side)), slope, c.slope*pull)
}

// transpire: what leaves give off through their stomata, out of what lies below the
// face, to air that is not saturated: m = light·g·(dq - D)/(1 + h·toMass·r), r the
// resistance of the stomata.
func (s *Sim) transpire(vz, z, i int, area, toMass float64, c coefficient, light float64) {
	sat, slope := air.SaturationDensity(s.t[i])
	dq := s.q[z] - sat
	down, side := positive(dq)
	r, byK, byDry := s.cell.Canopy.Stomata, 0.0, 0.0
	if s.cell.Canopy.Closes {
		r, byK, byDry = stomata(r, s.t[i], down-dq)
	}
	k := 1 / (1 + c.h*toMass*r)
	pull := area * light * k * (dq - down)
	byR := -c.h * c.h * toMass * k * pull // ∂m/∂r
	s.sys.deposit(vz, i, z, -1, c.h*pull, c.h*area*light*k*(1-side)-byR*byDry*(1-side), slope, c.slope*k*pull)
	if y := &s.sys; y.wantJ {
		y.j[vz][i] -= byR * byK
		y.j[i][i] += Latent * byR * byK
	}
}

// stomata returns the resistance of stomata in sun [s/m] given that at 24.5 °C and 10
// hPa, a leaf at t [°C] and the vapour it lacks in the air, dry [kg/m3], and its
// derivatives by both. STAN87: leaves too cold or too hot, and dry air, close them.
func stomata(r0, t, dry float64) (r, byK, byDry float64) {
	const (
		hPa  = 461.5 * 298 / 100 // per kg/m3, at 25 °C
		at10 = 3.3145            // the humidity factor at 10 hPa
	)
	dt := t - 24.5
	warm := 1 + 0.022593*dt*dt // STAN87 p. 37
	e := 255 * math.Exp(-0.5427*hPa*dry)
	damp := 4 / math.Sqrt(math.Sqrt(1+e)) / at10 // STAN87 p. 37
	r = r0 * warm * damp
	return r, r0 * damp * 0.045186 * dt, r * 0.25 * 0.5427 * hPa * e / (1 + e)
}

// positive is the positive part D of dq [kg/m3], rounded off over 0.02 g/m3, and its
// derivative.
func positive(dq float64) (down, side float64) {
	const w = 2e-5
	root := math.Sqrt(dq*dq + w*w)
	down = 0.5 * (dq + root)
	return down, down / root
}
