// Package beside finds the measured and published data that lie beside the
// project and are not part of it. Tests that need them skip where they are absent.
package beside

import (
	"os"
	"path/filepath"
	"testing"
)

// Folder returns the folder of data: what COLDNIGHT_SHARED names, or "shared" in
// a folder above the working one that holds data/INDEX.md; "" when there is none.
func Folder() string {
	if dir := os.Getenv("COLDNIGHT_SHARED"); dir != "" {
		return dir
	}
	dir, err := os.Getwd()
	if err != nil {
		return ""
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "shared", "data", "INDEX.md")); err == nil {
			return filepath.Join(dir, "shared")
		}
		up := filepath.Dir(dir)
		if up == dir {
			return ""
		}
		dir = up
	}
}

// Path returns the path of a file of the data, or skips the test.
func Path(t testing.TB, rel string) string {
	t.Helper()
	path := filepath.Join(Folder(), filepath.FromSlash(rel))
	if _, err := os.Stat(path); err != nil || Folder() == "" {
		t.Skipf("measured data not here: ../shared/%s (not part of the project)", rel)
	}
	return path
}

// Open opens a file of the data until the test ends, or skips the test.
func Open(t testing.TB, rel string) *os.File {
	t.Helper()
	f, err := os.Open(Path(t, rel))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}
