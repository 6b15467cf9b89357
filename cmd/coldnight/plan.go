package main

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/nursery/weather"
)

type planCommand struct {
	Site    string `arg:"" help:"Site file."`
	Weather string `required:"" help:"Forecast file: our CSV, or the JSON of a service."`
	Now     string `help:"The moment to plan from; without an offset on the site's clock. Default: now."`
	Draws   int    `default:"24" help:"How many ways the weather and the unknowns of each space may turn out."`
	Seed    uint64 `default:"1" help:"Another seed draws other ways; the same gives the same plan."`
	JSON    bool   `name:"json" help:"For programs; doc/plan.schema.json describes it."`
	All     bool   `help:"Show every refusal and everything assumed."`
	Out     string `help:"File for the answer instead of the screen." placeholder:"FILE"`
	LP      string `name:"lp" help:"Also write the choice as a CPLEX LP file, for checking it with another solver." placeholder:"FILE"`
}

// Run makes the plan and prints it.
func (cmd *planCommand) Run(c *console) error {
	n, err := openSite(cmd.Site)
	if err != nil {
		return err
	}
	var given time.Time
	if cmd.Now != "" {
		if given, err = moment("--now", cmd.Now, n.site().Zone); err != nil {
			return err
		}
	}
	if cmd.Draws < 1 || cmd.Draws > mostDraws {
		return misuse{fmt.Sprintf("--draws %d cannot be", cmd.Draws), fmt.Sprintf("give 1 to %d; 24 is usual", mostDraws)}
	}
	f, err := openWeather(cmd.Weather, weather.Options{Zone: n.site().Zone, Near: c.now()})
	if err != nil {
		return err
	}
	o := order{nursery: n, forecast: f, draws: cmd.Draws, seed: cmd.Seed}
	o.now, o.said = planFrom(given, c.now(), f)
	c.busy("computing %s ...", count(len(n.site().Spaces), "space"))
	a, err := o.make()
	if err != nil {
		return &fault{file: cmd.Weather, what: err.Error(), err: err}
	}
	if cmd.LP != "" {
		if err := c.writeLP(cmd.LP, a); err != nil {
			return err
		}
	}
	if cmd.JSON {
		text, err := json.MarshalIndent(a.Plan, "", "  ")
		if err != nil {
			return err
		}
		return c.deliver(cmd.Out, append(text, '\n'))
	}
	return c.deliver(cmd.Out, []byte(planWords(n, a, cmd.All)))
}

// writeLP writes the choice as another solver reads it, with the crew's minutes as
// one pool, as the proven bound has them.
func (c *console) writeLP(path string, a *plan.Answer) error {
	m, err := a.Facts.Model(plan.Bounds{})
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := m.WriteLP(&b); err != nil {
		return err
	}
	return c.deliver(path, b.Bytes())
}

// mostDraws bounds --draws: more say nothing new and take hours.
const mostDraws = 1000

// order is a plan to be made: plan, serve and demo make them alike.
type order struct {
	nursery  *nursery
	forecast weather.Forecast
	now      time.Time
	draws    int
	seed     uint64
	said     []string // assumed on the way here
}

// planFrom is the moment to plan from when none is given: the clock, if it lies in
// the weather or up to half a day before it, else when the forecast was made.
func planFrom(given, clock time.Time, f weather.Forecast) (time.Time, []string) {
	rows := f.Members[0].Rows
	first, last := rows[0].Time, rows[len(rows)-1].Time
	switch {
	case !given.IsZero():
		return given, nil
	case clock.After(first.Add(-12*time.Hour)) && clock.Before(last):
		return clock, nil
	case !f.Issued.IsZero():
		return f.Issued, []string{"the weather is not of today: planned from the moment the forecast was made; --now sets another"}
	}
	return first, []string{"the weather is not of today: planned from its first hour; --now sets another"}
}

func (o *order) make() (*plan.Answer, error) {
	s := o.nursery.site()
	members := weather.Ensemble(o.forecast, o.draws, o.seed, weather.EnsembleOptions{LatDeg: s.LatDeg, LonDeg: s.LonDeg, ElevM: s.ElevationM, Now: o.now})
	if len(members) == 0 {
		return nil, fmt.Errorf("no air temperature in the weather; give a column air_c")
	}
	said := slices.Clone(o.said)
	if step := members[0].Step; step > time.Hour {
		said = append(said, fmt.Sprintf("the weather comes every %s: hours between on straight lines, with wider doubt", spoken(step)))
	}
	if len(o.forecast.Members) > 1 {
		said = append(said, fmt.Sprintf("the forecast brings %s of its own", count(len(o.forecast.Members), "member")))
	}
	for _, w := range slices.Concat(o.forecast.Notes, members[0].Notes) {
		if !strings.HasPrefix(w, "member ") { // of one member only
			said = append(said, w)
		}
	}
	issued := o.forecast.Issued
	if issued.IsZero() {
		issued = o.now
	}
	zone := s.Zone
	return plan.Make(plan.Freeze{
		Scene: o.nursery.scene, Members: members, Issued: issued.In(zone), Now: o.now.In(zone),
		Seed: o.seed, Draws: o.draws, Assumed: unique(slices.Concat(said, o.nursery.guesses(0))),
	})
}

// planWords is a plan for people, in the order in which they need it.
func planWords(n *nursery, a *plan.Answer, all bool) string {
	v := night.VoiceOf(n.site())
	var p page
	p.say("", "", stop(fmt.Sprintf("%s. Plan made %s, from a forecast made %s", n.site().Name, v.When(a.Plan.Now), v.When(a.Plan.Issued))))
	p.say("", "", opening(v, a))
	harmed, safe := sorted(a)
	if len(harmed) > 0 {
		p.head("at risk, even so")
		for _, s := range harmed {
			p.space(v, a, s)
		}
	}
	if len(safe) > 0 {
		p.head("expected to hold")
		for _, s := range safe {
			p.space(v, a, s)
		}
	}
	p.jobs(v, a)
	p.refusals(v, a, all)
	p.shelf(v, a)
	p.head("take care")
	for _, w := range night.Cautions(len(n.site().Heaters) > 0) {
		p.say("- ", "  ", w)
	}
	p.foldAssumed(a.Plan.Assumed, all, "--all shows all")
	return p.String()
}

// opening answers first: is there a freeze, and when must somebody be out.
func opening(v night.Voice, a *plan.Answer) string {
	var nights []string
	for _, n := range a.Plan.Nights {
		if day, err := time.Parse(time.DateOnly, n.Date); err == nil {
			nights = append(nights, day.Format("Mon 2 Jan"))
		}
	}
	if !a.Freeze {
		return fmt.Sprintf("No freeze in sight. Looked at: night of %s.", listed(nights, 5))
	}
	word := "night"
	if len(nights) > 1 {
		word = "nights"
	}
	text := fmt.Sprintf("Freeze in the %s of %s. ", word, listed(nights, 5))
	if len(a.Plan.Jobs) == 0 {
		return text + "Nothing to do."
	}
	jobs := byTime(a.Plan.Jobs)
	return stop(fmt.Sprintf("%s%s to do, the first at %s", text, capital(count(len(jobs), "job")), v.When(jobs[0].Start)))
}

// sorted parts the spaces at risk from those that hold, each the most harmed
// first.
func sorted(a *plan.Answer) (harmed, safe []*plan.SpaceAnswer) {
	for i := range a.Spaces {
		s := &a.Spaces[i]
		if s.Outlook.Harm(s.Chosen) > night.Holds {
			harmed = append(harmed, s)
		} else {
			safe = append(safe, s)
		}
	}
	loss := func(s *plan.SpaceAnswer) float64 { return s.Outlook.Options[s.Chosen].Loss }
	for _, list := range [][]*plan.SpaceAnswer{harmed, safe} {
		slices.SortStableFunc(list, func(x, y *plan.SpaceAnswer) int {
			return cmp.Or(cmp.Compare(y.Outlook.Harm(y.Chosen), x.Outlook.Harm(x.Chosen)), cmp.Compare(loss(y), loss(x)))
		})
	}
	return harmed, safe
}

// space is the sentence about a space, and what to put on.
func (p *page) space(v night.Voice, a *plan.Answer, s *plan.SpaceAnswer) {
	p.say("", "    ", v.Sentence(s.Outlook, s.Chosen))
	if s.Chosen == 0 {
		if loss := s.Outlook.Options[0].Loss; loss >= 0.5 {
			p.say("    ", "    ", "Left as it is; expected loss "+v.Amount(loss)+".")
		}
		return
	}
	r := s.Outlook.Options[s.Chosen]
	text := "Put on: " + r.Protection.Words
	if c, ok := chosen(a, s.Outlook.Space.Name); ok && !c.From.IsZero() {
		text += ", before dark at " + v.Clock(c.From)
	}
	text = stop(text) + " " + v.Bare(s.Outlook, s.Chosen)
	p.say("    ", "    ", fmt.Sprintf("%s Expected loss %s instead of %s.", text, v.Amount(r.Loss), v.Amount(s.Outlook.Options[0].Loss)))
}

func chosen(a *plan.Answer, space string) (plan.Chosen, bool) {
	for _, n := range a.Plan.Nights {
		for _, s := range n.Spaces {
			if s.Space == space && len(s.Chosen) > 0 {
				return s.Chosen[0], true
			}
		}
	}
	return plan.Chosen{}, false
}

func byTime(jobs []plan.Job) []plan.Job {
	out := slices.Clone(jobs)
	slices.SortStableFunc(out, func(x, y plan.Job) int { return x.Start.Compare(y.Start) })
	return out
}

// jobs are the work by the clock.
func (p *page) jobs(v night.Voice, a *plan.Answer) {
	if len(a.Plan.Jobs) == 0 {
		return
	}
	p.head("jobs")
	day := ""
	for _, j := range byTime(a.Plan.Jobs) {
		if d := v.Day(j.Start); d != day {
			day = d
			p.say("", "", day)
		}
		p.say(fmt.Sprintf("%-10s ", v.Clock(j.Start)), strings.Repeat(" ", 11), fmt.Sprintf("%s: %s", j.Space, stop(j.What)))
		p.say(strings.Repeat(" ", 11), strings.Repeat(" ", 11), stop(fmt.Sprintf("%s; %s; start by %s", listed(j.People, 6), count(j.Minutes, "minute"), v.Clock(j.Latest))))
	}
}

// refusal is something that was not done, with its words.
type refusal struct {
	space, words string
	plan.Refused
}

// refusals are what was not done and what it would cost the whole plan: those
// nearest to being worth it first.
func (p *page) refusals(v night.Voice, a *plan.Answer, all bool) {
	var can, cannot []refusal
	for _, s := range a.Spaces {
		if s.Outlook.Options[0].Loss < 0.5 {
			continue // nothing to lose
		}
		for _, n := range a.Plan.Nights {
			for _, sn := range n.Spaces {
				if sn.Space != s.Outlook.Space.Name {
					continue
				}
				for _, r := range sn.Refused {
					e := refusal{sn.Space, optionWords(&s, r.Option), r}
					if r.Price == nil {
						cannot = append(cannot, e)
					} else {
						can = append(can, e)
					}
				}
			}
		}
	}
	if len(can)+len(cannot) == 0 {
		return
	}
	slices.SortStableFunc(can, func(x, y refusal) int { return cmp.Compare(*x.Price, *y.Price) })
	p.head("refused, and at what price")
	show := func(list []refusal, most int) {
		if all {
			most = len(list)
		}
		for _, r := range list[:min(most, len(list))] {
			p.say("", "    ", fmt.Sprintf("%s: %s. %s", r.space, r.words, r.Reason))
		}
		if k := len(list) - most; k > 0 {
			p.say("", "", fmt.Sprintf("(%d more; --all shows all)", k))
		}
	}
	show(can, 4)
	show(cannot, 2)
}

func optionWords(s *plan.SpaceAnswer, key string) string {
	for i := range s.Outlook.Options {
		if s.Outlook.Options[i].Protection.Key == key {
			return s.Outlook.Options[i].Protection.Words
		}
	}
	return key
}

// shelf is what the plan uses, and what it is worth as a whole.
func (p *page) shelf(v night.Voice, a *plan.Answer) {
	p.head("from the shelf")
	used := 0
	for _, s := range a.Plan.Supplies {
		if s.Used > 0 {
			used++
			p.say("- ", "  ", fmt.Sprintf("%s: %d of %d", s.Item, s.Used, s.Have))
		}
	}
	if used == 0 {
		p.say("", "", "Nothing.")
	}
	p.head("what it comes to")
	bare := 0.0
	for _, s := range a.Spaces {
		bare += s.Outlook.Options[0].Loss
	}
	text := fmt.Sprintf("Expected loss and cost of this plan together: %s; with nothing done: %s.", v.Amount(a.Plan.Objective), v.Amount(bare))
	switch gain := a.Plan.Objective - a.Plan.Bound; {
	case gain < 0.5:
		text += " No way to use the shelf and the hands is better (proven)."
	default:
		text += fmt.Sprintf(" No plan can be better by more than %s (%d %%, proven).", v.Amount(gain), int(math.Ceil(100*a.Plan.Gap)))
	}
	p.say("", "", text)
}
