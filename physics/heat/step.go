package heat

import (
	"errors"
	"fmt"
	"math"
)

// ErrStep is returned when no step is small enough: the input is not physical.
var ErrStep = errors.New("heat: step rejected down to the smallest step")

// errorControl steers the step.
type errorControl struct {
	TolK   float64 // accepted estimate of a step's error of any surface or air [K]
	MaxS   float64 // longest step [s]
	MinS   float64 // shortest step [s]
	FixedS float64 // > 0: fixed steps of about this length
}

func defaultControl() errorControl {
	return errorControl{TolK: 0.03, MaxS: 3600, MinS: 0.05}
}

// Stats counts the work done.
type Stats struct{ Steps, Rejected int }

// Control changes the step control: tolK is the accepted error estimate per
// step [K]; fixedS > 0 asks for fixed steps [s].
func (s *Sim) Control(tolK, maxS, fixedS float64) {
	s.err.TolK, s.err.MaxS, s.err.FixedS = tolK, maxS, fixedS
}

// Stats returns the work done since [New].
func (s *Sim) Stats() Stats { return s.stats }

// snapshot is what a rejected step must restore.
type snapshot struct {
	t, h [maxThermal]float64
	q    [MaxZones]float64
	soil [MaxSoil]float64
}

func (s *Sim) save(k *snapshot) { k.t, k.h, k.q, k.soil = s.t, s.h, s.q, s.soil }
func (s *Sim) load(k *snapshot) { s.t, s.h, s.q, s.soil = k.t, k.h, k.q, k.soil }

// Advance carries the cell over [seconds] in which the weather runs linearly
// from a to b.
func (s *Sim) Advance(a, b *Sample, seconds float64) error {
	var keep snapshot
	var d0, d1 Sample
	done := 0.0
	step := math.Min(s.step, s.err.MaxS)
	if s.err.FixedS > 0 {
		step = seconds / math.Ceil(seconds/s.err.FixedS-1e-9)
	}
	d0 = *a
	for done < seconds*(1-1e-12) {
		left := seconds - done
		tau := step
		if tau > left*(1-1e-9) {
			tau = left
		} else if tau > 0.5*left && s.err.FixedS == 0 {
			tau = 0.5 * left // no sliver at the end
		}
		d1.between(a, b, (done+tau)/seconds)
		s.save(&keep)
		books := s.ledger
		e := s.ros(&d0, &d1, tau)
		ok := e <= 1 || s.err.FixedS > 0
		if !ok || math.IsNaN(e) {
			s.load(&keep)
			s.ledger = books
			s.stats.Rejected++
			if math.IsNaN(e) {
				step = tau / 10
			} else {
				step = tau * math.Max(0.1, 0.8/math.Cbrt(e))
			}
			s.ceiling = 0.7 * tau
			if step < s.err.MinS || s.err.FixedS > 0 {
				return fmt.Errorf("%w (%.3g s, %d steps done)", ErrStep, step, s.stats.Steps)
			}
			continue
		}
		s.stats.Steps++
		if s.held {
			s.t[0], s.q[0] = d1.LocalC, d1.localVapour()
		}
		s.finishWater(&d0, &d1, tau)
		s.stepTissues(&d1, tau)
		done += tau
		d0 = d1
		if s.err.FixedS == 0 {
			// after a rejected step the next ones feel their way up
			s.ceiling = math.Min(s.err.MaxS, math.Max(s.ceiling, 1)*1.15)
			step = math.Min(s.ceiling, tau*math.Min(3, math.Max(0.2, 0.85/math.Cbrt(math.Max(e, 1e-6)))))
			s.step = step
		}
	}
	return nil
}

// soilStageFlows evaluates the column at the stage state, keeping the
// capacities of the step's start.
func (s *Sim) soilStageFlows(d *Sample) {
	so := &s.soilSys
	for i := 1; i < so.n; i++ {
		so.t[i], _ = s.cell.Ground.Layers[i].Material.Temperature(s.soil[i])
	}
	s.soilFlows(d)
}

// factor replaces the leading n×n block by its LU factors without pivoting: the
// matrix is M plus a positive multiple of conductances, its diagonal dominates.
// The diagonal is stored inverted. It reports false on a vanishing pivot.
func factor(a *[maxNodes][maxNodes]float64, n int) bool {
	for k := range n {
		p := a[k][k]
		if math.Abs(p) < 1e-12 {
			return false
		}
		inv := 1 / p
		a[k][k] = inv
		rk := &a[k]
		for i := k + 1; i < n; i++ {
			ri := &a[i]
			if ri[k] == 0 {
				continue
			}
			f := ri[k] * inv
			ri[k] = f
			for j := k + 1; j < n; j++ {
				ri[j] -= f * rk[j]
			}
		}
	}
	return true
}

// backsolve solves with the factors.
func backsolve(a *[maxNodes][maxNodes]float64, n int, x *[maxNodes]float64) {
	for i := 1; i < n; i++ {
		ri := &a[i]
		sum := x[i]
		for k := range i {
			sum -= ri[k] * x[k]
		}
		x[i] = sum
	}
	for i := n - 1; i >= 0; i-- {
		ri := &a[i]
		sum := x[i]
		for k := i + 1; k < n; k++ {
			sum -= ri[k] * x[k]
		}
		x[i] = sum * ri[i]
	}
}
