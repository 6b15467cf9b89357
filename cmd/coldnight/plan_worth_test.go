package main

import (
	"strings"
	"testing"

	"example.org/coldnight/decide/plan"
)

// Three lines of worth are told, the rest counted; with --all every one; without any
// there is no headline. The lines are invented.
func TestWorthInWords(t *testing.T) {
	a := &plan.Answer{}
	words := func(all bool) string {
		var p page
		p.worth(a, all)
		return p.String()
	}
	if s := words(true); s != "" {
		t.Errorf("nothing is worth anything: %q", s)
	}
	for _, says := range []string{"First saves.", "Second saves.", "Third saves.", "Fourth saves."} {
		a.Plan.Worth = append(a.Plan.Worth, plan.WorthLine{Says: says})
	}
	if s := words(false); !strings.Contains(s, "Third") || strings.Contains(s, "Fourth") || !strings.Contains(s, "(1 more; --all shows all)") {
		t.Errorf("folded: %q", s)
	}
	if s := words(true); !strings.Contains(s, "Fourth") || strings.Contains(s, "--all") {
		t.Errorf("all: %q", s)
	}
}
