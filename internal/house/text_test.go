package house

import (
	"bytes"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// The project's text is about nurseries and nights. It names no folder of the machine it was written on, and
// web addresses stand where sources are listed. (The words are put together here so as not to find themselves.)
func TestForbiddenWords(t *testing.T) {
	words := []string{
		"/wo" + "rk/", "/tmp/br" + "ief", "/tmp/fr" + "ag", "/root" + "/", "/home" + "/",
		"proxy.golang" + ".org", "sum.golang" + ".org", "registry.npmjs" + ".org", "deb.debian" + ".org",
		"as an A" + "I", "language mo" + "del",
	}
	issue := regexp.MustCompile(`(?i)\bissues?[ /]#\d|\bissues/\d`)
	address := regexp.MustCompile(`https?://[A-Za-z0-9.\-\[\]]+`)
	looked := 0
	eachFile(t, func(name string) {
		b := read(t, name)
		if !isText(name, b) {
			return
		}
		looked++
		for i, line := range bytes.Split(b, []byte("\n")) {
			for _, w := range words {
				if bytes.Contains(line, []byte(w)) {
					t.Errorf("%s:%d: %q does not belong in the project", name, i+1, w)
				}
			}
			if m := issue.Find(line); m != nil && path.Ext(name) != ".csv" {
				t.Errorf("%s:%d: %q: say what it is about instead of its number", name, i+1, m)
			}
			for _, m := range address.FindAllString(string(line), -1) {
				if !mayName(name, m) {
					t.Errorf("%s:%d: %s: web addresses stand in doc/SOURCES.md or a table's source column", name, i+1, m)
				}
			}
		}
	})
	t.Logf("%d text files looked at", looked)
}

// mayName says whether a file may hold a web address.
func mayName(name, address string) bool {
	host := strings.TrimPrefix(strings.TrimPrefix(address, "http://"), "https://")
	for _, own := range [...]string{"localhost", "127.0.0.1", "[::1]", "192.168.", "10.", "192.0.2.", "www.w3.org"} { // ours, or a name inside SVG
		if strings.HasPrefix(host, own) {
			return true
		}
	}
	for _, reserved := range [...]string{".local", "example.org", "example.com", "example.net", ".example", ".test", ".invalid"} {
		if strings.HasSuffix(host, reserved) {
			return true
		}
	}
	switch {
	case name == "doc/SOURCES.md", name == "LICENSE":
		return true
	case within(name, "gate/feed"): // a feed has to know whom to ask
		return true
	case strings.Contains(name, "testdata/"): // bytes as a source sent them
		return true
	}
	switch path.Ext(name) {
	case ".csv", ".json", ".svg", ".xml": // source columns, schemas
		return true
	}
	return false
}

func isText(name string, b []byte) bool {
	return name != "go.sum" && name != "tools/go.sum" && !bytes.Contains(b[:min(len(b), 8000)], []byte{0})
}

// The pages are there, say something, and the README begins with the job.
func TestDocsPresent(t *testing.T) {
	for name, least := range map[string]int{ // bytes; a title alone is not a page
		"README.md": 1500, "CONTRIBUTING.md": 1000, "CHANGELOG.md": 100, "LICENSE": 11000,
		"doc/DESIGN.md": 1500, "doc/SOURCES.md": 300, "doc/WORDS.md": 300, "doc/STATUS.md": 300,
	} {
		if b := read(t, name); len(b) < least {
			t.Errorf("%s has %d bytes, want at least %d", name, len(b), least)
		}
	}
	readme := string(read(t, "README.md"))
	for _, command := range [...]string{"go run ./cmd/coldnight demo", "./test"} {
		if !strings.Contains(readme, command) {
			t.Errorf("README.md does not name the command %q", command)
		}
	}
	paragraphs := strings.Split(readme, "\n\n")
	if len(paragraphs) < 2 || !strings.HasPrefix(paragraphs[0], "# ") || len(paragraphs[1]) < 200 || strings.ContainsAny(paragraphs[1][:1], "#-|`") {
		t.Error("README.md does not begin with its name and one paragraph that says what the job is")
	}
}

// doc/DESIGN.md is a map: every package is on it, and every package says in its source what it is.
func TestEveryPackageIsExplained(t *testing.T) {
	design := string(read(t, "doc/DESIGN.md"))
	says := map[string]bool{}
	for _, f := range goFiles(t) {
		if f.test {
			continue
		}
		says[f.pkg] = says[f.pkg] || f.tree.Doc != nil
	}
	for pkg, said := range says {
		if !said {
			t.Errorf("package %s has no doc comment", pkg)
		}
		if !strings.Contains(design, "`"+pkg+"`") {
			t.Errorf("doc/DESIGN.md does not mention `%s`", pkg)
		}
	}
}

// Files stay short enough to be read at one sitting. The report shows where to look.
func TestFileSizes(t *testing.T) {
	var sizes []int
	comments, lines := map[string]int{}, map[string]int{}
	for _, f := range goFiles(t) {
		n := bytes.Count(f.text, []byte("\n"))
		layer, _, _ := strings.Cut(f.pkg, "/")
		if !f.test {
			sizes = append(sizes, n)
			lines[layer] += n
			for _, group := range f.tree.Comments {
				comments[layer] += f.line(group.End()) - f.line(group.Pos()) + 1
			}
		}
		if n > 500 {
			t.Logf("look hard at %s: %d lines", f.path, n)
		}
		if n > 1000 {
			t.Errorf("%s has %d lines: no one reads that at one sitting", f.path, n)
		}
	}
	slices.Sort(sizes)
	median, most := sizes[len(sizes)/2], sizes[len(sizes)*9/10]
	t.Logf("%d files without tests: median %d lines, nine in ten below %d", len(sizes), median, most)
	for layer, n := range lines {
		t.Logf("%-8s %6d lines, %2d %% with a comment", layer, n, 100*comments[layer]/n)
	}
	if median >= 300 {
		t.Errorf("the median file has %d lines, want fewer than 300", median)
	}
}
