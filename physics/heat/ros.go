package heat

import "math"

// The coefficients of ROS34PW2 (Rang and Angermann 2005, "New Rosenbrock
// W-methods of order 3 for partial differential algebraic equations of index 1",
// BIT 45), four stages, order 3 for any approximate Jacobian, stiffly accurate
// and L-stable, in the form that needs no product with the Jacobian: a = AΓ⁻¹,
// c = 1/γ - Γ⁻¹, m = bΓ⁻¹. A test checks the eight order conditions.
const (
	rosStages = 4
	rosGamma  = 0.435866521508459
)

// rosA[i][j] and rosC[i][j], j < i; rosM of the solution, rosE of the distance to
// the embedded solution of order 2; rosAlpha is the moment of each stage,
// rosGammaSum the share of the weather's change in it.
type rosTable struct {
	a, c     [rosStages][rosStages]float64
	m, e     [rosStages]float64
	alpha    [rosStages]float64
	gammaSum [rosStages]float64
	b        [rosStages]float64
}

func rosTableau() rosTable {
	return rosTable{
		a: [4][4]float64{
			{},
			{2},
			{1.4192173174557647, -0.2592322116729697},
			{4.18476048231916, -0.28519201735549593, 2.294280360279042},
		},
		c: [4][4]float64{
			{},
			{-4.588560720558084},
			{-4.18476048231916, 0.28519201735549593},
			{-6.368179200128358, -6.795620944466837, 2.870098604331056},
		},
		m:        [4]float64{4.18476048231916, -0.28519201735549593, 2.294280360279042, 1},
		e:        [4]float64{4.18476048231916 - 3.9070105346711923, -0.28519201735549593 - 1.1180478778205032, 2.294280360279042 - 0.5216502326114907, 0.5},
		alpha:    [4]float64{0, 0.871733043016918, 0.7315799577888524, 1},
		gammaSum: [4]float64{rosGamma, -rosGamma, -0.4133333762338865, 0},
		b:        [4]float64{0.24212380706095346, -1.2232505839045147, 1.545260255335102, rosGamma},
	}
}

// stages holds the work of one step.
type stages struct {
	tab   rosTable
	m     [maxNodes]float64            // heat capacities [J/m2K], air depths [m]
	u     [rosStages][maxNodes]float64 // stage increments [K], [kg/m3]
	us    [rosStages][MaxSoil]float64  // of the soil below its first layer
	dr    [maxNodes]float64            // change of the rates with the weather over the step
	drs   [MaxSoil]float64
	slope [maxThermal]float64 // dT/dh of the nodes that freeze, at the step's start
	b     [rosStages][flowKinds]float64
	db    [flowKinds]float64
	wet   [rosStages][maxFilms]float64
	dwet  [maxFilms]float64
}

// ros tries one step of tau seconds from weather d0 to d1 and leaves the new
// state in place. It returns the error estimate over the tolerance.
//
//	(M - γτJ) U_i = γτ (R(u + Σ a_ij U_j, t + α_i τ) + γ_i ΔR) + γ M Σ c_ij U_j
//	u' = u + Σ m_i U_i
func (s *Sim) ros(d0, d1 *Sample, tau float64) float64 {
	ix, y, so, k := &s.ix, &s.sys, &s.soilSys, &s.work
	gt := rosGamma * tau
	n := ix.n
	y.audit = s.audit
	s.refreshOptics(tau)
	s.refreshConductance()
	s.soilTemperatures()
	s.capacities()

	// the Jacobian and rates at the start, and the rates with the weather of the end
	s.flows(d0, true)
	s.soilFlows(d0)
	r0, rs0 := y.r, so.r
	k.b[0], k.wet[0] = y.b, y.wet
	if s.audit {
		s.ledger.grossStart = y.b
		s.ledger.grossStart[FlowAir] -= y.r[0] + Latent*y.r[ix.thermal]
		s.ledger.t0, s.ledger.q0 = s.t[0], s.q[0]
	}
	// ΔR is τ ∂R/∂t, a tangent: the exchange with air that moves on alone would
	// leave the range where the cell's own air follows it
	const tangent = 1e-3
	var dm Sample
	dm.between(d0, d1, tangent)
	s.flows(&dm, false)
	s.soilFlows(&dm)
	for i := range n {
		k.dr[i] = (y.r[i] - r0[i]) / tangent
	}
	for i := 1; i < so.n; i++ {
		k.drs[i] = (so.r[i] - rs0[i]) / tangent
	}
	for f := range flowKinds {
		k.db[f] = (y.b[f] - k.b[0][f]) / tangent
	}
	for f := range ix.nf {
		k.dwet[f] = (y.wet[f] - k.wet[0][f]) / tangent
	}

	// the dense block with the soil eliminated; M - γτJ
	lu := &y.lu
	for i := range n {
		from, to := &y.j[i], &lu[i]
		for c := range n {
			to[c] = -gt * from[c]
		}
		to[i] += k.m[i]
	}
	lu[ix.soil][ix.soil] += so.eliminate(gt, &s.fixed.sideG)
	if !factor(lu, n) {
		return math.NaN()
	}

	var base snapshot
	s.save(&base)
	for st := range rosStages {
		if st > 0 {
			s.apply(&base, &k.tab.a[st], st)
			d := d1
			if k.tab.alpha[st] != 1 {
				dm.between(d0, d1, k.tab.alpha[st])
				d = &dm
			}
			s.flows(d, false)
			s.soilStageFlows(d)
			k.b[st], k.wet[st] = y.b, y.wet
		} else {
			y.r, so.r = r0, rs0
		}
		s.stage(st, gt, lu)
	}
	s.apply(&base, &k.tab.m, rosStages)
	s.filmIncrements(tau)
	if s.audit {
		s.book(tau, &base)
	}
	return s.estimate()
}

// stage solves for the increments of one stage from the rates in place.
func (s *Sim) stage(st int, gt float64, lu *[maxNodes][maxNodes]float64) {
	ix, y, so, k := &s.ix, &s.sys, &s.soilSys, &s.work
	g := k.tab.gammaSum[st]
	u, us := &k.u[st], &k.us[st]
	for i := range ix.n {
		sum := 0.0
		for j := range st {
			sum += k.tab.c[st][j] * k.u[j][i]
		}
		u[i] = gt*(y.r[i]+g*k.dr[i]) + rosGamma*k.m[i]*sum
	}
	for i := 1; i < so.n; i++ {
		sum := 0.0
		for j := range st {
			sum += k.tab.c[st][j] * k.us[j][i]
		}
		us[i] = gt*(so.r[i]+g*k.drs[i]) + rosGamma*so.m[i]*sum
	}
	u[ix.soil] += so.reduce(gt, us)
	backsolve(lu, ix.n, u)
	so.expand(gt, u[ix.soil], us)
}

// capacities fills M and the slopes of the nodes that freeze.
func (s *Sim) capacities() {
	ix, k := &s.ix, &s.work
	for i := range ix.thermal {
		if mt := &s.mats[i]; mt.on {
			_, sl := mt.mat.Temperature(s.h[i])
			k.slope[i] = sl
			k.m[i] = mt.volumeM3 / sl
		} else {
			k.m[i] = s.fixed.capacity[i]
		}
	}
	for z := range ix.nz {
		k.m[ix.thermal+z] = s.cell.Zones[z].DepthM
	}
}

// apply sets the state to base + Σ w_j U_j over the first n stages.
func (s *Sim) apply(base *snapshot, w *[rosStages]float64, n int) {
	ix, so, k := &s.ix, &s.soilSys, &s.work
	for i := range ix.thermal {
		dz := 0.0
		for j := range n {
			dz += w[j] * k.u[j][i]
		}
		if mt := &s.mats[i]; mt.on {
			s.h[i] = base.h[i] + dz/k.slope[i]
			s.t[i], _ = mt.mat.Temperature(s.h[i])
		} else {
			s.t[i] = base.t[i] + dz
		}
	}
	for z := range ix.nz {
		dz := 0.0
		for j := range n {
			dz += w[j] * k.u[j][ix.thermal+z]
		}
		s.q[z] = base.q[z] + dz
	}
	for i := 1; i < so.n; i++ {
		dz := 0.0
		for j := range n {
			dz += w[j] * k.us[j][i]
		}
		s.soil[i] = base.soil[i] + dz/so.s[i]
	}
	s.soil[0] = s.h[ix.soil]
}

// estimate is the distance to the embedded solution over the tolerance; NaN when
// the state is not finite.
func (s *Sim) estimate() float64 {
	ix, so, k := &s.ix, &s.soilSys, &s.work
	e := 0.0
	for i := range ix.thermal {
		d := 0.0
		for j := range rosStages {
			d += k.tab.e[j] * k.u[j][i]
		}
		if math.IsNaN(d) {
			return d
		}
		e = math.Max(e, math.Abs(d))
	}
	for i := 1; i < so.n; i++ {
		d := 0.0
		for j := range rosStages {
			d += k.tab.e[j] * k.us[j][i]
		}
		e = math.Max(e, math.Abs(d))
	}
	return e / s.err.TolK
}
