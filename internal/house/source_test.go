package house

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
)

const module = "example.org/coldnight"

// file is one parsed Go file of the project.
type file struct {
	path string // from the project's top, with slashes: "physics/air/wind.go"
	pkg  string // its folder: "physics/air"
	test bool
	text []byte
	tree *ast.File
	fset *token.FileSet
}

func (f file) imports() []string {
	var all []string
	for _, spec := range f.tree.Imports {
		all = append(all, strings.Trim(spec.Path.Value, `"`))
	}
	return all
}

func (f file) line(p token.Pos) int { return f.fset.Position(p).Line }

// top finds the folder of go.mod, upward from here.
func top(t *testing.T) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		b, err := os.ReadFile(filepath.Join(dir, "go.mod"))
		if err == nil && strings.HasPrefix(string(b), "module "+module+"\n") {
			return dir
		}
		up := filepath.Dir(dir)
		if up == dir {
			t.Fatal("no go.mod of this project above the working directory")
		}
		dir = up
	}
}

// eachFile calls do with every file of the project, by its path from the top with slashes.
func eachFile(t *testing.T, do func(name string)) {
	t.Helper()
	n := 0
	err := fs.WalkDir(os.DirFS(top(t)), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if name == ".git" {
				return fs.SkipDir
			}
			return nil
		}
		n++
		do(name)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if n < 20 {
		t.Fatalf("only %d files found: the walk missed the project", n)
	}
}

func read(t *testing.T, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(top(t), filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// goFiles parses every Go file of the project.
func goFiles(t *testing.T) []file {
	t.Helper()
	var all []file
	eachFile(t, func(name string) {
		if !strings.HasSuffix(name, ".go") || strings.Contains(name, "testdata/") {
			return
		}
		f := file{path: name, pkg: path.Dir(name), test: strings.HasSuffix(name, "_test.go"), text: read(t, name), fset: token.NewFileSet()}
		tree, err := parser.ParseFile(f.fset, name, f.text, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		f.tree = tree
		all = append(all, f)
	})
	if len(all) < 10 {
		t.Fatalf("only %d Go files found: the walk missed the project", len(all))
	}
	return all
}

// within says whether pkg is the folder dir or below it.
func within(pkg, dir string) bool { return pkg == dir || strings.HasPrefix(pkg, dir+"/") }

// belowGate are the layers that compute: same inputs, same answer.
func belowGate(pkg string) bool {
	for _, layer := range [...]string{"measure", "physics", "nursery", "demo", "decide"} {
		if within(pkg, layer) {
			return true
		}
	}
	return false
}
