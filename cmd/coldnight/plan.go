package main

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/labour"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
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
	Before  string `help:"The plan before, as --json wrote it: this one changes as little as it can and says what." placeholder:"FILE"`
	Ledger  string `help:"The ledger that serve keeps: the plan follows the one before it, what is ticked as done, and what jobs took." placeholder:"FILE"`
	IfOff   bool   `name:"if-off" help:"Also say what would be done otherwise if the forecast is 2 °C (4 °F) too warm or too cold; takes three plans more."`
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
	if cmd.Before != "" && cmd.Ledger != "" {
		return misuse{"--before and --ledger both give the plan before", "give one of them"}
	}
	if err := o.fromLedger(c, cmd.Ledger); err != nil {
		return err
	}
	if cmd.Before != "" {
		if o.before, err = readPlan(cmd.Before); err != nil {
			return err
		}
	}
	seen := c.progress()
	a, err := o.make(c, seen.teller())
	seen.end()
	if err != nil {
		return unplanned(cmd.Weather, err)
	}
	if cmd.LP != "" {
		if err := c.writeLP(cmd.LP, a); err != nil {
			return err
		}
	}
	if cmd.JSON {
		return c.deliverJSON(cmd.Out, a.Plan)
	}
	words := planWords(n, a, cmd.All)
	if cmd.IfOff {
		c.busy("planning for a forecast that is off ...")
		turns, err := o.turns(c)
		if err != nil {
			return unplanned(cmd.Weather, err)
		}
		words += turnWords(turns)
	}
	return c.deliver(cmd.Out, []byte(words))
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
	before   *plan.Plan
	done     []plan.Done
	reports  []plan.Report
	ready    func(plan.Freeze) // told of what the plan is made for; nil: nobody
	finished []labour.Finished // every job that is done and whose minutes are known
	kept     *night.Kept       // what plans before have worked out
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

// make plans, telling how far it has got; tell may be nil.
func (o *order) make(ctx context.Context, tell func(plan.Stage)) (*plan.Answer, error) {
	f, err := o.freeze()
	if err != nil {
		return nil, err
	}
	if o.ready != nil {
		o.ready(f)
	}
	return plan.MakeContext(ctx, f, tell)
}

// offK are the errors of a forecast that are looked at [K].
var offK = [...]float64{-2, 2}

// turns plans again for a forecast that is off.
func (o *order) turns(ctx context.Context) ([]plan.Turn, error) {
	f, err := o.freeze()
	if err != nil {
		return nil, err
	}
	return plan.WhatIf(ctx, f, offK[:]...)
}

// turnWords says what a forecast that is off would change, the one that matters most
// first.
func turnWords(turns []plan.Turn) string {
	var p page
	p.head("if the forecast is off")
	most := plan.Matters(turns)
	for k := range turns {
		i := (k + most) % len(turns)
		p.say("- ", "  ", phrase.Stop(turns[i].Words))
	}
	return p.String()
}

func (o *order) freeze() (plan.Freeze, error) {
	s := o.nursery.site()
	members := weather.Ensemble(o.forecast, o.draws, o.seed, weather.EnsembleOptions{LatDeg: s.LatDeg, LonDeg: s.LonDeg, ElevM: s.ElevationM, Now: o.now})
	if len(members) == 0 {
		return plan.Freeze{}, fmt.Errorf("no air temperature in the weather; give a column air_c")
	}
	said := slices.Clone(o.said)
	if step := members[0].Step; step > time.Hour {
		said = append(said, fmt.Sprintf("the weather comes every %s: hours between on straight lines, with wider doubt", spoken(step)))
	}
	if len(o.forecast.Members) > 1 {
		said = append(said, fmt.Sprintf("the forecast brings %s of its own", phrase.Count(len(o.forecast.Members), "member")))
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
	taught := labour.Learn(s.Labour, o.finished, o.now)
	scene, own := *o.nursery.scene, *s
	own.Labour, scene.Site = taught.Labour, &own
	said = append(said, taught.Words(s.Units)...)
	return plan.Freeze{
		Scene: &scene, Members: members, Issued: issued.In(zone), Now: o.now.In(zone), Kept: o.kept,
		Seed: o.seed, Draws: o.draws, Before: o.before, Done: o.done, Reports: o.reports, Assumed: unique(slices.Concat(said, o.nursery.untaught(&taught))),
	}, nil
}
