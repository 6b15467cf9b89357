package plan

import (
	"fmt"
	"testing"
	"time"

	"example.org/coldnight/decide/night"
)

// BenchmarkPlan makes whole plans of invented sites: spaces of 3 cells, ways to treat
// each, members, 7 days with four cold nights at their end. It reports the share of each
// stage, when the first plan was there, and how long another takes after one space has
// changed. The large ones take minutes: not with -short.
func BenchmarkPlan(b *testing.B) {
	for _, x := range []struct {
		spaces, cloths, draws int
		full, long            bool
	}{
		{4, 2, 12, false, false},
		{4, 2, 12, true, false},
		{40, 7, 51, false, true},
		{40, 7, 51, true, true},
		{200, 2, 24, false, true},
	} {
		way := "screened"
		if x.full {
			way = "full"
		}
		b.Run(fmt.Sprintf("%dx3x%dx%dx7/%s", x.spaces, 3*x.cloths+3, x.draws, way), func(b *testing.B) {
			if x.long && testing.Short() {
				b.Skip("takes minutes")
			}
			f := inventedFreeze(b, inventedSite(1, x.spaces, x.cloths), 1, 3, 4, x.draws)
			f.Full = x.full
			for b.Loop() {
				timed(b, f)
			}
		})
	}
}

// timed makes a plan and another after a change, and reports the times.
func timed(b *testing.B, f Freeze) {
	f.Kept = new(night.Kept)
	began := time.Now()
	last, doing := began, "getting ready"
	first := 0.0
	spent := map[string]time.Duration{}
	tell := func(s Stage) {
		now := time.Now()
		spent[doing] += now.Sub(last)
		last, doing = now, s.Doing
		if s.First != nil {
			first, doing = now.Sub(began).Seconds(), "narrowing"
		}
	}
	a, err := MakeContext(b.Context(), f, tell)
	if err != nil {
		b.Fatal(err)
	}
	all := time.Since(began)
	spent[doing] += time.Since(last)
	for what, d := range spent {
		b.Logf("%5.1f %%  %s", 100*d.Seconds()/all.Seconds(), what)
	}
	if n := len(a.Spaces[0].Outlook.Options); n < 6 {
		b.Fatalf("%d ways, and the name of the benchmark says more", n)
	}
	b.ReportMetric(all.Seconds(), "s/plan")
	b.ReportMetric(first, "s/first-plan")
	b.ReportMetric(100*spent["the morning after"].Seconds()/all.Seconds(), "%mornings")
	b.ReportMetric(a.To.Sub(a.From).Hours()/24, "days")
	f.Kept.Turn()
	f.Scene.Site.Spaces[0].Groups[0].Count++
	began = time.Now()
	if _, err := MakeContext(b.Context(), f, nil); err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(time.Since(began).Seconds(), "s/replan")
}
