package heating

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
)

// CircuitLoad is what hangs on one circuit.
type CircuitLoad struct {
	Name        string
	Amps, Limit float64
	Heaters     []string
}

// Circuits lists what of the heaters that are lit hangs on which circuit, the fullest
// first.
func Circuits(s *site.Site, lit []night.Lit) []CircuitLoad {
	var out []CircuitLoad
	for _, c := range s.Circuits {
		l := CircuitLoad{Name: c.Name, Limit: c.Amps}
		for i := range lit {
			if h := lit[i].Heater; h.Circuit == c.Name {
				l.Amps += h.MainsW * float64(max(h.Count, 1)) / c.Volts
				l.Heaters = append(l.Heaters, h.Name)
			}
		}
		l.blowers(s, c.Volts)
		out = append(out, l)
	}
	slices.SortStableFunc(out, func(a, b CircuitLoad) int { return cmp.Compare(b.Amps/b.Limit, a.Amps/a.Limit) })
	return out
}

// Outage is the whole nursery with the mains out from one moment.
type Outage struct {
	Night   string // local date of its evening
	Decides bool   // that night comes closest to harm
	At      time.Time
	More    float64   // expected loss beyond that with the mains [money]
	Spaces  []SpaceAt // those that lose heat, the quickest first
}

// SpaceAt is one space in an outage.
type SpaceAt struct {
	Space string
	Drill *Drill
}

// Outages turns the houses' drills into hours of the nursery.
func Outages(houses []*House) []Outage {
	var out []Outage
	for _, h := range houses {
		for i := range h.Mains {
			d := &h.Mains[i]
			k := slices.IndexFunc(out, func(o Outage) bool { return o.At.Equal(d.At) })
			if k < 0 {
				out = append(out, Outage{Night: d.Night, Decides: d.Decides, At: d.At})
				k = len(out) - 1
			}
			out[k].More += d.More
			out[k].Spaces = append(out[k].Spaces, SpaceAt{h.Space.Name, d})
		}
	}
	slices.SortFunc(out, func(a, b Outage) int { return a.At.Compare(b.At) })
	for i := range out {
		slices.SortStableFunc(out[i].Spaces, func(a, b SpaceAt) int {
			return cmp.Or(cmp.Compare(a.Drill.Early, b.Drill.Early), cmp.Compare(b.Drill.More, a.Drill.More))
		})
	}
	return out
}

// motorTimes is how many times its running power a generator must have for a fan or
// pump to start (three times the largest motor: University of Florida IFAS, AE033).
const motorTimes = 3

// Standby is a backup and what it should carry.
type Standby struct {
	Backup string
	Spaces []string
	LoadW  float64 // with the start of the largest fan or pump
	Saves  float64 // expected loss spared when the mains fail at the worst hour [money]
	Say    string
}

// need is the mains a house takes: running, and extra to start its largest motor.
type need struct {
	space        string
	runW, startW float64
	saves        float64
}

// Standbys shares the backups out so that the most is saved when the mains fail at
// the worst hour: each house goes on one backup or none.
func Standbys(s *site.Site, houses []*House, v night.Voice) []Standby {
	var needs []need
	for _, h := range houses {
		n := need{space: h.Space.Name}
		for i := range h.Mains {
			n.saves = math.Max(n.saves, h.Mains[i].More)
		}
		for i := range s.Heaters {
			x := &s.Heaters[i]
			if !x.NeedsMains || s.Space(x.Space) != h.Space || !slices.ContainsFunc(h.Fuel, func(f FuelLine) bool { return f.Heater == x.Name }) {
				continue // what is not lit asks for nothing
			}
			n.runW += x.MainsW * float64(max(x.Count, 1))
			if x.Kind != site.Electric {
				n.startW = math.Max(n.startW, (motorTimes-1)*x.MainsW)
			}
		}
		fans, largest := blowersW(s, h.Space)
		n.runW += fans
		n.startW = math.Max(n.startW, (motorTimes-1)*largest)
		if n.saves > 0 && n.runW > 0 {
			needs = append(needs, n)
		}
	}
	slices.SortStableFunc(needs, func(a, b need) int { return cmp.Compare(b.saves/b.runW, a.saves/a.runW) })
	if len(s.Backups) == 0 {
		return nil
	}
	pick := share(needs, s.Backups)
	var out []Standby
	for b := range s.Backups {
		o := Standby{Backup: s.Backups[b].Name, LoadW: load(needs, pick, b)}
		for k := range needs {
			if pick[k] == b {
				o.Spaces = append(o.Spaces, needs[k].space)
				o.Saves += needs[k].saves
			}
		}
		switch {
		case len(o.Spaces) == 0:
			o.Say = fmt.Sprintf("%s: nothing that it could carry would be lost without the mains", o.Backup)
		default:
			o.Say = fmt.Sprintf("%s to %s: spares about %s when the mains fail at the worst hour; %.1f of %.1f kW with the start of its largest fan",
				o.Backup, joined(o.Spaces), v.Amount(o.Saves), o.LoadW/1000, s.Backups[b].PowerW/1000)
			if h := s.Backups[b].RunHours; h > 0 && h < longNightH {
				o.Say += fmt.Sprintf("; it runs %.0f h on a filling or charge, and what it spares is that of the whole night", h)
			}
		}
		out = append(out, o)
	}
	return out
}

// mostWays keeps the search for backups small.
const mostWays = 300000

// longNightH is how long a backup must run to outlast a winter night [h]. Judgement.
const longNightH = 14

// share puts each need on one backup or none (-1) so that the most is saved. The
// needs come with the most saved per watt first; every way is tried for as many of
// them as are few enough, the others take what room is left.
func share(needs []need, backups []site.Backup) []int {
	best, pick := -1.0, make([]int, len(needs))
	all := 0
	for ways := 1; all < len(needs) && ways*(len(backups)+1) <= mostWays; all++ {
		ways *= len(backups) + 1
	}
	now := make([]int, len(needs))
	var try func(k int, saved float64)
	try = func(k int, saved float64) {
		if k == all {
			if saved > best {
				best = saved
				copy(pick, now[:all])
			}
			return
		}
		for b := range backups {
			now[k] = b
			if load(needs[:k+1], now, b) <= backups[b].PowerW {
				try(k+1, saved+needs[k].saves)
			}
		}
		now[k] = -1
		try(k+1, saved)
	}
	try(0, 0)
	for k := all; k < len(needs); k++ {
		pick[k] = -1
		for b := range backups {
			pick[k] = b
			if load(needs[:k+1], pick, b) <= backups[b].PowerW {
				break
			}
			pick[k] = -1
		}
	}
	return pick
}

// load is what backup b must carry of the houses picked for it [W].
func load(needs []need, pick []int, b int) float64 {
	run, start := 0.0, 0.0
	for k := range needs {
		if pick[k] == b {
			run += needs[k].runW
			start = math.Max(start, needs[k].startW)
		}
	}
	return run + start
}

func joined(names []string) string {
	switch len(names) {
	case 0:
		return ""
	case 1:
		return names[0]
	}
	out := names[0]
	for _, n := range names[1 : len(names)-1] {
		out += ", " + n
	}
	return out + " and " + names[len(names)-1]
}
