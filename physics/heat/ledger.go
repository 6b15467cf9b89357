package heat

import "math"

// Ledger keeps the two sets of books of a run, per m2 of floor.
type Ledger struct {
	// Stored is the change of stored heat, sensible, of fusion and of vapour [J/m2].
	Stored float64
	// Scheme holds the boundary flows the scheme itself used [J/m2].
	Scheme [flowKinds]float64
	// Nonlinear holds the same flows recomputed from the formulas at the ends
	// of the steps, by the trapezoid rule [J/m2].
	Nonlinear [flowKinds]float64
	// Gross is the sum of the absolute boundary flows [J/m2].
	Gross float64
	// VapourIn, Deposited and VapourStored are the water books [kg/m2].
	VapourStored float64

	grossStart [flowKinds]float64
	t0, q0     float64 // zone 0 at the start of the step
}

// Audit switches the books on and clears them.
func (s *Sim) Audit(on bool) { s.audit = on; s.ledger = Ledger{} }

// Ledger returns the books since [Sim.Audit].
func (s *Sim) Ledger() Ledger { return s.ledger }

// SchemeGap is ledger (a): |stored - flows the scheme used| / gross.
func (l *Ledger) SchemeGap() float64 {
	sum := 0.0
	for _, v := range l.Scheme {
		sum += v
	}
	return math.Abs(l.Stored-sum) / math.Max(l.Gross, 1)
}

// NonlinearGap is ledger (b): |stored - recomputed flows| / gross.
func (l *Ledger) NonlinearGap() float64 {
	sum := 0.0
	for _, v := range l.Nonlinear {
		sum += v
	}
	return math.Abs(l.Stored-sum) / math.Max(l.Gross, 1)
}

// book writes one step into the ledger. The boundary flows are carried as
// additional unknowns of the scheme that nothing depends on:
// k_i = b(stage i) + jb·U_i + γ_i Δb, flow = τ Σ b_i k_i.
func (s *Sim) book(tau float64, before *snapshot) {
	y, ix, so, l, w := &s.sys, &s.ix, &s.soilSys, &s.ledger, &s.work
	last := so.n - 1
	for f := range flowKinds {
		for st := range rosStages {
			v := w.b[st][f] + w.tab.gammaSum[st]*tau*w.db[f]
			for i := range ix.n {
				v += y.jb[f][i] * w.u[st][i]
			}
			if f == FlowAir && s.held { // the water on faces in the air outside
				for k := range ix.nf {
					if y.wz[k] == ix.thermal {
						v += Latent * w.wf[k] * w.uf[st][k]
					}
				}
			}
			if f == FlowGround {
				v -= so.g[last] * w.us[st][last]
				for i := 1; i < so.n; i++ {
					v -= s.fixed.sideG[i] * w.us[st][i]
				}
			}
			l.Scheme[f] += tau * w.tab.b[st] * v
		}
	}
	for i := range ix.thermal {
		if i == 0 && s.held {
			continue
		}
		if mt := &s.mats[i]; mt.on {
			l.Stored += mt.volumeM3 * (s.h[i] - before.h[i])
		} else {
			l.Stored += s.fixed.capacity[i] * (s.t[i] - before.t[i])
		}
	}
	for z := range ix.nz {
		if z == 0 && s.held {
			continue
		}
		l.Stored += Latent * s.cell.Zones[z].DepthM * (s.q[z] - before.q[z])
	}
	for i := 1; i < so.n; i++ {
		l.Stored += s.cell.Ground.Layers[i].ThickM * (s.soil[i] - before.soil[i])
	}
}

// bookNonlinear closes ledger (b) for an accepted step: flows at its end.
func (s *Sim) bookNonlinear(d1 *Sample, tau float64) {
	l := &s.ledger
	start := l.grossStart
	s.soilTemperatures()
	s.flows(d1, false)
	s.soilFlows(d1)
	// Zone 0 holds little and is tied to the air above by a conductance that falls
	// with its own temperature: a hundredth of a kelvin there is watts. Its flow is
	// taken from the surfaces' side, as what they give it plus what it stores.
	s.sys.b[FlowAir] -= s.sys.r[0] + Latent*s.sys.r[s.ix.thermal]
	if !s.held {
		l.Nonlinear[FlowAir] += s.fixed.capacity[0]*(s.t[0]-l.t0) + Latent*s.cell.Zones[0].DepthM*(s.q[0]-l.q0)
	}
	for k := range flowKinds {
		l.Nonlinear[k] += 0.5 * tau * (start[k] + s.sys.b[k])
		l.Gross += 0.5 * tau * (math.Abs(start[k]) + math.Abs(s.sys.b[k]))
	}
}
