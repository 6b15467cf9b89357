package plan

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
)

// Steps of counted limits.
const (
	fuelStepKg = 0.1
	ampStep    = 0.1
	cupBox     = 50 // cups that are bought at once. Judgement
	// forHours is how much of a breaker may be loaded by what runs for hours. Common
	// practice, no source; local code decides.
	forHours = 0.8
	// boughtMost is how many full cylinders are taken to be had where the supplier still
	// comes: more than any freeze of four nights burns.
	boughtMost = night.BoughtMost
)

// Names of limits, as they stand in the list of supplies.
func fuelLimit(c *site.Cylinders) string {
	if c.CanBuy {
		return c.Fuel + ", " + c.Name + ", with what can be bought"
	}
	return c.Fuel + ", " + c.Name
}

func circuitLimit(c *site.Circuit) string   { return "load on circuit " + c.Name }
func heaterLimit(name string) string        { return "heaters to carry, " + name }
func wishLimit(what string) string          { return "one more: " + what }
func fuelSteps(kg float64) int              { return int(math.Ceil(kg/fuelStepKg - 1e-6)) }
func ampSteps(a float64) int                { return int(math.Round(a / ampStep)) }
func haveKg(c *site.Cylinders) (kg float64) { return leftKg(c) + float64(c.Spare)*c.HoldsKg }

func leftKg(c *site.Cylinders) (kg float64) {
	for _, left := range c.LeftKg {
		kg += left
	}
	return kg
}

// fuelHave is what of a set can be burnt over the freeze [steps]: what is connected
// and spare, and what the supplier brings where he still comes.
func fuelHave(c *site.Cylinders) int {
	kg := haveKg(c)
	if c.CanBuy {
		kg += boughtMost * c.HoldsKg
	}
	return fuelSteps(kg)
}

// countedShelf is what there is of fuel, amperes, heaters that can be carried, barrels
// and wraps.
func (f *Freeze) countedShelf() map[string]Counted {
	s := f.Scene.Site
	out := f.singles()
	unit, each := "kg", fuelStepKg
	if s.Units == measure.Customary {
		unit, each = "lb", fuelStepKg*kgToLb
	}
	for i := range s.Cylinders {
		c := &s.Cylinders[i]
		out[fuelLimit(c)] = Counted{Have: fuelHave(c), Unit: unit, Each: each, More: max(1, fuelSteps(c.HoldsKg))}
	}
	for i := range s.Circuits {
		c := &s.Circuits[i]
		out[circuitLimit(c)] = Counted{Have: f.ampsFor(c), Unit: "A", Each: ampStep, More: ampSteps(1)}
	}
	for i := range s.Heaters {
		if h := &s.Heaters[i]; h.Portable {
			out[heaterLimit(h.Name)] = Counted{Have: max(h.Count, 1)}
		}
	}
	return out
}

// kgToLb is pounds in a kilogram: the international pound is 0.45359237 kg.
const kgToLb = 1 / 0.45359237

// ampsFor is what may hang on a circuit all night [steps]: 80 % of its breaker, or what
// comes on by itself there as the site file is written, never above the breaker; less
// what fans and blowers take of it.
func (f *Freeze) ampsFor(c *site.Circuit) int {
	alone := 0.0
	for i := range f.Scene.Site.Spaces {
		if g := f.Scene.Automatic(&f.Scene.Site.Spaces[i]); g != nil {
			alone += ampsOf(g, c)
		}
	}
	base := 0.0
	for _, l := range heating.Circuits(f.Scene.Site, nil) {
		if l.Name == c.Name {
			base = l.Amps
		}
	}
	return max(0, ampSteps(math.Min(c.Amps, math.Max(forHours*c.Amps, alone+base))-base))
}

// ampsOf is what a firing hangs on a circuit [A].
func ampsOf(g *night.Firing, c *site.Circuit) float64 {
	w := 0.0
	for i := range g.Lit {
		if h := g.Lit[i].Heater; h.Circuit == c.Name {
			w += h.MainsW * float64(max(h.Count, 1))
		}
	}
	if c.Volts == 0 {
		return 0
	}
	return w / c.Volts
}

// takes adds to what a way needs the fuel, the amperes and the heaters to carry that
// its fires take. Fuel is what it burns in nine freezes of ten like this, at most all
// there is: where that is not enough the simulation has let it run dry.
func (f *Freeze) takes(n *Needs, p *night.Protection, h *night.HeatOutlook) {
	if p.Firing == nil {
		return
	}
	s := f.Scene.Site
	out := maps.Clone(n.Counted)
	if out == nil {
		out = map[string]int{}
	}
	for i := range s.Circuits {
		delete(out, circuitLimit(&s.Circuits[i]))
		if a := ampSteps(ampsOf(p.Firing, &s.Circuits[i])); a > 0 {
			out[circuitLimit(&s.Circuits[i])] = a
		}
	}
	for i := range s.Heaters {
		delete(out, heaterLimit(s.Heaters[i].Name))
	}
	kg := map[*site.Cylinders]float64{}
	for l := range p.Firing.Lit {
		lit := &p.Firing.Lit[l]
		if lit.Heater.Portable {
			out[heaterLimit(lit.Heater.Name)] += max(lit.Heater.Count, 1)
		}
		if lit.Store != nil && h != nil && l < len(h.Lines) && h.Lines[l].Unit == "kg" {
			kg[lit.Store] += h.Lines[l].Used.P90
		}
	}
	for i := range s.Cylinders {
		c := &s.Cylinders[i]
		delete(out, fuelLimit(c))
		if x := min(fuelSteps(kg[c]), fuelHave(c)); x > 0 {
			out[fuelLimit(c)] = x
		}
	}
	n.Counted = out
}

// apart marks the fires of ways that share a set of cylinders with other spaces: what
// those burn is counted by the choice, and only slows the gas here.
func apart(ways []way) {
	for i := range ways {
		g := ways[i].protection.Firing
		if g == nil || !slices.ContainsFunc(g.Lit, func(l night.Lit) bool { return l.Store != nil && l.Share > 0 && l.Share < 1 }) {
			continue
		}
		own := *g
		own.Apart = true
		ways[i].protection.Firing = &own
	}
}

// eased are the facts for a site where not even the least that burns by itself keeps
// the limits and nobody is there to turn it down: fuel and load are then no limit.
func (f Facts) eased() (Facts, bool) {
	c := map[string]Counted{}
	var short []string
	for _, name := range sortedKeys(f.Choices.Shelf.Counted) {
		k := f.Choices.Shelf.Counted[name]
		first := 0
		for _, s := range f.Choices.Spaces {
			if len(s.Options) > 0 {
				first += s.Options[0].Needs.Counted[name]
			}
		}
		if first > k.Have {
			short = append(short, fmt.Sprintf("%s (%s of %s)", name, k.figure(first), k.figure(k.Have)))
			k.Have = first
		}
		c[name] = k
	}
	if len(short) == 0 {
		return f, false
	}
	f.Choices.Shelf.Counted = c
	f.Choices.Spaces = slices.Clone(f.Choices.Spaces)
	for s := range f.Choices.Spaces { // wishes stay wishes, whatever the limits are now
		sp := &f.Choices.Spaces[s]
		sp.Options = slices.DeleteFunc(slices.Clone(sp.Options), func(o Option) bool { return o.Wish })
	}
	f.Assumed = append(slices.Clone(f.Assumed), "what comes on by itself takes more than there is, and nobody has the time to turn it down: "+strings.Join(short, ", ")+"; somewhere it will go out or the breaker will open")
	return f, true
}

// limitsSaid says what the limits of fuel and load rest on, where there are any.
func (f *Freeze) limitsSaid() []string {
	var out []string
	s := f.Scene.Site
	var buy, not []string
	for i := range s.Cylinders {
		if s.Cylinders[i].CanBuy {
			buy = append(buy, s.Cylinders[i].Name)
		} else {
			not = append(not, s.Cylinders[i].Name)
		}
	}
	if len(not) > 0 {
		out = append(out, fmt.Sprintf("%s: what is there now is all there is for the whole freeze; a space is counted with what it burns in nine freezes of ten like this. Where full ones can still be had in time write can_buy = true", phrase.List(not)))
	}
	if len(buy) > 0 {
		out = append(out, fmt.Sprintf("%s: what is short is taken to be bought before it is needed (can_buy)", phrase.List(buy)))
	}
	if len(s.Circuits) > 0 {
		out = append(out, "a circuit is loaded to 80 % of its breaker, or to what comes on by itself there if that is more (common practice; local code decides)")
	}
	return out
}
