package site_test

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"testing"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/cover"
)

// covers lists the names of the cover table.
func covers() string {
	var b strings.Builder
	b.WriteString("| what | name | other names |\n|---|---|---|\n")
	for _, m := range cover.Materials() {
		fmt.Fprintf(&b, "| %s | `%s` | `%s` |\n", m.Kind, m.Name, strings.Join(append(m.Words, m.Key), "`, `"))
	}
	return b.String() + "\n"
}

// TestReference holds doc/SITEFILE.md to the keys Parse accepts and to the cover table.
func TestReference(t *testing.T) {
	holds(t, "<!-- keys: made by go test ./nursery/site -update -->\n", "<!-- end of keys -->\n", "\n"+site.Reference())
	holds(t, "<!-- covers: made by go test ./nursery/site -update -->\n", "<!-- end of covers -->\n", "\n"+covers())
}

// holds compares the part of the document between two marks with what it must be, and writes it there with -update.
func holds(t *testing.T, begin, end, want string) {
	t.Helper()
	const file = "../../doc/SITEFILE.md"
	data, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		t.Skip("doc/SITEFILE.md is not here")
	}
	if err != nil {
		t.Fatal(err)
	}
	before, rest, ok1 := strings.Cut(string(data), begin)
	keys, after, ok2 := strings.Cut(rest, end)
	if !ok1 || !ok2 {
		t.Fatalf("%s has no part between %q and %q", file, begin, end)
	}
	if *update {
		if err := os.WriteFile(file, []byte(before+begin+want+end+after), 0o666); err != nil {
			t.Fatal(err)
		}
		keys = want
	}
	if keys != want {
		t.Errorf("%s does not say what Parse accepts; run the test with -update", file)
	}
}

// TestFilesInTheReference parses the whole files shown in doc/SITEFILE.md.
func TestFilesInTheReference(t *testing.T) {
	data, err := os.ReadFile("../../doc/SITEFILE.md")
	if errors.Is(err, fs.ErrNotExist) {
		t.Skip("doc/SITEFILE.md is not here")
	}
	if err != nil {
		t.Fatal(err)
	}
	whole, heat := 0, 0
	for i, part := range strings.Split(string(data), "```") {
		text, ok := strings.CutPrefix(part, "toml\n")
		switch {
		case !ok || i%2 == 0:
		case strings.HasPrefix(text, "[site]"):
			whole++
			parsed(t, text)
		case strings.HasPrefix(text, "[[heater]]"): // goes below a file with that house
			heat++
			parsed(t, strings.Replace(heated, `"House"`, `"North house"`, 1)+text)
		}
	}
	if whole == 0 || heat == 0 {
		t.Errorf("%d whole files and %d of heat shown", whole, heat)
	}
}

// TestEveryExampleOfTheReference parses the value shown for each key.
func TestEveryExampleOfTheReference(t *testing.T) {
	rows, header := 0, ""
	for line := range strings.SplitSeq(site.Reference(), "\n") {
		if h, ok := strings.CutPrefix(line, "### `"); ok {
			header = strings.TrimSuffix(h, "`")
		}
		cells := strings.Split(line, " | ")
		if len(cells) != 4 || !strings.HasPrefix(line, "| `") {
			continue
		}
		rows++
		text := "[[space]]\n" + header + "\n" + strings.Trim(cells[2], "`") + "\n"
		_, _, err := site.Parse([]byte(text), "row.toml", site.Known{})
		var ps site.Problems
		errors.As(err, &ps)
		for _, p := range ps {
			if p.Line == 3 && !strings.Contains(p.Text, " is given") && !strings.Contains(p.Text, "nothing stands") &&
				!strings.Contains(p.Text, "there is no space") && !strings.Contains(p.Text, "there is no heater") && !strings.Contains(p.Text, "there is no circuit") && !strings.Contains(p.Text, "vents stand open") &&
				!strings.Contains(p.Text, "ridge") && !strings.Contains(p.Text, "the shares in") {
				t.Errorf("%s %s: %v", header, cells[2], p)
			}
		}
		if strings.Contains(cells[1], "  ") || len(cells[3]) < 3 {
			t.Errorf("%s %s: says too little", header, cells[0])
		}
	}
	if rows < 135 {
		t.Errorf("%d rows", rows)
	}
}

// TestExampleHasRealNames reads the example against the real cover table.
func TestExampleHasRealNames(t *testing.T) {
	var names []string
	for _, m := range cover.Materials() {
		names = append(append(names, m.Name, m.Key), m.Words...)
	}
	if _, _, err := site.Parse(example(t), "example.toml", site.Known{Covers: names}); err != nil {
		t.Error(err)
	}
}

// TestKindsOfTheReference holds the table of kinds in doc/SITEFILE.md to what Parse takes where the file does not say.
func TestKindsOfTheReference(t *testing.T) {
	data, err := os.ReadFile("../../doc/SITEFILE.md")
	if errors.Is(err, fs.ErrNotExist) {
		t.Skip("doc/SITEFILE.md is not here")
	}
	if err != nil {
		t.Fatal(err)
	}
	rows := 0
	for line := range strings.SplitSeq(string(data), "\n") {
		cells := strings.Split(strings.Trim(line, "| "), " | ")
		if kind := strings.Trim(cells[0], "`"); len(cells) == 5 && strings.HasSuffix(cells[4], " %") {
			rows++
			h := "[[heater]]\nname = \"H\"\nspace = \"House\"\ninput = \"5 kW\"\nkind = \"" + kind + "\"\n"
			if kind != "electric" {
				h += "mains = true\n"
			}
			if strings.Contains(kind, "gas") {
				h += "fuel = \"propane\"\n"
			}
			if kind == "tank-top burner" {
				h += "[[cylinder]]\nname = \"C\"\nfeeds = \"H\"\nholds = \"20 lb\"\n"
			}
			_, assumed := parsed(t, heated+h)
			kept, _, _ := strings.Cut(cells[3], ",")
			if got := said(assumed, "House, heater H", "radiant"); got != cells[4] {
				t.Errorf("%s: rays %s, the document says %s", kind, got, cells[4])
			}
			if got := said(assumed, "House, heater H", "efficiency"); got != kept {
				t.Errorf("%s: keeps %s, the document says %s", kind, got, cells[3])
			}
		}
	}
	if rows != 6 {
		t.Errorf("%d kinds in the document", rows)
	}
}
