package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/gate/feed"
)

type serveCommand struct {
	Site    string `arg:"" help:"Site file; changes to it are taken up by themselves."`
	Weather string `xor:"source" help:"Forecast file; changes to it are taken up by themselves."`
	Fetch   string `xor:"source" placeholder:"SERVICE" help:"Fetch the forecast from a public service: us, norway or ensemble."`
	Contact string `help:"Mail address or page where a forecast service can reach you; some ask for it." placeholder:"ADDRESS"`
	Addr    string `default:"127.0.0.1:8377" help:"Where to listen. 0.0.0.0:8377 lets phones on your network reach it; who has not joined sees nothing."`
	HTTPS   bool   `name:"https" help:"Also serve by https, with a certificate authority of the nursery's own that can vouch only for .local names and private addresses. The page /trust says how a phone is made to trust it."`
	Secure  string `name:"https-addr" help:"Where to listen for https. Default: as --addr, with port 8378." placeholder:"ADDRESS"`
	Data    string `help:"Folder for the ledger and the last forecasts. Default: coldnight-data beside the site file." placeholder:"DIR"`
	Draws   int    `default:"24" help:"How many ways the weather and the unknowns of each space may turn out."`
	Seed    uint64 `default:"1" help:"Another seed draws other ways."`
}

// Run serves until it is interrupted.
func (cmd *serveCommand) Run(c *console) error {
	if cmd.Draws < 1 || cmd.Draws > mostDraws {
		return misuse{fmt.Sprintf("--draws %d cannot be", cmd.Draws), fmt.Sprintf("give 1 to %d; 24 is usual", mostDraws)}
	}
	switch {
	case cmd.Weather == "" && cmd.Fetch == "":
		return misuse{"no forecast to plan from", "give --weather FILE, or --fetch us, norway or ensemble"}
	case cmd.Fetch != "" && !slices.Contains(services(), cmd.Fetch):
		return misuse{fmt.Sprintf("no service is called %q", cmd.Fetch), "give --fetch us, norway or ensemble"}
	}
	data := cmd.Data
	if data == "" {
		data = filepath.Join(filepath.Dir(cmd.Site), "coldnight-data")
	}
	s, err := newServer(c, settings{
		site: cmd.Site, weather: cmd.Weather, fetch: cmd.Fetch, contact: cmd.Contact, services: feed.DefaultAddresses(),
		addr: cmd.Addr, data: data, draws: cmd.Draws, seed: cmd.Seed, now: c.now, logTo: c.errs,
		look: 15 * time.Second, replan: time.Hour, https: cmd.HTTPS || cmd.Secure != "", httpsAddr: cmd.Secure,
	})
	if err != nil {
		return err
	}
	return c.serve(s)
}

// services are what --fetch takes.
func services() []string { return []string{"us", "norway", "ensemble"} }

// serve runs a server until it is interrupted, and closes it.
func (c *console) serve(s *server) error {
	s.greet(c.out)
	err := s.Run(c)
	if closing := s.Close(); err == nil {
		err = closing
	}
	return err
}

// greet says where the pages are and, to a nursery without an owner, with which code one joins.
func (s *server) greet(out io.Writer) {
	fmt.Fprintf(out, "The page is at %s (stop with Ctrl-C).\nLedger: %s\n", strings.Join(s.Addresses(), " and "), s.ledger.Path())
	if s.secure != nil {
		fmt.Fprintf(out, "By https, to phones that trust this nursery (page /trust): %s\n", strings.Join(s.secureAddresses(), " and "))
	}
	if s.code != "" {
		fmt.Fprintf(out, "\nNobody has joined yet. Open the page and join as the owner with this code:\n\n    %s\n\nIt works once. Keep it to yourself until then; the next start gives another.\n", s.code)
	}
}

// folder makes a folder if it is not there.
func folder(path string) error {
	if err := os.MkdirAll(path, 0o755); err != nil {
		return &fault{file: path, what: "cannot be made: " + err.Error(), do: "give another folder with --data", err: err}
	}
	return nil
}
