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
	tab  rosTable
	m    [maxNodes]float64            // heat capacities [J/m2K], air depths [m]
	perK [maxThermal]float64          // dh/dT of the nodes that freeze, at the step's start [J/m3K]
	u    [rosStages][maxNodes]float64 // stage increments [K], [kg/m3]
	us   [rosStages][MaxSoil]float64  // of the soil below its first layer
	dr   [maxNodes]float64            // change of the rates with the weather over the step
	drs  [MaxSoil]float64
	b    [rosStages][flowKinds]float64
	db   [flowKinds]float64
	wet  [rosStages][maxFilms]float64
	dwet [maxFilms]float64
}

// ros tries one step of tau seconds from weather d0 to d1 and leaves the new
// state in place; base is the state at the start. It returns the error estimate
// [K], NaN when the new state is not finite.
//
//	(M - γτJ) U_i = γτ (R(u + Σ a_ij U_j, t + α_i τ) + γ_i ΔR) + γ M Σ c_ij U_j
//	u' = u + Σ m_i U_i
func (s *Sim) ros(d0, d1 *Sample, tau float64, base *snapshot) float64 {
	ix, y, so, k := &s.ix, &s.sys, &s.soilSys, &s.work
	gt := rosGamma * tau
	n := ix.n
	y.audit = s.audit
	s.refreshOptics(tau)
	s.refreshConductance(tau)
	s.soilTemperatures()
	s.capacities()

	// the Jacobian and rates at the start, and how the rates change with the weather
	s.flows(d0, true)
	s.soilFlows(d0)
	r0, rs0 := y.r, so.r
	k.b[0], k.wet[0] = y.b, y.wet
	if s.audit {
		s.ledger.grossStart = y.b
		s.ledger.grossStart[FlowAir] -= y.r[0] + Latent*y.r[ix.thermal]
		s.ledger.t0, s.ledger.q0 = s.t[0], s.q[0]
	}
	var dm Sample
	s.weatherSlope(d0, d1, &dm, &r0, &rs0)

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

	y.r, so.r = r0, rs0
	s.stage(0, gt, lu)
	for st := 1; st < rosStages; st++ {
		s.apply(base, &k.tab.a[st], st)
		d := d1
		if k.tab.alpha[st] != 1 {
			dm.between(d0, d1, k.tab.alpha[st])
			d = &dm
		}
		s.flows(d, false)
		s.soilFlows(d)
		k.b[st], k.wet[st] = y.b, y.wet
		s.stage(st, gt, lu)
	}
	s.apply(base, &k.tab.m, rosStages)
	s.filmIncrements(tau)
	if s.audit {
		s.book(tau, base)
	}
	return s.estimate()
}

// weatherSlope fills ΔR = τ ∂R/∂t from the rates r0 and rs0 at the start. It is a
// tangent: a chord to d1 at the old state would leave the range where the cell's own
// air follows the air above it.
func (s *Sim) weatherSlope(d0, d1, dm *Sample, r0 *[maxNodes]float64, rs0 *[MaxSoil]float64) {
	const share, inv = 1.0 / 1024, 1024
	ix, y, so, k := &s.ix, &s.sys, &s.soilSys, &s.work
	dm.between(d0, d1, share)
	s.flows(dm, false)
	s.soilFlows(dm)
	for i := range ix.n {
		k.dr[i] = (y.r[i] - r0[i]) * inv
	}
	for i := 1; i < so.n; i++ {
		k.drs[i] = (so.r[i] - rs0[i]) * inv
	}
	for f := range flowKinds {
		k.db[f] = (y.b[f] - k.b[0][f]) * inv
	}
	for f := range ix.nf {
		k.dwet[f] = (y.wet[f] - k.wet[0][f]) * inv
	}
}

// stage solves for the increments of one stage from the rates in place.
func (s *Sim) stage(st int, gt float64, lu *[maxNodes][maxNodes]float64) {
	ix, y, so, k := &s.ix, &s.sys, &s.soilSys, &s.work
	g, c := k.tab.gammaSum[st], &k.tab.c[st]
	u, us := &k.u[st], &k.us[st]
	for i := range ix.n {
		sum := 0.0
		for j := range st {
			sum += c[j] * k.u[j][i]
		}
		u[i] = gt*(y.r[i]+g*k.dr[i]) + rosGamma*k.m[i]*sum
	}
	for i := 1; i < so.n; i++ {
		sum := 0.0
		for j := range st {
			sum += c[j] * k.us[j][i]
		}
		us[i] = gt*(so.r[i]+g*k.drs[i]) + rosGamma*so.m[i]*sum
	}
	u[ix.soil] += so.reduce(us)
	backsolve(lu, ix.n, u)
	so.expand(u[ix.soil], us)
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

// apply sets the state to base + Σ w_j U_j over the first n stages. Between the
// stages the soil is set by temperature alone.
func (s *Sim) apply(base *snapshot, w *[rosStages]float64, n int) {
	ix, k := &s.ix, &s.work
	for i := range ix.thermal {
		dz := 0.0
		for j := range n {
			dz += w[j] * k.u[j][i]
		}
		if mt := &s.mats[i]; mt.on {
			s.h[i] = base.h[i] + dz*k.perK[i]
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
	s.soilApply(&base.soil, w, n, n == rosStages)
	s.soil[0] = s.h[ix.soil]
}

// leeway is by how much more than air and canopy what the plants feel only through
// them may be wrong: covers, masses, bench and ground.
const leeway = 4

// estimate is the greatest distance to the embedded solution of air and canopy, and a
// share 1/leeway of that of the other thermal nodes [K]; NaN when the state is not
// finite. It is not filtered by another solve, as is often done for stiff systems:
// that hides the films, which pass on what the wind does, and took more steps for
// the same accuracy of the nightly minima.
func (s *Sim) estimate() float64 {
	ix, so, k := &s.ix, &s.soilSys, &s.work
	near, far := 0.0, 0.0
	for i := range ix.thermal {
		d := 0.0
		for j := range rosStages {
			d += k.tab.e[j] * k.u[j][i]
		}
		switch {
		case math.IsNaN(d):
			return d
		case i < ix.nz || i == ix.canopy:
			near = max(near, math.Abs(d))
		default:
			far = max(far, math.Abs(d))
		}
	}
	for i := 1; i < so.n; i++ {
		d := 0.0
		for j := range rosStages {
			d += k.tab.e[j] * k.us[j][i]
		}
		far = max(far, math.Abs(d))
	}
	return max(near, far/leeway)
}
