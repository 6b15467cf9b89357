package burner

import (
	"math"
	"math/rand/v2"
	"testing"
)

// switched is the air of a house under a thermostat that switches late: it rises while
// it burns and falls while it does not, dT/dt = heat·on - loss·(T - outside).
type switched struct {
	thermostat Thermostat
	loss       float64 // of the air alone [1/h]
	heat       float64 // of the heater [K/h]
	late       int     // minutes from the air crossing a switching point to the heater's answer
}

// run returns the air inside by ten minutes, as a logger that keeps what it reads at
// that moment, and how often the heater was switched on [1/h].
func (w switched) run(out []float64, start float64) (read []float64, perH float64) {
	th := w.thermostat
	at, ons, was := start, 0, false
	read = append(read, start)
	calls := make([]bool, w.late+1) // the last minutes' calls, the oldest first
	for i := range len(out) - 1 {
		for j := range 10 {
			copy(calls, calls[1:])
			calls[w.late] = th.Call(at)
			on := calls[0]
			if on && !was {
				ons++
			}
			was = on
			o := out[i] + (out[i+1]-out[i])*(float64(j)+0.5)/10
			at -= w.loss * (at - o) / 60
			if on {
				at += w.heat / 60
			}
		}
		read = append(read, at)
	}
	return read, float64(ons) / (float64(len(out)-1) / 6)
}

// cycling is how air goes up and down in a night, as readings by ten minutes show it:
// the mean time from one high point to the next [min], the median step from a high
// point to a low one [K], and how like a reading is to the one before it (-1..1, about
// the mean of the two hours around).
type cycling struct{ period, swing, likeness float64 }

func cyclesOf(s []float64) cycling {
	var highs, turns []int
	for i := 1; i+1 < len(s); i++ {
		switch a, b, c := s[i-1], s[i], s[i+1]; {
		case b > a && b >= c:
			highs, turns = append(highs, i), append(turns, i)
		case b < a && b <= c:
			turns = append(turns, i)
		}
	}
	out := cycling{period: math.NaN(), swing: math.NaN()}
	if len(highs) < 3 {
		return out
	}
	out.period = 10 * float64(highs[len(highs)-1]-highs[0]) / float64(len(highs)-1)
	var steps []float64
	for i := 1; i < len(turns); i++ {
		steps = append(steps, math.Abs(s[turns[i]]-s[turns[i-1]]))
	}
	out.swing = middle(steps)
	dev := make([]float64, len(s))
	own, next := 0.0, 0.0
	for i := range s {
		dev[i] = s[i] - mean(s[max(0, i-6):min(len(s), i+7)])
		own += dev[i] * dev[i]
		if i > 0 {
			next += dev[i] * dev[i-1]
		}
	}
	out.likeness = next / own
	return out
}

// over is the middle night of some.
func over(nights []cycling) cycling {
	pick := func(f func(cycling) float64) float64 {
		var v []float64
		for _, c := range nights {
			if x := f(c); !math.IsNaN(x) {
				v = append(v, x)
			}
		}
		return middle(v)
	}
	return cycling{
		pick(func(c cycling) float64 { return c.period }), pick(func(c cycling) float64 { return c.swing }), pick(func(c cycling) float64 { return c.likeness }),
	}
}

func measuredCycles(nights []heatedNight, house int) (out []cycling) {
	for _, n := range nights {
		out = append(out, cyclesOf(n.in[house]))
	}
	return out
}

func (w switched) cycles(nights []heatedNight) (out []cycling, perH float64) {
	for _, n := range nights {
		s, ons := w.run(n.out, w.thermostat.SetC)
		out = append(out, cyclesOf(s))
		perH += ons / float64(len(nights))
	}
	return out, perH
}

// readSwitched finds the thermostat that cycles as some nights do: middle period, swing
// and likeness, each by its share. set is the middle of the nights' air. quick and slow
// are how often the heater is switched on [min] in those that fit nearly as well: what
// readings ten minutes apart leave open.
func readSwitched(nights []heatedNight, house int, set float64) (best switched, quick, slow float64) {
	want := over(measuredCycles(nights, house))
	least := math.Inf(1)
	type tried struct{ miss, every float64 }
	var all []tried
	for _, loss := range []float64{0.05, 0.1, 0.2, 0.4, 0.8} {
		for _, heat := range []float64{3, 5, 8, 12, 18, 27} {
			for _, swing := range []float64{0.1, 0.2, 0.3, 0.45, 0.6} {
				for _, late := range []int{0, 2, 4} {
					w := switched{thermostat: Thermostat{SetC: set, SwingK: swing}, loss: loss, heat: heat, late: late}
					cycles, perH := w.cycles(nights)
					still := 0
					for _, c := range cycles {
						if math.IsNaN(c.period) {
							still++
						}
					}
					if 10*still > len(nights) {
						continue // it hardly ever cycles
					}
					got := over(cycles)
					miss := math.Abs(math.Log(got.period/want.period)) + math.Abs(math.Log(got.swing/want.swing)) + 0.3*math.Abs(got.likeness-want.likeness)
					all = append(all, tried{miss, 60 / perH})
					if miss < least {
						least, best = miss, w
					}
				}
			}
		}
	}
	quick = math.Inf(1)
	for _, x := range all {
		if x.miss < least+0.1 {
			quick, slow = math.Min(quick, x.every), math.Max(slow, x.every)
		}
	}
	return best, quick, slow
}

// The cycling of the thermostats of two heated houses (TUC13), read from half of the
// nights and judged on the other, both ways round, with the hysteresis run minute by
// minute. Readings are ten minutes apart: two in a cycle of 20 minutes, and what
// switches faster shows as something slower. Readings without any memory would turn
// every 30 minutes (three steps: the middle of three is the highest one time in three),
// and so nearly do these: the period alone does not show a thermostat, and by the night the
// other half's middle night is nearer than the thermostat. The step is what it reproduces.
func TestMeasuredCycling(t *testing.T) {
	var half [2][]heatedNight
	for _, n := range readHeatedHouses(t) {
		half[n.evening.Day()%2] = append(half[n.evening.Day()%2], n)
	}
	for house := range 2 {
		for k := range 2 {
			var inside []float64
			for _, n := range half[k] {
				inside = append(inside, n.in[house]...)
			}
			w, quick, slow := readSwitched(half[k], house, middle(inside))
			measured := measuredCycles(half[1-k], house)
			cycles, perH := w.cycles(half[1-k])
			want, got := over(measured), over(cycles)
			var byNight, plain []float64 // period by the night: ours, and the middle night of the half it was read from
			own := over(measuredCycles(half[k], house))
			for i := range measured {
				if !math.IsNaN(measured[i].period) && !math.IsNaN(cycles[i].period) {
					byNight = append(byNight, math.Abs(cycles[i].period-measured[i].period))
					plain = append(plain, math.Abs(own.period-measured[i].period))
				}
			}
			t.Logf("house %s: swing %.2f K, air loses %.2f/h, heater %.0f K/h, %d min late: on every %.0f min (others that fit nearly as well: every %.0f to %.0f). Read by ten minutes: period %.1f min (measured %.1f), step %.2f K (%.2f), likeness %+.2f (%+.2f). By the night the period is wrong by %.1f min, the other half's middle night by %.1f.",
				"AB"[house:house+1], w.thermostat.SwingK, w.loss, w.heat, w.late, 60/perH, quick, slow, got.period, want.period, got.swing, want.swing, got.likeness, want.likeness, mean(byNight), mean(plain))
			if math.Abs(got.period-want.period) > 0.25*want.period { // set after a first look
				t.Errorf("house %d, half %d: period %.1f min, measured %.1f", house, k, got.period, want.period)
			}
			if math.Abs(got.swing-want.swing) > 0.1 {
				t.Errorf("house %d, half %d: step %.2f K, measured %.2f", house, k, got.swing, want.swing)
			}
			if perH < 1 || len(byNight) < 60 {
				t.Errorf("house %d, half %d: %.2f times an hour on %d nights", house, k, perH, len(byNight))
			}
		}
	}
}

// Readings of a known wave: a period of 40 minutes and a swing of 0.6 K come back, one of
// 12 minutes is read as 60, its echo at readings by ten (1/(1/10 - 1/12)); and a noise
// without memory turns every 30 minutes.
func TestCyclesOfKnownAir(t *testing.T) {
	wave := func(period float64) (s []float64) {
		for i := range 54 {
			s = append(s, 18+0.3*math.Sin(2*math.Pi*(float64(10*i)+3)/period))
		}
		return s
	}
	if c := cyclesOf(wave(40)); math.Abs(c.period-40) > 0.5 || math.Abs(c.swing-0.6) > 0.15 {
		t.Errorf("40 minutes: %+v", c)
	}
	if c := cyclesOf(wave(12)); math.Abs(c.period-60) > 1.5 {
		t.Errorf("12 minutes: %+v", c)
	}
	var noise []float64
	r := rand.New(rand.NewPCG(1, 2))
	for range 6000 {
		noise = append(noise, r.Float64())
	}
	if c := cyclesOf(noise); math.Abs(c.period-30) > 0.7 {
		t.Errorf("noise turns every %.1f min", c.period)
	}
}
