package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
)

// What a package puts on a machine must be right before anybody has touched it: the first
// site file is read without a mistake, and the service's command line is one.
func TestWhatThePackageInstalls(t *testing.T) {
	root := filepath.Join("..", "..", "packaging")
	text, err := os.ReadFile(filepath.Join(root, "nursery.toml"))
	if err != nil {
		t.Fatal(err)
	}
	if n, err := readSite("nursery.toml", text); err != nil || len(n.site().Spaces) == 0 {
		t.Errorf("the first site file: %v", err)
	}
	unit, err := os.ReadFile(filepath.Join(root, "coldnight.service"))
	if err != nil {
		t.Fatal(err)
	}
	defaults, err := os.ReadFile(filepath.Join(root, "default"))
	if err != nil {
		t.Fatal(err)
	}
	start, more := "", ""
	for line := range strings.Lines(string(unit)) {
		if after, ok := strings.CutPrefix(strings.TrimSpace(line), "ExecStart=/usr/bin/coldnight "); ok {
			start = after
		}
	}
	for line := range strings.Lines(string(defaults)) {
		if after, ok := strings.CutPrefix(strings.TrimSpace(line), "COLDNIGHT_ARGS="); ok {
			more = strings.Trim(after, `"`)
		}
	}
	args := strings.Fields(strings.ReplaceAll(start, "$COLDNIGHT_ARGS", more))
	if len(args) < 5 || args[0] != "serve" {
		t.Fatalf("the service runs %q", args)
	}
	var cmd serveCommand
	p, err := kong.New(&cmd)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := p.Parse(args[1:]); err != nil {
		t.Errorf("%q: %v", args, err)
	}
	if cmd.Data == "" || cmd.Fetch == "" || strings.HasPrefix(cmd.Addr, "127.") {
		t.Errorf("%+v", cmd)
	}
}
