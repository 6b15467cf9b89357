package plan

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
)

// others are two general solvers; each is skipped where it is not installed.
var others = []struct {
	name string
	args func(lp, out string) []string
	want *regexp.Regexp // objective of a proven optimum
}{
	{"glpsol", func(lp, out string) []string {
		return []string{"--lp", lp, "--tmlim", "10", "--cuts", "-o", out}
	}, regexp.MustCompile(`(?s)Status: +INTEGER OPTIMAL\nObjective: +obj = (\S+)`)},
	{"cbc", func(lp, out string) []string {
		return []string{lp, "sec", "10", "ratioGap", "0", "allowableGap", "0", "solve", "solu", out, "quit"}
	}, regexp.MustCompile(`^Optimal - objective value (\S+)`)},
}

// compare solves n sites and has another solver solve the LP file of each. Where the
// other ran out of time the site does not count; at least need must count.
func compare(t *testing.T, n, need int, site func(seed uint64) Choices) {
	for _, sv := range others {
		t.Run(sv.name, func(t *testing.T) {
			bin, err := exec.LookPath(sv.name)
			if err != nil {
				t.Skipf("%s is not installed (Debian packages glpk-utils, coinor-cbc); nothing compared", sv.name)
			}
			dir, stopped, worst := t.TempDir(), 0, 0.0
			for seed := range uint64(n) {
				m, err := Compile(site(seed), Bounds{Patterns: 12})
				if err != nil {
					t.Fatal(err)
				}
				a := m.Solve(Limits{Nodes: 50_000})
				if !a.Proven || a.from == nil {
					t.Fatalf("site %d: not solved to the end", seed)
				}
				var lp bytes.Buffer
				if err := a.WriteLP(&lp); err != nil {
					t.Fatal(err)
				}
				in, out := filepath.Join(dir, "site.lp"), filepath.Join(dir, "site.txt")
				if err := os.WriteFile(in, lp.Bytes(), 0o644); err != nil {
					t.Fatal(err)
				}
				if msg, err := exec.Command(bin, sv.args(in, out)...).CombinedOutput(); err != nil {
					t.Fatalf("site %d: %v\n%s", seed, err, msg)
				}
				text, err := os.ReadFile(out)
				if err != nil {
					t.Fatal(err)
				}
				found := sv.want.FindSubmatch(text)
				if found == nil {
					stopped++ // the other solver ran out of time
					continue
				}
				other, err := strconv.ParseFloat(string(found[1]), 64)
				if err != nil {
					t.Fatal(err)
				}
				// Both print about nine digits.
				d := math.Abs(a.Objective-other) / (1 + other)
				if worst = max(worst, d); d > 1e-5 {
					t.Errorf("site %d: objective %.6f, %s %.6f", seed, a.Objective, sv.name, other)
				}
			}
			if n-stopped < need {
				t.Errorf("only %d of %d sites compared", n-stopped, n)
			}
			t.Logf("%d sites compared, at most %.1g apart; %d stopped by the other's time limit", n-stopped, worst, stopped)
		})
	}
}

// The optimum is compared with two other solvers on invented sites of 6 to 14 spaces.
func TestOptimumAgreesWithOtherSolvers(t *testing.T) {
	if testing.Short() {
		t.Skip("long; not in short runs")
	}
	compare(t, 54, 50, func(seed uint64) Choices { return inventedNursery(seed, 6+int(seed%9)) })
}

// The same with the worst tenth of 24 draws held down, and with never-lose groups
// first on every third site.
func TestCarefulOptimumAgreesWithOtherSolvers(t *testing.T) {
	if testing.Short() {
		t.Skip("long; not in short runs")
	}
	compare(t, 54, 50, func(seed uint64) Choices {
		first := 0.0
		if seed%3 == 0 {
			first = 0.3
		}
		c := withDraws(inventedNursery(seed, 6+int(seed%6)), seed, 24, first)
		c.Care = []Care{Careful, VeryCareful}[seed%2]
		return c
	})
}
