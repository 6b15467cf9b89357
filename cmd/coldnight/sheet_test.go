package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The sheet is pages or a calendar, the same bytes for the same plan, and a person
// who is not in the crew is refused with the name that was meant.
func TestSheet(t *testing.T) {
	dir, site, weather := home(t)
	file := func(name string) string { return filepath.Join(dir, name) }
	for _, name := range []string{"one.pdf", "two.pdf"} {
		if out, errs, code := invoke(t, "sheet", site, "--weather", weather, "--draws", "2", "--person", "ana", "--out", file(name)); code != 0 || out != "" {
			t.Fatalf("code %d: %s%s", code, out, errs)
		}
	}
	one, err := os.ReadFile(file("one.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	two, err := os.ReadFile(file("two.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.HasPrefix(one, []byte("%PDF-")) || !bytes.Equal(one, two) {
		t.Errorf("%d and %d bytes, not the same PDF", len(one), len(two))
	}
	out, errs, code := invoke(t, "sheet", site, "--weather", weather, "--draws", "2", "--calendar")
	if code != 0 || !strings.HasPrefix(out, "BEGIN:VCALENDAR\r\n") || !strings.Contains(out, "SUMMARY:Bed 4: ") {
		t.Errorf("code %d: %s%s", code, out, errs)
	}
	for _, c := range []struct{ person, want string }{
		{"Anna", `did you mean "Ana"?`},
		{"Bartholomew", "the crew is Ana"},
	} {
		if _, errs, code := invoke(t, "sheet", site, "--weather", weather, "--person", c.person); code != 2 || !strings.Contains(errs, c.want) {
			t.Errorf("%s: code %d: %s", c.person, code, errs)
		}
	}
	nobody := file("nobody.toml")
	crew, _, _ := strings.Cut(bedTOML, "[[crew]]")
	put(t, nobody, crew)
	if _, errs, code := invoke(t, "sheet", nobody, "--weather", weather, "--person", "Ana"); code != 2 || !strings.Contains(errs, "names no crew") {
		t.Errorf("code %d: %s", code, errs)
	}
}
