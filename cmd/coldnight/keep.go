package main

import (
	"fmt"
	"os"
	"strings"

	"example.org/coldnight/gate/ledger"
	"example.org/coldnight/internal/phrase"
)

type backupCommand struct {
	Ledger string `arg:"" help:"The ledger: a .db file in the folder that serve was given."`
	Dest   string `arg:"" help:"New file for the copy. What exists is never overwritten."`
	JSON   bool   `name:"json" help:"For programs: what the copy holds."`
}

// Run copies a ledger that others may be using.
func (cmd *backupCommand) Run(c *console) (err error) {
	l, err := openLedger(c, cmd.Ledger)
	if err != nil {
		return err
	}
	err = l.Backup(c, cmd.Dest)
	if closing := l.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return err
	}
	h, err := ledger.Check(c, cmd.Dest)
	if err != nil {
		return err
	}
	if cmd.JSON {
		return c.deliverJSON("", holdings(cmd.Dest, h))
	}
	fmt.Fprintf(c.out, "%s holds %s, read back whole.\n", cmd.Dest, held(h))
	return nil
}

type restoreCommand struct {
	Backup string `arg:"" help:"A file that backup made."`
	Dest   string `arg:"" help:"New file for the ledger. What exists is never overwritten."`
	JSON   bool   `name:"json" help:"For programs: what the ledger holds."`
}

// Run puts a copy of a backup in a new place.
func (cmd *restoreCommand) Run(c *console) error {
	h, err := ledger.Restore(c, cmd.Backup, cmd.Dest)
	if err != nil {
		return err
	}
	if cmd.JSON {
		return c.deliverJSON("", holdings(cmd.Dest, h))
	}
	fmt.Fprintf(c.out, "%s holds %s.\n", cmd.Dest, held(h))
	return nil
}

// openLedger opens a ledger that is there: a new one is made by serve alone.
func openLedger(c *console, path string) (*ledger.Ledger, error) {
	if info, err := os.Stat(path); err != nil {
		return nil, unreadable(path, err)
	} else if info.IsDir() {
		return nil, &fault{file: path, what: "a folder, not a ledger", do: "give the .db file in it"}
	}
	return ledger.Open(c, path)
}

// holding is what a ledger holds, for programs.
type holding struct {
	File      string `json:"file"`
	Version   int64  `json:"version"`
	Sites     int    `json:"sites"`
	Forecasts int    `json:"forecasts"`
	Plans     int    `json:"plans"`
	Ticks     int    `json:"ticks"`
	Reports   int    `json:"reports"`
}

func holdings(file string, h ledger.Holdings) holding {
	return holding{File: file, Version: h.Version, Sites: h.Sites, Forecasts: h.Forecasts, Plans: h.Plans, Ticks: h.Ticks, Reports: h.Reports}
}

func held(h ledger.Holdings) string {
	all := []string{phrase.Count(h.Sites, "version") + " of the site file", phrase.Count(h.Forecasts, "forecast"), phrase.Count(h.Plans, "plan")}
	if h.Ticks > 0 {
		all = append(all, phrase.Count(h.Ticks, "tick"))
	}
	if h.Reports > 0 {
		all = append(all, phrase.Count(h.Reports, "report"))
	}
	return strings.Join(all[:len(all)-1], ", ") + " and " + all[len(all)-1]
}
