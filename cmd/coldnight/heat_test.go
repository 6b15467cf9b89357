package main

import (
	"encoding/csv"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"
)

// warmTOML is an invented nursery of one low film house with a flame and no flue on
// small cylinders, electric heat, and a bed beside it.
const warmTOML = `[site]
name = "Two Gates (invented)"
latitude = "34 N"
longitude = "82 W"
elevation = "250 m"
timezone = "America/New_York"
units = "us"
money = "dollars"

[[space]]
name = "Low house"
kind = "tall house"
length = "26 ft"
width = "10 ft"
height = "7 ft"

[space.house]
glazing = "greenhouse film"
leaks = "tight"

[[space.group]]
plant = "Boston fern"
count = 300
value_each = 12
pot = "6 in"

[[space]]
name = "Frame"
kind = "frame"
length = "20 ft"
width = "4 ft"
height = "20 in"

[space.house]
glazing = "6 mm twin-wall"

[[space.group]]
plant = "Boston fern"
count = 200
value_each = 12
pot = "6 in"

[[space]]
name = "Bed 4"
kind = "bed"
length = "20 ft"
width = "4 ft"

[[space.group]]
plant = "Boston fern"
count = 20
value_each = 5
pot = "6 in"

[[heater]]
name = "wall heater"
space = "Low house"
kind = "unvented gas"
input = "20000 BTU/h"
fuel = "propane"
mains = false
setpoint = "40 F"
cutoff = "18 %"

[[heater]]
name = "fan heater"
space = "Frame"
kind = "electric"
input = "1500 W"
setpoint = "50 F"
circuit = "north"

[[cylinder]]
name = "by the wall heater"
feeds = ["wall heater"]
holds = "5 lb"
left = "60 %"
spare = 3

[[circuit]]
name = "north"
volts = "120 V"
amps = "20 A"

[[backup]]
name = "generator"
power = "2 kW"
hours = "5 h"

[prices]
propane = "3.10 per gal"
electricity = "0.15 per kWh"

[[crew]]
name = "hands"
people = 2
from = "12:00"
to = "18:00"
`

// What burns is read in the order in which it is asked; a site without heat reads
// nothing of it.
func TestPlanReadsHeat(t *testing.T) {
	dir, cold, weather := home(t)
	warm := filepath.Join(dir, "warm.toml")
	put(t, warm, warmTOML)
	put(t, weather, nightCSV(-8))
	heads := []string{"FUEL, FOR ALL NIGHTS", "IN THE NIGHT", "AIR FOR THE FLAMES", "IF SOMETHING FAILS", "BACKUPS AND CIRCUITS"}
	read := func(args ...string) string {
		t.Helper()
		out, errs, code := invoke(t, append([]string{"plan"}, args...)...)
		if code != 0 || errs != "" {
			t.Fatalf("%q: exit %d: %s", args, code, errs)
		}
		for _, line := range strings.Split(out, "\n") {
			if n := utf8.RuneCountInString(line); n > width {
				t.Errorf("%d characters: %q", n, line)
			}
		}
		for _, word := range []string{"percentile", "p10", "p50", "NaN", "Inf", "%!"} {
			if strings.Contains(out, word) {
				t.Errorf("%q is no grower's word:\n%s", word, out)
			}
		}
		return out
	}
	out := read(warm, "--weather", weather, "--draws", "4")
	at := strings.Index(out, "\nJOBS\n")
	for _, h := range append(heads, "FROM THE SHELF", "TAKE CARE\n- A flame without a flue") {
		next := strings.Index(out, h)
		if next < at {
			t.Errorf("%q is missing, or stands too early, in\n%s", h, out)
		}
		at = next
	}
	flat := strings.Join(strings.Fields(out), " ")
	for _, want := range []string{
		"to keep the heat on, the first by", "light wall heater", "cut two air openings", "no number here says that a house is safe",
		"do not enter alone, air it first", "Shut, the low-oxygen device puts wall heater out", "The mains out to the morning",
		"Generator to Frame: spares about", "Circuit north: 12.5 of 20 A (fan heater)", "carry one full 5 lb cylinder", "fuel $",
	} {
		if !strings.Contains(flat, want) {
			t.Errorf("%q is nowhere in\n%s", want, out)
		}
	}
	if n := strings.Count(flat, "Carbon monoxide is not:"); n != 1 {
		t.Errorf("what is not computed is said %d times", n)
	}
	all := read(warm, "--weather", weather, "--draws", "4", "--all")
	if len(all) <= len(out) || !strings.Contains(all, "by the night") && !strings.Contains(all, "known by gauge") {
		t.Error("--all shows no more of the fuel")
	}
	out = read(cold, "--weather", weather, "--draws", "2")
	for _, h := range append(heads, "fuel", "mains", "monoxide") {
		if strings.Contains(out, h) {
			t.Errorf("nothing burns, and %q is read in\n%s", h, out)
		}
	}
}

// Heat, oxygen and carbon dioxide are those of the fire in a shut house, and the air
// outside where nothing burns.
func TestSimulateHeatAndAir(t *testing.T) {
	dir, _, weather := home(t)
	warm := filepath.Join(dir, "warm.toml")
	put(t, warm, warmTOML)
	put(t, weather, nightCSV(-8))
	span := []string{"--weather", weather, "--from", "2031-01-14 18:00", "--to", "2031-01-15 08:00"}
	column := func(space, name string) (low, high float64) {
		out, _, code := invoke(t, append([]string{"simulate", warm, "--space", space, "--csv"}, span...)...)
		rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
		if code != 0 || err != nil {
			t.Fatalf("exit %d, %v", code, err)
		}
		k := slices.Index(rows[0], name)
		low, high = math.Inf(1), math.Inf(-1)
		for _, r := range rows[1:] {
			x, err := strconv.ParseFloat(r[k], 64)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			low, high = math.Min(low, x), math.Max(high, x)
		}
		return low, high
	}
	if _, high := column("Low house", "heat_w"); high < 500 || high > 5862 { // 20,000 BTU/h
		t.Errorf("the wall heater gives %g W at most", high)
	}
	low, high := column("Low house", "o2_pct")
	if low > 20.5 || low < 15 || high > 20.96 {
		t.Errorf("oxygen %g to %g %% beside a flame in a tight house", low, high)
	}
	_, co2 := column("Low house", "co2_ppm")
	// propane takes 5 O2 for 3 CO2: the rise is 0.6 of the fall, give or take the
	// water and the draught (C3H8 + 5 O2 = 3 CO2 + 4 H2O)
	if ratio := (co2 - 400) / 1e4 / (20.95 - low); ratio < 0.5 || ratio > 0.7 {
		t.Errorf("carbon dioxide rises by %.2f of the fall of oxygen, want about 0.6", ratio)
	}
	if _, high := column("Frame", "heat_w"); high < 50 || high > 1500 {
		t.Errorf("the fan heater gives %g W at most", high)
	}
	for space, columns := range map[string][]string{"Bed 4": {"heat_w", "o2_pct", "co2_ppm"}, "Frame": {"o2_pct", "co2_ppm"}} {
		for _, name := range columns {
			want := map[string]float64{"heat_w": 0, "o2_pct": 20.95, "co2_ppm": 400}[name]
			if low, high := column(space, name); low != high || math.Abs(low-want) > 0.02*want {
				t.Errorf("%s, %s: %g to %g, want %g throughout", space, name, low, high, want)
			}
		}
	}
	say := func(space string) string {
		out, _, code := invoke(t, append([]string{"simulate", warm, "--space", space}, span...)...)
		if code != 0 {
			t.Fatal(code)
		}
		return strings.Join(strings.Fields(out), " ")
	}
	if out := say("Low house"); !strings.Contains(out, "least oxygen") || !strings.Contains(out, "nobody should run them so") || !strings.Contains(out, "Carbon monoxide is not") {
		t.Error(out)
	}
	if out := say("Frame"); !strings.Contains(out, "mean heat") || strings.Contains(out, "oxygen") {
		t.Error(out)
	}
	if out := say("Bed 4"); strings.Contains(out, "heater") || strings.Contains(out, "oxygen") {
		t.Error(out)
	}
}
