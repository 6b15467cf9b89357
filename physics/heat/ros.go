package heat

import "math"

// RODAS3 (Sandu, Verwer, Blom, Spee, Carmichael and Potra 1997, "Benchmarking stiff
// ODE solvers for atmospheric chemistry problems II: Rosenbrock solvers", Atmospheric
// Environment 31, 3459-3472): four stages on three evaluations, order 3, an embedded
// solution of order 2, both stiffly accurate and L-stable; in the form that needs no
// product with the Jacobian: a = AΓ⁻¹, c = 1/γ - Γ⁻¹, m = bΓ⁻¹. A test checks the order
// conditions. They ask for the exact Jacobian: every flow brings its derivatives.
const (
	rosStages = 4
	rosGamma  = 0.5
)

// rosTable: c of the increments in a stage; m of the increments in the solution, and
// in every state after them from the third stage on (the second starts where the
// first does, and has its rates); gammaSum the share of the weather's change in a
// stage; b the weights of the stages. The distance to the embedded solution is the
// last increment.
type rosTable struct {
	c        [rosStages][rosStages]float64
	m        [rosStages]float64
	gammaSum [rosStages]float64
	b        [rosStages]float64
}

func rosTableau() rosTable {
	return rosTable{
		c: [4][4]float64{
			{},
			{4},
			{1, -1},
			{1, -1, -8.0 / 3},
		},
		m:        [4]float64{2, 0, 1, 1},
		gammaSum: [4]float64{0.5, 1.5, 0, 0},
		b:        [4]float64{5.0 / 6, -1.0 / 6, -1.0 / 6, 0.5},
	}
}

// stages holds the work of one step.
type stages struct {
	tab  rosTable
	m    [maxNodes]float64            // heat capacities [J/m2K], air depths [m]
	perK [maxThermal]float64          // dh/dT of the nodes that freeze, at the step's start [J/m3K]
	u    [rosStages][maxNodes]float64 // stage increments [K], [kg/m3]
	us   [rosStages][MaxSoil]float64  // of the soil below its first layer
	r0   [maxNodes]float64            // rates at the step's start
	rs0  [MaxSoil]float64
	dr   [maxNodes]float64 // change of the rates with the weather [1/s]
	drs  [MaxSoil]float64
	b    [rosStages][flowKinds]float64
	db   [flowKinds]float64
	wet  [rosStages][maxFilms]float64 // rates of the films [kg/m2s]
	dwet [maxFilms]float64            // their change with the weather [kg/m2s2]
	wf   [maxFilms]float64            // their derivative by the film [1/s]
	slow [maxFilms]float64            // 1/(1 - γτ wf)
	uf   [rosStages][maxFilms]float64 // stage increments [kg/m2]
	full [maxFilms]bool               // drips: what comes runs off, the film stays
}

// open works out what every try of a step from weather d0 shares: the rates and their
// derivatives at the start, and how the rates change with the weather on the way to
// d1, tau seconds off.
func (s *Sim) open(d0, d1 *Sample, tau float64) {
	y, k := &s.sys, &s.work
	y.audit = s.audit
	s.refreshOptics(tau)
	s.refreshConductance(tau)
	s.soilTemperatures()
	s.capacities()
	s.flows(d0, true)
	s.soilFlows(d0)
	k.r0, k.rs0 = y.r, s.soilSys.r
	k.b[0], k.wet[0] = y.b, y.wet
	k.b[1], k.wet[1] = y.b, y.wet
	k.wf = y.wf
	for f := range s.ix.nf {
		if k.full[f] = s.film[f] >= s.fixed.filmCap[f] && y.wet[f] > 0; k.full[f] {
			k.wf[f] = 0
		}
	}
	if s.audit {
		s.ledger.grossStart = y.b
		s.ledger.grossStart[FlowAir] -= y.r[0] + Latent*y.r[s.ix.thermal]
		s.ledger.t0, s.ledger.q0 = s.t[0], s.q[0]
	}
	s.weatherSlope(d0, d1, tau)
}

// ros tries one step of tau seconds to weather d1 from a start that has been opened,
// and leaves the new state in place. It returns the error estimate [K], NaN when the
// new state is not finite.
//
//	(M - γτJ) U_i = γτ (R(u + Σ a_ij U_j, t + α_i τ) + γ_i τ ∂R/∂t) + γ M Σ c_ij U_j
//	u' = u + Σ m_i U_i
func (s *Sim) ros(d1 *Sample, tau float64) float64 {
	ix, y, so, k := &s.ix, &s.sys, &s.soilSys, &s.work
	gt := rosGamma * tau
	n := ix.n
	// the dense block with the soil eliminated; M - γτJ
	lu := &y.lu
	for i := range n {
		from, to := y.j[i][:n], lu[i][:n]
		for c, v := range from {
			to[c] = -gt * v
		}
		to[i] += k.m[i]
	}
	lu[ix.soil][ix.soil] += so.eliminate(gt, &s.fixed.sideG)
	s.eliminateFilms(gt)
	if !factor(lu, n) {
		return math.NaN()
	}
	y.r, so.r, so.t = k.r0, k.rs0, so.start
	s.stage(0, tau)
	s.stage(1, tau)
	s.move(0)
	for st := 2; st < rosStages; st++ {
		s.share = 1
		s.flows(d1, false)
		s.soilFlows(d1)
		k.b[st], k.wet[st] = y.b, y.wet
		s.stage(st, tau)
		s.move(st)
	}
	return s.estimate()
}

// weatherSlope fills ∂R/∂t. It is a tangent: a chord to d1 at the old state would
// leave the range where the cell's own air follows the air above it.
func (s *Sim) weatherSlope(d0, d1 *Sample, tau float64) {
	const share = 1.0 / 1024
	ix, y, so, k := &s.ix, &s.sys, &s.soilSys, &s.work
	perS := 1 / (share * tau)
	var dm Sample
	dm.between(d0, d1, share)
	s.share = share
	s.flows(&dm, false)
	s.soilFlows(&dm)
	for i := range ix.n {
		k.dr[i] = (y.r[i] - k.r0[i]) * perS
	}
	for i := 1; i < so.n; i++ {
		k.drs[i] = (so.r[i] - k.rs0[i]) * perS
	}
	for f := range flowKinds {
		k.db[f] = (y.b[f] - k.b[0][f]) * perS
	}
	for f := range ix.nf {
		k.dwet[f] = (y.wet[f] - k.wet[0][f]) * perS
	}
}

// stage solves for the increments of one stage from the rates in place.
func (s *Sim) stage(st int, tau float64) {
	ix, y, so, k := &s.ix, &s.sys, &s.soilSys, &s.work
	gt, g, c := rosGamma*tau, k.tab.gammaSum[st]*tau, &k.tab.c[st]
	u, us := &k.u[st], &k.us[st]
	rightSide(u[:ix.n], y.r[:], k.dr[:], gt, g)
	rightSide(us[:so.n], so.r[:], k.drs[:], gt, g)
	for j := range st {
		addCarried(u[:ix.n], k.m[:], k.u[j][:], rosGamma*c[j])
		addCarried(us[:so.n], so.m[:], k.us[j][:], rosGamma*c[j])
	}
	s.reduceFilms(st, gt, g)
	u[ix.soil] += so.reduce(us)
	backsolve(&y.lu, ix.n, u)
	so.expand(u[ix.soil], us)
	s.expandFilms(st, gt)
}

// rightSide sets u to γτ (R + γ_i τ ∂R/∂t).
func rightSide(u, r, dr []float64, gt, g float64) {
	r, dr = r[:len(u)], dr[:len(u)]
	for i := range u {
		u[i] = gt * (r[i] + g*dr[i])
	}
}

// addCarried adds f M U_j to u.
func addCarried(u, m, uj []float64, f float64) {
	m, uj = m[:len(u)], uj[:len(u)]
	for i := range u {
		u[i] += f * m[i] * uj[i]
	}
}

// capacities fills M and dh/dT of the nodes that freeze.
func (s *Sim) capacities() {
	ix, k := &s.ix, &s.work
	for i := range ix.thermal {
		if mt := &s.mats[i]; mt.on {
			_, slope := mt.mat.Temperature(s.h[i])
			k.perK[i] = 1 / slope
			k.m[i] = mt.volumeM3 * k.perK[i]
		} else {
			k.m[i] = s.fixed.capacity[i]
		}
	}
	for z := range ix.nz {
		k.m[ix.thermal+z] = s.cell.Zones[z].DepthM
	}
}

// move adds the increments of a stage to the state.
func (s *Sim) move(st int) {
	ix, k, w := &s.ix, &s.work, s.work.tab.m[st]
	u := &k.u[st]
	for i := range ix.thermal {
		dz := w * u[i]
		if mt := &s.mats[i]; mt.on {
			s.h[i] += dz * k.perK[i]
			s.t[i], _ = mt.mat.Temperature(s.h[i])
		} else {
			s.t[i] += dz
		}
	}
	for z := range ix.nz {
		s.q[z] += w * u[ix.thermal+z]
	}
	for f := range ix.nf {
		if !k.full[f] {
			s.film[f] += w * k.uf[st][f]
		}
	}
	s.soilMove(&k.us[st], w)
	s.soil[0] = s.h[ix.soil]
}

// leeway is by how much more than air and canopy what the plants feel only through
// them may be wrong: covers, masses, bench and ground.
const leeway = 3

// estimate is the greatest distance to the embedded solution of air and canopy, and a
// share 1/leeway of that of the other thermal nodes [K]; NaN when the state is not
// finite. It is not filtered by another solve, as is often done for stiff systems:
// that hides the films, which pass on what the wind does, and took more steps for
// the same accuracy of the nightly minima.
func (s *Sim) estimate() float64 {
	ix, so, k := &s.ix, &s.soilSys, &s.work
	near, far := 0.0, 0.0
	for i, d := range k.u[rosStages-1][:ix.thermal] {
		switch {
		case math.IsNaN(d):
			return d
		case i < ix.nz || i == ix.canopy:
			near = max(near, math.Abs(d))
		default:
			far = max(far, math.Abs(d))
		}
	}
	for _, d := range k.us[rosStages-1][1:so.n] {
		far = max(far, math.Abs(d))
	}
	return max(near, far/leeway)
}
