package morning

import (
	"fmt"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/measure"
)

// say puts a day in growers' words, what to do first, and fills in what each visit does
// and why.
func (l *looking) say(d *Day) []string {
	v := l.ask.Voice
	var out []string
	add := func(format string, a ...any) { out = append(out, fmt.Sprintf(format, a...)) }
	if d.Open.Needed {
		d.Open.Do, d.Open.Why = l.opening(d)
		d.Close.Do, d.Close.Why = l.shutting(d)
		late := ""
		if !d.Open.Late.IsZero() {
			late = fmt.Sprintf("; opened after %s, one day in ten is too hot", v.Clock(d.Open.Late))
		}
		add("%s %s%s: %s", d.Open.Do, span(v, d.Open.From, d.Open.To), late, d.Open.Why)
		if d.Close.Needed {
			add("%s %s: %s", d.Close.Do, span(v, d.Close.From, d.Close.To), d.Close.Why)
		}
	} else {
		add("leave it shut: %s", l.shut(d))
	}
	if d.Shade {
		add("shade it as well: wide open, one day in ten still passes %s", v.Degrees(l.out.Heat.AirC))
	}
	if d.Thaw.Odds >= 0.1 {
		how := "shade it until then if you can"
		if d.Roll.Asked {
			how = "let it thaw slowly, under its cover"
		}
		add("%s; %s", l.frozen(d), how)
	}
	if d.Roll.Asked {
		what := "leave the covers on"
		if d.Roll.Up {
			what = "roll the covers up"
		}
		add("%s: %s (%.0f mol/m² of light under them, %.0f rolled up, %.0f wanted; %.0f person-minutes)", what, d.Roll.Why, d.Light.Left.P50, d.Light.Rolled.P50, d.Light.Need, d.Roll.Minutes)
	}
	add("if nobody comes: %s", l.nobody(d))
	return out
}

// span writes two hours; one when they are the same.
func span(v night.Voice, from, to time.Time) string {
	if !to.After(from) {
		return "at " + v.Clock(from)
	}
	return "between " + v.Clock(from) + " and " + v.Clock(to)
}

func (l *looking) opening(d *Day) (do, why string) {
	switch {
	case d.Share > 0 && d.Roll.Up:
		do = "take the covers off and open " + l.part(d.Share)
	case d.Share > 0:
		do = "open " + l.part(d.Share)
	default:
		do = "take the covers off"
	}
	switch {
	case d.Thaw.Waiting:
		why = "not before it has thawed"
	case d.Alone.Passes.Odds >= 0.1:
		why = fmt.Sprintf("shut, it passes the heat that %s bear by %s", l.out.Heat.Says, l.ask.Voice.Clock(d.Alone.Passes.P10))
	default:
		why = d.Roll.Why
	}
	return do, why
}

// Part is how much of what opens is opened on a day, in words: "open the vents half".
func (s *Space) Part(d *Day) string {
	return "open " + (&looking{out: s}).part(d.Share)
}

// part is how much of what opens, in words.
func (l *looking) part(share float64) string {
	switch {
	case share <= 0.25:
		return "the " + l.out.Opens + " a quarter"
	case share <= 0.5:
		return "the " + l.out.Opens + " half"
	}
	return "the " + l.out.Opens + " wide"
}

func (l *looking) shutting(d *Day) (do, why string) {
	do = "close again"
	if p := l.planned(d.Date); p != nil && d.Roll.Up && !p.Again {
		d.Close.Needed = d.Share > 0 // the covers stay off
	} else if d.Roll.Up {
		do = "cover again"
		if d.Share > 0 {
			do = "cover and close again"
		}
	}
	why = "earlier it gets hot again, later the heat of the day is lost to the night"
	if !d.Close.Late.IsZero() {
		why = fmt.Sprintf("after %s the next night is %s colder", l.ask.Voice.Clock(d.Close.Late), l.ask.Voice.Units.TemperatureDiffFine(measure.TemperatureDiff(lossK)))
	}
	return do, why
}

func (l *looking) shut(d *Day) string {
	return fmt.Sprintf("it gets to %s, and %s bear %s", l.ask.Voice.Degrees(d.Alone.Air.P90), l.out.Heat.Says, l.ask.Voice.Degrees(l.out.Heat.AirC))
}

func (l *looking) frozen(d *Day) string {
	s := fmt.Sprintf("the tops are frozen in the morning (%s)", night.Chance(d.Thaw.Odds, 1))
	if !d.Thaw.Thawed.P90.IsZero() {
		s += ", thawed by " + l.ask.Voice.Clock(d.Thaw.Thawed.P90)
	}
	return s
}

func (l *looking) nobody(d *Day) string {
	v := l.ask.Voice
	a := &d.Alone
	if a.Passes.Odds == 0 {
		return fmt.Sprintf("%s at the warmest, leaves %s", v.Degrees(a.Air.P50), v.Degrees(a.Tissue.P50))
	}
	return fmt.Sprintf("%s at the warmest (%s to %s), leaves %s; too hot from %s on", v.Degrees(a.Air.P50), v.Whole(a.Air.P10), v.Degrees(a.Air.P90), v.Degrees(a.Tissue.P50), v.Clock(a.Passes.P50))
}
