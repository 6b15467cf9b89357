package plan

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/measure"
)

// steps plays a house whose groups come within odds at a warmth of their own each night
// [°C], their odds falling by a tenth a kelvin from certainty 10 K below it. Invented.
func steps(d dial, needC [][]float64, runs *int) func([][]int) ([]trial, error) {
	return func(marks [][]int) ([]trial, error) {
		*runs++
		out := make([]trial, len(marks))
		for i := range marks {
			for n := range marks[i] {
				c := d.celsius(marks[i][n])
				var odds []float64
				for _, need := range needC[n] {
					odds = append(odds, math.Min(math.Max((need-c)/10, 0), 1))
				}
				out[i].odds = append(out[i].odds, odds)
				out[i].fuel = append(out[i].fuel, c)
			}
		}
		return out, nil
	}
}

// The set-point found is the coolest on the dial that holds, to its half degree; stricter
// odds never find a cooler or cheaper one, the order of the groups does not matter,
// and the runs stay few.
func TestCoolestSetPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := dialOfUnits(rapid.SampledFrom([]measure.Units{measure.SI, measure.Customary}).Draw(t, "units"))
		groups, nights := rapid.IntRange(1, 4).Draw(t, "groups"), rapid.IntRange(1, 4).Draw(t, "nights")
		need := make([][]float64, nights)
		for n := range need {
			need[n] = rapid.SliceOfN(rapid.Float64Range(-5, 32), groups, groups).Draw(t, "need")
		}
		limits := rapid.SliceOfN(rapid.Float64Range(0.001, 0.5), groups, groups).Draw(t, "limits")
		runs := 0
		found, first, err := d.coolest(nights, limits, steps(d, need, &runs))
		if err != nil || len(first) != len(d.tries) {
			t.Fatal(err, len(first))
		}
		if runs > 6 { // the widest gap of the tries has 26 marks: five halvings
			t.Errorf("%d runs", runs)
		}
		stricter, turned := make([]float64, groups), make([][]float64, nights)
		for g := range stricter {
			stricter[g] = limits[g] * rapid.Float64Range(0.01, 1).Draw(t, "stricter")
		}
		for n := range need {
			turned[n] = slices.Clone(need[n])
			slices.Reverse(turned[n])
		}
		back := slices.Clone(limits)
		slices.Reverse(back)
		strict, _, _ := d.coolest(nights, stricter, steps(d, need, &runs))
		same, _, _ := d.coolest(nights, back, steps(d, turned, &runs))
		for n := range need {
			exact := 0.0 // where the last group comes within its limit [°C]
			for g, c := range need[n] {
				exact = math.Max(exact, c-10*limits[g])
			}
			switch f := found[n]; {
			case f.mark == noMark:
				if exact <= d.top()-1e-6 {
					t.Errorf("none found, and %g °C holds", exact)
				}
			case d.celsius(f.mark) < exact-1e-6 || d.celsius(f.mark) > exact+0.5+1e-6:
				t.Errorf("found %g °C, the limit is %g", d.celsius(f.mark), exact)
			}
			if found[n] != same[n] {
				t.Errorf("another order of groups: %v instead of %v", same[n], found[n])
			}
			if s := strict[n]; s.mark != noMark && (found[n].mark == noMark || s.mark < found[n].mark || s.fuel < found[n].fuel) {
				t.Errorf("stricter odds: %v instead of %v", s, found[n])
			}
		}
	})
}

// oddsHouse is an invented house with a unit heater; more goes into its one group, top
// into [site].
func oddsHouse(t *testing.T, top, more string) Freeze {
	t.Helper()
	text := middling(unitHeater).text()
	text = replaced(t, text, "money = \"coins\"\n", "money = \"coins\"\n"+top)
	text = replaced(t, text, "height = \"20 cm\"\n", "height = \"20 cm\"\n"+more)
	return freezeAt(t, text, -3, 34*time.Hour, 2)
}

// A warmer set-point never has higher odds in the simulated house, night by night, and
// what is found is the limit: it holds, and half a degree less does not.
func TestSetPointOddsInTheSimulatedHouse(t *testing.T) {
	f := oddsHouse(t, "", "odds = \"1 in 20\"\n")
	a := planOf(t, f)
	if len(a.SetPoints) != 1 {
		t.Fatalf("%d houses with set-points", len(a.SetPoints))
	}
	p := &a.SetPoints[0]
	t.Logf("%q", p.Says)
	l, err := f.looked(t.Context(), a.From, a.To)
	if err != nil {
		t.Fatal(err)
	}
	s := &a.Spaces[0]
	base := slices.IndexFunc(s.Outlook.Options, func(r night.Result) bool { return r.Protection.Key == "as-it-is" })
	h := f.searchIn(t.Context(), s.Outlook, base, l.members, l.draws)
	last := make([]float64, len(h.dates))
	fuel := 0.0
	for n := range last {
		last[n] = 1
	}
	for _, c := range []float64{0, 1, 2, 4, 7, 12} {
		rs, err := h.run([]night.Protection{h.at(h.every(c))})
		if err != nil {
			t.Fatal(err)
		}
		tr := h.trialOf(&rs[0])
		sum := 0.0
		for n := range last {
			if tr.odds[n][0] > last[n]+1e-9 {
				t.Errorf("at %g °C the odds are %.4f, cooler they were %.4f", c, tr.odds[n][0], last[n])
			}
			last[n] = tr.odds[n][0]
			sum += tr.fuel[n]
		}
		if sum < fuel-1e-9 {
			t.Errorf("at %g °C the fuel costs %.2f, cooler it cost %.2f", c, sum, fuel)
		}
		fuel = sum
	}
	for n := range p.Nights {
		x := &p.Nights[n]
		if x.SetC == nil {
			t.Fatalf("night %s: none found", x.Night)
		}
		if x.Groups[0].Odds > x.Groups[0].Limit+1e-9 || x.Groups[0].Limit != 1.0/20 {
			t.Errorf("night %s at %g °C: %+v", x.Night, *x.SetC, x.Groups[0])
		}
		set := h.every(*x.SetC - 0.5)
		rs, err := h.run([]night.Protection{h.at(set)})
		if err != nil {
			t.Fatal(err)
		}
		if own := h.own; *x.SetC != own && *x.SetC > 0 && rs[0].ByNight[n][0] <= h.limits[0] {
			t.Errorf("night %s: %g °C was found, and half a degree less has odds %.4f", x.Night, *x.SetC, rs[0].ByNight[n][0])
		}
	}
}

// heat_by = "odds" makes the plan take the set-points, and stricter odds in it never cost
// less heat.
func TestPlanKeepsToTheOdds(t *testing.T) {
	cost := 0.0
	for _, odds := range []string{"1 in 3", "1 in 200"} {
		f := oddsHouse(t, "heat_by = \"odds\"\n", "odds = \""+odds+"\"\n")
		a := planOf(t, f)
		validate(t, a.Plan)
		p := &a.SetPoints[0]
		if key := a.Spaces[0].Outlook.Options[a.Spaces[0].Chosen].Protection.Key; !p.Takes || key != p.Option {
			t.Errorf("odds %s: the plan takes %q", odds, key)
		}
		t.Logf("%s: %q", odds, p.Says)
		fuel := 0.0
		for n := range p.Nights {
			fuel += p.Nights[n].Fuel
		}
		if fuel < cost-1e-9 {
			t.Errorf("odds %s: fuel %.2f, with wider odds %.2f", odds, fuel, cost)
		}
		cost = fuel
	}
	if cost == 0 {
		t.Error("nothing is burnt: the test says nothing")
	}
}

// A heater that is too small is said to be, with the group and its odds at full burn.
func TestNoSetPointKeepsTheOdds(t *testing.T) {
	text := replaced(t, middling(unitHeater).text(), `input = "20 kW"`, `input = "1 kW"`)
	a := planOf(t, freezeAt(t, text, -12, 34*time.Hour, 2))
	if len(a.SetPoints) != 1 {
		t.Fatalf("%d houses with set-points", len(a.SetPoints))
	}
	p := &a.SetPoints[0]
	t.Logf("%q", p.Says)
	worst := p.Nights[0]
	if worst.SetC != nil || worst.Groups[0].FullOdds == nil || *worst.Groups[0].FullOdds < 0.5 || worst.Groups[0].Limit != 0.1 {
		t.Errorf("1 kW at -17 °C outside: %+v", worst)
	}
	for _, want := range []string{"no set-point", "full burn", "test leaf", "1 in 10"} {
		if !strings.Contains(p.Says[0], want) {
			t.Errorf("%q is not in %q", want, p.Says[0])
		}
	}
	validate(t, a.Plan)
}

// replaced puts a text in place of one that is there once.
func replaced(t *testing.T, text, old, with string) string {
	t.Helper()
	if strings.Count(text, old) != 1 {
		t.Fatalf("%q is not there once", old)
	}
	return strings.Replace(text, old, with, 1)
}
