package night

import (
	"math"
	"slices"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/burner"
	"example.org/coldnight/physics/heat"
)

// Firing says how the heaters of a house are run. The zero value heats nothing.
type Firing struct {
	Lit []Lit
	// OpeningM2 is the area of an opening cut for the fire, the same again low and
	// high, beside what the site file says is open [m2].
	OpeningM2 float64
	Fails     []Failure
	// Until ends the run: what comes after is not asked for. Zero: the end of the span.
	Until   time.Time
	NoSwaps bool // nobody changes a cylinder: what is connected must last
	// Apart: what other spaces burn of a store is counted against it elsewhere. Here it
	// only slows the gas, as all draw at once.
	Apart bool
}

// Lit is one line of heaters that burn.
type Lit struct {
	Heater    *site.Heater
	SetpointC float64 // thermostat [°C]; +Inf: none
	// Nights are set-points of their own for some nights [°C], by the local date of
	// the evening, from noon to noon.
	Nights map[string]float64
	When   site.When       // when it may burn
	Store  *site.Cylinders // what it draws on; nil: as much as it asks for
	// Share is its part of what it and the heaters of other spaces on that store draw,
	// by their inputs: those are taken to burn when it does. 0 and 1: it shares with none.
	Share float64
}

// Failure is something that stops and stays out until it is mended.
type Failure struct {
	From   time.Time
	To     time.Time // zero: to the end
	Mains  bool      // everything that needs the mains
	Heater string    // this line of heaters; "" for none
	All    bool      // every heater
}

// stops tells whether the failure takes a heater out at t.
func (f *Failure) stops(h *site.Heater, t time.Time) bool {
	return !t.Before(f.From) && (f.To.IsZero() || t.Before(f.To)) && (f.All || f.Mains && h.NeedsMains || f.Heater != "" && f.Heater == h.Name)
}

// As the site file stands: what has a thermostat and a flue, or no flame, runs by
// itself; what is lit by hand or breathes out into the house is not lit by anyone
// who has not decided to.
func automatic(h *site.Heater) bool { return h.SetpointC != nil && !h.Unvented() }

// Automatic is the firing a space has when nobody does anything; nil without one.
func (sc *Scene) Automatic(sp *site.Space) *Firing {
	var f Firing
	for _, h := range sc.HeatersOf(sp) {
		if automatic(h) {
			f.Lit = append(f.Lit, sc.Light(h, *h.SetpointC))
		}
	}
	if len(f.Lit) == 0 {
		return nil
	}
	return &f
}

// Written is the firing of everything that stands in a space, each at its own
// set-point, as the site file says; nil without a heater.
func (sc *Scene) Written(sp *site.Space) *Firing {
	var f Firing
	for _, h := range sc.HeatersOf(sp) {
		set := math.Inf(1)
		if h.SetpointC != nil {
			set = *h.SetpointC
		}
		f.Lit = append(f.Lit, sc.Light(h, set))
	}
	if len(f.Lit) == 0 {
		return nil
	}
	return &f
}

// HeatersOf lists the heaters that stand in a space. Only a house holds heat that
// can be computed: heaters in the open are left out.
func (sc *Scene) HeatersOf(sp *site.Space) []*site.Heater {
	var out []*site.Heater
	if sp.House == nil {
		return nil
	}
	for i := range sc.Site.Heaters {
		if h := &sc.Site.Heaters[i]; sc.Site.Space(h.Space) == sp && h.InputW > 0 {
			out = append(out, h)
		}
	}
	return out[:min(len(out), heat.MaxHeaters)]
}

// Light lights a line of heaters at a set-point [°C], +Inf for no thermostat. What
// runs by itself may burn at any hour; what is lit by hand burns from an hour before
// sunset to two hours after sunrise and is lit anew each evening.
func (sc *Scene) Light(h *site.Heater, setC float64) Lit {
	l := Lit{Heater: h, SetpointC: setC, Share: 1}
	if h.SetpointC == nil {
		l.SetpointC = math.Inf(1)
	}
	if !automatic(h) {
		l.When = site.When{Kind: site.EveningMorning}
	}
	for i := range sc.Site.Cylinders {
		c := &sc.Site.Cylinders[i]
		if !slices.Contains(c.Feeds, h.Name) {
			continue
		}
		l.Store = c
		all := 0.0
		for k := range sc.Site.Heaters {
			o := &sc.Site.Heaters[k]
			if at := sc.Site.Space(o.Space); at != nil && at != sc.Site.Space(h.Space) && slices.Contains(c.Feeds, o.Name) {
				all += o.InputW * float64(max(o.Count, 1))
			}
		}
		l.Share = 1 / (1 + all/l.inputW())
	}
	return l
}

// fuel of a heater; ok is false for electricity and hot water.
func (l *Lit) fuel() (burner.Fuel, bool) { return burner.Find(l.Heater.Fuel) }

// inputW is the input of the whole line at full burn [W].
func (l *Lit) inputW() float64 { return l.Heater.InputW * float64(max(l.Heater.Count, 1)) }

// heater is the line as a heater of a cell of so much floor. A flame without a
// flue leaves all its heat, the part of its water as vapour; what leaves by a flue
// carries the water along.
func (l *Lit) heater(floorM2 float64, zone int) heat.Heater {
	h := l.Heater
	full := l.inputW() / floorM2
	out := heat.Heater{Zone: zone, SetC: l.SetpointC, SwingK: h.SwingK, Least: h.Least}
	if out.SwingK <= 0 {
		out.SwingK = usualSwingK
	}
	warm := full * h.Efficiency
	if f, ok := l.fuel(); ok && h.Unvented() {
		out.VapourKgM2S = f.Rate(full) * f.Water
		warm = math.Max(0, warm-heat.Latent*out.VapourKgM2S)
	}
	out.RadiantWM2 = warm * h.Radiant
	out.AirWM2 = warm - out.RadiantWM2
	return out
}

// usualSwingK is the swing of a thermostat nobody described [K]: judgement.
const usualSwingK = 2.0
