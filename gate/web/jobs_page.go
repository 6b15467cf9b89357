package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

// jobsPage is the work by when it falls, or by who does it.
type jobsPage struct {
	Frame
	Site    string
	Notices []string
	Sum     string // "3 of 9 done."
	Who     string // whose work alone is shown; ""
	By      bool   // by person
	Views   []navLink
	Blocks  []jobBlock
	Empty   string
	Stamp   aged   // how old the plan and the forecast are
	At      string // the moment of the page, and the zone of its clock: for the script
	Zone    string
}

// jobBlock is one part of the list.
type jobBlock struct {
	Name   string
	Sum    string
	Jobs   []jobLine
	Rounds []roundLine
	Open   []morningLine
	Stay   string
}

// jobsPage shows the work; ?who= that of one person, ?by=person that of each.
func (s *server) jobsPage(w http.ResponseWriter, r *http.Request) error {
	f := s.frame(r) // before the view is read, as on the page of tonight
	v, err := s.src.Tonight(r.Context())
	if err != nil {
		return err
	}
	q := r.URL.Query()
	p, err := newJobsPage(v, q.Get("who"), q.Get("by") == "person")
	if err != nil {
		return err
	}
	again := p.Again
	p.Frame = f
	p.Title, p.Again = "Jobs", again
	for i := range p.Blocks {
		for k := range p.Blocks[i].Jobs {
			p.Blocks[i].Jobs[k].Queued = p.Script != ""
		}
		showTold(r, p.Blocks[i].Jobs)
	}
	return s.render(w, r, http.StatusOK, "jobs.html", p)
}

func newJobsPage(v View, who string, byPerson bool) (*jobsPage, error) {
	w := newVoice(v)
	p := &jobsPage{Who: who, By: byPerson && who == "", At: v.Now.UTC().Format(time.RFC3339), Zone: w.Zone.String()}
	if v.Site != nil {
		p.Site = v.Site.Name
	}
	if v.Trouble != "" {
		p.Notices = append(p.Notices, phrase.Stop("There is no newer plan: "+v.Trouble))
	}
	if v.Answer == nil {
		h := w.noPlan(v)
		p.Empty = h.Act + ". " + h.Worst
		if v.Busy {
			p.Again = 15
		}
		return p, nil
	}
	p.Stamp = aged{{Text: "Plan made "}, age(v.Answer.Plan.Now, v.Now, replanAfter), {Text: ", from a forecast made "}, age(v.Answer.Plan.Issued, v.Now, staleAfter), {Text: "."}}
	if v.TicksLost {
		p.Notices = append(p.Notices, "What was ticked as done cannot be read just now: ask, or look, before you rely on it.")
	}
	if v.Busy {
		p.Notices = append(p.Notices, "A newer plan is being worked out. Load the page again in a minute.")
	}
	hands := v.hands()
	if who != "" && !slices.Contains(hands, who) {
		return nil, refusal{http.StatusNotFound, "Nobody of that name has work in this plan. Open Jobs again and choose a name there."}
	}
	p.Views = views(hands, who, p.By)
	here := "/jobs"
	if q := viewQuery(who, p.By); q != "" {
		here += "?" + q
	}
	lines := make([]jobLine, len(v.Answer.Plan.Jobs)) // as the plan has them
	for _, l := range w.jobs(v, w.doors(v)) {
		l.Back = here
		for i := range lines {
			if l.Anchor == jobAnchor(i) {
				lines[i] = l
			}
		}
	}
	if p.By {
		p.Blocks = byHand(v, lines, hands)
	} else {
		p.Blocks = w.byBlock(v, lines, who)
	}
	done, all := 0, 0
	for i, j := range v.Answer.Plan.Jobs {
		if who == "" || slices.Contains(j.People, who) {
			all++
			if lines[i].State == "done" {
				done++
			}
		}
	}
	switch {
	case all > 0:
		p.Sum = fmt.Sprintf("%d of %d %s done.", done, all, plural(all, "job"))
	case len(p.Blocks) == 0 && !v.Answer.Freeze:
		p.Empty = "No freeze in sight, so there is nothing to do."
	case len(p.Blocks) == 0:
		p.Empty = "Nothing to do."
	}
	return p, nil
}

func viewQuery(who string, byPerson bool) string {
	switch {
	case who != "":
		return url.Values{"who": {who}}.Encode()
	case byPerson:
		return "by=person"
	}
	return ""
}

// views are the links to the other ways to see the work.
func views(hands []string, who string, byPerson bool) []navLink {
	if len(hands) == 0 {
		return nil
	}
	out := []navLink{
		{"All, by time", "/jobs", who == "" && !byPerson},
		{"All, by person", "/jobs?by=person", byPerson},
	}
	for _, h := range hands {
		out = append(out, navLink{h, "/jobs?" + viewQuery(h, false), h == who})
	}
	return out
}

// byBlock sorts the work into the parts of its nights, as the plan has them; rounds are
// walked overnight.
func (w voice) byBlock(v View, lines []jobLine, who string) []jobBlock {
	at := map[block]*jobBlock{}
	var order []block
	to := func(b block) *jobBlock {
		if at[b] == nil {
			at[b] = &jobBlock{}
			order = append(order, b)
		}
		return at[b]
	}
	for i, j := range v.Answer.Plan.Jobs {
		if who == "" || slices.Contains(j.People, who) {
			b := to(blockOf(lines[i].Night, j.Block))
			b.Jobs = append(b.Jobs, lines[i])
		}
	}
	for _, l := range w.rounds(v) {
		start, err := time.Parse(time.RFC3339, l.At)
		if err == nil && (who == "" || strings.Contains(l.Who, who)) {
			b := to(blockOf(jobNight(v, plan.Job{Start: start}), plan.Overnight))
			b.Rounds = append(b.Rounds, l)
		}
	}
	if m := w.morning(v.Answer); m != nil && who == "" && len(v.Answer.Plan.Nights) > 0 {
		b := to(blockOf(v.Answer.Plan.Nights[0].Date, plan.InMorning))
		b.Open, b.Stay = m.Open, m.Stay
	}
	slices.SortFunc(order, block.compare)
	var out []jobBlock
	for _, k := range order {
		b := at[k]
		b.Name = k.title()
		b.Sum = sumOfJobs(b.Jobs)
		out = append(out, *b)
	}
	return out
}

// byHand sorts the work by who does it; work of two stands with both.
func byHand(v View, lines []jobLine, hands []string) []jobBlock {
	var out []jobBlock
	for _, h := range hands {
		b := jobBlock{Name: h}
		for i, j := range v.Answer.Plan.Jobs {
			if slices.Contains(j.People, h) {
				b.Jobs = append(b.Jobs, lines[i])
			}
		}
		b.Sum = sumOfJobs(b.Jobs)
		for i := range b.Jobs { // an anchor stands once on a page: with the first who does it
			if slices.ContainsFunc(out, func(o jobBlock) bool {
				return slices.ContainsFunc(o.Jobs, func(l jobLine) bool { return l.Anchor == b.Jobs[i].Anchor })
			}) {
				b.Jobs[i].Anchor = ""
			}
		}
		out = append(out, b)
	}
	return out
}

// sumOfJobs counts a list.
func sumOfJobs(jobs []jobLine) string {
	done := 0
	for _, j := range jobs {
		if j.State == "done" {
			done++
		}
	}
	switch {
	case len(jobs) == 0:
		return ""
	case done == len(jobs):
		return "All done."
	}
	return fmt.Sprintf("%d of %d %s to do.", len(jobs)-done, len(jobs), plural(len(jobs), "job"))
}
