package plan

import "time"

// Fuel is what one line of heaters burns over the freeze, in kg; electricity and hot
// water in kWh, with no kg. What to buy is reckoned from a store that never runs dry.
type Fuel struct {
	Space  string  `json:"space"`
	Heater string  `json:"heater"`
	Fuel   string  `json:"fuel"`
	KgP50  float64 `json:"kg_p50"`
	KgP90  float64 `json:"kg_p90"`
	KWhP50 float64 `json:"kwh_p50"`
	KWhP90 float64 `json:"kwh_p90"`
	// HaveKg is connected and spare, and how that is known; null without a store.
	HaveKg  *float64 `json:"have_kg"`
	HaveBy  string   `json:"have_by"`
	BuyKg   float64  `json:"buy_kg"`   // more, to be covered nine times in ten
	Buy     int      `json:"buy"`      // the same as full cylinders
	Cost    float64  `json:"cost"`     // mean [money]
	HoursAt *float64 `json:"hours_at"` // left in what is connected at tonight's pace; null without a store or a fire
	Hours   Hours    `json:"hours"`    // the band of that
	Each    []Left   `json:"each"`     // connected cylinders
	Empty   When     `json:"empty"`
	Starves When     `json:"starves"`
	Trips   When     `json:"trips"`
}

// Left is what one connected cylinder holds, and how long that is alone.
type Left struct {
	Kg      float64  `json:"kg"`
	HoursAt *float64 `json:"hours_at"` // at tonight's pace; null where nothing burns
	Full    float64  `json:"hours_full"`
}

// When is how likely something is, and when in the cases in which it happens.
type When struct {
	Odds  float64   `json:"odds"`
	Early time.Time `json:"early,omitzero"` // one in ten of those is earlier
	Usual time.Time `json:"usual,omitzero"`
	Late  time.Time `json:"late,omitzero"` // one in ten is later
}

// Air is the air of a house in which something burns without a flue.
type Air struct {
	Space       string   `json:"space"`
	O2Pct       Band     `json:"o2_pct"`       // least
	CO2PPM      Band     `json:"co2_ppm"`      // most
	CO2Hours    Band     `json:"co2_hours"`    // above 5,000 ppm
	WaterKg     Band     `json:"water_kg"`     // given off by the flames over the freeze
	MayTrip     float64  `json:"may_trip"`     // odds that a low-oxygen device comes within reach of its limit
	OpeningCM2  float64  `json:"opening_cm2"`  // low, and the same high, all that is needed
	CutCM2      float64  `json:"cut_cm2"`      // of it still to be cut
	OpeningCost float64  `json:"opening_cost"` // what its draught adds in fuel [money]
	OpeningKWh  *float64 `json:"opening_kwh"`  // the same as heat of fuel; null when it was not played shut
	// OpeningC is the coldest air of the house in the middle case, ShutC the same with the
	// openings shut and nothing that trips; null when it was not played.
	OpeningC     *float64 `json:"opening_c"`
	ShutC        *float64 `json:"shut_c"`
	SealedTrip   float64  `json:"sealed_trip"`  // odds that the device trips with it shut
	SealedTrips  When     `json:"sealed_trips"` // and when
	SealedLoss   float64  `json:"sealed_loss"`  // expected loss with it shut and nobody relighting
	OpenLoss     float64  `json:"open_loss"`
	Trade        string   `json:"trade"` // the openings against the house shut: fuel, plants, sleep; "" where nothing trips
	Why          string   `json:"why"`
	Instead      []Other  `json:"instead"`
	BeforeJob    string   `json:"before_job"` // what stands on the door until the opening is there
	OpeningRules []string `json:"opening_rules"`
}

// Drip is where water comes down in a heated house.
type Drip struct {
	Space    string    `json:"space"`
	Place    string    `json:"place"` // what it comes from
	Cell     string    `json:"cell"`
	Kg       Band      `json:"kg"`        // over the freeze, on all of that part of the floor
	KgHourly []float64 `json:"kg_hourly"` // middle case, in the hour before each hour of the plan
	Groups   []string  `json:"groups"`    // beneath
	Says     string    `json:"says"`      // "" where it hardly drips
}

// Other is another kind of heater for the same heat.
type Other struct {
	Kind string   `json:"kind"`
	Says string   `json:"says"`
	Cost *float64 `json:"cost"` // null without a price
}

// Round is a walk in the night.
type Round struct {
	At    time.Time `json:"at"`
	Usual time.Time `json:"usual"`
	Odds  float64   `json:"odds"`
	What  string    `json:"what"`
	Carry string    `json:"carry"`
	Who   string    `json:"who"`
	Why   string    `json:"why"`
	// On are the lines of the crew that work then, and People how many that are; Need
	// is how many it takes. Alone is what the only one on shift does about it, and
	// CheckIn by when they must have called again.
	On      []string  `json:"on"`
	People  int       `json:"people"`
	Need    int       `json:"need"`
	Alone   string    `json:"alone"`
	CheckIn time.Time `json:"check_in,omitzero"`
}

// Drill is one failure played through.
type Drill struct {
	Space  string    `json:"space"`
	Night  string    `json:"night"` // local date of its evening
	What   string    `json:"what"`
	At     time.Time `json:"at"`
	Loss   float64   `json:"loss"` // expected
	More   float64   `json:"more"` // than with everything running
	Groups []Hold    `json:"groups"`
	Who    string    `json:"who"`
	Says   string    `json:"says"`
}

// Hold is how long a group holds after a failure; null minutes: not to its limit.
type Hold struct {
	Group      string   `json:"group"`
	Odds       float64  `json:"odds"`
	MinutesP10 *float64 `json:"minutes_p10"`
	MinutesP50 *float64 `json:"minutes_p50"`
	MinC       Band     `json:"min_c"`
}

// Mains is what hangs on the mains and what their failure costs.
type Mains struct {
	Circuits []Circuit `json:"circuits"`
	Outages  []Outage  `json:"outages"`
	Backups  []Backup  `json:"backups"`
}

// Circuit is one circuit and its load.
type Circuit struct {
	Name    string   `json:"name"`
	Amps    float64  `json:"amps"`
	Limit   float64  `json:"limit"`
	Heaters []string `json:"heaters"`
}

// Outage is the mains out from a moment, spaces ranked by how soon they are hurt.
type Outage struct {
	At      time.Time `json:"at"`
	Night   string    `json:"night"`   // local date of its evening
	Decides bool      `json:"decides"` // that night comes closest to harm
	More    float64   `json:"more"`
	Spaces  []Drill   `json:"spaces"`
	Order   []InOrder `json:"order"` // all groups of all spaces, the first at its limit first
}

// Backup is what a generator or battery should carry.
type Backup struct {
	Name   string   `json:"name"`
	Spaces []string `json:"spaces"`
	LoadW  float64  `json:"load_w"`
	Saves  float64  `json:"saves"`
	Says   string   `json:"says"`
}
