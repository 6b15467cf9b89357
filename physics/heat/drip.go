package heat

import "math"

// Face names what water drips from.
type Face int

// What drips are counted apart.
const (
	NoFace    Face = iota
	OnGlazing      // inner face of a house
	OnCurtain      // lower face of an inner curtain
	OnCover        // lower face of what lies over the plants
	Faces
)

// drips is the water that lower faces could not hold, by [Face], since [Sim.Begin]
// [kg/m2 of floor].
type drips struct {
	fallen [Faces]float64
	hung   [Faces]float64 // as frost, more than the face holds as water
}

// thawS is in what time frost that hangs on a face above 0 °C comes down to 1/e [s]:
// judgement, sun on a roof clears it in an hour or two.
const thawS = 3600

// drip counts what the lower faces have gained beyond what they hold: a face below
// 0 °C keeps it as frost until it thaws.
func (s *Sim) drip(tau float64) {
	ix, d := &s.ix, &s.drips
	for j := range ix.ns {
		face, k := s.cell.Skins[j].Face, ix.filmUnder+j
		if face == NoFace {
			continue
		}
		over := max(0, s.film[k]-s.fixed.filmCap[k])
		if s.work.full[k] { // the scheme keeps such a film as it is: what would have come to it
			gain := 0.0
			for st := range rosStages {
				gain += s.work.tab.m[st] * s.work.uf[st][k]
			}
			over = max(0, gain)
		}
		if s.t[ix.skins+j] < 0 {
			d.hung[face] += over
			continue
		}
		if d.hung[face] > 0 {
			thawed := -d.hung[face] * math.Expm1(-tau/thawS)
			d.hung[face] -= thawed
			over += thawed
		}
		d.fallen[face] += over
	}
}

// Dripped returns the water that has come down from a face since [Sim.Begin]
// [kg/m2 of floor]; a cell that a run becomes goes on counting. Its heat was given off
// when it condensed: the books do not miss it.
func (s *Sim) Dripped(f Face) float64 { return s.drips.fallen[f] }

// Frosted is what hangs on a face as frost beyond what it holds as water
// [kg/m2 of floor].
func (s *Sim) Frosted(f Face) float64 { return s.drips.hung[f] }
