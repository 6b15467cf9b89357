package site

import (
	"fmt"
	"slices"
	"strings"

	"example.org/coldnight/measure"
)

func (r *reader) readCircuits() {
	for i := range r.root.Circuit {
		f := &r.root.Circuit[i]
		r.site.Circuits = append(r.site.Circuits, Circuit{f.Name.Text, f.Volts.Num, f.Amps.Num, r.line(f.At.Off)})
	}
	r.unlike("circuit", len(r.root.Circuit), func(i int) value { return r.root.Circuit[i].Name })
}

func (r *reader) circuitNames() (out []string) {
	for _, c := range r.site.Circuits {
		out = append(out, c.Name)
	}
	return out
}

// loads adds up what hangs on each circuit. More than its breaker in one space is refused; in several together it is remarked:
// then a plan runs no more of it than the breaker holds. Above 80 % of it, the usual limit for what runs on for hours, it is
// remarked as well (common practice; local code decides).
func (r *reader) loads() {
	for i, c := range r.site.Circuits {
		w, on, most, bySpace := 0.0, []string{}, 0.0, map[string]float64{}
		for j := range r.site.Heaters {
			if h := &r.site.Heaters[j]; h.Circuit == c.Name && h.MainsW > 0 {
				w += h.MainsW * float64(h.Count)
				on = append(on, h.called())
				if h.Space == "" { // wherever it is carried, one hangs there at least
					most = max(most, h.MainsW)
					continue
				}
				bySpace[h.Space] += h.MainsW * float64(h.Count)
				most = max(most, bySpace[h.Space])
			}
		}
		for j := range r.site.Fans {
			if f := &r.site.Fans[j]; f.Circuit == c.Name && f.MainsW > 0 {
				w += f.MainsW * float64(f.Count)
				most += f.MainsW * float64(f.Count) // they run all night
				on = append(on, f.Name)
			}
		}
		for j := range r.site.Spaces {
			if s := &r.site.Spaces[j]; s.House != nil && s.House.BlowerCircuit == c.Name && s.House.BlowerW > 0 {
				w += s.House.BlowerW
				most += s.House.BlowerW
				on = append(on, "the blower of "+s.Name)
			}
		}
		if c.Volts == 0 || c.Amps == 0 || len(on) == 0 {
			continue
		}
		amps, at := w/c.Volts, r.root.Circuit[i].Amps.At
		takes := strings.Join(on, " and ") + " would take " + short(amps) + " A at " + short(c.Volts) + " V"
		if len(on) > 2 {
			takes = listed(on) + " together would take " + short(amps) + " A at " + short(c.Volts) + " V"
		}
		switch {
		case amps > c.Amps*1.001 && most/c.Volts <= c.Amps*1.001:
			r.assume("circuit "+c.Name, "load", fmt.Sprintf("%.0f %% of its breaker with all of it on", 100*amps/c.Amps),
				takes+" and the breaker holds "+short(c.Amps)+" A: not all may run at once, and a plan keeps to that; leave the breaker as it is, the wires in the wall are made for its size", r.root.Circuit[i].At)
		case amps > c.Amps*1.001:
			hint := "put less on it, and leave the breaker as it is: the wires in the wall are made for its size"
			if g := r.lessInput(c); g != "" {
				hint = "did you mean input = " + quoted(g) + " for " + on[0] + "? otherwise " + hint
			}
			if amps <= 2*c.Amps && c.Volts < 150 {
				hint += "; or is the circuit for 230 V or 240 V?"
			}
			r.complain(at, takes+", more than the breaker of "+short(c.Amps)+" A holds", hint)
		case amps > 0.8*c.Amps:
			r.assume("circuit "+c.Name, "load", fmt.Sprintf("%.0f %% of its breaker", 100*amps/c.Amps),
				takes+"; what runs for hours is usually kept below 80 % (common practice; your local code decides)", r.root.Circuit[i].At)
		}
	}
}

// lessInput is the input of the one electric heater on a circuit in a smaller unit with which its breaker holds, or "".
func (r *reader) lessInput(c Circuit) string {
	out, n := "", 0
	for j := range r.site.Heaters {
		h := &r.site.Heaters[j]
		if h.Circuit != c.Name || h.MainsW <= 0 {
			continue
		}
		if n++; h.Kind != Electric {
			return ""
		}
		least, _ := h.Kind.sizes()
		fits := func(w float64) bool { return w >= least && w*float64(h.Count)/c.Volts <= c.Amps }
		out = guess(r.root.Heater[j].Input.Text, reads[measure.Power], fits, measure.Watt, measure.BTUPerHour)
	}
	if n != 1 {
		return ""
	}
	return out
}

func (r *reader) readBackups() {
	for i := range r.root.Backup {
		f := &r.root.Backup[i]
		r.site.Backups = append(r.site.Backups, Backup{f.Name.Text, f.Power.Num, f.Hours.Num, f.Fuel.Text, r.line(f.At.Off)})
	}
	r.unlike("backup", len(r.root.Backup), func(i int) value { return r.root.Backup[i].Name })
}

func (r *reader) readPrices() {
	f, p := &r.root.Prices, &r.site.Prices
	for _, x := range []struct {
		key, fuel string
		v         value
	}{{"propane", "propane", f.Propane}, {"butane", "butane", f.Butane}, {"natural_gas", "natural gas", f.NaturalGas}, {"kerosene", "kerosene", f.Kerosene}} {
		if !x.v.Set {
			continue
		}
		fu, _ := fuelOf(x.fuel)
		if p.PerKg == nil {
			p.PerKg = map[string]float64{}
		}
		perKg := fu.perKg(x.v)
		if perKg < 1e-5 || perKg > 1e7 {
			r.complain(x.v.At, x.key+" "+quote(x.v.Text)+" is not a believable price: "+short(perKg)+" per kg", "check the number and what it is for")
			continue
		}
		p.PerKg[x.fuel], p.Set = perKg, true
	}
	if e := f.Electricity; e.Set {
		if e.Sort != byEnergy {
			r.complain(e.At, "electricity "+quote(e.Text)+" is not sold so", "write electricity = \"0.31 per kWh\"")
		}
		if e.Num < 1e-5 || e.Num > 1e7 {
			r.complain(e.At, "electricity "+quote(e.Text)+" is not a believable price", "write electricity = \"0.31 per kWh\"")
		}
		p.PerKWh, p.Set = e.Num, true
	}
	if len(r.site.Heaters) == 0 {
		return
	}
	if !p.Set {
		r.assume("prices", "fuel", "counted as free", "no [prices]; a plan cannot weigh what heat costs", f.At)
		return
	}
	var free []string
	for _, h := range r.site.Heaters {
		if _, given := p.PerKg[h.Fuel]; h.Fuel != "" && !given && !(h.Fuel == Electricity && p.PerKWh > 0) && !slices.Contains(free, h.Fuel) {
			free = append(free, h.Fuel)
		}
	}
	if len(free) > 0 {
		r.assume("prices", listed(free), "counted as free", "no price; a plan cannot weigh what its heat costs", f.At)
	}
}
