package site

import (
	"strings"

	"example.org/coldnight/measure"
)

// The words of a site file. Each is written exactly as in the file.
type (
	Surroundings string
	Texture      string
	Moisture     string
	Mulch        string
	Kind         string
	PotsStand    string
	Leaks        string
	ShelterKind  string
	Fit          string
	Hem          string
	Place        string
	Condition    string
	Risk         string
	HeatBy       string
	Rolled       string
)

const (
	Open     Surroundings = "open"
	Suburban Surroundings = "suburban"
	Wooded   Surroundings = "wooded"

	Sand     Texture = "sand"
	Loam     Texture = "loam"
	Clay     Texture = "clay"
	Peat     Texture = "peat"
	Mix      Texture = "potting mix"
	Gravel   Texture = "gravel"
	Concrete Texture = "concrete"

	Dry   Moisture = "dry"
	Moist Moisture = "moist"
	Wet   Moisture = "wet"

	NoMulch     Mulch = "none"
	Bark        Mulch = "bark"
	Straw       Mulch = "straw"
	Stones      Mulch = "stones"
	BlackFilm   Mulch = "black film"
	GroundCloth Mulch = "ground cloth"

	Bed        Kind = "bed"
	RaisedBed  Kind = "raised bed"
	Bench      Kind = "bench"
	LowHoop    Kind = "low hoop"
	Frame      Kind = "frame"
	ShadeHouse Kind = "shade house"
	TallHouse  Kind = "tall house"
	Glasshouse Kind = "glasshouse"

	InGround PotsStand = "none"
	Block    PotsStand = "block"
	Spaced   PotsStand = "spaced"

	Tight Leaks = "tight"
	Usual Leaks = "usual"
	Leaky Leaks = "leaky"

	Wall     ShelterKind = "wall"
	Building ShelterKind = "house"
	Hedge    ShelterKind = "hedge"
	Trees    ShelterKind = "trees"
	Fence    ShelterKind = "fence"
	Panel    ShelterKind = "panel"

	Touching Fit = "touching"
	OnHoops  Fit = "hoops"

	Sealed Hem = "sealed"
	Pinned Hem = "pinned"
	Loose  Hem = "loose"

	Anywhere     Place = "anywhere"
	CorePlace    Place = "core"
	EdgePlace    Place = "edge"
	WindwardEdge Place = "windward edge"

	UsualRisk   Risk = "usual"
	CarefulRisk Risk = "careful"
	VeryCareful Risk = "very careful"

	HeatByCost HeatBy = "cost"
	HeatByOdds HeatBy = "odds"

	OpenUp   Rolled = "open side up"
	OpenDown Rolled = "open side down"

	New  Condition = "new"
	Good Condition = "good"
	Torn Condition = "torn"
)

// glazed says whether a kind has a built cover: it must, it may, or it must not.
func (k Kind) glazed() (must, may bool) {
	switch k {
	case TallHouse, Glasshouse, Frame:
		return true, true
	case LowHoop, ShadeHouse:
		return false, true
	case Bed, RaisedBed, Bench:
		return false, false
	}
	return false, true
}

// Direction is a compass word of the sixteen, "N", "NNE", ...; "" for none.
type Direction string

func compass() []string {
	return []string{"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"}
}

// Deg returns the bearing [degrees clockwise from north, 0..360); 0 also for "", so ask for that first.
func (d Direction) Deg() float64 {
	for i, w := range compass() {
		if string(d) == w {
			return 22.5 * float64(i)
		}
	}
	return 0
}

// compassWord makes "north-east" and the axis "N-S" one of the sixteen, or something that is none of them.
func compassWord(s string) string {
	s = strings.NewReplacer("north", "n", "east", "e", "south", "s", "west", "w", " ", "", "-", "").Replace(strings.ToLower(s))
	switch s {
	case "ns", "sn":
		s = "n"
	case "ew", "we":
		s = "e"
	}
	return strings.ToUpper(s)
}

// facing returns the compass word nearest to a bearing in degrees.
func facing(deg float64) Direction {
	n := int(deg/22.5+0.5) % 16
	if n < 0 {
		n += 16
	}
	return Direction(compass()[n])
}

// plain makes names comparable: lower case, single spaces.
func plain(s string) string { return strings.Join(strings.Fields(strings.ToLower(s)), " ") }

// unitsWord is how a file says in which units answers come.
func unitsWord(u measure.Units) string {
	if u == measure.Customary {
		return "us"
	}
	return "metric"
}

// choices lists the words a key accepts, by its `is` tag.
func choices(is string) []string {
	switch is {
	case "units":
		return []string{unitsWord(measure.SI), unitsWord(measure.Customary)}
	case "surroundings":
		return texts(Open, Suburban, Wooded)
	case "ground":
		return texts(Sand, Loam, Clay, Peat, Mix, Gravel, Concrete)
	case "risk":
		return texts(UsualRisk, CarefulRisk, VeryCareful)
	case "heat by":
		return texts(HeatByCost, HeatByOdds)
	case "moisture":
		return texts(Dry, Moist, Wet)
	case "mulch":
		return texts(NoMulch, Bark, Straw, Stones, BlackFilm, GroundCloth)
	case "kind":
		return texts(Bed, RaisedBed, Bench, LowHoop, Frame, ShadeHouse, TallHouse, Glasshouse)
	case "pots":
		return texts(InGround, Block, Spaced)
	case "leaks":
		return texts(Tight, Usual, Leaky)
	case "shelter":
		return texts(Wall, Building, Hedge, Trees, Fence, Panel)
	case "fit":
		return texts(Touching, OnHoops)
	case "rolled":
		return texts(OpenUp, OpenDown)
	case "hem":
		return texts(Sealed, Pinned, Loose)
	case "place":
		return texts(Anywhere, CorePlace, EdgePlace, WindwardEdge)
	case "condition":
		return texts(New, Good, Torn)
	case "wrap":
		return texts(FoamPipe, BlanketRag, Sacking, BubbleWrap, FleeceWrap, StrawWrap)
	case "heater":
		return texts(VentedGas, UnventedGas, TankTop, Kerosene, Electric, HotWater)
	case "fuel":
		return append(fuelKeys(), Electricity, WarmWater)
	case "bottled":
		return []string{"propane", "butane", "kerosene"}
	case "backup fuel":
		return []string{"gasoline", "diesel", "propane", "natural gas", "battery"}
	case "fan":
		return texts(Circulation, Exhaust, Intake)
	case "left from":
		return []string{FromWeight, FromGauge, FromHours, AsWritten, TakenFull}
	case "stands":
		return []string{outdoors, inTheHouse}
	case "compass", "compasses":
		return compass()
	}
	return nil
}

// others lists further words that a key takes for one of its choices, by its `is` tag.
func others(is string) []struct{ word, means string } {
	type also = struct{ word, means string }
	var out []also
	add := func(means string, words ...string) {
		for _, w := range words {
			out = append(out, also{w, means})
		}
	}
	switch is {
	case "heater":
		add(string(VentedGas), "vented", "unit heater", "gas unit heater", "furnace", "gas furnace", "direct vent")
		add(string(UnventedGas), "unvented", "vent-free", "ventless", "flueless", "wall heater", "space heater", "gas wall heater", "catalytic heater")
		add(string(TankTop), "tank top", "tank-top heater", "radiant head", "radiant heater", "bottle-top heater")
		add(string(Kerosene), "kerosene", "paraffin heater", "torpedo heater", "salamander")
		add(string(Electric), "electric heater", "fan heater", "oil radiator", "oil-filled radiator", "heat mat", "heating cable", "heat lamp")
		add(string(HotWater), "hot water pipes", "hydronic", "boiler", "fan coil")
	case "wrap":
		add(string(FoamPipe), "pipe insulation", "foam")
		add(string(BlanketRag), "blankets", "felt", "wool")
		add(string(Sacking), "burlap", "hessian")
		add(string(FleeceWrap), "frost cloth", "sleeve", "cloth sleeve")
	case "fuel":
		add("propane", "lp", "lpg", "lp gas")
		add("natural gas", "methane", "ng", "mains gas")
		add("kerosene", "paraffin", "k-1", "1-k")
		add(Electricity, "electric", "mains")
		add(WarmWater, "warm water")
	case "bottled":
		add("propane", "lp", "lpg", "lp gas")
		add("kerosene", "paraffin", "k-1", "1-k")
	case "backup fuel":
		add("gasoline", "petrol")
		add("propane", "lp", "lpg")
	case "fan":
		add(string(Circulation), "circulating", "stirring", "horizontal air flow", "haf")
		add(string(Exhaust), "exhaust fan", "extractor", "extract", "out")
		add(string(Intake), "intake fan", "supply", "in", "fresh air")
	case "rolled":
		add(string(OpenUp), "up", "gathered")
		add(string(OpenDown), "down")
	case "stands":
		add(outdoors, "outside", "in the open")
		add(inTheHouse, "indoors", "inside", "house")
	}
	return out
}

func texts[W ~string](words ...W) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = string(w)
	}
	return out
}
