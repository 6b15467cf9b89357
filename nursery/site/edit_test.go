package site_test

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"example.org/coldnight/nursery/site"
)

func draft(t testing.TB, text string) *site.Draft {
	t.Helper()
	d, err := site.NewDraft([]byte(text), "nursery.toml")
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// files are whole site files of the project.
func files(t testing.TB) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, pattern := range []string{"testdata/*.toml", "../../demo/*.toml"} {
		names := must[[]string](t)(filepath.Glob(pattern))
		if len(names) == 0 {
			t.Fatalf("no file at %s", pattern)
		}
		for _, n := range names {
			out[n] = string(must[[]byte](t)(os.ReadFile(n)))
		}
	}
	return out
}

// values is what a form that shows a table sends back untouched.
func values(tb site.Table) map[string]string {
	out := map[string]string{}
	for _, f := range site.FieldsOf(tb.Path) {
		out[f.Key] = tb.Value(f.Key)
	}
	return out
}

func TestAFormSentBackUntouchedChangesNothing(t *testing.T) {
	for name, text := range files(t) {
		d := draft(t, text)
		if len(d.Tables()) < 5 {
			t.Fatalf("%s: only %d tables found", name, len(d.Tables()))
		}
		for i, tb := range d.Tables() {
			got := must[*site.Draft](t)(d.Set(i, values(tb)))
			if string(got.Bytes()) != text {
				t.Errorf("%s:%d: [%s] sent back untouched changed the file", name, tb.Line, tb.Path)
			}
		}
	}
}

// What a form writes must be read as the key wants it: each value of a file, taken out and put back, gives the same site.
func TestValuesPutBackAreReadAlike(t *testing.T) {
	text := files(t)["testdata/example.toml"]
	want := reads(t, text)
	d := draft(t, text)
	for i, tb := range d.Tables() {
		for _, e := range tb.Entries {
			// Put something else there first, so that the value is written anew.
			other := must[*site.Draft](t)(d.Set(i, map[string]string{e.Key: e.Text + " x"}))
			back := must[*site.Draft](t)(other.Set(i, map[string]string{e.Key: e.Text}))
			if got := reads(t, string(back.Bytes())); !reflect.DeepEqual(got, want) {
				t.Errorf("line %d: %s put back reads differently: %s", e.Line, e.Key, line(back, e.Line))
			}
		}
	}
}

func line(d *site.Draft, n int) string { return strings.Split(string(d.Bytes()), "\n")[n-1] }

func reads(t testing.TB, text string) *site.Site {
	t.Helper()
	s, _, err := site.Parse([]byte(text), "nursery.toml", site.Known{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

const small = `# my nursery
[site]
name = "Hollow"   # as on the gate
latitude = "34.2 N"
longitude = "82.4 W"
timezone = "America/New_York"

# the bed by the road
[[space]]
name = "Bed 4"
kind = "bed"
length = "60 ft"
width = "5 ft"
sides = [
  "N", # open
  "E",
]
worth = 5000

[[space.mix]]
word = "hardy"
share = "100 %"

# ---- houses ----

[[space]]
name = "Bed 5"
kind = "bed"
length = "20 ft"
width = "5 ft"
worth = 700
[[space.mix]]
word = "hardy"
share = "100 %"
`

func TestSetKeepsEveryOtherByte(t *testing.T) {
	d := draft(t, small)
	bed := d.Find("space", "name", "bed 4")
	got := must[*site.Draft](t)(d.Set(bed, map[string]string{"length": "18 m", "worth": "", "sides": "N, S", "pots": "block"}))
	want := strings.NewReplacer(
		`length = "60 ft"`, `length = "18 m"`, "worth = 5000\n", "pots = \"block\"\n",
		"[\n  \"N\", # open\n  \"E\",\n]", `["N", "S"]`,
	).Replace(small)
	if string(got.Bytes()) != want {
		t.Errorf("got\n%s\nwant\n%s", got.Bytes(), want)
	}
	if name := must[*site.Draft](t)(d.Set(0, map[string]string{"name": "Upper"})); !strings.Contains(string(name.Bytes()), "name = \"Upper\"   # as on the gate") {
		t.Errorf("the remark behind a value was lost:\n%s", name.Bytes())
	}
}

func TestAddAndRemove(t *testing.T) {
	d := draft(t, small)
	before := reads(t, small)
	bed := d.Find("space", "name", "Bed 4")
	more, at, err := d.Add("space.mix", bed, map[string]string{"word": "tender", "share": "40 %"})
	if err != nil {
		t.Fatal(err)
	}
	if tb := more.Tables()[at]; tb.Path != "space.mix" || tb.Under != bed || tb.Value("word") != "tender" {
		t.Errorf("the new mix stands at %+v", tb)
	}
	back := must[*site.Draft](t)(more.Remove(at))
	if got := reads(t, string(back.Bytes())); !sameSpaces(got, before) {
		t.Errorf("added and removed again, the site is another:\n%s", back.Bytes())
	}
	gone := must[*site.Draft](t)(d.Remove(bed))
	if got := string(gone.Bytes()); strings.Contains(got, "Bed 4") || strings.Contains(got, "by the road") || !strings.Contains(got, "# ---- houses") {
		t.Errorf("Bed 4 removed leaves\n%s", got)
	}
	if got := reads(t, string(gone.Bytes())); len(got.Spaces) != 1 || got.Spaces[0].Name != "Bed 5" {
		t.Errorf("the other bed is not what is left: %+v", got.Spaces)
	}
	house, at, err := d.Add("space", -1, map[string]string{"name": "House \"A\"", "kind": "bed", "length": "9 m", "width": "4 m", "worth": "12"})
	if err != nil {
		t.Fatal(err)
	}
	if house, _, err = house.Add("space.mix", at, map[string]string{"word": "hardy", "share": "100 %"}); err != nil {
		t.Fatal(err)
	}
	if got := reads(t, string(house.Bytes())); got.Spaces[2].Name != `House "A"` || len(got.Spaces[2].Groups) != 1 {
		t.Errorf("the new space reads %+v", got.Spaces[2])
	}
	shed, at, err := d.Add("shed.cloth", -1, map[string]string{"cloth": "30 g/m2", "length": "10 m", "width": "4 m", "pieces": "2"})
	if err != nil {
		t.Fatal(err)
	}
	if got := reads(t, string(shed.Bytes())); got.Shed.Cloths[0].Pieces != 2 || shed.Tables()[at].Path != "shed.cloth" {
		t.Errorf("the new cloth reads %+v", got.Shed)
	}
}

func sameSpaces(a, b *site.Site) bool {
	for _, s := range []*site.Site{a, b} {
		for i := range s.Spaces {
			s.Spaces[i].Line = 0
			for k := range s.Spaces[i].Groups {
				s.Spaces[i].Groups[k].Line = 0
			}
		}
	}
	return reflect.DeepEqual(a, b)
}

func TestEditRefuses(t *testing.T) {
	d := draft(t, small)
	refused := func(what string, err error, words string) {
		t.Helper()
		if err == nil || !strings.Contains(err.Error(), words) {
			t.Errorf("%s: got %v, want it to say %q", what, err, words)
		}
	}
	_, err := d.Set(99, nil)
	refused("a table that is gone", err, "load the page again")
	_, err = d.Set(0, map[string]string{"heigth": "2 m"})
	refused("a key that is not there", err, "no key")
	_, _, err = d.Add("space.mix", 0, nil)
	refused("a mix under [site]", err, "load the page again")
	_, _, err = d.Add("site", -1, nil)
	refused("a second [site]", err, "already")
	_, _, err = d.Add("greenhouse", -1, nil)
	refused("an unknown table", err, "no table")
	_, err = site.NewDraft([]byte("[site]\nname = Hollow\n"), "nursery.toml")
	refused("no TOML", err, "nursery.toml:2")
}

// Odd but right TOML: line ends of other systems, no line end at the end, quotes and # inside strings.
func TestDraftOfOddFiles(t *testing.T) {
	crlf := strings.ReplaceAll(small, "\n", "\r\n")
	got := must[*site.Draft](t)(draft(t, crlf).Set(1, map[string]string{"pots": "block"}))
	if strings.Count(string(got.Bytes()), "\r\n") != strings.Count(string(got.Bytes()), "\n") {
		t.Error("a new line ends otherwise than the others")
	}
	odd := "[site]\nname = '''a # \"b\" ''' # c\nmoney = \"\"\"x\"\"\"\"\nlatitude = 3"
	d := must[*site.Draft](t)(draft(t, odd).Set(0, map[string]string{"name": "n", "elevation": "3 m"}))
	if want := "[site]\nname = \"n\" # c\nmoney = \"\"\"x\"\"\"\"\nlatitude = 3\nelevation = \"3 m\"\n"; string(d.Bytes()) != want {
		t.Errorf("got\n%q\nwant\n%q", d.Bytes(), want)
	}
}

// Whatever is edited, the text stays TOML and an untouched form changes nothing.
func FuzzDraft(f *testing.F) {
	seeds := []string{small, "", "[site]\r\nname='x'", "a=1\n[[space]]\n[[space.group]]\ncount=3", "[shed]\ncloth=[{cloth='a'}]", "[site]\nname=\"\"\"a\"\"\"\""}
	for _, s := range seeds {
		f.Add(s, "a \"b\" # c")
	}
	f.Fuzz(func(t *testing.T, text, val string) {
		d, err := site.NewDraft([]byte(text), "f")
		if err != nil {
			return
		}
		if !bytes.Equal(d.Bytes(), []byte(text)) {
			t.Fatal("a draft is not its text")
		}
		for i, tb := range d.Tables() {
			for _, field := range site.FieldsOf(tb.Path) {
				if _, err := d.Set(i, map[string]string{field.Key: val}); err != nil {
					t.Fatalf("%s = %q in\n%s\n%v", field.Key, val, text, err)
				}
			}
			if _, err := d.Remove(i); err != nil {
				t.Fatalf("table %d removed from\n%s\n%v", i, text, err)
			}
		}
	})
}

// FieldsOf must know every key of the reference, so that no form lacks one.
func TestFieldsAreThoseOfTheReference(t *testing.T) {
	ref := site.Reference()
	n := 0
	for _, path := range []string{"site", "space", "space.house", "space.shelter", "space.cover", "space.group", "shed.cloth", "heater", "cylinder", "crew"} {
		fields := site.FieldsOf(path)
		if len(fields) == 0 {
			t.Errorf("no fields of %s", path)
		}
		for _, f := range fields {
			n++
			if !strings.Contains(ref, "| `"+f.Key+"` | "+f.Doc) {
				t.Errorf("%s of %s is not in the reference", f.Key, path)
			}
		}
	}
	if n < 60 {
		t.Errorf("only %d keys", n)
	}
	if site.FieldsOf("nowhere") != nil {
		t.Error("a table there is not has fields")
	}
}
