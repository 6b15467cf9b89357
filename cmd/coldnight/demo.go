package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/demo"
)

type demoCommand struct {
	Addr  string `default:"127.0.0.1:8377" help:"Where to listen."`
	Dir   string `help:"Folder for the demo's files. Default: in your cache folder." placeholder:"DIR"`
	Once  bool   `help:"Print the plan and end; no page."`
	JSON  bool   `name:"json" help:"With --once: the plan for programs; doc/plan.schema.json describes it."`
	Draws int    `default:"12" help:"How many ways the weather and the unknowns of each space may turn out."`
	Seed  uint64 `default:"1" help:"Another seed draws other ways."`
}

// demoYear is the year of the invented days: fixed, so that the demo is the same
// for everybody.
const demoYear = 2031

// Run writes the invented nursery, plans its week and shows the page, with the
// clock set to the demo's morning.
func (cmd *demoCommand) Run(c *console) error {
	if cmd.Draws < 1 || cmd.Draws > mostDraws {
		return misuse{fmt.Sprintf("--draws %d cannot be", cmd.Draws), fmt.Sprintf("give 1 to %d; 24 is usual", mostDraws)}
	}
	if cmd.JSON && !cmd.Once {
		return misuse{"--json without --once", "give both; the page has the plan at /plan.json"}
	}
	dir, err := cmd.folder()
	if err != nil {
		return err
	}
	start := demo.Start(demoYear)
	sitePath, weatherPath := filepath.Join(dir, "site.toml"), filepath.Join(dir, "weather.csv")
	for path, text := range map[string][]byte{sitePath: demo.Site(), weatherPath: demo.CSV(demo.Weather(start, 1))} {
		if err := c.place(path, text); err != nil {
			return err
		}
	}
	hello := c.out
	if cmd.JSON {
		hello = c.errs // what is for programs stands alone
	}
	fmt.Fprintf(hello, "An invented nursery, to look around in:\n  %s\n  %s\n\n", sitePath, weatherPath)
	if cmd.Once {
		p := planCommand{Site: sitePath, Weather: weatherPath, Now: demo.Now(start).Format(time.RFC3339), Draws: cmd.Draws, Seed: cmd.Seed, JSON: cmd.JSON}
		return p.Run(c)
	}
	began := c.now()
	s, err := newServer(c, settings{
		site: sitePath, weather: weatherPath, addr: cmd.Addr, data: dir, draws: cmd.Draws, seed: cmd.Seed, logTo: c.errs,
		now:  func() time.Time { return demo.Now(start).Add(c.now().Sub(began)) },
		open: true, look: 15 * time.Second, replan: time.Hour,
	})
	if err != nil {
		return err
	}
	s.seen = c.progress()
	printed := false
	s.made = func(a *plan.Answer) {
		if s.seen.end(); !printed {
			fmt.Fprint(c.out, "\n"+planWords(s.nursery, a, false)+"\n")
		}
		printed = true
	}
	return c.serve(s)
}

// folder is where the demo's files go.
func (cmd *demoCommand) folder() (string, error) {
	if cmd.Dir != "" {
		return cmd.Dir, folder(cmd.Dir)
	}
	if cache, err := os.UserCacheDir(); err == nil {
		dir := filepath.Join(cache, "coldnight", "demo")
		if err := os.MkdirAll(dir, 0o755); err == nil {
			return dir, nil
		}
	}
	return os.MkdirTemp("", "coldnight-demo-")
}

// place writes a file of the demo, but never over one that was changed.
func (c *console) place(path string, text []byte) error {
	have, err := os.ReadFile(path)
	switch {
	case err == nil && bytes.Equal(have, text):
		return nil
	case err == nil:
		fmt.Fprintf(c.errs, "%s differs from the demo's own and is used as it is; delete it to get the demo's\n", path)
		return nil
	case !errors.Is(err, os.ErrNotExist):
		return unreadable(path, err)
	}
	return c.deliver(path, text)
}
