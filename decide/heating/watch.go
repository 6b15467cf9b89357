package heating

import (
	"fmt"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
)

// checkAfter is how long after the hour of a round somebody who is alone must have
// called. Judgement.
const checkAfter = 40 * time.Minute

// shift is a line of the crew that works at a moment.
type shift struct {
	name   string
	people int
	until  time.Time
}

// shiftsAt are all who work at a moment.
func shiftsAt(s *site.Site, at time.Time) (on []shift, people int) {
	if s.Zone != nil {
		at = at.In(s.Zone)
	}
	minute := at.Hour()*60 + at.Minute()
	for _, w := range s.Crew {
		if minute >= w.FromMin && minute < w.ToMin || minute+24*60 < w.ToMin {
			n := max(w.People, 1)
			on = append(on, shift{w.Name, n, at.Add(time.Duration((w.ToMin-minute)%(24*60)) * time.Minute)})
			people += n
		}
	}
	return on, people
}

// staffed says who walks each round. Into a house in which something burns without a
// flue two go, always; who is alone on any other says when they will have called.
func (a *Ask) staffed(rounds []Round, flame bool) []Round {
	for i := range rounds {
		r := &rounds[i]
		on, people := shiftsAt(a.Scene.Site, r.At)
		r.Need = 1
		if flame {
			r.Need = 2
		}
		r.People = people
		var words []string
		for _, s := range on {
			r.On = append(r.On, s.name)
			words = append(words, s.name+": on until "+strings.TrimSuffix(a.Voice.Clock(s.until), "."))
		}
		r.Who = strings.Join(words, "; ") + "."
		switch {
		case people == 0:
			who := "who gets up"
			if flame {
				who = "which two get up"
			}
			r.Who = "Nobody is on shift then: say before dark " + who + ", and who is called when they do not answer."
		case people == 1:
			r.CheckIn = r.At.Add(checkAfter)
			r.Alone = alone(on[0].name, r, a.Voice)
			r.Who += " " + r.Alone
		}
	}
	return rounds
}

// alone is what one person on shift does about a round.
func alone(name string, r *Round, v night.Voice) string {
	call := fmt.Sprintf("call somebody before starting, and again by %s; no call by then, they come", strings.TrimSuffix(v.Clock(r.CheckIn), "."))
	if r.Need > 1 {
		return fmt.Sprintf("%s is alone then, and this takes two: wake the second, agreed on before dark. Until there are two nobody goes in: the house reads \"do not enter alone\". For what is done outside, %s.", name, call)
	}
	return fmt.Sprintf("%s is alone then: %s.", name, call)
}
