package plant

import (
	"strings"
	"testing"
)

func TestReadList(t *testing.T) {
	// Lines as people write them; all invented.
	for line, want := range map[string]Listed{
		"Boston fern":                         {Name: "Boston fern"},
		"120 Boston fern":                     {Name: "Boston fern", Count: 120},
		"12x Boston fern":                     {Name: "Boston fern", Count: 12},
		"12 x Boston fern":                    {Name: "Boston fern", Count: 12},
		"12 × Boston fern":                    {Name: "Boston fern", Count: 12},
		"Boston fern, 40":                     {Name: "Boston fern", Count: 40},
		"Boston fern\t40\t6 in":               {Name: "Boston fern", Count: 40, Pot: "6 in"},
		"Boston fern 6\" pot 40":              {Name: "Boston fern", Count: 40, Pot: "6 in"},
		"40 Salvia elegans; 13 cm; @ 5.50":    {Name: "Salvia elegans", Count: 40, Pot: "13 cm", Each: 5.5},
		"Salvia elegans 3 l 25 @ $8":          {Name: "Salvia elegans 25 @", Pot: "3 l", Each: 8}, // two signs of money
		"Salvia elegans 25 4,50 each":         {Name: "Salvia elegans", Count: 25, Each: 4.5},
		"  - Heuchera 'Palace Purple' (30)  ": {Name: "Heuchera 'Palace Purple'", Count: 30},
		"1 gal Photinia x 15":                 {Name: "Photinia", Count: 15, Pot: "1 gal"},
		"Agave 99999999999999":                {Name: "Agave 99999999999999"},
		"7":                                   {Name: "7"},
	} {
		got, err := ReadList("# a remark\n\n" + line + "\r\n")
		if err != nil || len(got) != 1 {
			t.Fatalf("%q: %v, %v", line, got, err)
		}
		g := got[0]
		if g.Line != 3 || g.Text != strings.TrimSpace(line) {
			t.Errorf("%q: line %d, text %q", line, g.Line, g.Text)
		}
		if g.Line, g.Text = 0, ""; g != want {
			t.Errorf("%q: %+v, want %+v", line, g, want)
		}
	}
	if _, err := ReadList(strings.Repeat("a\n", mostListed+1)); err == nil || !strings.Contains(err.Error(), "line 3001") {
		t.Errorf("too many: %v", err)
	}
	if _, err := ReadList("a\xff"); err == nil {
		t.Error("bytes that are no text are taken")
	}
}

func FuzzReadList(f *testing.F) {
	seeds := []string{"12 x fern 6 in @ 3", "a,b;c\td|e", "×", "@", "1 gal", "(3)", strings.Repeat("9", 400)}
	if len(seeds) != 7 {
		f.Fatal("seeds are missing")
	}
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		list, err := ReadList(text)
		if err != nil {
			return
		}
		for _, l := range list {
			if l.Count < 0 || l.Each < 0 || l.Text == "" || strings.Contains(l.Name, "\n") {
				t.Fatalf("%q: %+v", text, l)
			}
		}
	})
}
