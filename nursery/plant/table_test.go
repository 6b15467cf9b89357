package plant

import (
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"sort"
	"strconv"
	"strings"
	"testing"

	"example.org/coldnight/internal/beside"
)

func library(t testing.TB) *Library {
	t.Helper()
	l, err := New()
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// Counts of the compiled table the library was reworked from.
func TestEveryRecordAndMeaningIsThere(t *testing.T) {
	l := library(t)
	want := map[Meaning]int{
		HardyTo: 121, KillingRest: 93, KillingEarly: 93, LT50: 61, RangeMin: 58, RootKilling: 43, SurvivalClaimed: 40,
		FirstDamage: 34, DamageRangeStart: 28, DamageObserved: 27, RecommendedMin: 27, NoDamage: 26, Killing: 25,
		ChillInjury: 23, ZoneMin: 18, Survived: 17, Killed: 15, ChillThreshold: 13, Critical: 13, SalableLimit: 12,
		TransportMin: 9, ToleranceLimit: 5, FreezingOnset: 5, T10: 4, T90: 3, RelativeShift: 3, TEL50: 2,
		Supercooling: 1, FunctionLoss: 1, DurationLimit: 1,
	}
	got := map[Meaning]int{}
	weak, suspect, memory := 0, 0, 0
	for _, r := range l.Rows() {
		got[r.Meaning]++
		if r.Weak {
			weak++
		}
		if r.Suspect {
			suspect++
		}
		if r.Seen == "memory" {
			memory++
			if r.Grade != "M" {
				t.Errorf("line %d: recalled but graded %s", r.Line, r.Grade)
			}
		}
		if r.Use.Informs == "" || r.Use.How == "" {
			t.Errorf("line %d: %s informs nothing", r.Line, r.Meaning)
		}
		counted := r.Use.Informs == InformsSaleable || r.Use.Informs == InformsAlive || r.Use.Informs == InformsRoot || r.Use.Informs == InformsSpring
		if counted && !(r.Use.Share > 0 && r.Use.Share < 1) {
			t.Errorf("line %d: share %g of a freezing record", r.Line, r.Use.Share)
		}
		if _, ok := l.Source(r.Source); !ok {
			t.Errorf("line %d: no source", r.Line)
		}
	}
	if len(want) != 30 || len(Meanings()) != 30 {
		t.Fatalf("meanings: %d in the test, %d in the package, want 30", len(want), len(Meanings()))
	}
	for _, m := range Meanings() {
		if got[m] != want[m] {
			t.Errorf("%s: %d records, want %d", m, got[m], want[m])
		}
	}
	if len(l.Rows()) != 821 || len(l.sources) != 164 {
		t.Errorf("%d records from %d sources, want 821 from 164", len(l.Rows()), len(l.sources))
	}
	if weak != 266 || suspect != 11 || memory != 33 {
		t.Errorf("weak %d, suspect %d, from memory %d; want 266, 11, 33", weak, suspect, memory)
	}
}

func TestWeakIsExactlyTheWeakSources(t *testing.T) {
	l := library(t)
	for _, r := range l.Rows() {
		switch k := l.sources[r.Source].Kind; k {
		case "trade", "private", "forum", "page":
			if !r.Weak {
				t.Errorf("line %d: source of kind %s is not marked weak", r.Line, k)
			}
		case "journal", "university", "agency", "dataset", "society", "press", "handbook", "garden":
			if r.Weak {
				t.Errorf("line %d: source of kind %s is marked weak", r.Line, k)
			}
		default:
			t.Errorf("line %d: kind %q of source %s", r.Line, k, r.Source)
		}
	}
}

// Meanings are never mixed: what a record informs, one by one.
func TestUse(t *testing.T) {
	for _, c := range []struct {
		m     Meaning
		organ string
		v     float64
		want  Informs
		bound Bound
	}{
		{RecommendedMin, "whole plant", 10, InformsComfort, Centre},
		{TransportMin, "whole plant", 16, InformsComfort, Centre},
		{ChillThreshold, "leaf", 10, InformsChilling, Centre},
		{ChillInjury, "leaf", 2.2, InformsChillDose, NotColder},
		{NoDamage, "leaf", 2.2, InformsChillSafe, NotWarmer},
		{NoDamage, "leaf", -7, InformsSaleable, NotWarmer},
		{NoDamage, "root (mature, in ground)", -29, InformsRoot, NotWarmer},
		{Survived, "whole plant", -15, InformsAlive, NotWarmer},
		{FirstDamage, "leaf", -2, InformsSaleable, Centre},
		{FirstDamage, "leaf", 4.4, InformsChilling, Centre},
		{DamageObserved, "cladode", -12, InformsSaleable, NotColder},
		{DamageObserved, "root (6 wk)", -7, InformsRoot, NotColder},
		{Critical, "bloom", -1.1, InformsSpring, Centre},
		{Critical, "wood", -6.7, InformsSaleable, Centre},
		{T90, "full bloom", -4.4, InformsSpring, Centre},
		{SalableLimit, "crown+root ball", -8, InformsSaleable, Centre},
		{LT50, "leaf", -8, InformsSaleable, Centre},
		{LT50, "stem chlorenchyma", -7, InformsAlive, Centre},
		{ToleranceLimit, "cladode", -10, InformsAlive, Centre},
		{TEL50, "leaf", -13, InformsSaleable, Centre},
		{FunctionLoss, "stem chlorenchyma", -4, InformsSaleable, Centre},
		{RootKilling, "root (mature)", -9, InformsRoot, Centre},
		{RootKilling, "root tips/young roots", -9, InformsRoot, Centre},
		{Killing, "leaf", -4.4, InformsSaleable, Centre},
		{Killing, "new leaf", -0.6, InformsSpring, Centre},
		{Killing, "whole plant", -3, InformsAlive, Centre},
		{Killing, "whole plant", 4.4, InformsChilling, Centre},
		{Killed, "whole plant", -15, InformsAlive, NotColder},
		{KillingRest, "whole plant", -5, InformsAlive, Centre},
		{KillingEarly, "whole plant", -1, InformsSpring, Centre},
		{HardyTo, "whole plant", -12, InformsAlive, Centre},
		{HardyTo, "whole plant", 1.5, InformsComfort, Centre},
		{SurvivalClaimed, "whole palm", -9, InformsAlive, Centre},
		{RangeMin, "whole plant", -30.6, InformsClimate, Centre},
		{ZoneMin, "n/a", -12, InformsClimate, Centre},
		{Supercooling, "stem", -6, InformsNucleation, Centre},
		{FreezingOnset, "fruit", -2.8, InformsNucleation, Centre},
		{RelativeShift, "meristem", -1.8, InformsNote, Centre},
		{DurationLimit, "whole plant", 0, InformsNote, Centre},
	} {
		u, ok := c.m.Use(c.organ, c.v)
		if !ok || u.Informs != c.want || u.Bound != c.bound {
			t.Errorf("%s of %s at %g: %q bound %d, want %q bound %d", c.m, c.organ, c.v, u.Informs, u.Bound, c.want, c.bound)
		}
	}
	if _, ok := Meaning("hearsay").Use("leaf", 0); ok {
		t.Error("an unknown meaning informs something")
	}
}

// The reworked table holds the facts of the compiled one.
func TestAgainstCompiledTable(t *testing.T) {
	f, err := os.Open(beside.Path(t, "plants/tolerance.csv"))
	if err != nil {
		t.Skip("measured data not here: ../shared/plants/tolerance.csv (not part of the project)")
	}
	defer f.Close()
	recs, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var want, got []string
	for _, r := range recs[1:] {
		v, err := strconv.ParseFloat(r[5], 64)
		if err != nil {
			t.Fatal(err)
		}
		want = append(want, fmt.Sprintf("%s|%s|%s|%.2f", r[0], r[3], r[4], v))
	}
	for _, r := range library(t).Rows() {
		got = append(got, fmt.Sprintf("%s|%s|%s|%.2f", r.Taxon, r.Organ, r.Meaning, r.ValueC))
	}
	sort.Strings(want)
	sort.Strings(got)
	if len(want) != len(got) {
		t.Fatalf("%d records, compiled table has %d", len(got), len(want))
	}
	for i := range want {
		if want[i] != got[i] {
			t.Errorf("have %s, want %s", got[i], want[i])
		}
	}
}

func TestTableErrorsSayWhereAndWhatToDo(t *testing.T) {
	good := "Agave,,,,agave,leaf,first_damage,-2,no,,,D,,,,,key,seen\n"
	for _, c := range []struct{ name, text, column string }{
		{"empty", "", ""},
		{"other header", "a,b\n", ""},
		{"field missing", rowHeader + "\nAgave,agave\n", ""},
		{"not a number", rowHeader + "\n" + strings.Replace(good, "-2", "cold", 1), "value_c"},
		{"not finite", rowHeader + "\n" + strings.Replace(good, "-2", "NaN", 1), "value_c"},
		{"impossible", rowHeader + "\n" + strings.Replace(good, "-2", "-300", 1), "value_c"},
		{"unknown meaning", rowHeader + "\n" + strings.Replace(good, "first_damage", "hearsay", 1), "meaning"},
		{"unknown grade", rowHeader + "\n" + strings.Replace(good, ",D,", ",Z,", 1), "grade"},
		{"unknown state", rowHeader + "\n" + strings.Replace(good, ",no,", ",maybe,", 1), "acclimated"},
		{"no name", rowHeader + "\n" + strings.Replace(good, "Agave", " ", 1), "taxon"},
		{"bad hours", rowHeader + "\n" + strings.Replace(good, ",no,,,", ",no,,-4,", 1), "duration_h"},
		{"broken quote", rowHeader + "\n\"Agave\n", ""},
	} {
		_, err := ParseRows("t.csv", strings.NewReader(c.text))
		var te *TableError
		if !errors.As(err, &te) {
			t.Errorf("%s: error %v, want a table error", c.name, err)
			continue
		}
		if te.Column != c.column || te.Hint == "" || te.File != "t.csv" {
			t.Errorf("%s: %v, want column %q", c.name, err, c.column)
		}
	}
	if rows, err := ParseRows("t.csv", strings.NewReader(rowHeader+"\n"+good)); err != nil || len(rows) != 1 {
		t.Errorf("good table: %v", err)
	}
}

func rowSeeds() []string {
	return []string{
		"", rowHeader, rowHeader + "\nAgave,,,,agave,leaf,first_damage,-2,no,,,D,,,,,key,seen\n",
		rowHeader + "\n\"Agave, small\",Agave;Yucca,,,agave,leaf,LT50_tissue,-8,yes,dry;pot,1,A,weak,suspect,a;b,x,key,seen\n",
		rowHeader + "\n*,*,,,zone,n/a,zone_min,-12.2,n/a,,,B,,,,,zone,seen\n", "\xff\xfe,\n\"",
	}
}

func FuzzParseRows(f *testing.F) {
	for _, s := range rowSeeds() {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		rows, err := ParseRows("fuzz", strings.NewReader(s))
		if err != nil {
			return
		}
		for _, r := range rows {
			if r.Use.Informs == "" || r.ValueC < -90 || r.ValueC > 60 {
				t.Fatalf("accepted %+v", r)
			}
		}
	})
}

func TestSeedCounts(t *testing.T) {
	if n := len(rowSeeds()); n != 6 {
		t.Errorf("%d seeds for the table, want 6", n)
	}
	if n := len(nameSeeds()); n != 12 {
		t.Errorf("%d seeds for names, want 12", n)
	}
}
