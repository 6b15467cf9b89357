package site

import (
	"strconv"

	"example.org/coldnight/measure"
)

func (w *writer) heaters(list []Heater) {
	for i := range list {
		h := &list[i]
		w.header("[[heater]]")
		w.text("name", h.Name)
		w.optional("space", h.Space)
		w.text("kind", string(h.Kind))
		w.line("count", strconv.Itoa(h.Count))
		w.power("input", h.InputW)
		w.text("fuel", h.Fuel)
		w.line("mains", strconv.FormatBool(h.NeedsMains))
		if h.MainsW != 0 && h.Kind != Electric {
			w.power("power", h.MainsW)
		}
		w.optional("circuit", h.Circuit)
		w.temperature("setpoint", h.SetpointC)
		if h.SetpointC != nil {
			units := w.first([]measure.Unit{measure.Fahrenheit}, []measure.Unit{measure.Celsius}, measure.Celsius)
			w.text("swing", writes[measure.TemperatureDiff](h.SwingK, units...))
		}
		w.share("least", h.Least)
		w.share("efficiency", h.Efficiency)
		w.share("radiant", h.Radiant)
		w.flag("flue", h.Vented)
		if h.Vented {
			w.line("outside_air", strconv.FormatBool(h.OutsideAir))
			if !h.OutsideAir {
				w.line("hood", strconv.FormatBool(h.Hood))
			}
			w.flag("damper", h.Damper)
		}
		w.air("moves", h.MovesM3S)
		if h.CutoffO2 != 0 {
			w.share("cutoff", h.CutoffO2)
		}
		w.flag("portable", h.Portable)
	}
}

func (w *writer) cylinders(list []Cylinders) {
	for i := range list {
		c := &list[i]
		w.header("[[cylinder]]")
		w.text("name", c.Name)
		w.text("fuel", c.Fuel)
		w.line("feeds", w.list(c.Feeds))
		w.mass("holds", c.HoldsKg)
		w.line("count", strconv.Itoa(c.Count))
		if c.Count > 1 {
			w.line("together", strconv.FormatBool(c.Together))
		}
		left := make([]string, len(c.LeftKg))
		for i, kg := range c.LeftKg {
			left[i] = w.weighs(kg)
		}
		w.line("left", w.list(left))
		w.text("left_from", c.LeftFrom)
		if c.TareKg != 0 {
			w.mass("empty", c.TareKg)
		}
		w.line("spare", strconv.Itoa(c.Spare))
		w.flag("can_buy", c.CanBuy)
		stands := outdoors
		if c.Indoors {
			stands = inTheHouse
		}
		w.text("stands", stands)
	}
}

func (w *writer) mains(circuits []Circuit, backups []Backup) {
	for _, c := range circuits {
		w.header("[[circuit]]")
		w.text("name", c.Name)
		w.text("volts", decimal(c.Volts)+" V")
		w.text("amps", decimal(c.Amps)+" A")
	}
	for _, b := range backups {
		w.header("[[backup]]")
		w.text("name", b.Name)
		w.power("power", b.PowerW)
		w.text("hours", decimal(b.RunHours)+" h")
		w.optional("fuel", b.Fuel)
	}
}

func (w *writer) prices(p Prices) {
	if !p.Set {
		return
	}
	w.header("[prices]")
	for _, x := range [][2]string{{"propane", "propane"}, {"butane", "butane"}, {"natural_gas", "natural gas"}, {"kerosene", "kerosene"}} {
		if perKg, given := p.PerKg[x[1]]; given {
			fu, _ := fuelOf(x[1])
			w.text(x[0], w.price(perKg, fu))
		}
	}
	if p.PerKWh != 0 {
		w.text("electricity", decimal(p.PerKWh)+" per kWh")
	}
}

// price writes a price per kilogram as that fuel is sold, where a short number reads back as exactly the same.
func (w *writer) price(perKg float64, f fuel) string {
	units := w.first([]measure.Unit{measure.Gallon, measure.Pound}, []measure.Unit{measure.Kilogram, measure.Litre}, measure.Kilogram)
	if !f.bottled() {
		units = w.first([]measure.Unit{measure.Therm}, []measure.Unit{measure.CubicMetre, measure.KilowattHour}, measure.Kilogram)
	}
	for _, u := range units {
		one, text, _ := price("", "", value{Text: "1 per " + string(u)}, written{})
		if text != "" {
			continue
		}
		n, _ := strconv.ParseFloat(strconv.FormatFloat(perKg/f.perKg(one), 'g', 7, 64), 64)
		said := decimal(n) + " per " + string(u)
		if back, text, _ := price("", "", value{Text: said}, written{}); text == "" && f.perKg(back) == perKg {
			return said
		}
	}
	return decimal(perKg) + " per kg"
}

func (w *writer) opening(key string, m2 float64) {
	if m2 != 0 {
		units := w.first([]measure.Unit{measure.SquareInch, measure.SquareFoot}, []measure.Unit{measure.SquareCentimetre}, measure.SquareMetre)
		w.text(key, writes[measure.Area](m2, units...))
	}
}

func (w *writer) power(key string, x float64) {
	units := w.first([]measure.Unit{measure.BTUPerHour}, []measure.Unit{measure.Kilowatt}, measure.Watt)
	w.text(key, writes[measure.Power](x, units...))
}

func (w *writer) weighs(kg float64) string {
	return writes[measure.Mass](kg, w.first([]measure.Unit{measure.Pound}, []measure.Unit{measure.Kilogram}, measure.Kilogram)...)
}

func (w *writer) mass(key string, kg float64) { w.text(key, w.weighs(kg)) }

// list writes texts as a list.
func (w *writer) list(texts []string) string {
	out := make([]string, len(texts))
	for i, t := range texts {
		out[i] = quoted(t)
	}
	return "[" + listed(out) + "]"
}
