package morning

import (
	"strings"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/plant"
)

// Need is what a kind bears of heat and wants of light through a cold spell.
type Need struct {
	Classes  string  // of the plant library, by the start of their names
	Says     string  // in a grower's words
	AirC     float64 // air it should not pass [°C]
	TissueC  float64 // tissue it should not pass [°C]
	LightMol float64 // light it wants in a day, so as not to go back [mol/m2]
	Bears    float64 // days it bears with none
	Source   string  // of the light; heat and days are judgement throughout
	Grade    string  // "source", "weak" or "judgement"
}

// Needs is the whole table. Heat: 30 to 35 °C of air is where houses are vented by
// common practice, no source; desert plants bear more, resting ones are kept cool so that
// they stay hard. Days: growers leave light cloth on for several days to a week, and for
// months over dormant stock (facts 5, weak). All judgement.
func Needs() []Need {
	const (
		low   = "low-light crops 4 to 6 mol/m2 a day (facts 5, weak)"
		ten   = "less than 10 mol/m2 a day gives fewer roots and shoots (Michigan State University Extension)"
		dry   = "cacti at 10 to 16 mol/m2 a day grow; half of that at winter rest"
		rests = "at rest; evergreen leaves want some"
	)
	return []Need{
		{"cactus-epiphytic haworthia sansevieria", "shade-loving succulents", 35, 42, 4, 7, low, "weak"},
		{"cactus agave yucca aloe crassulaceae euphorbia stapeliad succulent caudiciform", "cacti and succulents", 38, 45, 5, 7, dry, "weak"},
		{"fern bromeliad orchid tropical-foliage", "shade plants", 32, 38, 4, 5, low, "weak"},
		{"vegetable bedding herb", "young growing plants", 32, 38, 10, 2, ten, "source"},
		{"palm cycad tropical-shrub subtropical-fruit citrus", "warm evergreens", 34, 40, 6, 5, "between shade plants and growing ones", "judgement"},
		{"woody temperate-fruit perennial", "resting stock", 24, 32, 2, 14, rests, "judgement"},
		{"", "plants of no known kind", 32, 38, 6, 3, "between shade plants and growing ones", "judgement"},
	}
}

// NeedOf is the need of a class of the plant library; "" takes the last row.
func NeedOf(class string) Need {
	all := Needs()
	class = strings.ReplaceAll(class, " ", "-")
	for _, n := range all {
		for _, c := range strings.Fields(n.Classes) {
			if class == c || strings.HasPrefix(class, c+"-") {
				return n
			}
		}
	}
	return all[len(all)-1]
}

// stock is a group with what it needs.
type stock struct {
	need  Need
	class int     // its tops in [night.Hour.Tissue]
	roots bool    // judged by its roots alone
	coldC float64 // colder than this its tops should not get by day [°C]
}

// roomK is how far above its saleable limit a kind is kept by day, when it is in
// somebody's hand. Judgement.
const roomK = 2.0

// stocksOf lists the groups of a space; one of no known kind when it holds none.
func stocksOf(ss []night.Stock) []stock {
	var out []stock
	for i := range ss {
		s := &ss[i]
		out = append(out, stock{
			need: NeedOf(s.Limits.Group), class: indexOf(s.Class()), roots: s.Class().IsRootBall(),
			coldC: s.Limits.Saleable.MidC + s.ShiftK + roomK,
		})
	}
	if len(out) == 0 {
		out = []stock{{need: NeedOf(""), coldC: roomK}}
	}
	return out
}

func indexOf(c plant.Class) int {
	for k, x := range night.Classes() {
		if x == c {
			return k
		}
	}
	return 0
}

// neediest is the group that wants most light.
func neediest(ss []stock) Need {
	n := ss[0].need
	for _, s := range ss[1:] {
		if s.need.LightMol > n.LightMol {
			n = s.need
		}
	}
	return n
}

// coolest is the group that bears least heat.
func coolest(ss []stock) Need {
	n := ss[0].need
	for _, s := range ss[1:] {
		if s.need.AirC < n.AirC {
			n = s.need
		}
	}
	return n
}
