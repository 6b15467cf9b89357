package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/gate/paper"
	"example.org/coldnight/nursery/weather"
)

type sheetCommand struct {
	Site     string `arg:"" help:"Site file."`
	Weather  string `required:"" help:"Forecast file: our CSV, or the JSON of a service."`
	Now      string `help:"The moment to plan from; without an offset on the site's clock. Default: now."`
	Draws    int    `default:"24" help:"How many ways the weather and the unknowns of each space may turn out."`
	Seed     uint64 `default:"1" help:"Another seed draws other ways; the same gives the same plan."`
	Person   string `help:"Only what one person needs." placeholder:"NAME"`
	Calendar bool   `help:"Jobs and rounds as a calendar file (iCalendar) instead of pages (PDF)."`
	Ledger   string `help:"The ledger that serve keeps: the plan follows the one before it, and what is ticked as done is struck out." placeholder:"FILE"`
	JSON     bool   `name:"json" help:"For programs: the plan that the sheet lays out; doc/plan.schema.json describes it."`
	Out      string `help:"File for the sheet instead of standard output." placeholder:"FILE"`
}

// Run makes the plan and lays it out on paper, or puts it in a calendar.
func (cmd *sheetCommand) Run(c *console) error {
	n, err := openSite(cmd.Site)
	if err != nil {
		return err
	}
	if err := cmd.known(n); err != nil {
		return err
	}
	if cmd.JSON && (cmd.Calendar || cmd.Person != "") {
		return misuse{"--json is the plan of all", "leave out --calendar and --person"}
	}
	if cmd.Out == "" && !cmd.Calendar && !cmd.JSON && watched(c.out) {
		return misuse{"a sheet of pages is not for the screen", "give it a file: --out sheet.pdf"}
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
	if err := o.fromLedger(c, cmd.Ledger); err != nil {
		return err
	}
	seen := c.progress()
	a, err := o.make(c, seen.teller())
	seen.end()
	if err != nil {
		return unplanned(cmd.Weather, err)
	}
	if cmd.JSON {
		return c.deliverJSON(cmd.Out, a.Plan)
	}
	sheet := paper.Sheet{Site: n.site(), Answer: a, Person: cmd.Person}
	write := sheet.PDF
	if cmd.Calendar {
		write = sheet.Calendar
	}
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	return c.deliver(cmd.Out, b.Bytes())
}

// known refuses a person who is not in the crew before anything is computed.
func (cmd *sheetCommand) known(n *nursery) error {
	if cmd.Person == "" {
		return nil
	}
	names := paper.People(n.site())
	for _, w := range n.site().Crew {
		if !slices.Contains(names, w.Name) {
			names = append(names, w.Name) // a line of several stands for all of them
		}
	}
	for _, p := range names {
		if strings.EqualFold(p, strings.TrimSpace(cmd.Person)) {
			return nil
		}
	}
	do := "the crew is " + listed(names, 8)
	switch near := meant(cmd.Person, names); {
	case len(names) == 0:
		do = "the site file names no crew: add [[crew]] with a name and hours"
	case near != "":
		do = fmt.Sprintf("did you mean %q?", near)
	}
	return misuse{fmt.Sprintf("nobody called %q is in the crew of %s", cmd.Person, n.path), do}
}
