package plan

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
)

// The optimum is compared with two other solvers on invented sites of 6 to 14 spaces.
func TestOptimumAgreesWithOtherSolvers(t *testing.T) {
	const sites = 54
	solvers := []struct {
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
	for _, sv := range solvers {
		t.Run(sv.name, func(t *testing.T) {
			bin, err := exec.LookPath(sv.name)
			if err != nil {
				t.Skipf("%s is not installed (Debian packages glpk-utils, coinor-cbc); nothing compared", sv.name)
			}
			dir, stopped := t.TempDir(), 0
			for seed := range uint64(sites) {
				m, err := Compile(inventedNursery(seed, 6+int(seed%9)), Bounds{Patterns: 12})
				if err != nil {
					t.Fatal(err)
				}
				a := m.Solve(Limits{Nodes: 50_000})
				if !a.Proven {
					t.Fatalf("site %d: not solved to the end", seed)
				}
				var lp bytes.Buffer
				if err := m.WriteLP(&lp); err != nil {
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
				if d := a.Objective - other; d > 1e-5*(1+other) || d < -1e-5*(1+other) {
					t.Errorf("site %d: objective %.6f, %s %.6f", seed, a.Objective, sv.name, other)
				}
			}
			if stopped > sites-50 {
				t.Errorf("only %d of %d sites compared", sites-stopped, sites)
			}
			t.Logf("%d sites compared, %d stopped by the other's time limit", sites-stopped, stopped)
		})
	}
}
