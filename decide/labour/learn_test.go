package labour

import (
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
)

// now of the tests; all jobs here are invented.
var now = time.Date(2031, 1, 20, 18, 0, 0, 0, time.UTC)

// table is what a file that gives nothing stands for, the stated judgement.
func table() site.Labour {
	return site.Labour{
		LargePer100M2: 10, UsualPer100M2: 20, HoopsPer100M2: 40, WindyTimes: 2, UncoverPer100M2: 10, CupsPer100: 50, PanelEach: 5, WalkPerSpace: 2,
		Guessed: []string{"large", "usual", "hoops", "windy", "uncover", "cups", "panel", "walk"},
	}
}

// crewOf are n jobs of a crew that needs rate person-minutes for a unit, scattered by sd in the logarithm.
func crewOf(n int, of Kind, rate, sd float64, seed uint64) []Finished {
	r := rand.New(rand.NewPCG(seed, 1))
	out := make([]Finished, n)
	for i := range out {
		amount := 0.3 + 2*r.Float64()
		work := rate*amount*math.Exp(sd*r.NormFloat64()) + 2
		people := 1 + r.IntN(3)
		out[i] = Finished{Work: Work{Of: of, Amount: amount}, Minutes: work / float64(people), People: people, Done: now.AddDate(0, 0, -i%30)}
	}
	return out
}

func rateOf(t *testing.T, b Book, of Kind) Rate {
	t.Helper()
	for _, r := range b.Rates {
		if r.Of == of {
			return r
		}
	}
	t.Fatalf("no rate of %s in %+v", of, b.Rates)
	return Rate{}
}

func TestNoJobsNoChange(t *testing.T) {
	b := Learn(table(), nil, now)
	if !reflect.DeepEqual(b.Labour, table()) || len(b.Rates) != 0 || len(b.Words(measure.SI)) != 0 {
		t.Errorf("%+v", b)
	}
}

// A crew twice as fast as the judgement is found, with a band that narrows and holds it.
func TestRateConverges(t *testing.T) {
	last, wide := 20.0, math.Inf(1)
	for _, n := range []int{1, 4, 16, 64} {
		b := Learn(table(), crewOf(n, Usual, 10, 0.2, 7), now)
		r := rateOf(t, b, Usual)
		if r.Jobs != n || b.Labour.UsualPer100M2 != r.Value || b.Labour.HoopsPer100M2 != 40 {
			t.Fatalf("%d jobs: %+v, %+v", n, r, b.Labour)
		}
		if math.Abs(math.Log(r.Value/10)) > math.Abs(math.Log(last/10))+0.05 {
			t.Errorf("%d jobs: %.1f, further off than %.1f", n, r.Value, last)
		}
		if r.P90/r.P10 >= wide {
			t.Errorf("%d jobs: the band %.1f to %.1f does not narrow", n, r.P10, r.P90)
		}
		last, wide = r.Value, r.P90/r.P10
	}
	if math.Abs(last-10) > 0.6 { // 2.5 standard errors of 64 jobs of 0.2
		t.Errorf("64 jobs: %.2f, want about 10", last)
	}
}

// The band of four in five holds the truth about four times in five, over nurseries drawn from the prior.
func TestBandHoldsTheTruth(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 3))
	held, n := 0, 400
	for i := range n {
		truth := 20 * math.Exp(math.Log(priorFactor)/q80*r.NormFloat64())
		got := rateOf(t, Learn(table(), crewOf(5, Usual, truth, math.Log(jobFactor)/q80, uint64(i)), now), Usual)
		if got.P10 <= truth && truth <= got.P90 {
			held++
		}
	}
	if share := float64(held) / float64(n); share < 0.70 || share > 0.90 {
		t.Errorf("the band of 80 %% held the truth in %.0f %%", 100*share)
	}
}

// A tick forgotten until nine hours later, or pressed ten seconds after the first, does not move the rate much.
func TestForgottenTick(t *testing.T) {
	good := crewOf(6, Usual, 14, 0.2, 3)
	clean := rateOf(t, Learn(table(), good, now), Usual).Value
	late := Finished{Work: Work{Of: Usual, Amount: 0.5}, Minutes: 9 * 60, People: 2, Done: now}
	b := Learn(table(), append(good, late), now)
	r := rateOf(t, b, Usual)
	if math.Abs(r.Value/clean-1) > 0.08 || r.Jobs != 7 || r.Odd != 1 {
		t.Errorf("%.2f with the forgotten tick, %.2f without: %+v", r.Value, clean, r)
	}
	if w := strings.Join(b.Words(measure.SI), "\n"); !strings.Contains(w, "from 7 jobs, was 20") || !strings.Contains(w, "hardly counts") {
		t.Error(w)
	}
	if r := rateOf(t, Learn(table(), []Finished{late}, now), Usual); math.Abs(r.Value/20-1) > 0.15 {
		t.Errorf("the forgotten tick alone: %.1f, was 20", r.Value)
	}
	twice := late
	twice.Minutes = 10.0 / 60
	overnight := late
	overnight.Minutes = 20 * 60
	b = Learn(table(), append(good, twice, overnight), now)
	if r := rateOf(t, b, Usual); r.Value != clean || b.Refused != 2 {
		t.Errorf("%g, want %g; %d refused", r.Value, clean, b.Refused)
	}
	// a crew that always needs five times as long is no forgotten tick
	if r := rateOf(t, Learn(table(), crewOf(12, Usual, 100, 0.2, 5), now), Usual); r.Value < 85 || r.Odd != 0 {
		t.Errorf("a slow crew: %+v", r)
	}
}

// Wind is learned from jobs in wind, beside what the same kind takes in calm.
func TestWindIsLearned(t *testing.T) {
	jobs := crewOf(20, Usual, 15, 0.15, 1)
	gale := crewOf(20, Usual, 45, 0.15, 2)
	for i := range gale {
		gale[i].Slow = true
	}
	b := Learn(table(), append(jobs, gale...), now)
	if b.Labour.WindyTimes < 2.6 || b.Labour.WindyTimes > 3.2 || math.Abs(b.Labour.UsualPer100M2-15) > 1.5 {
		t.Errorf("%.2f times as long in wind, %.1f in calm; want about 3 and 15", b.Labour.WindyTimes, b.Labour.UsualPer100M2)
	}
}

// Old jobs count less: a crew that has become faster is believed.
func TestOldJobsFade(t *testing.T) {
	old := crewOf(10, Usual, 30, 0.1, 1)
	for i := range old {
		old[i].Done = now.AddDate(-6, 0, 0)
	}
	jobs := append(old, crewOf(10, Usual, 15, 0.1, 2)...)
	faded := rateOf(t, Learn(table(), jobs, now), Usual).Value
	for i := range jobs {
		jobs[i].Done = now
	}
	if even := rateOf(t, Learn(table(), jobs, now), Usual).Value; faded >= even || faded > 18 {
		t.Errorf("%.1f with six years between, %.1f of one week", faded, even)
	}
}

// A number in the site file wins, and what the jobs say is said.
func TestGivenNumberWins(t *testing.T) {
	l := table()
	l.Guessed = []string{"large", "windy"}
	b := Learn(l, crewOf(8, Usual, 14, 0.1, 3), now)
	if w := strings.Join(b.Words(measure.SI), "\n"); b.Labour.UsualPer100M2 != 20 || b.Taught("usual") || !strings.Contains(w, "the site file says 20, and that is used") {
		t.Errorf("%g, %s", b.Labour.UsualPer100M2, w)
	}
}

// Whatever the jobs: the rates are finite and above zero, lie in their bands and do not depend on the order of the
// jobs; every job is counted or refused.
func TestLearnProperties(t *testing.T) {
	every := []Kind{Large, Usual, Hoops, Uncover, Cups, Panel, "another"}
	rapid.Check(t, func(t *rapid.T) {
		jobs := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Finished {
			return Finished{
				Work:    Work{Of: rapid.SampledFrom(every).Draw(t, "kind"), Amount: rapid.Float64Range(-1, 50).Draw(t, "amount"), Slow: rapid.Bool().Draw(t, "slow")},
				Minutes: rapid.Float64Range(-5, 2000).Draw(t, "minutes"), People: rapid.IntRange(0, 6).Draw(t, "people"),
				Done: now.Add(-time.Duration(rapid.IntRange(-100, 60000).Draw(t, "age")) * time.Hour),
			}
		}), 0, 25).Draw(t, "jobs")
		b := Learn(table(), jobs, now)
		for _, r := range b.Rates {
			if !(r.Value > 0) || math.IsInf(r.Value, 0) || r.P10 > r.Value || r.P90 < r.Value || r.Odd > r.Jobs {
				t.Fatalf("%+v", r)
			}
		}
		back := make([]Finished, len(jobs))
		for i := range jobs {
			back[len(jobs)-1-i] = jobs[i]
		}
		o := Learn(table(), back, now)
		if o.Refused != b.Refused || len(o.Rates) != len(b.Rates) {
			t.Fatalf("in another order: %+v, was %+v", o, b)
		}
		for i, r := range b.Rates {
			if math.Abs(math.Log(r.Value/o.Rates[i].Value)) > 1e-6 {
				t.Fatalf("in another order: %+v, was %+v", o.Rates[i], r)
			}
		}
		if len(b.Words(measure.Customary)) < len(b.Rates) {
			t.Fatal("a rate without words")
		}
		seen := 0
		for _, r := range b.Rates {
			if r.Of != windy {
				seen += r.Jobs
			}
		}
		known := 0
		for _, j := range jobs {
			if j.Of != "another" {
				known++
			}
		}
		if seen+b.Refused != known {
			t.Fatalf("%d counted and %d refused of %d", seen, b.Refused, known)
		}
	})
}
