package plan

// SetPoints is the heat of one house by the odds of its groups, beside what least loss
// and cost together would choose.
type SetPoints struct {
	Space  string `json:"space"`
	Option string `json:"option"` // the way whose thermostats are set so
	Takes  bool   `json:"takes"`  // the plan takes it
	// Cost is fuel, work and wear, Loss what is expected to be lost, over the freeze
	// [money]; least is the way of least loss and cost, and More what both together are above it.
	Cost        float64         `json:"cost"`
	Loss        float64         `json:"loss"`
	LeastOption string          `json:"least_option"`
	LeastCost   float64         `json:"least_cost"`
	LeastLoss   float64         `json:"least_loss"`
	More        float64         `json:"more"`
	Nights      []SetPointNight `json:"nights"`
	Says        []string        `json:"says"`
}

// SetPointNight is one night of that.
type SetPointNight struct {
	Night   string     `json:"night"`   // local date of its evening
	Decides bool       `json:"decides"` // the plan comes closest to harm in it
	SetC    *float64   `json:"set_c"`   // cheapest set-point that keeps every group within its odds; null: none does
	TakenC  float64    `json:"taken_c"` // the same, or where none does the one that comes nearest
	LeastC  *float64   `json:"least_c"` // of the way of least loss and cost; null where it lights no thermostat
	Fuel    float64    `json:"fuel"`    // at taken_c, mean [money]
	Groups  []InLimits `json:"groups"`
}

// InLimits is a group against the odds that the grower takes for it, each of being
// unsaleable by that night.
type InLimits struct {
	Group     string   `json:"group"`
	Limit     float64  `json:"limit"`
	Odds      float64  `json:"odds"`       // at taken_c
	LeastOdds *float64 `json:"least_odds"` // under the way of least loss and cost; null where nothing is lit in it
	FullOdds  *float64 `json:"full_odds"`  // the heaters at full burn; null where a set-point does
}
