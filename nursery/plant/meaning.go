package plant

import "strings"

// Meaning says what kind of statement a record of the library is.
type Meaning string

// The meanings, roughly from mild to fatal. The text is that of the table.
const (
	RecommendedMin   Meaning = "recommended_min"
	TransportMin     Meaning = "recommended_min_transport"
	ChillThreshold   Meaning = "chilling_threshold"
	ChillInjury      Meaning = "chilling_injury_observed"
	NoDamage         Meaning = "no_damage_observed"
	Survived         Meaning = "survival_observed"
	FirstDamage      Meaning = "first_damage"
	DamageRangeStart Meaning = "damage_range_start"
	DamageObserved   Meaning = "damage_observed"
	Critical         Meaning = "critical"
	T10              Meaning = "T10"
	T90              Meaning = "T90"
	SalableLimit     Meaning = "salable_limit"
	LT50             Meaning = "LT50_tissue"
	ToleranceLimit   Meaning = "tolerance_limit"
	TEL50            Meaning = "TEL50"
	FunctionLoss     Meaning = "function_50pct_loss"
	RootKilling      Meaning = "root_killing"
	Killing          Meaning = "killing"
	Killed           Meaning = "killed_observed"
	KillingRest      Meaning = "killing_temp_rest"
	KillingEarly     Meaning = "killing_temp_early_growth"
	HardyTo          Meaning = "hardy_to"
	SurvivalClaimed  Meaning = "survival_minimum_claimed"
	RangeMin         Meaning = "range_min_temperature"
	ZoneMin          Meaning = "zone_min"
	Supercooling     Meaning = "supercooling_limit"
	FreezingOnset    Meaning = "freezing_onset"
	RelativeShift    Meaning = "relative_shift_vs_chlorenchyma"
	DurationLimit    Meaning = "duration_limit"
)

// Meanings returns all meanings the library may use, mild to fatal.
func Meanings() []Meaning {
	return []Meaning{
		RecommendedMin, TransportMin, ChillThreshold, ChillInjury, NoDamage, Survived, FirstDamage,
		DamageRangeStart, DamageObserved, Critical, T10, T90, SalableLimit, LT50, ToleranceLimit, TEL50,
		FunctionLoss, RootKilling, Killing, Killed, KillingRest, KillingEarly, HardyTo, SurvivalClaimed,
		RangeMin, ZoneMin, Supercooling, FreezingOnset, RelativeShift, DurationLimit,
	}
}

// Informs is the one thing a record speaks about.
type Informs string

// The things a record may inform. They are never mixed.
const (
	InformsComfort    Informs = "comfort"          // husbandry minimum, with margin
	InformsChilling   Informs = "chilling start"   // temperature below which time does harm, above freezing
	InformsChillDose  Informs = "chilling harm"    // injury after so many hours: the dose is at most this
	InformsChillSafe  Informs = "chilling no harm" // none after so many hours: the dose is at least this
	InformsSaleable   Informs = "saleable"         // looks: the plant can no longer be sold
	InformsAlive      Informs = "alive"            // the plant is dead
	InformsRoot       Informs = "root ball"        // read against the root ball, never the air
	InformsSpring     Informs = "spring growth"    // flowers, fruit, new growth; not the plant in winter
	InformsNucleation Informs = "ice begins"       // when ice starts; no injury by itself
	InformsClimate    Informs = "climate"          // range or zone figure: a sanity check only
	InformsNote       Informs = "note"             // relative or about time; shown, not counted
)

// Bound says whether a record is a centre or only a limit on one side.
type Bound int

// Sides of a censored record.
const (
	Centre    Bound = iota
	NotWarmer       // seen unhurt: the true centre is colder than this
	NotColder       // seen hurt: the true centre is warmer than this
)

// Use tells how a record enters a curve: at ValueC + ShiftK the share Share of
// plants is lost, known to the spread of its grade plus ExtraK.
type Use struct {
	Informs Informs
	Bound   Bound
	Share   float64 // share lost at the value, 0 to 1
	ShiftK  float64 // added to the value first
	ExtraK  float64 // added spread, one standard deviation
	How     string  // one line in own words
}

// organ sorts the organs of the table into what they say about a pot plant.
type organ int

const (
	organPlant  organ = iota
	organLooks        // leaves and tips: scars cost the sale, not the plant
	organRoot         // roots alone
	organSpring       // flowers, fruit, new growth
	organOther        // meristem, n/a
)

func organOf(text string) organ {
	switch {
	case text == "n/a" || text == "meristem":
		return organOther
	case text == "crown+root ball" || text == "root/crown":
		return organPlant
	case strings.Contains(text, "root"):
		return organRoot
	case strings.HasPrefix(text, "new ") || containsAny(text, "bloom", "flower", "fruit", "petal", "bud"):
		return organSpring
	case containsAny(text, "leaf", "frond", "foliage", "tip", "epidermis", "exposed", "bract", "shoot"):
		return organLooks
	}
	return organPlant
}

func containsAny(s string, parts ...string) bool {
	for _, p := range parts {
		if strings.Contains(s, p) {
			return true
		}
	}
	return false
}

// frostStartsC is the warmest value [°C] read as a freezing injury; tissue
// cannot freeze above it, so a warmer record is about chilling or husbandry.
const frostStartsC = 0.5

// Use returns what a record with this meaning, organ and value informs, and
// how. Unknown meanings inform nothing and return ok = false.
func (m Meaning) Use(organText string, valueC float64) (u Use, ok bool) {
	o := organOf(organText)
	if known, ok := m.direct(); ok {
		return known, true
	}
	u, ok = m.freezing(o)
	if !ok {
		return Use{}, false
	}
	if valueC > frostStartsC {
		return m.aboveFreezing(), true
	}
	switch {
	case o == organOther:
		return Use{Informs: InformsNote, How: "no plant part of a pot"}, true
	case m == KillingEarly:
		// young growth, whatever organ the row names
	case o == organRoot:
		u.Informs = InformsRoot
	case o == organSpring:
		u.Informs = InformsSpring
	}
	return u, true
}

// direct lists the meanings that never describe a freezing curve.
func (m Meaning) direct() (Use, bool) {
	switch m {
	case RecommendedMin, TransportMin:
		return Use{Informs: InformsComfort, How: "advice with its margin: comfort line only"}, true
	case ChillThreshold:
		return Use{Informs: InformsChilling, How: "start of the chilling count"}, true
	case ChillInjury:
		return Use{Informs: InformsChillDose, Bound: NotColder, How: "hurt after these hours: the harmful dose is no larger"}, true
	case RangeMin, ZoneMin:
		return Use{Informs: InformsClimate, How: "climate of range or zone: sanity check only"}, true
	case Supercooling, FreezingOnset:
		return Use{Informs: InformsNucleation, How: "ice begins; no injury by itself"}, true
	case RelativeShift, DurationLimit:
		return Use{Informs: InformsNote, How: "a difference or a time: shown, not counted"}, true
	}
	return Use{}, false
}

// freezing lists the meanings on the freezing curves. Shares are judgement
// except T10, T90 and the 50 % assays, which say it themselves.
func (m Meaning) freezing(o organ) (Use, bool) {
	looks := o == organLooks
	pick := func(l, p Use) Use {
		if looks {
			return l
		}
		return p
	}
	switch m {
	case NoDamage:
		return Use{Informs: InformsSaleable, Bound: NotWarmer, Share: 0.10, How: "seen unhurt: the true limit is colder"}, true
	case Survived:
		return Use{Informs: InformsAlive, Bound: NotWarmer, Share: 0.30, How: "seen alive: the true limit is colder"}, true
	case FirstDamage, DamageRangeStart:
		return Use{Informs: InformsSaleable, Share: 0.15, How: "first marks: about one in seven unsaleable"}, true
	case DamageObserved:
		return Use{Informs: InformsSaleable, Bound: NotColder, Share: 0.75, How: "seen hurt: the true limit is no colder"}, true
	case Critical, T10:
		return Use{Informs: InformsSaleable, Share: 0.10, How: "one in ten hurt"}, true
	case T90:
		return Use{Informs: InformsSaleable, Share: 0.90, How: "nine in ten hurt"}, true
	case SalableLimit:
		return Use{Informs: InformsSaleable, Share: 0.25, How: "coldest test that left plants saleable"}, true
	case LT50, ToleranceLimit:
		return pick(
			Use{Informs: InformsSaleable, Share: 0.75, How: "half the leaf tissue dead: mostly unsaleable"},
			Use{Informs: InformsAlive, Share: 0.50, How: "half the tissue dead: centre of the curve"}), true
	case TEL50:
		// the source puts half the leaf area 2-4 K warmer than this figure
		return Use{Informs: InformsSaleable, Share: 0.75, ShiftK: 3, ExtraK: 1, How: "leakage assay, moved to half the leaf area"}, true
	case FunctionLoss:
		return Use{Informs: InformsSaleable, Share: 0.15, ExtraK: 1, How: "function half lost: before any mark"}, true
	case RootKilling:
		return Use{Informs: InformsRoot, Share: 0.50, How: "roots killed at this root-ball temperature"}, true
	case Killing:
		return pick(
			Use{Informs: InformsSaleable, Share: 0.90, How: "leaves or tips killed"},
			Use{Informs: InformsAlive, Share: 0.75, How: "plant killed"}), true
	case Killed:
		return pick(
			Use{Informs: InformsSaleable, Bound: NotColder, Share: 0.90, How: "seen killed: the true limit is no colder"},
			Use{Informs: InformsAlive, Bound: NotColder, Share: 0.75, How: "seen dead: the true limit is no colder"}), true
	case KillingRest:
		return Use{Informs: InformsAlive, Share: 0.50, How: "whole-degree class of death at rest"}, true
	case KillingEarly:
		return Use{Informs: InformsSpring, Share: 0.50, How: "whole-degree class of death in early growth"}, true
	case HardyTo:
		return Use{Informs: InformsAlive, Share: 0.25, ExtraK: 1, How: "a claim of survival: weak"}, true
	case SurvivalClaimed:
		return Use{Informs: InformsAlive, Share: 0.40, ExtraK: 1, How: "lowest survival claimed: weak"}, true
	}
	return Use{}, false
}

// aboveFreezing reads a value above freezing.
func (m Meaning) aboveFreezing() Use {
	switch m {
	case NoDamage:
		return Use{Informs: InformsChillSafe, Bound: NotWarmer, How: "unhurt after these hours: the harmful dose is larger"}
	case Survived, HardyTo, SurvivalClaimed:
		return Use{Informs: InformsComfort, How: "kept or alive above freezing: comfort line only"}
	}
	return Use{Informs: InformsChilling, ExtraK: 1, How: "hurt above freezing: start of the chilling count"}
}
