package labour

import (
	"fmt"
	"math"

	"example.org/coldnight/measure"
)

// says names a kind and its unit.
func (r *Rate) says(u measure.Units) (work, unit string, times float64) {
	per := "per 100 m2"
	times = 1
	if u == measure.Customary {
		per, times = "per 1,000 sq ft", 1000*0.09290304/100
	}
	switch r.Of {
	case Large:
		return "spread large flat sheets", per, times
	case Usual:
		return "spread cloth on usual beds", per, times
	case Hoops:
		return "spread cloth on small beds or hoops", per, times
	case Uncover:
		return "take cloth off", per, times
	case Cups:
		return "set cups", "per 100", 1
	case Panel:
		return "stand up a panel", "each", 1
	}
	return "wind or wet", "times as long", 1
}

// Words says what was learned, a sentence for each rate: "spread cloth on usual beds: 14 person-minutes per 100 m2
// (12 to 17) from 6 jobs, was 20".
func (b *Book) Words(u measure.Units) []string {
	var out []string
	for i := range b.Rates {
		r := &b.Rates[i]
		work, unit, times := r.says(u)
		what := "person-minutes " + unit
		if r.Of == windy {
			what = unit
		}
		s := fmt.Sprintf("%s: %s %s (%s to %s) from %s, was %s", work, digits(r.Value*times), what, digits(r.P10*times), digits(r.P90*times), jobs(r.Jobs), digits(r.Was*times))
		if r.GivenAnyway {
			s = fmt.Sprintf("%s: your %s took %s %s (%s to %s); the site file says %s, and that is used", work, jobs(r.Jobs), digits(r.Value*times), what,
				digits(r.P10*times), digits(r.P90*times), digits(r.Was*times))
		}
		switch {
		case r.Odd == 1:
			s += "; 1 job is so far off that it hardly counts: perhaps ticked late"
		case r.Odd > 1:
			s += fmt.Sprintf("; %s are so far off that they hardly count: perhaps ticked late", jobs(r.Odd))
		}
		out = append(out, s)
	}
	if b.Refused > 0 {
		out = append(out, fmt.Sprintf("%s not used to learn from: shorter than a minute, longer than %.0f hours, or nobody did it", jobs(b.Refused), mostMinutes/60))
	}
	return out
}

// Taught tells whether a number of the table was learned: what the site file's reader assumed of it holds no more.
func (b *Book) Taught(key string) bool {
	for i := range b.Rates {
		if r := &b.Rates[i]; string(r.Of) == key && !r.GivenAnyway {
			return true
		}
	}
	return false
}

func jobs(n int) string {
	if n == 1 {
		return "1 job"
	}
	return fmt.Sprintf("%d jobs", n)
}

// digits writes two figures, whole from ten on.
func digits(x float64) string {
	if x >= 9.95 {
		return fmt.Sprintf("%.0f", x)
	}
	return fmt.Sprintf("%g", math.Round(x*10)/10)
}
