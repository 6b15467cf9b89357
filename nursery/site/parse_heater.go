package site

import (
	"fmt"
	"slices"
	"strings"

	"example.org/coldnight/measure"
)

const usualSwingK = 2 // of a thermostat; judgement, listed as assumed

func (r *reader) readHeat() {
	r.readCircuits()
	for i := range r.root.Heater {
		r.site.Heaters = append(r.site.Heaters, r.heater(&r.root.Heater[i]))
	}
	r.unlike("heater", len(r.root.Heater), func(i int) value { return r.root.Heater[i].Name })
	r.readFans()
	r.blowers()
	r.readCylinders()
	r.loads()
	r.readBackups()
	r.readPrices()
}

func (r *reader) heater(f *fileHeater) Heater {
	h := Heater{
		Name: f.Name.Text, Space: f.Space.Text, Kind: HeaterKind(f.Kind.Text), Count: 1, InputW: f.Input.Num, Fuel: f.Fuel.Text,
		Vented: f.Flue.Flag, OutsideAir: f.OutsideAir.Flag, Efficiency: f.Efficiency.Num, Radiant: f.Radiant.Num, Least: 1,
		NeedsMains: f.Mains.Flag, MainsW: f.Power.Num, Hood: f.Hood.Flag, Damper: f.Damper.Flag, MovesM3S: f.Moves.Num, CutoffO2: f.Cutoff.Num, Portable: f.Portable.Flag, Line: r.line(f.At.Off),
	}
	if f.Count.Set {
		h.Count = int(f.Count.Num)
	}
	switch {
	case f.Space.Set:
		h.Space, _ = r.refer("space", f.Space.At, f.Space.Text, r.spaceNames())
	case f.Space.open() && !h.Portable:
		r.complain(f.At, h.called()+" has no space", "add space = "+quoted(r.anySpace())+", or portable = true if it is carried to where it is needed")
	}
	if f.Kind.Text == "" { // nothing more can be said of it
		return h
	}
	if h.Kind == VentedGas && f.Flue.open() {
		h.Vented = true
	}
	r.heaterFuel(f, &h)
	r.heaterInput(f, &h)
	r.heaterFlame(f, &h)
	r.heaterFlue(f, &h)
	r.heaterMains(f, &h)
	r.thermostat(f, &h)
	if f.Efficiency.open() {
		h.Efficiency = 1
		why := "not given; nothing of it goes up a flue"
		switch {
		case h.Vented:
			h.Efficiency, why = 0.8, "not given; common practice for a heater with a flue, its plate says better"
		case h.Burns():
			why += ", and that of its water stays as damp"
		}
		r.assume(h.where(), "efficiency", short(100*h.Efficiency)+" %", why, f.At)
	}
	if f.Radiant.open() {
		h.Radiant = h.Kind.radiant()
		r.assume(h.where(), "radiant", short(100*h.Radiant)+" %", "not given; judgement for kind "+quote(string(h.Kind)), f.At)
	}
	r.breathing(f, &h)
	return h
}

// called is how messages name a heater.
func (h *Heater) called() string {
	if h.Name == "" {
		return "this heater"
	}
	return h.Name
}

// where is its place in the list of assumptions: with its space, so that they are found from there.
func (h *Heater) where() string {
	if h.Space == "" {
		return "heater " + h.called()
	}
	return h.Space + ", heater " + h.called()
}

// heaterFuel fills in the fuel: as written, or the only one of the kind, or that of the cylinder that feeds it.
func (r *reader) heaterFuel(f *fileHeater, h *Heater) {
	suits := h.Kind.suits()
	if f.Fuel.Sort == bad {
		return
	}
	if f.Fuel.Set {
		if !slices.Contains(suits, h.Fuel) {
			hint := "that kind takes " + strings.Join(suits, " or ")
			if kinds := kindsFor(h.Fuel); len(kinds) > 0 {
				hint += "; for " + h.Fuel + " write kind = " + strings.Join(kinds, " or ")
			}
			r.complain(f.Fuel.At, "fuel "+quote(h.Fuel)+" does not suit kind "+quote(string(h.Kind)), hint)
			h.Fuel = "" // not to be complained about again at the cylinder
		}
		return
	}
	if len(suits) == 1 {
		h.Fuel = suits[0]
		return
	}
	fed := h.Kind == TankTop
	for _, c := range r.root.Cylinder {
		if !slices.ContainsFunc(c.Feeds.List, func(n string) bool { return plain(n) == plain(h.Name) }) {
			continue
		}
		if fed = true; c.Fuel.Set && slices.Contains(suits, c.Fuel.Text) {
			h.Fuel = c.Fuel.Text
			return
		}
	}
	if !fed {
		hint := "add fuel = \"propane\", \"natural gas\" or \"butane\""
		if h.Kind == UnventedGas { // wall and space heaters are sold for both
			hint += "; for one that takes electricity write kind = \"electric\""
		}
		r.complain(f.At, h.called()+" has no fuel", hint)
		return
	}
	h.Fuel = suits[0]
	r.assume(h.where(), "fuel", h.Fuel, "not given, neither here nor with its cylinder", f.At)
}

// kindsFor lists the kinds that a fuel suits, quoted.
func kindsFor(fuel string) (out []string) {
	for _, k := range choices("heater") {
		if slices.Contains(HeaterKind(k).suits(), fuel) {
			out = append(out, quoted(k))
		}
	}
	return out
}

func (r *reader) heaterInput(f *fileHeater, h *Heater) {
	least, most := h.Kind.sizes()
	if !f.Input.Set {
		return
	}
	if h.InputW < least || h.InputW > most {
		units := []measure.Unit{measure.BTUPerHour, measure.Kilowatt, measure.Watt}
		if h.Kind == Electric {
			slices.Reverse(units)
		}
		hint := "it lies between " + sayInput(least) + " and " + sayInput(most)
		if g := guess(f.Input.Text, reads[measure.Power], func(w float64) bool { return w >= least && w <= most }, units...); g != "" {
			hint = "did you mean " + quote(g) + "? " + hint
		}
		r.complain(f.Input.At, "input "+quote(f.Input.Text)+" is not believable for kind "+quote(string(h.Kind)), hint)
		return
	}
	// 20 kW of a flame is written so, but 20,000 W hardly ever.
	if n, _ := leading(f.Input.Text); n >= 20000 && n == h.InputW && h.Burns() {
		r.assume(h.where(), "input", sayInput(h.InputW), "taken as written, "+f.Input.Text+"; plates with such large numbers are mostly in BTU/h", f.At)
	}
}

func sayInput(w float64) string {
	return measure.SI.Power(measure.Power(w)) + " (" + measure.Customary.Power(measure.Power(w)) + ")"
}

// heaterFlame checks what only goes with a flame, and what of it with a flue.
func (r *reader) heaterFlame(f *fileHeater, h *Heater) {
	if !h.Burns() {
		for _, x := range []struct {
			key string
			v   value
		}{{"flue", f.Flue}, {"outside_air", f.OutsideAir}, {"cutoff", f.Cutoff}} {
			if x.v.Set && (x.v.Flag || x.v.Num > 0) {
				r.complain(x.v.At, x.key+" is given and nothing burns in a heater of kind "+quote(string(h.Kind)), "take "+x.key+" out, or change kind")
			}
		}
		return
	}
	switch {
	case h.Kind == VentedGas && !h.Vented:
		r.complain(f.Flue.At, "a vented gas heater has a flue", "take flue out, or write kind = \"unvented gas\"")
	case (h.Kind == UnventedGas || h.Kind == TankTop) && h.Vented:
		r.complain(f.Flue.At, "flue is given with kind "+quote(string(h.Kind))+", which has none", "take flue out, or write kind = \"vented gas\"")
	case h.OutsideAir && !h.Vented:
		r.complain(f.OutsideAir.At, "outside_air is given for a heater without a flue, which burns the air of the house", "take outside_air out, or say that it has a flue")
	case h.Vented && f.OutsideAir.open():
		r.assume(h.where(), "outside_air", "false", "not given; it burns the air of the house and draws cold air in for it", f.At)
	}
}

func (r *reader) heaterMains(f *fileHeater, h *Heater) {
	if h.Kind == Electric {
		if f.Mains.Set && !f.Mains.Flag {
			r.complain(f.Mains.At, "mains = false is given for an electric heater, which stops with the mains", "take mains out; what keeps it going then is a [[backup]]")
		}
		if f.Power.Set {
			r.complain(f.Power.At, "power is given for an electric heater, whose input is all the electricity it takes", "take power out")
		}
		h.NeedsMains, h.MainsW = true, h.InputW
	} else {
		switch {
		case f.Mains.open() && !slices.Contains(r.meant, meant{f.At, "mains"}):
			r.complain(f.At, h.called()+" does not say whether it stops when the power fails",
				"add mains = true if a fan, a pump, its ignition or its thermostat needs electricity, mains = false if it goes on without")
		case f.Mains.Set && !h.NeedsMains && f.Power.Set:
			r.complain(f.Power.At, "power is given with mains = false", "what takes electricity stops with it: write mains = true, or take power out")
		case f.Mains.Set && !h.NeedsMains && f.Circuit.Set:
			r.complain(f.Circuit.At, "circuit is given with mains = false", "what hangs on a circuit stops with it: write mains = true, or take circuit out")
		case h.NeedsMains && f.Power.open():
			r.assume(h.where(), "power", "none", "not given; what its fan, pump and controls take is counted neither on a circuit nor on a backup", f.At)
		}
	}
	switch {
	case f.Circuit.Set && h.NeedsMains:
		h.Circuit, _ = r.refer("circuit", f.Circuit.At, f.Circuit.Text, r.circuitNames())
	case h.Kind == Electric && f.Circuit.open():
		r.assume(h.where(), "circuit", "not said", "no breaker is checked for it", f.At)
	}
}

func (r *reader) thermostat(f *fileHeater, h *Heater) {
	if f.Least.Set {
		h.Least = f.Least.Num
	}
	if !f.Setpoint.Set {
		if f.Swing.Set {
			r.complain(f.Swing.At, "swing is given without a setpoint", "add setpoint = \"40 °F\", or take swing out")
		}
		if f.Setpoint.open() {
			why := "not given; without a thermostat it runs until it is shut off"
			if h.Burns() {
				why += " or its fuel is gone"
			}
			r.assume(h.where(), "setpoint", "none", why, f.At)
		}
		return
	}
	h.SetpointC, h.SwingK = &f.Setpoint.Num, f.Swing.Num
	if f.Swing.open() {
		h.SwingK = usualSwingK
		r.assume(h.where(), "swing", "2 °C (4 °F)", "not given; between the thermostat's switching on and off", f.At)
	}
	if f.Least.open() {
		r.assume(h.where(), "least", "100 %", "not given; it is on or off", f.At)
	}
}

// breathing remarks on a flame that uses up the air of its house with nothing to stop it and nothing let in. A remark less is
// no word that it is safe.
func (r *reader) breathing(f *fileHeater, h *Heater) {
	s := r.site.Space(h.Space)
	if !h.Unvented() || h.CutoffO2 > 0 || !f.Cutoff.open() || s == nil || s.House == nil {
		return
	}
	if b := s.House; b.OpeningLowM2 > 0 || b.OpeningHighM2 > 0 || b.Vents > 0 {
		return
	}
	r.assume(h.where(), "air to burn", "only what leaks in",
		"it has no flue and no cutoff, and the house no opening_low, opening_high or open vents: fumes can make people ill or kill them; follow the maker's instructions and local codes", f.At)
}

// refer finds a name in a list, whatever its capitals, and returns it as written there.
func (r *reader) refer(what string, at span, name string, names []string) (string, bool) {
	for _, n := range names {
		if plain(n) == plain(name) {
			return n, true
		}
	}
	hint := "add [[" + what + "]] with that name"
	if near := nearest(name, names); near != "" {
		hint = "did you mean " + quote(near) + "?"
	} else if some := containing(name, names); len(some) > 0 {
		hint = "did you mean one of: " + listed(some[:min(6, len(some))]) + "?"
	} else if len(names) > 0 {
		hint += fmt.Sprintf("; there are %s", listed(names[:min(6, len(names))]))
	}
	r.complain(at, "there is no "+what+" "+quote(name), hint)
	return name, false
}

func (r *reader) spaceNames() (out []string) {
	for _, s := range r.site.Spaces {
		out = append(out, s.Name)
	}
	return out
}

func (r *reader) anySpace() string {
	for _, s := range r.site.Spaces {
		if s.House != nil && s.Name != "" {
			return s.Name
		}
	}
	return "North house"
}
