package house

import (
	"encoding/json"
	"go/ast"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"example.org/coldnight/internal/beside"
)

// doc/CHECKS.md lists every published value and what holds it: a test, or a reason why none does.
func TestPublishedValuesAreHeld(t *testing.T) {
	tests := map[string]bool{} // "air.TestRivals"
	for _, f := range goFiles(t) {
		for _, name := range declared(f) {
			if f.test {
				tests[path.Base(f.pkg)+"."+name] = true
			}
		}
	}
	named := regexp.MustCompile("`([a-z]+\\.(?:Test|Example|Fuzz)\\w*)`")
	seen := map[string]bool{}
	for _, row := range rows(t, "doc/CHECKS.md") {
		if len(row.cells) != 3 || row.cells[0] == "" || row.cells[1] == "" {
			t.Errorf("doc/CHECKS.md:%d: a row is name, what, held by", row.line)
			continue
		}
		name, by := row.cells[0], row.cells[2]
		if seen[name] {
			t.Errorf("doc/CHECKS.md:%d: %s stands in two rows", row.line, name)
		}
		seen[name] = true
		found := named.FindAllStringSubmatch(by, -1)
		for _, m := range found {
			if !tests[m[1]] {
				t.Errorf("doc/CHECKS.md:%d: %s: there is no test %s", row.line, name, m[1])
			}
		}
		reason := ""
		for _, why := range [...]string{"not needed: ", "reported only: "} {
			if r, ok := strings.CutPrefix(by, why); ok {
				reason = r
			}
		}
		if len(found) == 0 && len(reason) < 10 {
			t.Errorf("doc/CHECKS.md:%d: %s: name its test, or say \"not needed: ...\" or \"reported only: ...\" with the reason", row.line, name)
		}
	}
	if len(seen) < 100 {
		t.Errorf("doc/CHECKS.md has %d rows, want at least 100", len(seen))
	}
}

// Where the collection of published values lies beside the project, the page is whole: no value is left out,
// none is made up.
func TestEveryPublishedValueHasARow(t *testing.T) {
	b, err := os.ReadFile(filepath.Join(beside.Folder(), "checks", "checks.json"))
	if err != nil {
		t.Skip("published values not here: ../shared/checks/checks.json (not part of the project)")
	}
	var values []struct{ Name string }
	if err := json.Unmarshal(b, &values); err != nil {
		t.Fatal(err)
	}
	times := map[string]int{}
	for _, row := range rows(t, "doc/CHECKS.md") {
		times[row.cells[0]]++
	}
	for _, v := range values {
		if times[v.Name] != 1 {
			t.Errorf("doc/CHECKS.md: %s stands in %d rows, want 1", v.Name, times[v.Name])
		}
		delete(times, v.Name)
	}
	for name := range times {
		t.Errorf("doc/CHECKS.md: %s is not among the published values", name)
	}
	t.Logf("%d published values", len(values))
}

// doc/SOURCES.md names functions and tests that exist, and every key in it leads to a source.
func TestSourcesLeadSomewhere(t *testing.T) {
	names := map[string]map[string]bool{} // folder -> what it declares; tests too
	for _, f := range goFiles(t) {
		if names[f.pkg] == nil {
			names[f.pkg] = map[string]bool{}
		}
		for _, name := range declared(f) {
			names[f.pkg][name] = true
		}
	}
	code := regexp.MustCompile("`([^`]+)`")
	keys, used := map[string]bool{}, map[string]int{}
	checked := 0
	for _, row := range rows(t, "doc/SOURCES.md") {
		if row.part == "The sources themselves" {
			if keys[row.cells[0]] {
				t.Errorf("doc/SOURCES.md:%d: the source %s is listed twice", row.line, row.cells[0])
			}
			keys[row.cells[0]] = true
			continue
		}
		if row.part != "From source to test" {
			continue
		}
		if len(row.cells) != 4 {
			t.Errorf("doc/SOURCES.md:%d: a row is key, equation, function, test", row.line)
			continue
		}
		for _, key := range strings.Split(row.cells[0], ",") {
			used[strings.TrimSpace(key)] = row.line
		}
		for _, m := range code.FindAllStringSubmatch(row.cells[2]+row.cells[3], -1) {
			found := false
			for _, pkg := range strings.Split(row.section, ", ") {
				found = found || names[pkg][m[1]]
			}
			if checked++; !found {
				t.Errorf("doc/SOURCES.md:%d: %s declares no %s", row.line, row.section, m[1])
			}
		}
	}
	for key, line := range used {
		if !keys[key] {
			t.Errorf("doc/SOURCES.md:%d: %s has no entry under \"The sources themselves\"", line, key)
		}
	}
	for key := range keys {
		if used[key] == 0 {
			t.Errorf("doc/SOURCES.md: nothing rests on the source %s", key)
		}
	}
	if checked < 200 {
		t.Errorf("doc/SOURCES.md names %d functions and tests, want at least 200", checked)
	}
}

// Every name in the code that doc/WORDS.md gives for a word exists: `air.DewPoint`, `site.Space.Hem`.
func TestWordsAreInTheCode(t *testing.T) {
	have := map[string]bool{}
	for _, f := range goFiles(t) {
		if f.test {
			continue
		}
		pkg := path.Base(f.pkg) + "."
		for _, name := range declared(f) {
			have[pkg+name] = true
		}
		for _, name := range members(f) {
			have[pkg+name] = true
		}
	}
	name := regexp.MustCompile("`([a-z]+\\.[A-Z][\\w.]*)`")
	checked := 0
	for _, row := range rows(t, "doc/WORDS.md") {
		if len(row.cells) != 4 {
			t.Errorf("doc/WORDS.md:%d: a row is word, symbol, name in the code, unit", row.line)
			continue
		}
		for _, m := range name.FindAllStringSubmatch(row.cells[2], -1) {
			if checked++; !have[m[1]] {
				t.Errorf("doc/WORDS.md:%d: the code has no %s", row.line, m[1])
			}
		}
	}
	if checked < 150 {
		t.Errorf("doc/WORDS.md gives %d names in the code, want at least 150", checked)
	}
}

// tableRow is one row of a table, below its heads; part and section are the ## and ### above it.
type tableRow struct {
	line          int
	part, section string
	cells         []string
}

func rows(t *testing.T, name string) []tableRow {
	t.Helper()
	var all []tableRow
	part, section, inTable := "", "", false
	for i, line := range strings.Split(string(read(t, name)), "\n") {
		switch {
		case strings.HasPrefix(line, "### "):
			section = line[4:]
		case strings.HasPrefix(line, "## "):
			part, section = line[3:], ""
		case strings.HasPrefix(line, "|---"):
			inTable = true
		case !strings.HasPrefix(line, "|"):
			inTable = false
		case inTable:
			cells := strings.Split(strings.Trim(line, "|"), "|")
			for k := range cells {
				cells[k] = strings.TrimSpace(cells[k])
			}
			all = append(all, tableRow{i + 1, part, section, cells})
		}
	}
	if len(all) == 0 {
		t.Fatalf("%s holds no table", name)
	}
	return all
}

// declared lists what a file declares at its top level; of methods the bare name.
func declared(f file) []string {
	var names []string
	for _, d := range f.tree.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			names = append(names, d.Name.Name)
		case *ast.GenDecl:
			for _, s := range d.Specs {
				switch s := s.(type) {
				case *ast.TypeSpec:
					names = append(names, s.Name.Name)
				case *ast.ValueSpec:
					for _, id := range s.Names {
						names = append(names, id.Name)
					}
				}
			}
		}
	}
	return names
}

// members lists the fields of a file's structs and the methods of its types: "Space.Hem".
func members(f file) []string {
	var names []string
	for _, d := range f.tree.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Recv != nil && len(d.Recv.List) == 1 {
				of := d.Recv.List[0].Type
				if p, ok := of.(*ast.StarExpr); ok {
					of = p.X
				}
				if id, ok := of.(*ast.Ident); ok {
					names = append(names, id.Name+"."+d.Name.Name)
				}
			}
		case *ast.GenDecl:
			for _, s := range d.Specs {
				ts, ok := s.(*ast.TypeSpec)
				if !ok {
					continue
				}
				if st, ok := ts.Type.(*ast.StructType); ok {
					for _, field := range st.Fields.List {
						for _, id := range field.Names {
							names = append(names, ts.Name.Name+"."+id.Name)
						}
					}
				}
			}
		}
	}
	return names
}
