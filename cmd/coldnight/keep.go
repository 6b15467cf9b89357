package main

import (
	"fmt"
	"os"
	"strings"

	"example.org/coldnight/gate/ledger"
)

type backupCommand struct {
	Ledger string `arg:"" help:"The ledger: a .db file in the folder that serve was given."`
	Dest   string `arg:"" help:"New file for the copy. What exists is never overwritten."`
}

// Run copies a ledger that others may be using.
func (cmd *backupCommand) Run(c *console) (err error) {
	if info, err := os.Stat(cmd.Ledger); err != nil {
		return unreadable(cmd.Ledger, err)
	} else if info.IsDir() {
		return &fault{file: cmd.Ledger, what: "a folder, not a ledger", do: "give the .db file in it"}
	}
	l, err := ledger.Open(c, cmd.Ledger)
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
	fmt.Fprintf(c.out, "%s holds %s, read back whole.\n", cmd.Dest, held(h))
	return nil
}

type restoreCommand struct {
	Backup string `arg:"" help:"A file that backup made."`
	Dest   string `arg:"" help:"New file for the ledger. What exists is never overwritten."`
}

// Run puts a copy of a backup in a new place.
func (cmd *restoreCommand) Run(c *console) error {
	h, err := ledger.Restore(c, cmd.Backup, cmd.Dest)
	if err != nil {
		return err
	}
	fmt.Fprintf(c.out, "%s holds %s.\n", cmd.Dest, held(h))
	return nil
}

func held(h ledger.Holdings) string {
	all := []string{count(h.Sites, "version") + " of the site file", count(h.Forecasts, "forecast"), count(h.Plans, "plan")}
	if h.Ticks > 0 {
		all = append(all, count(h.Ticks, "tick"))
	}
	return strings.Join(all[:len(all)-1], ", ") + " and " + all[len(all)-1]
}
