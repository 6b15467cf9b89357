package night

import (
	"fmt"
	"math"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/heat"
)

// soakHours is how long back rain counts that has gathered in a parked roll [h]: it dries
// slowly and is taken not to. Judgement.
const soakHours = 48

// letDown tells whether a parked cover is one of those that are on.
func letDown(on []active) bool {
	for _, a := range on {
		if a.cover.Parked {
			return true
		}
	}
	return false
}

// shadeOfRoll takes off the innermost built skin what a parked roll under it shades: the
// sun is caught there and warms it. In the open the sun itself is dimmed, see dimmed.
func (b *builder) shadeOfRoll(c *heat.Cell, on []active) {
	p := b.space.Parked
	if p == nil || b.space.House == nil || len(c.Skins) == 0 || letDown(on) {
		return
	}
	sk := &c.Skins[len(c.Skins)-1]
	for _, o := range [...]*cover.SolarOptic{&sk.SolarDry, &sk.SolarWet} {
		caught := p.Shade * o.Tau
		o.Tau, o.Abs = o.Tau-caught, o.Abs+caught // shares of the light add to 1
	}
}

// dimmed takes the shade of a parked roll off the sun of rows in the open, wherever the
// cover is not let down; run[k] is row first+k.
func (t *track) dimmed(run []heat.Sample, first int) {
	p := t.b.space.Parked
	if p == nil || t.b.space.House != nil {
		return
	}
	for k := range run {
		if run[k].SunWM2 > 0 && !t.down(t.covers(first+k)) {
			run[k].SunWM2 *= 1 - p.Shade
		}
	}
}

// down tells whether the parked cover is let down in a state of the cell.
func (t *track) down(mask uint) bool {
	for k, c := range t.p.Covers {
		if c.Parked && mask&(1<<k) != 0 {
			return true
		}
	}
	return false
}

// Soaks tells whether rain gets at the parked cover of a space and stays in its roll.
func (sc *Scene) Soaks(sp *site.Space) bool {
	p := sp.Parked
	if p == nil || p.Rolled == site.OpenDown {
		return false
	}
	if sp.House == nil {
		return true
	}
	m, ok := cover.Find(sc.Covers, sp.House.Glazing)
	return ok && !math.IsInf(m.AirResistance, 1) // under a net
}

// Soaked is the water in the cloth of a parked cover when it is let down at a moment
// [kg/m2 of cloth], at most what the cloth holds: what fell on its roll in the two days
// before, while it was up.
func (sc *Scene) Soaked(sp *site.Space, rows []weather.Row, at time.Time, up func(row int) bool) (kgM2 float64, heldAtMost float64) {
	p := sp.Parked
	if !sc.Soaks(sp) {
		return 0, 0
	}
	m, err := sc.Material(p.Cloth)
	if err != nil {
		return 0, 0
	}
	most := m.HoldKgM2
	if m.Kind != cover.Cloth {
		most *= 2 // both faces of a sheet
	}
	rain := 0.0
	for i := range rows {
		if t := rows[i].Time; !t.After(at) && t.After(at.Add(-soakHours*time.Hour)) && rows[i].RainMM > 0 && up(i) {
			rain += rows[i].RainMM // 1 mm is 1 kg/m2 of floor
		}
	}
	// the roll catches the rain on its share of the roof and holds it in all its cloth
	return math.Min(rain*p.Shade/float64(max(p.Layers, 1)), most), most
}

// soak wets the parked cover when a turn lets it down at row i; before and after are the
// states of the cell.
func (t *track) soak(s *heat.Sim, before bool, mask uint, i int) {
	if before || i < 0 || t.rows == nil || !t.down(mask) || !t.b.scene.Soaks(t.b.space) {
		return
	}
	at, _, _ := t.cal.at(i)
	kg, _ := t.b.scene.Soaked(t.b.space, t.rows, at, func(row int) bool { return !t.down(t.covers(row)) })
	if kg <= 0 {
		return
	}
	k := 0 // its place among those that are on names its sheets
	for n, c := range t.p.Covers {
		if mask&(1<<n) == 0 {
			continue
		}
		if c.Parked {
			if m, err := t.b.scene.Material(c.Cloth); err == nil {
				s.Wet(fmt.Sprintf("%s %d.", m.Key, k), kg)
			}
		}
		k++
	}
}
