package plan

import (
	"time"

	"example.org/coldnight/decide/labour"
)

// Plan is the written plan, as printed by `coldnight plan --json`. Its keys are
// fixed by doc/plan.schema.json. Times are RFC 3339 with offset, temperatures °C.
// Lists are never null.
type Plan struct {
	Issued    time.Time    `json:"issued"` // when the forecast was made
	Now       time.Time    `json:"now"`    // when the plan was made
	Nights    []Night      `json:"nights"`
	Jobs      []Job        `json:"jobs"`
	Supplies  []SupplyLine `json:"supplies"`
	Worth     []WorthLine  `json:"worth"` // of one more, the greatest saving first
	Fuel      []Fuel       `json:"fuel"`
	SetPoints []SetPoints  `json:"setpoints"`
	Air       []Air        `json:"air"`
	Drips     []Drip       `json:"drips"`
	Rounds    []Round      `json:"rounds"`
	Sleep     []Awake      `json:"sleep"`
	Drills    []Drill      `json:"drills"`
	Mains     Mains        `json:"mains"`
	Holds     []Fastening  `json:"holds"`
	Mornings  []Morning    `json:"mornings"`
	Cautions  []string     `json:"cautions"`
	Risk      RiskLine     `json:"risk"`
	Objective float64      `json:"objective"` // expected loss + cost [money]
	Bound     float64      `json:"bound"`     // no plan is cheaper [money]
	Gap       float64      `json:"gap"`       // (objective-bound)/objective
	Assumed   []string     `json:"assumed"`
	Crew      []OnHand     `json:"crew"`
	Changes   []Revision   `json:"changes"` // of the plan before, the newest first
}

// Night is one night, named by its local evening.
type Night struct {
	Date   string       `json:"date"` // 2006-01-02
	Spaces []SpaceNight `json:"spaces"`
}

// SpaceNight is one space in one night.
type SpaceNight struct {
	Space  string      `json:"space"`
	Cells  []CellNight `json:"cells"`
	Groups []GroupOdds `json:"groups"`
	Chosen []Chosen    `json:"chosen"`
	// Refused stands in the first night of the space only: a price is for the whole
	// freeze, not per night.
	Refused []Refused `json:"refused"`
}

// Band is a number with its spread: one time in ten below P10, above P90.
type Band struct {
	P10 float64 `json:"p10"`
	P50 float64 `json:"p50"`
	P90 float64 `json:"p90"`
}

// CellNight is the coldest a class of tissue gets in a cell.
type CellNight struct {
	Cell     string    `json:"cell"`
	Class    string    `json:"class"`
	MinC     Band      `json:"min_c"`      // with what was chosen
	BareMinC Band      `json:"bare_min_c"` // with nothing done: no cover put on
	At       time.Time `json:"at"`         // when the middle case is coldest
}

// GroupOdds is the odds of harm to a group with what was chosen.
type GroupOdds struct {
	Group        string  `json:"group"`
	PUnsaleable  float64 `json:"p_unsaleable"`
	PDead        float64 `json:"p_dead"`
	ExpectedLoss float64 `json:"expected_loss"`
}

// Chosen is what is done, why, and from when to when it stays. From and To are left
// out when nothing is done.
type Chosen struct {
	Option string    `json:"option"`
	Words  string    `json:"words"` // what is done
	Reason string    `json:"reason"`
	From   time.Time `json:"from,omitzero"`
	To     time.Time `json:"to,omitzero"`
}

// Refused is what is not done, why, and how much dearer the plan would be with it;
// where the search was cut short, the proven floor of that. Price is null when it cannot be done.
type Refused struct {
	Option string   `json:"option"`
	Reason string   `json:"reason"`
	Price  *float64 `json:"price"`
}

// Job is work on the clock. Schedule fills all but Why.
type Job struct {
	ID      string    `json:"id"`
	What    string    `json:"what"`
	Space   string    `json:"space"`
	People  []string  `json:"people"` // names
	Minutes int       `json:"minutes"`
	Start   time.Time `json:"start"`
	Latest  time.Time `json:"latest"` // latest start
	Why     string    `json:"why"`
	Note    string    `json:"note"` // how to do it: what holds a cover down, and to what wind
	Takes   []Take    `json:"takes"`
	Night   string    `json:"night"`         // local date of the evening whose night it is for
	Block   string    `json:"block"`         // [BeforeDark], [Overnight] or [InMorning]
	Done    time.Time `json:"done,omitzero"` // when it was ticked as done
	By      string    `json:"by,omitempty"`  // who ticked it
	// Labour is what it handles, where its minutes teach a rate.
	Labour labour.Work `json:"labour,omitzero"`
}

// SupplyLine is something there is only so much of.
type SupplyLine struct {
	Item string  `json:"item"`
	Have float64 `json:"have"`
	Used float64 `json:"used"`
	Unit string  `json:"unit"` // of both: "kg", "A"; empty for things
}

// Amount writes so much of it: "12.5 kg", "4".
func (l *SupplyLine) Amount(v float64) string { return figure(v, l.Unit) }
