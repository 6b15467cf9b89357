package fasten

import (
	"fmt"
	"math"
	"strings"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/cover"
)

// words says what to put where.
func (h *Hold) words(v night.Voice, written bool) string {
	name := h.Space.Name + ": "
	if h.Total.Count() == 0 && !h.Short.Any() {
		hem := "the hem as it lies"
		if len(h.PerSide) > 0 && h.PerSide[0].Soil {
			hem = "the hem under soil or boards all along"
		}
		return name + hem + " is enough for gusts to " + speed(h.GustMS, v)
	}
	var parts []string
	for _, windward := range [...]bool{true, false} {
		for i := range h.PerSide {
			s := &h.PerSide[i]
			if s.Count() == 0 || s.Windward != windward {
				continue
			}
			t := fmt.Sprintf("%s on the %s side", s.sorts(), compass(s.Faces))
			if windward {
				t += ", to windward"
			}
			if s.Count() == 2 {
				parts = append(parts, t+", at its corners")
				continue
			}
			parts = append(parts, t+", one every "+apart(s, v)+" and closer at its corners")
		}
	}
	out := name
	switch {
	case len(parts) > 0:
		out += strings.Join(parts, "; ")
	case !written:
		out += "nothing to hold cloth down is written in the shed"
	default:
		out += "no clamp, pin or weight is left for it"
	}
	if h.Short.Any() {
		out += fmt.Sprintf(". For gusts to %s it would take %s", speed(h.GustMS, v), h.Short.words())
	} else {
		out += ". Meant for gusts to " + speed(h.GustMS, v)
	}
	return out
}

// sorts lists the holders of a side.
func (s *Side) sorts() string {
	var parts []string
	for _, p := range []struct {
		n    int
		word string
	}{{s.Clamps, "clamp"}, {s.Pins, "pin"}, {s.Weights, "weight"}} {
		if p.n > 0 {
			parts = append(parts, phrase.Count(p.n, p.word))
		}
	}
	return strings.Join(parts, " and ")
}

func (s Short) words() string {
	out := phrase.Count(s.Weights, "more weight")
	if s.Pins > 0 {
		out += ", or " + phrase.Count(s.Pins, "more pin")
	}
	if s.Shovels > 0 {
		out += ", or " + phrase.Count(s.Shovels, "heaped shovel") + " of soil on the hem"
	}
	return out
}

// caution says what the cover is not good for: a warning, never a promise.
func caution(a Ask, sh *sheet, h *Hold) string {
	v := a.Voice
	var out []string
	switch {
	case h.Odds >= 0.01:
		out = append(out, fmt.Sprintf("In gusts above about %s it may not stay; such gusts come %s. Roughly judged: walk the hems before dark; nobody fights a loose cover in a storm.",
			speed(h.StaysToMS, v), night.Chance(h.Odds, 1)))
	case h.StaysToMS >= NothingHoldsMS:
		out = append(out, "In a storm nothing holds a cover for sure. Walk the hems before dark; nobody fights a loose cover in a storm.")
	default:
		out = append(out, fmt.Sprintf("In gusts above about %s it may not stay. Tonight's should be below, but that is roughly judged: walk the hems before dark.", speed(h.StaysToMS, v)))
	}
	pins := false
	for _, s := range h.PerSide {
		pins = pins || s.Pins > 0
	}
	if pins {
		out = append(out, "Pins go in before the ground freezes, slanting, through a folded hem; wind works their holes into rips.")
	}
	if sh.soil > 0 {
		out = append(out, "Loose dry soil blows off a hem and rain washes it off: boards or wet soil on top.")
	}
	if sh.shape != cover.Flat {
		out = append(out, "Whether hoops and frames themselves stand is not judged.")
	}
	if a.Protection.Cup != "" {
		out = append(out, "Cups that stand free blow away: press them into the soil or put a stone on each.")
	}
	if s := snow(a, sh); s != "" {
		out = append(out, s)
	}
	return strings.Join(out, " ")
}

// heavySnow is the load from which it is spoken of [kg/m2]: 5 cm of heavily bound fresh
// snow. Judgement.
const heavySnow = 5.0

// snow warns of the snow that lies on a cover and of what is to come.
func snow(a Ask, sh *sheet) string {
	lies := 0.0
	for _, c := range a.Protection.Covers {
		lies = math.Max(lies, c.SnowM)
	}
	fresh := cover.Snowfalls()[2] // heavily bound, fresh: the middle of the list
	kg := a.SnowKgM2 + cover.SnowLoad(lies, (fresh.Low+fresh.High)/2)
	if kg < heavySnow {
		return ""
	}
	bed := kg * sh.space.AreaM2()
	out := fmt.Sprintf("Snow of up to %s may lie on it, about %s in all, more when it gets wet: ", areal(kg, a.Voice), mass(bed, a.Voice))
	if sh.shape == cover.Flat {
		return out + "it presses on the plants, and keeps them warm; leave it on or sweep it off with a soft broom from the side."
	}
	return out + "hoops and frames may give way, and what they carry is not judged here. Sweep from outside; nobody goes under it."
}

// speed writes a wind in whole units, cut and not rounded up.
func speed(ms float64, v night.Voice) string {
	if v.Units == measure.Customary {
		return fmt.Sprintf("%.0f mph", math.Floor(ms/0.44704+1e-9))
	}
	return fmt.Sprintf("%.0f m/s", math.Floor(ms+1e-9))
}

// areal writes a load on an area, rounded up.
func areal(kgM2 float64, v night.Voice) string {
	if v.Units == measure.Customary {
		return fmt.Sprintf("%.1f lb/ft2", math.Ceil(kgM2/4.88243*2)/2)
	}
	return fmt.Sprintf("%.0f kg/m2", math.Ceil(kgM2-1e-9))
}

// mass writes a load in whole tens.
func mass(kg float64, v night.Voice) string {
	if v.Units == measure.Customary {
		return fmt.Sprintf("%.0f lb", 10*math.Round(kg/0.45359237/10))
	}
	return fmt.Sprintf("%.0f kg", 10*math.Round(kg/10))
}

// apart writes the way from one holder to the next, cut to a hand's width.
func apart(s *Side, v night.Voice) string {
	m := s.LengthM / float64(s.Count())
	switch {
	case v.Units == measure.Customary && m >= 2*0.3048:
		return fmt.Sprintf("%.1f ft", math.Floor(m/0.1524)/2)
	case v.Units == measure.Customary:
		return fmt.Sprintf("%.0f in", math.Floor(m/0.0254))
	case m >= 1:
		return fmt.Sprintf("%.1f m", math.Floor(10*m)/10)
	}
	return fmt.Sprintf("%.0f cm", math.Max(5*math.Floor(20*m), 5))
}

// compass spells the eight winds; the eight between them keep their letters.
func compass(d site.Direction) string {
	if len(d) > 2 {
		return string(d)
	}
	return strings.NewReplacer("N", "north", "S", "south", "E", "east", "W", "west").Replace(string(d))
}
