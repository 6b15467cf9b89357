package site

import (
	"bytes"
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"example.org/coldnight/measure"
)

// Format writes a site file that Parse reads back as the same Site, line numbers aside. Values that Parse had assumed are
// written out, so they are no longer assumptions. Numbers come in the site's units where that loses nothing, else in SI.
func Format(s *Site) []byte {
	w := &writer{units: s.Units}
	w.header("[site]")
	w.text("name", s.Name)
	w.line("latitude", decimal(s.LatDeg))
	w.line("longitude", decimal(s.LonDeg))
	w.length("elevation", s.ElevationM)
	w.text("timezone", s.Zone.String())
	w.text("units", unitsWord(s.Units))
	w.optional("money", s.Money)
	w.optional("risk", string(s.Risk))
	w.odds("odds", s.Odds)
	w.optional("heat_by", string(s.HeatBy))
	w.text("surroundings", string(s.Surroundings))
	w.text("ground", string(s.Ground.Texture))
	w.text("moisture", string(s.Ground.Moisture))
	for i := range s.Spaces {
		w.space(&s.Spaces[i])
	}
	w.shed(&s.Shed)
	w.rooms(s.Rooms)
	for _, c := range s.Crew {
		w.header("[[crew]]")
		w.text("name", c.Name)
		w.line("people", strconv.Itoa(c.People))
		w.text("from", hour(c.FromMin))
		w.text("to", hour(c.ToMin))
	}
	w.labour(&s.Labour)
	w.heaters(s.Heaters)
	w.fans(s.Fans)
	w.cylinders(s.Cylinders)
	w.mains(s.Circuits, s.Backups)
	w.prices(s.Prices)
	return w.Bytes()
}

type writer struct {
	bytes.Buffer
	units measure.Units
}

func (w *writer) header(h string) {
	if w.Len() > 0 {
		w.WriteByte('\n')
	}
	w.WriteString(h + "\n")
}

func (w *writer) line(key, val string) { fmt.Fprintf(w, "%s = %s\n", key, val) }
func (w *writer) text(key, s string)   { w.line(key, quoted(s)) }

func (w *writer) optional(key, s string) {
	if s != "" {
		w.text(key, s)
	}
}

func (w *writer) flag(key string, on bool) {
	if on {
		w.line(key, "true")
	}
}

// first puts the customary units before the metric ones where the site reads those.
func (w *writer) first(customary, metric []measure.Unit, si measure.Unit) []measure.Unit {
	if w.units != measure.Customary {
		customary, metric = metric, customary
	}
	return append(append(customary, metric...), si)
}

func (w *writer) length(key string, x float64) {
	us, metric := []measure.Unit{measure.Foot, measure.Inch}, []measure.Unit{measure.Metre, measure.Centimetre}
	if x < 0.3 {
		slices.Reverse(us)
	}
	if x < 1 {
		slices.Reverse(metric)
	}
	w.text(key, writes[measure.Length](x, w.first(us, metric, measure.Metre)...))
}

func (w *writer) lengthIf(key string, x float64) {
	if x != 0 {
		w.length(key, x)
	}
}

func (w *writer) temperature(key string, c *float64) {
	if c == nil {
		return
	}
	units := w.first([]measure.Unit{measure.Fahrenheit}, []measure.Unit{measure.Celsius}, measure.Celsius)
	w.text(key, writes[measure.Temperature](*c, units...))
}

// share writes 0.6 as "60 %", moving the point in the text as parseShare does.
func (w *writer) share(key string, x float64) {
	whole, part, _ := strings.Cut(decimal(x)+"00", ".")
	if part != "" { // otherwise the zeros are on the whole number already
		whole, part = whole+part[:2], strings.TrimRight(part[2:], "0")
	}
	if part != "" {
		part = "." + part
	}
	w.text(key, cmp.Or(strings.TrimLeft(whole, "0"), "0")+part+" %")
}

func (w *writer) money(key string, x float64) {
	if x != 0 {
		w.line(key, decimal(x))
	}
}

func (w *writer) cloth(c Cloth) {
	if c.Name != "" {
		w.text("cloth", c.Name)
		return
	}
	units := w.first([]measure.Unit{measure.OuncePerSquareYard}, []measure.Unit{measure.GramPerSquareMetre}, measure.KilogramPerSquareMetre)
	w.text("cloth", writes[measure.ArealMass](c.WeightKgM2, units...))
}

func (w *writer) when(x When) {
	switch x.Kind {
	case Always:
		w.text("when", "always")
	case EveningMorning:
		w.text("when", "evening-morning")
	case Daily:
		w.text("on", hour(x.OnMin))
		w.text("off", hour(x.OffMin))
	case Dates:
		w.text("on", x.From.Format("2006-01-02 15:04:05"))
		w.text("off", x.To.Format("2006-01-02 15:04:05"))
	}
}

func (w *writer) space(s *Space) {
	w.header("[[space]]")
	w.text("name", s.Name)
	w.text("kind", string(s.Kind))
	w.length("length", s.LengthM)
	w.length("width", s.WidthM)
	w.lengthIf("height", s.HeightM)
	w.text("axis", string(s.Axis))
	w.spot(s.Spot)
	w.text("ground", string(s.Ground.Texture))
	w.text("moisture", string(s.Ground.Moisture))
	w.text("mulch", string(s.Mulch))
	w.lengthIf("mulch_depth", s.MulchDepthM)
	w.lengthIf("bench_height", s.BenchHeightM)
	w.text("pots", string(s.Pots))
	if s.SkyView != nil {
		w.share("sky_view", *s.SkyView)
	}
	w.optional("cold_air_from", string(s.ColdAirFrom))
	w.flag("cold_spot", s.ColdSpot)
	w.optional("hem", string(s.Hem))
	quotedSides := make([]string, len(s.Sides))
	for i, d := range s.Sides {
		quotedSides[i] = quoted(string(d))
	}
	w.line("sides", "["+listed(quotedSides)+"]")
	w.money("worth", s.Worth)
	if s.FreeBenchM2 != 0 {
		w.freeBench(s.FreeBenchM2)
	}
	w.house(s.House)
	w.parked(s.Parked)
	for _, x := range s.Shelters {
		w.header("[[space.shelter]]")
		w.text("from", string(x.From))
		w.text("what", string(x.What))
		w.length("height", x.HeightM)
		w.length("distance", x.DistanceM)
		w.lengthIf("length", x.LengthM)
		w.temperature("warm", x.SurfaceC)
		w.flag("heated", x.Heated)
	}
	for _, x := range s.Covers {
		w.header("[[space.cover]]")
		w.cloth(x.Cloth)
		w.line("layers", strconv.Itoa(x.Layers))
		w.text("fit", string(x.Fit))
		w.lengthIf("height", x.HeightM)
		w.when(x.When)
		w.lengthIf("snow", x.SnowM)
	}
	w.groups(s.Groups)
}

func (w *writer) house(h *House) {
	if h == nil {
		return
	}
	w.header("[space.house]")
	w.text("glazing", h.Glazing)
	w.line("layers", strconv.Itoa(h.Layers))
	w.blower(h)
	w.length("eave_height", h.EaveHeightM)
	w.text("leaks", string(h.Leaks))
	if h.VentAreaM2 != 0 {
		units := w.first([]measure.Unit{measure.SquareFoot}, nil, measure.SquareMetre)
		w.text("vent_area", writes[measure.Area](h.VentAreaM2, units...))
		w.share("vents", h.Vents)
	}
	w.opening("opening_low", h.OpeningLowM2)
	w.opening("opening_high", h.OpeningHighM2)
	w.lengthIf("snow", h.SnowM)
	if h.SnowLimitKgM2 != 0 {
		units := w.first([]measure.Unit{measure.PoundPerSquareFoot}, nil, measure.KilogramPerSquareMetre)
		w.text("snow_limit", writes[measure.ArealMass](h.SnowLimitKgM2, units...))
	}
	w.optional("curtain", h.Curtain)
	if h.Curtain != "" {
		k := "always"
		if h.CurtainWhen.Kind == EveningMorning {
			k = "evening-morning"
		}
		w.text("curtain_when", k)
	}
}

func (w *writer) groups(groups []Group) {
	mixFrom := len(groups)
	for mixFrom > 0 && groups[mixFrom-1].isMix() {
		mixFrom--
	}
	for i, g := range groups {
		if i >= mixFrom {
			w.header("[[space.mix]]")
			w.text("word", g.Word)
			w.share("share", g.Share)
			w.money("value_total", g.ValueTotal)
			continue
		}
		w.header("[[space.group]]")
		w.optional("plant", g.Plant)
		w.optional("word", g.Word)
		if g.Count != 0 {
			w.line("count", strconv.Itoa(g.Count))
		}
		if g.Share != 0 {
			w.share("share", g.Share)
		}
		w.money("value_each", g.ValueEach)
		w.money("value_total", g.ValueTotal)
		w.lengthIf("pot", g.Pot.DiameterM)
		if v := g.Pot.VolumeM3; v != 0 {
			w.text("pot", writes[measure.Volume](v, measure.Litre, measure.CubicMetre))
		}
		w.text("place", string(g.Place))
		w.optional("tissue", g.Tissue)
		w.temperature("saleable", g.SaleableC)
		w.temperature("alive", g.AliveC)
		w.length("height", g.HeightM)
		w.lengthIf("trim_to", g.TrimToM)
		if g.TrimToM != 0 {
			w.share("trim_loss", g.TrimLoss)
		}
		w.flag("never_lose", g.NeverLose)
		w.odds("odds", g.Odds)
		w.flag("wet_foliage", g.WetFoliage)
	}
}

// isMix reports whether [[space.mix]] says all there is in the group.
func (g Group) isMix() bool {
	m := Group{Word: g.Word, Share: g.Share, ValueTotal: g.ValueTotal, Place: Anywhere, HeightM: usualHeightM, Line: g.Line}
	return g.Share > 0 && g.Word != "" && reflect.DeepEqual(g, m)
}

func (w *writer) shed(s *Shed) {
	if reflect.DeepEqual(*s, Shed{}) {
		return
	}
	w.header("[shed]")
	w.line("clamps", strconv.Itoa(s.Clamps))
	w.line("pins", strconv.Itoa(s.Pins))
	w.line("weights", strconv.Itoa(s.Weights))
	w.countIf("mending_tape", s.Tape)
	w.countIf("igniters", s.Igniters)
	pieces := func(header string, list []ShedCloth) {
		for _, c := range list {
			w.header(header)
			w.cloth(c.Cloth)
			w.length("length", c.LengthM)
			w.length("width", c.WidthM)
			w.line("pieces", strconv.Itoa(c.Pieces))
			w.text("condition", string(c.Condition))
		}
	}
	pieces("[[shed.cloth]]", s.Cloths)
	for _, c := range s.Cups {
		w.header("[[shed.cup]]")
		w.text("kind", c.Kind)
		w.line("count", strconv.Itoa(c.Count))
		w.length("fits", c.FitsM)
	}
	for _, p := range s.Panels {
		w.header("[[shed.panel]]")
		w.length("length", p.LengthM)
		w.length("height", p.HeightM)
		w.line("count", strconv.Itoa(p.Count))
	}
	pieces("[[shed.curtain]]", s.Curtains)
	w.shedLevers(s)
}

func (w *writer) labour(l *Labour) {
	w.header("[labour]")
	for _, x := range []struct {
		key string
		min float64
	}{
		{"large", l.LargePer100M2},
		{"usual", l.UsualPer100M2},
		{"hoops", l.HoopsPer100M2},
		{"windy", l.WindyTimes},
		{"uncover", l.UncoverPer100M2},
		{"cups", l.CupsPer100},
		{"panel", l.PanelEach},
		{"wrap", l.WrapPer100},
		{"trim", l.TrimPer100},
		{"carry", l.CarryPer100},
		{"water", l.WaterPer100L},
		{"walk", l.WalkPerSpace},
	} {
		if !slices.Contains(l.Guessed, x.key) { // what is left open may be learned: written down it could not
			w.line(x.key, decimal(x.min))
		}
	}
}

func decimal(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

func hour(min int) string { return fmt.Sprintf("%02d:%02d", min/60%24, min%60) }

// quoted writes a TOML basic string.
func quoted(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range strings.ToValidUTF8(s, "?") {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
