package house

import (
	"go/ast"
	"go/token"
	"strings"
	"testing"
)

// Below gate nothing reads the clock, the network, files or chance of its own: a night computed again is the
// same night.
func TestNothingBelowGateReadsTheWorld(t *testing.T) {
	world := map[string]string{
		"os": "files and the environment", "os/exec": "other programs", "syscall": "the machine", "net": "the network", "net/http": "the network",
		"database/sql": "a database", "log": "a global logger", "log/slog": "a logger: return the reason instead", "flag": "the command line",
		"io/ioutil": "files", "unsafe": "memory", "crypto/rand": "chance that cannot be repeated",
	}
	clock := map[string]string{
		"Now": "the clock", "Since": "the clock", "Until": "the clock", "Sleep": "the clock", "After": "the clock", "AfterFunc": "the clock",
		"Tick": "the clock", "NewTimer": "the clock", "NewTicker": "the clock", "Local": "the machine's own time zone",
	}
	for _, f := range goFiles(t) {
		if f.test || !belowGate(f.pkg) {
			continue
		}
		for _, imported := range f.imports() {
			if what, bad := world[imported]; bad {
				t.Errorf("%s imports %s (%s): below gate everything is passed in", f.path, imported, what)
			}
		}
		random := false
		for _, imported := range f.imports() {
			random = random || imported == "math/rand/v2" || imported == "math/rand"
		}
		ast.Inspect(f.tree, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			pkg, ok := sel.X.(*ast.Ident)
			if !ok {
				return true
			}
			if what, bad := clock[sel.Sel.Name]; bad && pkg.Name == "time" {
				t.Errorf("%s:%d: time.%s (%s): below gate the moment is passed in", f.path, f.line(sel.Pos()), sel.Sel.Name, what)
			}
			if random && pkg.Name == "rand" && !strings.HasPrefix(sel.Sel.Name, "New") {
				switch sel.Sel.Name {
				case "Rand", "Source", "PCG", "ChaCha8", "Zipf": // types
				default:
					t.Errorf("%s:%d: rand.%s draws from a global source: pass a seeded one", f.path, f.line(sel.Pos()), sel.Sel.Name)
				}
			}
			return true
		})
	}
}

// Below gate a package has no init and no variable that can change: nothing happens by being imported, and two
// computations at once cannot meet. Allowed are embedded files, sentinel errors, interface assertions, and
// unexported values that the package never writes to and never hands out.
func TestNothingBelowGateRemembers(t *testing.T) {
	packages := map[string][]file{}
	for _, f := range goFiles(t) {
		if !f.test && belowGate(f.pkg) {
			packages[f.pkg] = append(packages[f.pkg], f)
		}
	}
	looked := 0
	for _, files := range packages {
		vars := map[string]bool{} // the ones that must stay as they are; true if handing one out shares it
		for _, f := range files {
			for _, d := range f.tree.Decls {
				switch d := d.(type) {
				case *ast.FuncDecl:
					if d.Recv == nil && d.Name.Name == "init" {
						t.Errorf("%s:%d: init: make it a constructor that is called", f.path, f.line(d.Pos()))
					}
				case *ast.GenDecl:
					if d.Tok != token.VAR {
						continue
					}
					for _, s := range d.Specs {
						spec := s.(*ast.ValueSpec)
						for i, name := range spec.Names {
							looked++
							if name.Name == "_" || isEmbed(d, spec) || isSentinel(spec, i) {
								continue
							}
							if name.IsExported() {
								t.Errorf("%s:%d: var %s: anyone may change it; make it a function or a constant", f.path, f.line(name.Pos()), name.Name)
							} else if i >= len(spec.Values) {
								t.Errorf("%s:%d: var %s has no value, so it is there to be changed: pass it in", f.path, f.line(name.Pos()), name.Name)
							}
							vars[name.Name] = isShared(spec, i)
						}
					}
				}
			}
		}
		for _, f := range files {
			for _, d := range f.tree.Decls {
				if fn, ok := d.(*ast.FuncDecl); ok && fn.Body != nil {
					reportWrites(t, f, fn, vars)
				}
			}
		}
	}
	t.Logf("%d package variables in %d packages looked at", looked, len(packages))
}

// reportWrites looks for a package variable that fn assigns to, takes the address of or returns whole.
func reportWrites(t *testing.T, f file, fn *ast.FuncDecl, vars map[string]bool) {
	t.Helper()
	own := map[string]bool{} // names that fn declares itself: they hide the package's
	ast.Inspect(fn, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.AssignStmt:
			if n.Tok == token.DEFINE {
				for _, e := range n.Lhs {
					if id, ok := e.(*ast.Ident); ok {
						own[id.Name] = true
					}
				}
			}
		case *ast.RangeStmt:
			if n.Tok == token.DEFINE {
				for _, e := range []ast.Expr{n.Key, n.Value} {
					if id, ok := e.(*ast.Ident); ok {
						own[id.Name] = true
					}
				}
			}
		case *ast.ValueSpec:
			for _, id := range n.Names {
				own[id.Name] = true
			}
		case *ast.Field:
			for _, id := range n.Names {
				own[id.Name] = true
			}
		}
		return true
	})
	report := func(e ast.Expr, what string) {
		name := root(e)
		if _, listed := vars[name]; listed && !own[name] {
			t.Errorf("%s:%d: %s package variable %s: below gate nothing is remembered", f.path, f.line(e.Pos()), what, name)
		}
	}
	ast.Inspect(fn, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.AssignStmt:
			if n.Tok != token.DEFINE {
				for _, e := range n.Lhs {
					report(e, "assigns to")
				}
			}
		case *ast.IncDecStmt:
			report(n.X, "changes")
		case *ast.UnaryExpr:
			if n.Op == token.AND {
				report(n.X, "takes the address of")
			}
		case *ast.ReturnStmt:
			for _, e := range n.Results {
				if id, ok := e.(*ast.Ident); ok && vars[id.Name] {
					report(id, "hands out")
				}
			}
		}
		return true
	})
}

// root returns the name at the left end of x, x[i], x.f, *x, or "".
func root(e ast.Expr) string {
	for {
		switch x := e.(type) {
		case *ast.Ident:
			return x.Name
		case *ast.IndexExpr:
			e = x.X
		case *ast.SelectorExpr:
			e = x.X
		case *ast.StarExpr:
			e = x.X
		case *ast.ParenExpr:
			e = x.X
		default:
			return ""
		}
	}
}

func isEmbed(d *ast.GenDecl, spec *ast.ValueSpec) bool {
	for _, doc := range []*ast.CommentGroup{d.Doc, spec.Doc} {
		if doc == nil {
			continue
		}
		for _, c := range doc.List {
			if strings.HasPrefix(c.Text, "//go:embed ") {
				return true
			}
		}
	}
	return false
}

// isShared says whether variable i of spec is visibly a slice, map or pointer, so that a copy of it still
// reaches the same memory.
func isShared(spec *ast.ValueSpec, i int) bool {
	kind := spec.Type
	if kind == nil && i < len(spec.Values) {
		switch v := spec.Values[i].(type) {
		case *ast.CompositeLit:
			kind = v.Type
		case *ast.UnaryExpr:
			return v.Op == token.AND
		case *ast.CallExpr:
			return root(v.Fun) == "make" || root(v.Fun) == "new"
		}
	}
	switch kind := kind.(type) {
	case *ast.ArrayType:
		return kind.Len == nil
	case *ast.MapType, *ast.StarExpr, *ast.ChanType:
		return true
	}
	return false
}

// isSentinel says whether variable i of spec is an error made by errors.New.
func isSentinel(spec *ast.ValueSpec, i int) bool {
	if i >= len(spec.Values) || !strings.HasPrefix(strings.ToLower(spec.Names[i].Name), "err") {
		return false
	}
	call, ok := spec.Values[i].(*ast.CallExpr)
	if !ok {
		return false
	}
	sel, ok := call.Fun.(*ast.SelectorExpr)
	return ok && root(sel.X) == "errors" && sel.Sel.Name == "New"
}
