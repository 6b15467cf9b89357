package paper

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
)

// pageRules hold for every sheet: numbered pages with the hours of plan and forecast,
// nothing below the least size, nothing outside the paper or over the foot.
func pageRules(t *testing.T, s Sheet, pages []printed, h float64) {
	t.Helper()
	v := s.voice()
	for i, p := range pages {
		if want := fmt.Sprintf("page %d of %d", i+1, len(pages)); !strings.Contains(p.text, want+"\n") {
			t.Errorf("page %d is not numbered %q", i+1, want)
		}
		if want := fmt.Sprintf("Plan made %s, from a forecast of %s", v.When(s.Answer.Plan.Now), v.When(s.Answer.Plan.Issued)); !strings.Contains(p.words, want) {
			t.Errorf("page %d does not say %q", i+1, want)
		}
		for pt := range p.sizes {
			if pt < least {
				t.Errorf("page %d: type of %g pt", i+1, pt)
			}
		}
		foot := 0
		for _, y := range p.ys {
			switch {
			case y < 0 || y > h:
				t.Errorf("page %d: a line at %g, off the paper", i+1, y)
			case y < (bottom-1)*72/25.4:
				foot++
			}
		}
		if foot != 3 {
			t.Errorf("page %d: %d pieces in the foot, want 3: something is written over it", i+1, foot)
		}
	}
}

// The sheet of a real plan says all that is needed, each caution once, and hangs the
// words on the door of the house with the flame.
func TestSheetOfAPlan(t *testing.T) {
	s := planned(t)
	b := pdfOf(t, s)
	pages, w, h := readBack(t, b)
	if w != 612 || h != 792 {
		t.Errorf("the paper is %g x %g pt, want Letter for customary units", w, h)
	}
	pageRules(t, s, pages, h)
	all := wordsOf(pages)
	if len(s.Answer.Plan.Jobs) == 0 || len(s.Answer.Outages) == 0 {
		t.Fatalf("%d jobs, %d outages: nothing is tested", len(s.Answer.Plan.Jobs), len(s.Answer.Outages))
	}
	for _, want := range []string{
		"Freeze in the night of Tue 14 Jan", "How cold it gets outside", "freezing ", "If the mains fail at 2 a.m.", "Frame",
		"If a heater goes out and is not mended", "Low house, wall heater", "Before dark, Tuesday 14 January", "late pair 2", "Ana",
		"Take off in the morning", "Take a second person along.", "Spaces at risk, hour by hour", "spoil below", "dark 5:",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("the sheet does not say %q", want)
		}
	}
	for _, j := range s.Answer.Plan.Jobs {
		if !strings.Contains(all, phrase.Stop(phrase.Capital(j.What))) {
			t.Errorf("the job %q is not there", j.What)
		}
	}
	for _, c := range s.Answer.Cautions {
		if n := strings.Count(all, strings.Join(strings.Fields(c), " ")); n != 1 {
			t.Errorf("the caution %q stands %d times", c, n)
		}
	}
	doors := 0
	for _, x := range s.Answer.Houses {
		if x.Opening.NeedsIt {
			doors++
		}
	}
	hung := 0
	for _, p := range pages {
		if strings.Contains(p.words, strings.ToUpper(plan.DoorWords)) {
			hung++
		}
	}
	if doors != 1 || hung != doors {
		t.Errorf("%d houses with a flame and no flue, %d pages for their doors", doors, hung)
	}
	if again := pdfOf(t, s); !bytes.Equal(b, again) {
		t.Error("the same plan gave other bytes")
	}
	t.Logf("%d pages, %d bytes", len(pages), len(b))
}

// A reader of PDF that is not ours finds the same pages and words.
func TestAnotherReader(t *testing.T) {
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is not installed (Debian: poppler-utils)")
	}
	s := heated(invented(t, measure.Customary, job(nil, "a", "Low house", "light wall heater", 19, 0, "Ana")), "Low house")
	path := filepath.Join(t.TempDir(), "sheet.pdf")
	b := pdfOf(t, s)
	if err := os.WriteFile(path, b, 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.CommandContext(t.Context(), reader, "-layout", path, "-").CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	pages, _, _ := readBack(t, b)
	if n := bytes.Count(out, []byte("\f")); n != len(pages) {
		t.Errorf("it counts %d pages, we %d", n, len(pages))
	}
	text := strings.Join(strings.Fields(string(out)), " ")
	for _, want := range []string{"Light wall heater", "If the mains fail at 3:30 a.m.", "Before dark, Saturday 13 March", "35 min"} {
		if !strings.Contains(text, want) {
			t.Errorf("it does not read %q", want)
		}
	}
}

// A plan with nothing to do and no heat is one page that says so, and a page for
// each of the crew.
func TestNothingToDo(t *testing.T) {
	s := invented(t, measure.SI)
	s.Answer.Freeze = false
	pages, w, h := readBack(t, pdfOf(t, s))
	if math.Abs(w-595.28) > 0.01 || math.Abs(h-841.89) > 0.01 {
		t.Errorf("the paper is %g x %g pt, want A4", w, h)
	}
	pageRules(t, s, pages, h)
	if len(pages) != 4 {
		t.Errorf("%d pages, want 4", len(pages))
	}
	if all := wordsOf(pages); !strings.Contains(all, "No freeze in sight") || strings.Contains(all, "In the night") || strings.Count(all, "Nothing to do in this plan.") != 3 {
		t.Errorf("it reads: %s", all)
	}
}

// Names without end, letters that are none, and more jobs than pages hold stay on the
// paper.
func TestNastyNames(t *testing.T) {
	long := strings.Repeat("Overlong", 40)
	var jobs []plan.Job
	for i := range 90 {
		jobs = append(jobs, job(nil, fmt.Sprint(i), long, strings.Repeat("a very long job ", 1+i), 14, i%60, "Ana", "late pair 1", long))
	}
	jobs = append(jobs, job(nil, "x", "🌵 \xff\x00\nBed", "put ( \\ ) žluťoučký Ωμέγα 苗圃 🧊", 15, 0, "Ana"))
	s := heated(invented(t, measure.Customary, jobs...), long+" "+long)
	s.Site.Name = long
	pages, _, h := readBack(t, pdfOf(t, s))
	pageRules(t, s, pages, h)
	all := wordsOf(pages)
	for _, want := range []string{"? ?", "Put ( \\ ) žluťoučký Ωμέγα 苗圃 ?", "goes on"} {
		if !strings.Contains(all, want) {
			t.Errorf("the sheet does not say %q", want)
		}
	}
	if n := strings.Count(all, "a very long job"); n < 90*91/2*3-90*4 { // everybody, three people; the first word is capital
		t.Errorf("%d times the words of the jobs: some are lost", n)
	}
	t.Logf("%d pages", len(pages))
}

// A job longer than a page goes on overleaf, whole.
func TestJobLongerThanAPage(t *testing.T) {
	s := invented(t, measure.SI, job(nil, "a", "Bed", strings.Repeat("word ", 3000), 15, 0, "Ana"))
	pages, _, h := readBack(t, pdfOf(t, s))
	pageRules(t, s, pages, h)
	if n := strings.Count(strings.ToLower(wordsOf(pages)), "word"); n != 2*3000 {
		t.Errorf("%d words of 3,000 on two sheets", n)
	}
}

// Broken lines fit, and lose no letter.
func TestWrap(t *testing.T) {
	f := newSheaf(measure.SI, "", time.Time{}, 0)
	f.pdf.AddPage()
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[a-zé°W .,\x{a0}]{0,200}`).Draw(t, "text")
		pt := float64(rapid.IntRange(12, 60).Draw(t, "pt"))
		width := float64(rapid.IntRange(30, 190).Draw(t, "width"))
		lines := f.wrap(text, pt, true, width)
		for _, l := range lines {
			if w := f.pdf.GetStringWidth(l); w > width {
				t.Fatalf("%q is %g mm wide, more than %g", l, w, width)
			}
		}
		bare := func(s string) string { return strings.ReplaceAll(s, " ", "") }
		if got := bare(strings.Join(lines, "")); got != bare(text) {
			t.Fatalf("%q became %q", text, got)
		}
	})
}

// One person's sheet holds their work and nobody else's; a line of several stands for
// all of them; who is not in the crew is refused.
func TestOnePerson(t *testing.T) {
	s := invented(t, measure.Customary, job(nil, "a", "Bed 1", "spread and fix the thick cloth", 15, 0, "Ana"), job(nil, "b", "Bed 2", "light the stove", 16, 0, "late pair 1", "late pair 2"))
	s = heated(s, "Low house")
	for _, c := range []struct {
		person     string
		has, hasNo []string
	}{
		{"ana", []string{"Spread and fix the thick cloth.", "Carry: the thick cloth."}, []string{"Light the stove"}},
		{"late pair 2", []string{"Light the stove.", "with late pair 1", "Change the cylinder"}, []string{"thick cloth"}},
		{"late pair", []string{"late pair 1", "late pair 2", "Light the stove."}, []string{"thick cloth"}},
	} {
		s.Person = c.person
		pages, _, h := readBack(t, pdfOf(t, s))
		pageRules(t, s, pages, h)
		all := wordsOf(pages)
		for _, w := range append(c.has, "invented caution", "If the mains fail") {
			if !strings.Contains(all, w) {
				t.Errorf("%s: %q is missing", c.person, w)
			}
		}
		for _, w := range c.hasNo {
			if strings.Contains(all, w) {
				t.Errorf("%s: %q is another's", c.person, w)
			}
		}
	}
	s.Person = "Anna"
	var u *Unknown
	if err := s.PDF(&bytes.Buffer{}); !errors.As(err, &u) || !slices.Equal(u.Crew, []string{"Ana", "late pair 1", "late pair 2"}) {
		t.Errorf("unknown person: %v", err)
	}
	if err := s.Calendar(&bytes.Buffer{}); !errors.As(err, &u) {
		t.Errorf("unknown person in a calendar: %v", err)
	}
}

// Work is sorted into the block in which it is done; where the sun does not set the
// night is from six to six.
func TestBlocks(t *testing.T) {
	s := invented(t, measure.Customary)
	at := func(day, hour, minute int) time.Time {
		return time.Date(2027, 3, day, hour, minute, 0, 0, s.Site.Zone)
	}
	for _, c := range []struct {
		start, latest time.Time
		want          block
	}{
		{at(13, 9, 0), at(13, 17, 0), block{"2027-03-13", beforeDark}},
		{at(13, 18, 0), at(13, 18, 10), block{"2027-03-13", beforeDark}}, // the sun sets at 18:40
		{at(13, 19, 30), at(13, 19, 30), block{"2027-03-13", overnight}},
		{at(14, 3, 30), at(14, 3, 30), block{"2027-03-13", overnight}},
		{at(14, 9, 0), at(14, 9, 0), block{"2027-03-13", morning}},
		{at(14, 13, 0), at(14, 14, 0), block{"2027-03-14", beforeDark}},
	} {
		if got := s.blockOf(c.start, c.latest); got != c.want {
			t.Errorf("%s: %+v, want %+v", c.start, got, c.want)
		}
	}
	s.Site.LatDeg, s.Site.Zone = 80, time.UTC
	for _, date := range []string{"2027-06-21", "2027-12-21"} {
		set, rise := s.dark(date)
		if set.Hour() != 18 || rise.Hour() != 6 || rise.Sub(set) != 12*time.Hour {
			t.Errorf("%s at 80 N: dark from %s to %s", date, set, rise)
		}
	}
}
