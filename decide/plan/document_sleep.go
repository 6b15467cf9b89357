package plan

import (
	"time"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/night"
)

// Awake is what the rounds of a heated house take of the night, 22:00 to 06:00.
type Awake struct {
	Space       string    `json:"space"`
	Wakes       float64   `json:"wakes"`        // times somebody is got up, expected
	HoursEach   float64   `json:"hours_each"`   // awake, of each who goes
	PersonHours float64   `json:"person_hours"` // of all of them
	Cost        float64   `json:"cost"`         // of all rounds in the choice, a minute of the night as two of the day [money]
	First       time.Time `json:"first,omitzero"`
	Says        string    `json:"says"`
}

// Hours are hours of burning that are left: the pace of hard cases first, null without
// a store or a fire.
type Hours struct {
	P10 *float64 `json:"p10"`
	P50 *float64 `json:"p50"`
	P90 *float64 `json:"p90"`
}

func leftHours(b night.Band) Hours { return Hours{known(b.P10), known(b.P50), known(b.P90)} }

func awakeOf(h *heating.House) Awake {
	z := &h.Sleep
	return Awake{h.Space.Name, z.Wakes, z.EachH, z.PersonH, z.Cost, z.First, z.Say}
}

func roundOf(r *heating.Round) Round {
	return Round{
		At: r.At, Usual: r.Usual, Odds: r.Odds, What: r.What, Carry: r.Carry, Who: r.Who, Why: r.Why,
		On: orEmpty(r.On), People: r.People, Need: r.Need, Alone: r.Alone, CheckIn: r.CheckIn,
	}
}

// InOrder is one group in an outage, ranked with those of all other spaces.
type InOrder struct {
	Space      string   `json:"space"`
	Group      string   `json:"group"`
	MinutesP10 *float64 `json:"minutes_p10"`
	MinutesP50 *float64 `json:"minutes_p50"` // null: not to its limit in half of the cases
}

func orderOf(o *heating.Outage) []InOrder {
	out := []InOrder{}
	for _, h := range o.Ranked() {
		out = append(out, InOrder{h.Space, h.Group, known(h.Early), known(h.Usual)})
	}
	return out
}
