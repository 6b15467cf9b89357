// Command coldnight plans the protection of a small plant nursery against
// freezes: it says how cold the plants of each space will get, how likely that
// hurts them, and who should get the covers and hands that there are.
//
// Exit codes: 0 done; 1 something is wrong with a file or a service; 2 the
// command line was not understood.
package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"syscall"
	"time"
	_ "time/tzdata" // zones on machines that keep none

	"github.com/alecthomas/kong"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Stdout, os.Stderr, time.Now)
	stop()
	os.Exit(code)
}

// run is the whole program: arguments in, exit code out.
func run(ctx context.Context, args []string, out, errs io.Writer, now func() time.Time) int {
	c := console{Context: ctx, out: out, errs: errs, now: now}
	var all commands
	helped := false
	parser, err := kong.New(&all, kong.Name("coldnight"), kong.Description(about), kong.Writers(out, errs),
		kong.Exit(func(int) { helped = true }), kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: width}))
	if err != nil {
		return c.failed(err)
	}
	k, err := parser.Parse(args)
	switch {
	case helped:
		return 0
	case err != nil:
		return c.failed(misuse{err.Error(), "`coldnight --help` lists the commands, `coldnight COMMAND --help` their options"})
	}
	return c.failed(k.Run(&c))
}
