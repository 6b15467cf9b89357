package readme

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// example returns the one block of that language in README.md.
func example(t *testing.T, language string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	parts := strings.Split(string(b), "\n```"+language+"\n")
	if len(parts) != 2 {
		t.Fatalf("README.md has %d blocks of %s, want 1", len(parts)-1, language)
	}
	block, _, closed := strings.Cut(parts[1], "\n```\n")
	if !closed {
		t.Fatalf("the block of %s is not closed", language)
	}
	return block + "\n"
}

func TestSiteExample(t *testing.T) {
	s, assumed, err := site.Parse([]byte(example(t, "toml")), "nursery.toml", site.Known{})
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Spaces) != 1 || s.Spaces[0].Name != "Bed 4" || len(s.Spaces[0].Covers) != 1 || len(s.Spaces[0].Groups) != 1 {
		t.Errorf("got %+v, want Bed 4 with one cover and one group", s.Spaces)
	}
	for _, a := range assumed {
		t.Logf("assumed: %+v", a)
	}
}

func TestWeatherExample(t *testing.T) {
	f, err := weather.ReadCSV(strings.NewReader(example(t, "csv")))
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Members) != 1 {
		t.Errorf("%d members, want 1", len(f.Members))
	}
}
