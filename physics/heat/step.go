package heat

import (
	"errors"
	"fmt"
	"math"
)

// ErrStep is returned when no step is small enough: the input is not physical.
var ErrStep = errors.New("heat: step rejected down to the smallest step")

// ErrWeather is returned for a weather sample that holds NaN or an infinity.
var ErrWeather = errors.New("heat: weather holds a value that is not a finite number")

// errorControl steers the step.
type errorControl struct {
	TolK   float64 // accepted estimate of a step's error of air and canopy [K]
	MaxS   float64 // longest step [s]
	MinS   float64 // shortest step [s]
	FixedS float64 // > 0: fixed steps of about this length
}

// coarseTolK is the estimate [K] from which a fixed step is halved: beyond it the
// step has left the range in which its length says anything about its error.
const coarseTolK = 1.0

func defaultControl() errorControl {
	return errorControl{TolK: 0.03, MaxS: 3600, MinS: 0.05}
}

// Stats counts the work done.
type Stats struct{ Steps, Rejected int }

// Control changes the step control: tolK is the accepted estimate of a step's error
// of air and canopy [K], a quarter of that of covers and ground; fixedS > 0 asks for
// fixed steps [s].
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
	film [maxFilms]float64
}

func (s *Sim) save(k *snapshot) { k.t, k.h, k.q, k.soil, k.film = s.t, s.h, s.q, s.soil, s.film }
func (s *Sim) load(k *snapshot) { s.t, s.h, s.q, s.soil, s.film = k.t, k.h, k.q, k.soil, k.film }

// Advance carries the cell over [seconds] in which the weather runs linearly
// from a to b. It returns [ErrWeather] or [ErrStep] with the state left at the last
// good step. Fixed steps are halved where one step would be wrong by more than a
// kelvin (a start far from balance, a wind that breaks up still air); those count as
// rejected.
func (s *Sim) Advance(a, b *Sample, seconds float64) error {
	if !a.finite() || !b.finite() {
		return ErrWeather
	}
	var keep snapshot
	var d0, d1 Sample
	c := &s.err
	fixed, tol := c.FixedS > 0, c.TolK
	step := min(s.step, c.MaxS)
	longest := step
	if fixed {
		longest = seconds / math.Ceil(seconds/c.FixedS-1e-9)
		step, tol = longest, coarseTolK
	}
	if len(s.tissues) > 0 {
		s.felt = s.feel(a)
	}
	s.light(a)
	d0 = *a
	opened := false // the start of this step is worked out
	again := false  // this step has been repeated with other films
	for done := 0.0; done < seconds*(1-1e-12); {
		left := seconds - done
		tau := step
		if tau > left*(1-1e-9) {
			tau = left
		} else if tau > 0.5*left && !fixed {
			tau = 0.5 * left // no sliver at the end
		}
		d1.between(a, b, (done+tau)/seconds)
		s.save(&keep)
		if opened {
			s.refreshOptics(tau)
		} else {
			s.open(&d0, &d1, tau)
			opened = true
		}
		e := s.ros(&d1, tau) / tol
		if !(e <= 1) {
			s.load(&keep)
			s.stats.Rejected++
			step = shorter(tau, e, fixed)
			s.ceiling = 0.7 * tau
			if step < c.MinS {
				return fmt.Errorf("%w (%.3g s, %d steps done)", ErrStep, step, s.stats.Steps)
			}
			continue
		}
		if !fixed && !again && !s.foreseen(&keep, tau) {
			s.load(&keep)
			s.stats.Rejected++
			step, again, opened = tau, true, false
			continue
		}
		again, opened = false, false
		s.stats.Steps++
		if s.audit {
			s.book(tau, &keep)
		}
		if s.held {
			s.t[0], s.q[0] = d1.LocalC, d1.localVapour()
		}
		s.keepRates(&keep, tau)
		s.burn(&d1, tau)
		s.finishWater(&d0, &d1, tau)
		s.arrive()
		s.stepTissues(&d1, tau)
		done += tau
		d0 = d1
		if fixed {
			step = min(longest, 2*step)
			continue
		}
		// after a rejected step the next ones feel their way up
		s.ceiling = min(c.MaxS, max(s.ceiling, 1)*1.6)
		step = min(s.ceiling, tau*min(2, max(0.2, 0.85/math.Cbrt(max(e, 1e-6)))))
		s.step = step
	}
	return nil
}

// shorter returns the step to try after one of tau seconds came out e tolerances
// wrong; NaN says that it came out as no number at all.
func shorter(tau, e float64, fixed bool) float64 {
	switch {
	case math.IsNaN(e):
		return tau / 10
	case fixed:
		return tau / 2
	default:
		return tau * max(0.1, 0.8/math.Cbrt(e))
	}
}

// finite reports whether every value is a finite number.
func (d *Sample) finite() bool {
	sum := d.AirC + d.VapourKgM3 + d.WindMS + d.HemWindMS + d.SkyWM2 + d.SurroundC + d.SunWM2 + d.RainKgM2S +
		d.DeepC + d.BesideC + d.BesideKgM3 + d.BesideMS + d.SideGroundC + d.HeatAirWM2 + d.HeatFloorWM2 +
		d.LocalC + d.LocalKgM3 + d.LocalMS + d.StirMS + d.InMS + d.OutMS + d.FanWM2 + d.Slack
	for k := range d.Burn {
		sum += d.Burn[k] + d.SetK[k]
	}
	return !math.IsNaN(sum - sum)
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
