// Package paper puts a plan on paper and into calendars: a run sheet in black and
// white as PDF, and the jobs and rounds as iCalendar entries (RFC 5545). The same
// plan gives the same bytes: no clock is read and nothing is drawn by chance.
//
// Letters are Liberation Sans: Latin, Greek, Cyrillic and Hebrew. A letter that it
// lacks is printed as an empty box; Hebrew is printed in the order in which it is
// stored.
package paper

import (
	"fmt"
	"slices"
	"strings"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/site"
)

// Sheet is a plan to be printed.
type Sheet struct {
	Site   *site.Site
	Answer *plan.Answer
	// Person prints only what one person needs: a name as [People] gives it, or that
	// of a line of the crew for all who stand in it. "" prints everything.
	Person string
}

// People are the names of those who may work, as the plan writes them, in the order
// of the site file.
func People(s *site.Site) []string {
	var out []string
	for i := range s.Crew {
		out = append(out, inLine(&s.Crew[i])...)
	}
	return out
}

// inLine are the names of one line of the crew.
func inLine(w *site.Worker) []string {
	if w.People < 2 {
		return []string{w.Name}
	}
	var out []string
	for p := range w.People {
		out = append(out, fmt.Sprintf("%s %d", w.Name, p+1))
	}
	return out
}

// Unknown is a person who is not in the crew.
type Unknown struct {
	Person string
	Crew   []string
}

func (e *Unknown) Error() string {
	return fmt.Sprintf("nobody called %q is in the crew: it has %s", e.Person, phrase.List(e.Crew))
}

// persons are those to print for. A name that is in no crew is an [*Unknown].
func (s *Sheet) persons() ([]string, error) {
	all := People(s.Site)
	for _, j := range s.Answer.Plan.Jobs {
		for _, p := range j.People {
			if !slices.Contains(all, p) {
				all = append(all, p)
			}
		}
	}
	if s.Person == "" {
		return all, nil
	}
	want := strings.TrimSpace(s.Person)
	for _, p := range all {
		if strings.EqualFold(p, want) {
			return []string{p}, nil
		}
	}
	for i := range s.Site.Crew {
		if w := &s.Site.Crew[i]; strings.EqualFold(w.Name, want) {
			return inLine(w), nil
		}
	}
	return nil, &Unknown{s.Person, all}
}

// voice is the site's own.
func (s *Sheet) voice() night.Voice { return night.VoiceOf(s.Site) }
