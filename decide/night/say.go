package night

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/heat"
)

// Voice says results the way the people of a site say them: whole degrees in
// their units, their clock, odds by the count. No word of cells or percentiles.
type Voice struct {
	Units measure.Units
	Zone  *time.Location // nil: UTC
	Money string         // the word for money; "" prints none
}

// VoiceOf is the voice of a site.
func VoiceOf(s *site.Site) Voice { return Voice{Units: s.Units, Zone: s.Zone, Money: s.Money} }

func (v Voice) local(t time.Time) time.Time {
	if v.Zone == nil {
		return t.UTC()
	}
	return t.In(v.Zone)
}

// Degrees writes whole degrees with their unit: "27 °F".
func (v Voice) Degrees(c float64) string {
	if math.IsNaN(c) || math.IsInf(c, 0) {
		return "unknown"
	}
	return v.Units.Temperature(measure.Temperature(c))
}

// Whole writes whole degrees without the unit: "27".
func (v Voice) Whole(c float64) string {
	n, _, _ := strings.Cut(v.Degrees(c), " ")
	return n
}

// Clock writes a moment of the day to the minute: "5:12 p.m.", or "17:12".
func (v Voice) Clock(t time.Time) string {
	l := v.local(t)
	if v.Units != measure.Customary {
		return l.Format("15:04")
	}
	half := " a.m."
	if l.Hour() >= 12 {
		half = " p.m."
	}
	switch h, m := l.Hour(), l.Minute(); {
	case h == 0 && m == 0:
		return "midnight"
	case h == 12 && m == 0:
		return "noon"
	case m == 0:
		return l.Format("3") + half
	}
	return l.Format("3:04") + half
}

// Near writes a moment to the hour.
func (v Voice) Near(t time.Time) string {
	l := v.local(t).Add(30 * time.Minute)
	return v.Clock(time.Date(l.Year(), l.Month(), l.Day(), l.Hour(), 0, 0, 0, l.Location()))
}

// Day writes a date: "Tue 14 Jan".
func (v Voice) Day(t time.Time) string { return v.local(t).Format("Mon 2 Jan") }

// When is day and clock: "Tue 14 Jan 17:12".
func (v Voice) When(t time.Time) string { return v.Day(t) + " " + v.Clock(t) }

// Evening names the night a moment belongs to by the local date of its evening,
// as [CellNight] does.
func (v Voice) Evening(t time.Time) string { return eveningOf(t, v.local(t).Location()) }

// Amount writes money in whole pieces.
func (v Voice) Amount(x float64) string {
	s := strconv.FormatFloat(math.Abs(math.Round(x)), 'f', 0, 64)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	sign := ""
	if math.Round(x) < 0 {
		sign = "-"
	}
	switch strings.ToLower(v.Money) {
	case "dollar", "dollars":
		return sign + "$" + s
	case "euro", "euros":
		return sign + "€" + s
	case "pound", "pounds":
		return sign + "£" + s
	case "":
		return sign + s
	}
	return sign + s + " " + v.Money
}

// Chance writes odds as people count them: "about 1 night in 10". Over several
// nights it counts freezes like this one, not nights.
func Chance(p float64, nights int) string {
	what := "night"
	if nights > 1 {
		what = "freeze like this"
	}
	switch {
	case math.IsNaN(p):
		return "odds not known"
	case p < 0.01:
		return "hardly ever"
	case p < 0.22:
		return fmt.Sprintf("about 1 %s in %d", what, int(math.Round(1/p)))
	case p < 0.45, p >= 0.55 && p < 0.95:
		return fmt.Sprintf("about %d %s in 10", int(math.Round(10*p)), strings.Replace(what+"s", "freeze like thiss", "freezes like this", 1))
	case p < 0.55:
		return "as likely as not"
	}
	return "almost surely"
}

// Where says in which part of its space a cell lies: "on the north edge".
func Where(c site.CellShape, cells int) string {
	switch {
	case cells < 2:
		return ""
	case c.Edge && c.Facing != "":
		return "on the " + compass(c.Facing) + " edge"
	case c.Edge:
		return "on the edge"
	}
	return "in the middle"
}

// compass spells the eight winds; the eight between them keep their letters.
func compass(d site.Direction) string {
	if len(d) > 2 {
		return string(d)
	}
	return strings.NewReplacer("N", "north", "S", "south", "E", "east", "W", "west").Replace(string(d))
}

// Harm grades what is to be expected of the group closest to harm.
type Harm int

// The grades. Odds that part them are judgement.
const (
	Holds       Harm = iota // less than 1 in 20 that it spoils
	MaySpoil                // less than even
	LikelySpoil             // even or more
	LikelyDie               // even or more that it dies
)

// String writes the grade.
func (h Harm) String() string {
	return [...]string{"holds", "may spoil", "likely spoils", "likely dies"}[h]
}

// HarmOf grades odds.
func HarmOf(o Odds) Harm {
	const serious, likely = 0.05, 0.5
	switch {
	case o.Dead >= likely:
		return LikelyDie
	case o.Unsaleable >= likely:
		return LikelySpoil
	case o.Unsaleable >= serious:
		return MaySpoil
	}
	return Holds
}

// Harm grades the group closest to harm under one option; a space without
// groups holds.
func (o *Outlook) Harm(option int) Harm {
	r := &o.Options[option]
	if g := r.Worst.Stock; g >= 0 && g < len(r.Odds) {
		return HarmOf(r.Odds[g])
	}
	return Holds
}

// Sentence says how cold one space gets under one option and who suffers first:
// "Bed 4: coldest about 27 °F near 5 a.m., could be 23. First to suffer: tender
// ferns on the north edge, spoiled about 1 night in 4."
func (v Voice) Sentence(o *Outlook, option int) string {
	r := &o.Options[option]
	return o.Space.Name + ": " + v.Coldest(o, r) + ". " + v.First(o, r)
}

// Coldest says how cold the group closest to harm gets: "coldest about 27 °F
// near 5 a.m., could be 23". Over several nights it names the night's morning.
func (v Voice) Coldest(o *Outlook, r *Result) string {
	near := v.Near(r.Worst.At)
	if o.nights() > 1 {
		near += " on " + v.Day(r.Worst.At)
	}
	s := fmt.Sprintf("coldest%s about %s near %s", organ(o.tissue(r)), v.Degrees(r.Worst.MinC.P50), near)
	if low := v.Whole(r.Worst.MinC.P10); low != v.Whole(r.Worst.MinC.P50) {
		s += ", could be " + low
	}
	return s
}

// First says who suffers first, where, and how likely.
func (v Voice) First(o *Outlook, r *Result) string {
	g := r.Worst.Stock
	if g < 0 || g >= len(o.Stocks) || g >= len(r.Odds) {
		return "No plants are named here."
	}
	who := o.Stocks[g].Name
	if at := Where(r.Cells[r.Worst.Cell].Shape, len(r.Cells)); at != "" {
		who += " " + at
	}
	odds, n := r.Odds[g], o.nights()
	switch HarmOf(odds) {
	case Holds:
		return fmt.Sprintf("All should hold; closest to harm: %s (spoiled %s).", who, Chance(odds.Unsaleable, n))
	case LikelyDie:
		return fmt.Sprintf("First to suffer: %s, dead %s.", who, Chance(odds.Dead, n))
	}
	return fmt.Sprintf("First to suffer: %s, spoiled %s.", who, Chance(odds.Unsaleable, n))
}

// Bare says what the same plants in the same night would feel as things stand,
// or "" when that is what the option is. In wind a cover can leave the coldest
// leaf as cold as before: then it says so.
func (v Voice) Bare(o *Outlook, option int) string {
	w := o.Options[option].Worst
	if option == 0 || w.Cell >= len(o.Options[0].Cells) || w.Night >= len(o.Options[0].Cells[w.Cell].Nights) {
		return ""
	}
	m := o.Options[0].Cells[w.Cell].Nights[w.Night].Min[o.deciding(w.Stock, &Protection{})]
	if m.P50 > w.MinC.P50-0.25 {
		if len(o.Options[option].Protection.Away) > 0 {
			return "" // whom it helps is elsewhere
		}
		return "Their coldest moment is no warmer for it; what it saves, it saves at other hours and places."
	}
	return "As things stand it would be about " + v.Degrees(m.P50) + "."
}

// nights is how many nights the outlook covers.
func (o *Outlook) nights() int {
	if len(o.Options) == 0 || len(o.Options[0].Cells) == 0 {
		return 0
	}
	return len(o.Options[0].Cells[0].Nights)
}

// tissue is the class whose coldest moment [Worst] quotes.
func (o *Outlook) tissue(r *Result) plant.Class {
	return Classes()[o.deciding(r.Worst.Stock, &r.Protection)]
}

// organ names what is cold when it is not a leaf.
func organ(c plant.Class) string {
	switch c {
	case plant.Stem1, plant.Stem3, plant.Stem10, plant.Stem15:
		return " stems"
	case Wrapped:
		return " wrapped stems"
	case plant.Pad:
		return " pads"
	case plant.Apex:
		return " growing tips"
	case plant.RootBall10, plant.RootBall15, plant.RootBall20, plant.RootBall30:
		return " pots"
	}
	return ""
}

// Cautions are what goes with every plan, said once; heat and power add theirs
// (package heating).
func Cautions() []string {
	return []string{
		"A prediction can be wrong. A thermometer among the coldest plants has the last word.",
		"Wet hands in frost lose strength within minutes: dry gloves, a second pair, and go in to warm up.",
		"Large cloth in wind takes two people. No ladders on ice, nobody alone and out of call in the dark.",
		"Keep from under covers and roofs loaded with snow or ice.",
		"In sun a closed cover gets too hot within an hour: be there in the morning.",
		"Local codes, the makers' instructions and licensed people come before this plan.",
	}
}

// SpinUp says how the ground came to its state when a run begins at a moment of
// a series: the same rule as [Scene.Simulate].
func SpinUp(s weather.Series, from time.Time) string {
	i := slices.IndexFunc(s.Rows, func(r weather.Row) bool { return !r.Time.Before(from) })
	if i < 0 || s.Step <= 0 {
		return ""
	}
	_, days := spinUp(make([]heat.Sample, len(s.Rows)), s.Step, i)
	switch {
	case len(s.Rows) < int(24*time.Hour/s.Step):
		return "the weather is shorter than a day: soil, pots and houses start as warm as its first hour and are a rough guess"
	case days == 0:
		return "the days before bring soil and pots into step; none had to be repeated"
	case days == 1:
		return "spin-up: the first day of the weather was run once more before, to bring soil and pots into step"
	}
	return fmt.Sprintf("spin-up: the first day of the weather was run %d times before, to bring soil and pots into step", days)
}
