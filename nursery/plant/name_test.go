package plant

import (
	"strings"
	"testing"
)

func TestFind(t *testing.T) {
	l := library(t)
	for _, c := range []struct {
		name, taxon, group string
		species            bool
	}{
		{"Agave americana", "Agave americana", "agave", true},
		{"  agave   AMERICANA ", "Agave americana", "agave", true},
		{"Agave americana 'Marginata'", "Agave americana", "agave", true},
		{"Opuntia ficus indica", "Opuntia ficus-indica", "cactus-opuntioid", true},
		{"Citrus × sinensis", "Citrus sinensis", "citrus", true},
		{"Citrus x sinensis", "Citrus sinensis", "citrus", true},
		{"Agave parryi subsp. neomexicana", "Agave parryi neomexicana", "agave", true},
		{"Agave parryi var. huachucensis", "Agave parryi", "agave", true},
		{"Sansevieria trifasciata", "Dracaena trifasciata", "sansevieria", true},
		{"Sansevieria cylindrica", "Sansevieria", "sansevieria", false},
		{"snake plant", "Dracaena trifasciata", "sansevieria", true},
		{"Boston Fern", "Nephrolepis exaltata", "fern", true},
		{"Aglaonema ‘Silver Queen’", "Aglaonema Silver Queen", "tropical foliage", true},
		{"Aglaonema \"Unheard Of\"", "Aglaonema", "tropical foliage", false},
		{"Aechméa recurvatá", "Aechmea recurvata", "bromeliad", true},
		{"Agave sp.", "Agave", "agave", false},
		{"Ilex crenata 'Sky Pencil'", "Ilex crenata", "woody", true},
		{"Rosmarinus officinalis", "Salvia rosmarinus", "perennial", true},
		{"croton", "Codiaeum variegatum", "tropical foliage", true},
		{"lemon", "Citrus limon", "citrus", true},
		{"Trichocereus pachanoi", "Trichocereus macrogonus pachanoi", "cactus-columnar", true},
	} {
		m, ok := l.Find(c.name)
		if !ok || m.Taxon != c.taxon || m.Group != c.group || m.Species != c.species {
			t.Errorf("%q: %v %q in %q species %v, want %q in %q species %v", c.name, ok, m.Taxon, m.Group, m.Species, c.taxon, c.group, c.species)
		}
	}
}

func TestDidYouMean(t *testing.T) {
	l := library(t)
	for _, c := range []struct{ name, want string }{
		{"Agave amercana", "Agave americana"},
		{"Echevria elegans", "Echeveria elegans"},
		{"snake plnat", "snake plant"},
		{"Boston fren", "Boston fern"},
		{"Myrtilocactus geometrisans", "Myrtillocactus geometrizans"},
		{"Trachycarpus fortuneii", "Trachycarpus fortunei"},
	} {
		m, _ := l.Find(c.name)
		if !contains(m.DidYouMean, c.want) {
			t.Errorf("%q: did you mean %q, want %q among them", c.name, m.DidYouMean, c.want)
		}
		r := l.Resolve(Query{Name: c.name})
		if !strings.Contains(strings.Join(r.Assumed, " "), "did you mean "+m.DidYouMean[0]) {
			t.Errorf("%q: not asked back: %q", c.name, r.Assumed)
		}
	}
	for _, n := range []string{"", "   ", "zz", "American elm", "Xyzzy plughensis"} {
		if m, ok := l.Find(n); ok {
			t.Errorf("%q found as %q", n, m.Taxon)
		}
	}
}

func TestDistance(t *testing.T) {
	// optimal string alignment, by hand
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"agave", "agave", 0}, {"agave", "agvae", 1}, {"aloe", "alooe", 1}, {"aloe", "alo", 1}, {"kitten", "sitting", 3}, {"", "abc", 3}, {"abcd", "wxyz", 4},
	} {
		if d := distance(c.a, c.b, 3); d != c.want {
			t.Errorf("%q to %q: %d, want %d", c.a, c.b, d, c.want)
		}
		if distance(c.a, c.b, 3) != distance(c.b, c.a, 3) {
			t.Errorf("%q to %q is not symmetric", c.a, c.b)
		}
	}
}

func nameSeeds() []string {
	return []string{
		"", "Agave americana", "Agave americana 'Marginata'", "Citrus × sinensis", "snake plant", "'", "''''", "“x”",
		"É̀ßæ ñandú", "\xff\xfe\x00", strings.Repeat("a b ", 200), "Opuntia ficus-indica f. inermis",
	}
}

func FuzzFind(f *testing.F) {
	l := library(f)
	for _, s := range nameSeeds() {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m, ok := l.Find(s)
		if ok && (m.Taxon == "" || m.Group == "" || m.Genus == "") {
			t.Fatalf("%q: half a match %+v", s, m)
		}
		if len(m.DidYouMean) > 3 {
			t.Fatalf("%q: %d suggestions", s, len(m.DidYouMean))
		}
		n, ok2 := l.Find(strings.ToUpper(strings.ToLower(s)))
		if n2, _ := normal(strings.ToUpper(strings.ToLower(s))); ok2 != ok || n.Key != m.Key {
			if n1, _ := normal(s); n1 == n2 {
				t.Fatalf("%q: case matters", s)
			}
		}
		r := l.Resolve(Query{Name: s, Pot: true})
		if !(r.Saleable.SlopeK > 0) || !(r.Saleable.SpreadC > 0) || r.Why == "" {
			t.Fatalf("%q: %+v", s, r)
		}
	})
}

// Every name the library prints is found again.
func TestEveryNameIsFound(t *testing.T) {
	l := library(t)
	n := 0
	for _, r := range l.Rows() {
		for _, name := range r.Names {
			n++
			if m, ok := l.Find(name); !ok || m.Genus == "" {
				t.Errorf("line %d: %q not found", r.Line, name)
			}
		}
		for _, s := range append(append([]string{}, r.Synonyms...), r.Trade...) {
			n++
			if _, ok := l.Find(s); !ok {
				t.Errorf("line %d: synonym %q not found", r.Line, s)
			}
		}
	}
	if n < 1000 {
		t.Errorf("only %d names tried", n)
	}
}
