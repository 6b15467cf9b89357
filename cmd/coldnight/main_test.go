package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/testscript"

	"example.org/coldnight/decide/plan"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"coldnight": main})
}

// Stories of the command line, each headed by the reason it exists. Beside a
// story's own files lie an invented site and an invented forecast.
func TestStories(t *testing.T) {
	found, err := filepath.Glob("testdata/script/*.txtar")
	if err != nil || len(found) < 8 {
		t.Fatalf("%d stories found, want at least 8: %v", len(found), err)
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(e *testscript.Env) error {
			write := func(name, text string) error {
				return os.WriteFile(filepath.Join(e.WorkDir, name), []byte(text), 0o644)
			}
			if err := write("bed.toml", bedTOML); err != nil {
				return err
			}
			return write("night.csv", nightCSV(-4))
		},
	})
}

// bedTOML is an invented nursery of one bed.
const bedTOML = `[site]
name = "Two Gates (invented)"
latitude = "34 N"
longitude = "82 W"
elevation = "250 m"
timezone = "America/New_York"
units = "us"
money = "dollars"

[[space]]
name = "Bed 4"
kind = "bed"
length = "20 ft"
width = "4 ft"
pots = "spaced"

[[space.group]]
plant = "Boston fern"
count = 100
value_each = 5
pot = "6 in"

[[shed.cloth]]
cloth = "1.5 oz/yd2"
length = "30 ft"
width = "12 ft"
pieces = 1
condition = "good"

[[crew]]
name = "Ana"
from = "12:00"
to = "18:00"
`

// nightCSV is an invented forecast of two days with a clear night between, made
// at noon of the first; lowC is the coldest air.
func nightCSV(lowC float64) string {
	var b strings.Builder
	b.WriteString("# issued: 2031-01-14T12:00:00-05:00\n# source: invented\ntime,air_c,dew_c,wind_m_s,cloud_frac\n")
	from := time.Date(2031, 1, 14, 0, 0, 0, 0, time.FixedZone("", -5*3600))
	for h := range 37 {
		air := lowC + 6 + 6*math.Cos(float64(h-15)*math.Pi/12)
		fmt.Fprintf(&b, "%s,%.1f,%.1f,1.5,0.05\n", from.Add(time.Duration(h)*time.Hour).Format(time.RFC3339), air, lowC-2)
	}
	return b.String()
}

// invoke runs the program in this process, with a clock of the invented day.
func invoke(t *testing.T, args ...string) (out, errs string, code int) {
	t.Helper()
	var o, e bytes.Buffer
	clock := func() time.Time { return time.Date(2031, 1, 14, 17, 0, 0, 0, time.UTC) }
	code = run(t.Context(), args, &o, &e, clock)
	return o.String(), e.String(), code
}

// home is a folder with the invented site and forecast.
func home(t *testing.T) (dir, site, weather string) {
	t.Helper()
	dir = t.TempDir()
	site, weather = filepath.Join(dir, "bed.toml"), filepath.Join(dir, "night.csv")
	put(t, site, bedTOML)
	put(t, weather, nightCSV(-4))
	return dir, site, weather
}

func put(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestExitCodes(t *testing.T) {
	dir, site, weather := home(t)
	wrong := filepath.Join(dir, "wrong.toml")
	put(t, wrong, strings.Replace(bedTOML, `"20 ft"`, `"20 fathoms"`, 1))
	for _, c := range []struct {
		want int
		args []string
	}{
		{0, []string{"--help"}},
		{0, []string{"plan", "--help"}},
		{0, []string{"check", site}},
		{1, []string{"check", wrong}},
		{1, []string{"check", wrong, "--json"}},
		{1, []string{"check", filepath.Join(dir, "none.toml")}},
		{1, []string{"check", dir}},
		{2, []string{}},
		{2, []string{"chek", site}},
		{2, []string{"check"}},
		{2, []string{"check", site, "--jsn"}},
		{2, []string{"simulate", site, "--space", "Bed 5", "--weather", weather}},
		{2, []string{"simulate", site, "--space", "Bed 4", "--weather", weather, "--json", "--csv"}},
		{2, []string{"simulate", site, "--space", "Bed 4", "--weather", weather, "--step", "7m"}},
		{2, []string{"simulate", site, "--space", "Bed 4", "--weather", weather, "--from", "yesterday"}},
		{2, []string{"simulate", site, "--space", "Bed 4", "--weather", weather, "--member", "3"}},
		{1, []string{"simulate", site, "--space", "Bed 4", "--weather", weather, "--from", "2031-02-01 00:00"}},
		{2, []string{"plan", site, "--weather", weather, "--draws", "0"}},
		{2, []string{"plan", site, "--weather", weather, "--now", "noon"}},
		{1, []string{"plan", site, "--weather", weather, "--now", "2031-02-01 12:00"}},
		{1, []string{"plan", site, "--weather", site}},
		{2, []string{"serve", site}},
		{2, []string{"serve", site, "--weather", weather, "--fetch", "us"}},
		{2, []string{"serve", site, "--fetch", "mars"}},
		{1, []string{"serve", wrong, "--weather", weather}},
		{1, []string{"serve", site, "--weather", weather, "--data", dir, "--addr", "127.0.0.1:99999"}},
		{2, []string{"demo", "--once", "--draws", "-1"}},
		{1, []string{"backup", filepath.Join(dir, "none.db"), filepath.Join(dir, "copy.db")}},
		{1, []string{"restore", site, filepath.Join(dir, "copy.db")}},
	} {
		out, errs, code := invoke(t, c.args...)
		if code != c.want {
			t.Errorf("%q: exit %d, want %d\n%s%s", c.args, code, c.want, out, errs)
		}
		if c.want == 2 && (errs == "" || out != "") {
			t.Errorf("%q: a refusal belongs on the error output: %q, %q", c.args, out, errs)
		}
		if c.want > 0 && strings.Contains(errs, "goroutine") {
			t.Errorf("%q: %s", c.args, errs)
		}
	}
}

// What people read fits the screen and speaks their words.
func TestPlanReads(t *testing.T) {
	_, site, weather := home(t)
	for _, args := range [][]string{
		{"plan", site, "--weather", weather, "--draws", "4"},
		{"plan", site, "--weather", weather, "--draws", "4", "--all"},
		{"simulate", site, "--space", "bed 4", "--weather", weather},
		{"check", site},
	} {
		out, errs, code := invoke(t, args...)
		if code != 0 || errs != "" {
			t.Fatalf("%q: exit %d: %s", args, code, errs)
		}
		for _, line := range strings.Split(out, "\n") {
			if n := utf8.RuneCountInString(line); n > width {
				t.Errorf("%s: %d characters: %q", args[0], n, line)
			}
		}
		for _, word := range []string{"percentile", "p10", "p50", "p90", "median", "node ", "NaN", "%!"} {
			if strings.Contains(out, word) {
				t.Errorf("%s: %q is no grower's word:\n%s", args[0], word, out)
			}
		}
	}
}

func TestPlanJSON(t *testing.T) {
	_, site, weather := home(t)
	out, _, code := invoke(t, "plan", site, "--weather", weather, "--draws", "4", "--json")
	again, _, _ := invoke(t, "plan", site, "--weather", weather, "--draws", "4", "--json")
	if code != 0 || out != again {
		t.Fatalf("exit %d, or two runs that differ", code)
	}
	d := json.NewDecoder(strings.NewReader(out))
	d.DisallowUnknownFields()
	var p plan.Plan
	if err := d.Decode(&p); err != nil {
		t.Fatal(err)
	}
	if len(p.Nights) != 1 || len(p.Nights[0].Spaces) != 1 || p.Nights[0].Spaces[0].Space != "Bed 4" || len(p.Assumed) == 0 {
		t.Errorf("%+v", p)
	}
	if s := p.Now.Format(time.RFC3339); s != "2031-01-14T12:00:00-05:00" {
		t.Errorf("now %s, want the clock with the site's offset", s)
	}
}

// The table has a row per moment, part and tissue class, each own temperature in
// the column of its kind; --json has the same values under the same names.
func TestSimulateTable(t *testing.T) {
	_, site, weather := home(t)
	ask := func(form string) string {
		out, _, code := invoke(t, "simulate", site, "--space", "Bed 4", "--weather", weather, "--from", "2031-01-14 18:00", "--to", "2031-01-15 06:00", "--step", "30m", form)
		if code != 0 {
			t.Fatalf("%s: exit %d", form, code)
		}
		return out
	}
	rows, err := csv.NewReader(strings.NewReader(ask("--csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	const head = "time,cell,class,outside_air_c,plant_height_air_c,air_c,rh_pct,leaf_c,stem_c,apex_c,root_c,soil_0_c,cover_c,sky_w_m2,heat_w,o2_pct,co2_ppm"
	if got := strings.Join(rows[0], ","); got != head {
		t.Errorf("columns %s", got)
	}
	var j struct {
		Assumed []string
		StepMin float64 `json:"step_min"`
		Rows    []map[string]any
	}
	if err := json.Unmarshal([]byte(ask("--json")), &j); err != nil {
		t.Fatal(err)
	}
	if len(rows)-1 != len(j.Rows) || len(j.Rows) != 25*5*13 || j.StepMin != 30 { // half hours of 12 h, core and 4 edges, 13 classes
		t.Fatalf("%d rows, %d objects, step %g", len(rows)-1, len(j.Rows), j.StepMin)
	}
	for i, r := range j.Rows {
		for k, name := range rows[0] {
			want := ""
			if v := r[name]; v != nil {
				want = strings.TrimSuffix(fmt.Sprint(v), ".0")
			}
			if rows[i+1][k] != want {
				t.Fatalf("row %d, %s: %q in the table, %q as JSON", i, name, rows[i+1][k], want)
			}
		}
	}
	if rows[1][0] != "2031-01-14T18:00:00-05:00" || rows[1][12] != "" {
		t.Errorf("first row %q: want the site's offset, and no cover", rows[1])
	}
	own := map[string]map[string]string{}
	for _, r := range rows[1 : 1+13] {
		own[r[2]] = map[string]string{"leaf": r[7], "stem": r[8], "apex": r[9], "root": r[10]}
	}
	if own["stem-10cm"]["stem"] == own["stem-3cm"]["stem"] || own["stem-10cm"]["root"] != own["rootball-15cm"]["root"] ||
		own["rootball-30cm"]["root"] == own["rootball-15cm"]["root"] || own["leaf-large"]["stem"] != own["stem-3cm"]["stem"] {
		for class, of := range own {
			t.Errorf("%s: %v", class, of)
		}
	}
	if all := strings.Join(j.Assumed, "\n"); !strings.Contains(all, "longwave_w_m2 not given") || !strings.Contains(all, "surroundings = open") || !strings.Contains(all, "spin-up") {
		t.Errorf("assumed:\n%s", all)
	}
}

// A failed command leaves the file it was to write as it was.
func TestOutputUntouched(t *testing.T) {
	dir, site, weather := home(t)
	out := filepath.Join(dir, "answer.json")
	put(t, out, "before")
	put(t, weather, strings.Replace(nightCSV(-4), ",1.5,", ",breezy,", 1))
	if _, _, code := invoke(t, "simulate", site, "--space", "Bed 4", "--weather", weather, "--csv", "--out", out); code != 1 {
		t.Fatalf("exit %d", code)
	}
	if b, err := os.ReadFile(out); err != nil || string(b) != "before" {
		t.Errorf("%q, %v", b, err)
	}
	put(t, weather, nightCSV(-4))
	if _, errs, code := invoke(t, "plan", site, "--weather", weather, "--draws", "2", "--json", "--out", out); code != 0 {
		t.Fatal(errs)
	}
	if b, err := os.ReadFile(out); err != nil || !json.Valid(b) {
		t.Errorf("%q, %v", b, err)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "*.tmp")); len(left) > 0 {
		t.Errorf("left behind: %q", left)
	}
	if _, errs, code := invoke(t, "plan", site, "--weather", weather, "--draws", "2", "--json", "--out", filepath.Join(dir, "no", "x")); code != 1 || !strings.Contains(errs, "check that the folder exists") {
		t.Errorf("exit %d: %s", code, errs)
	}
}

func TestMeant(t *testing.T) {
	names := []string{"Bed 4", "Bed 12", "North house"}
	for word, want := range map[string]string{"Bedd 4": "Bed 4", "north hose": "North house", "bed12": "Bed 12", "greenhouse": "", "": ""} {
		if got := meant(word, names); got != want {
			t.Errorf("%q: %q, want %q", word, got, want)
		}
	}
}

func TestWrap(t *testing.T) {
	var p page
	p.say("- ", "  ", strings.Repeat("word ", 30))
	p.say("", "", strings.Repeat("ä", 90))
	p.row([]int{4, -6}, "abcdefg", "1 °C")
	if got, want := p.String(), "- "+strings.TrimSpace(strings.Repeat("word ", 15))+"\n  "+strings.TrimSpace(strings.Repeat("word ", 15))+"\n"+strings.Repeat("ä", 90)+"\nabc…   1 °C\n"; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// An interrupted program ends: the context reaches it.
func TestInterrupted(t *testing.T) {
	dir, site, weather := home(t)
	ctx, stop := context.WithCancel(t.Context())
	stop()
	var o, e bytes.Buffer
	if code := run(ctx, []string{"serve", site, "--weather", weather, "--data", filepath.Join(dir, "data"), "--addr", "127.0.0.1:0"}, &o, &e, time.Now); code > 1 {
		t.Errorf("exit %d: %s%s", code, o.String(), e.String())
	}
}
