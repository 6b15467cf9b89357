package plant

import (
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Class names the tissue whose temperature decides; the night run computes one
// temperature series for each.
type Class string

// Tissue classes.
const (
	LeafSmall    Class = "leaf-small"    // leaf or leaflet to about 3 cm
	LeafLarge    Class = "leaf-large"    // leaf wider than about 3 cm; coldest under a clear sky
	LeafTouching Class = "leaf-touching" // the part that touches the cloth
	Stem1        Class = "stem-1cm"      // thin stem or tip
	Stem3        Class = "stem-3cm"      // finger to thumb
	Stem10       Class = "stem-10cm"     // globe or column, some hours behind the air
	Stem15       Class = "stem-15cm"     // thick column
	Pad          Class = "pad"           // flat pad of about 2 cm, both faces bare
	Apex         Class = "apex"          // growing tip of a stem with the whole sky above it
	RootBall10   Class = "rootball-10cm" // root ball of a 10 cm pot
	RootBall15   Class = "rootball-15cm" // root ball of a 15 cm pot
	RootBall20   Class = "rootball-20cm" // root ball of a 20 cm pot
	RootBall30   Class = "rootball-30cm" // root ball of a 30 cm pot
)

// Classes returns the tissue classes, tops first.
func Classes() []Class {
	return []Class{
		LeafSmall, LeafLarge, LeafTouching, Stem1, Stem3, Stem10, Stem15, Pad, Apex,
		RootBall10, RootBall15, RootBall20, RootBall30,
	}
}

// Says returns the class in a grower's words.
func (c Class) Says() string {
	switch c {
	case LeafSmall:
		return "small leaf"
	case LeafLarge:
		return "large leaf"
	case LeafTouching:
		return "leaf touching the cloth"
	case Stem1:
		return "thin stem"
	case Stem3:
		return "thumb-thick stem"
	case Stem10:
		return "10 cm stem"
	case Stem15:
		return "15 cm stem"
	case Pad:
		return "pad"
	case Apex:
		return "growing tip"
	case RootBall10:
		return "root ball of a 10 cm pot"
	case RootBall15:
		return "root ball of a 15 cm pot"
	case RootBall20:
		return "root ball of a 20 cm pot"
	case RootBall30:
		return "root ball of a 30 cm pot"
	}
	return string(c)
}

// IsRootBall tells whether the class is a root ball: plants that winter as crown
// and roots are judged by it alone.
func (c Class) IsRootBall() bool { return strings.HasPrefix(string(c), "rootball-") }

// RootBall returns the root-ball class nearest to a pot diameter [m].
func RootBall(potM float64) Class {
	switch {
	case potM < 0.125:
		return RootBall10
	case potM < 0.175:
		return RootBall15
	case potM < 0.25:
		return RootBall20
	}
	return RootBall30
}

// Prior is one line of the table of priors: a tolerance class, a grower's word,
// or nothing known. All numbers are judgement unless its source says more.
type Prior struct {
	Kind, Name, Says         string
	SaleableC, AliveC, RootC float64 // °C, centres at the reference state
	SpreadK, RootSpreadK     float64 // K, one standard deviation
	SlopeK                   float64 // K
	GapK                     float64 // K, saleable above alive
	Hardening                Hardening
	Tissue                   Class
	ChillC, ChillDoseKh      float64 // 0 dose: no chilling
	Succulent                bool
	Mark, Source             string
	hasChill                 bool
}

const priorHeader = "kind,name,says,saleable_c,alive_c,root_c,spread_k,root_spread_k,slope_k,gap_k,gain_k_per_10k,gain_ref_c,gain_cap_k,tissue,chill_c,chill_dose_kh,succulent,mark,source"

func parsePriors(file string, r io.Reader) ([]Prior, error) {
	var ps []Prior
	err := table(file, r, priorHeader, func(line int, f func(string) string) error {
		var fault error
		num := func(col string) float64 {
			v, err := strconv.ParseFloat(f(col), 64)
			if err != nil || v < -90 || v > 1e4 {
				fault = &TableError{file, line, col, fmt.Sprintf("cannot use %q", f(col)), "write a number"}
			}
			return v
		}
		p := Prior{
			Kind: f("kind"), Name: f("name"), Says: f("says"), SaleableC: num("saleable_c"), AliveC: num("alive_c"), RootC: num("root_c"),
			SpreadK: num("spread_k"), RootSpreadK: num("root_spread_k"), SlopeK: num("slope_k"), GapK: num("gap_k"),
			Hardening: Hardening{KPer10: num("gain_k_per_10k"), RefC: num("gain_ref_c"), CapK: num("gain_cap_k")},
			Tissue:    Class(f("tissue")), Succulent: f("succulent") == "yes", Mark: f("mark"), Source: f("source"),
		}
		if f("chill_c") != "" {
			p.hasChill = true
			p.ChillC, p.ChillDoseKh = num("chill_c"), num("chill_dose_kh")
		}
		if fault == nil && !(p.SlopeK > 0 && p.SpreadK > 0 && p.RootSpreadK > 0) {
			fault = &TableError{file, line, "slope_k", "slope and spread must be above zero", "write kelvin"}
		}
		ps = append(ps, p)
		return fault
	})
	return ps, err
}
