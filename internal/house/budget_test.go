package house

import (
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// budget lists every module that the project may use directly, and what each saves. A new dependency comes
// with a line here, or does not come.
func budget() []struct{ module, saves string } {
	return []struct{ module, saves string }{
		{"github.com/alecthomas/kong", "the command line: commands, guards and did-you-mean without a framework"},
		{"github.com/pelletier/go-toml/v2", "the site file: a parser that gives line, column and an underline for every mistake"},
		{"github.com/pressly/goose/v3", "the ledger's migrations, each in its own transaction, from embedded files"},
		{"codeberg.org/go-fonts/liberation", "letters for the printed sheets with every sign of °, ² and €"},
		{"codeberg.org/go-pdf/fpdf", "the printed sheets as PDF, laid out in the program itself"},
		{"github.com/alexedwards/argon2id", "passwords kept as RFC 9106 wants them, with salt and cost written beside each"},
		{"github.com/alexedwards/scs/v2", "sessions: tokens, renewal at sign-in, cookies, and a store that is only four functions"},
		{"github.com/coreos/go-systemd/v22", "the service manager's protocol: ready, alive, stopping; two files of it, no further module"},
		{"rsc.io/qr", "the square codes of invitations (ISO/IEC 18004)"},
		{"github.com/arran4/golang-ical", "jobs as calendar entries that every phone's calendar reads (RFC 5545)"},
		{"golang.org/x/net", "an HTML parser for selector assertions in page tests"},
		{"golang.org/x/sync", "groups of goroutines that end together with the first error"},
		{"gonum.org/v1/gonum", "linear algebra, minimisation and distributions with tests of their own"},
		{"modernc.org/sqlite", "a database that survives a killed process, without a C compiler"},

		// In tests only; TestNoTestModuleInTheProgram keeps them out of the program.
		{"github.com/chromedp/cdproto", "tests only: the browser protocol's own types, used with chromedp"},
		{"github.com/chromedp/chromedp", "tests only: pages opened in a real browser at a phone's size"},
		{"github.com/rogpeppe/go-internal", "tests only: command stories as text files that read like a night"},
		{"pgregory.net/rapid", "tests only: random cases that shrink to the smallest failing one"},
	}
}

// carried lists the modules that come along with those above, and with which.
func carried() []struct{ module, with string } {
	return []struct{ module, with string }{
		{"github.com/dustin/go-humanize", "sqlite"},
		{"github.com/go-json-experiment/json", "chromedp"},
		{"github.com/google/uuid", "sqlite"},
		{"github.com/mattn/go-isatty", "sqlite"},
		{"github.com/mfridman/interpolate", "goose"},
		{"github.com/ncruces/go-strftime", "sqlite"},
		{"github.com/remyoudompheng/bigfft", "sqlite"},
		{"github.com/sethvargo/go-retry", "goose"},
		{"go.uber.org/multierr", "goose"},
		{"golang.org/x/crypto", "argon2id"},
		{"golang.org/x/sys", "sqlite"},
		{"golang.org/x/tools", "go-internal"},
		{"modernc.org/libc", "sqlite"},
		{"modernc.org/mathutil", "sqlite"},
		{"modernc.org/memory", "sqlite"},
	}
}

// required reads the modules out of go.mod.
func required(t *testing.T) []string {
	t.Helper()
	var all []string
	block := false
	for line := range strings.Lines(string(read(t, "go.mod"))) {
		words := strings.Fields(line)
		switch {
		case len(words) >= 2 && words[0] == "require" && words[1] == "(":
			block = true
		case len(words) == 1 && words[0] == ")":
			block = false
		case block && len(words) >= 2:
			all = append(all, words[0])
		case len(words) >= 3 && words[0] == "require":
			all = append(all, words[1])
		}
	}
	if len(all) == 0 {
		t.Fatal("no requirement found in go.mod")
	}
	return all
}

func TestDependencyBudget(t *testing.T) {
	direct, with := map[string]bool{}, map[string]bool{}
	for _, b := range budget() {
		if b.saves == "" {
			t.Errorf("%s: the line does not say what it saves", b.module)
		}
		direct[b.module] = true
	}
	for _, c := range carried() {
		if c.with == "" {
			t.Errorf("%s: the line does not say what it comes with", c.module)
		}
		with[c.module] = true
	}
	inMod := map[string]bool{}
	for _, m := range required(t) {
		inMod[m] = true
		if !direct[m] && !with[m] {
			t.Errorf("%s is in go.mod without a line in the budget saying what it saves", m)
		}
	}
	for m := range direct {
		if !inMod[m] {
			t.Logf("%s has a line in the budget, and nothing uses it", m)
		}
	}

	for _, f := range goFiles(t) {
		for _, imported := range f.imports() {
			first, _, _ := strings.Cut(imported, "/")
			if !strings.Contains(first, ".") || within(imported, module) {
				continue // the standard library, or our own
			}
			if of := moduleOf(imported, direct); of == "" {
				t.Errorf("%s imports %s, of a module with no line in the budget", f.path, imported)
			}
			if belowGate(f.pkg) && !f.test && !within(imported, "gonum.org/v1/gonum") && !within(imported, "github.com/pelletier/go-toml/v2") {
				t.Errorf("%s imports %s: below gate only numbers (gonum) and the site file's parser are wanted", f.path, imported)
			}
		}
	}
}

func moduleOf(imported string, modules map[string]bool) string {
	for m := range modules {
		if within(imported, m) {
			return m
		}
	}
	return ""
}

// What only tests use must not be inside the program that a nursery runs.
func TestNoTestModuleInTheProgram(t *testing.T) {
	dir := top(t)
	if mains, err := filepath.Glob(filepath.Join(dir, "cmd", "coldnight", "*.go")); err != nil || len(mains) == 0 {
		t.Skip("no command yet")
	}
	list := exec.CommandContext(t.Context(), "go", "list", "-deps", "-f", "{{with .Module}}{{.Path}}{{end}}", "./cmd/coldnight")
	list.Dir = dir
	out, err := list.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	inside := strings.Fields(string(out))
	slices.Sort(inside)
	inside = slices.Compact(inside)
	for _, b := range budget() {
		if strings.HasPrefix(b.saves, "tests only") && slices.Contains(inside, b.module) {
			t.Errorf("%s is for tests only, and is inside the program", b.module)
		}
	}
	t.Logf("modules inside the program: %s", strings.Join(inside, " "))
}
