package heat

import (
	"math"
	"strings"
)

// Wet puts water on both faces of the skins whose names begin with prefix: kgM2 in all
// [kg/m2 of skin], half of it on each face, at most what a face holds. It is for a cover
// that is laid wet; the water is as warm as the skin.
func (s *Sim) Wet(prefix string, kgM2 float64) {
	ix := &s.ix
	for j := range ix.ns {
		if !strings.HasPrefix(s.cell.Skins[j].Name, prefix) {
			continue
		}
		half := math.Max(kgM2, 0) / 2 * s.cell.Skins[j].AreaRatio
		for _, k := range [2]int{ix.filmTop + j, ix.filmUnder + j} {
			s.film[k] = math.Min(half, s.fixed.filmCap[k])
		}
	}
	s.opt.dirty = true
	s.refreshOptics(0)
}
