package heating

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
)

// standing is what each backup carries when the houses are as given, by trying every
// way there is: written apart.
func standing(needs []need, backups []site.Backup) float64 {
	ways := 1
	for range needs {
		ways *= len(backups) + 1
	}
	best := 0.0
	for w := range ways {
		saved, run, start := 0.0, make([]float64, len(backups)), make([]float64, len(backups))
		for x, k := w, 0; k < len(needs); k++ {
			if b := x % (len(backups) + 1); b < len(backups) {
				saved += needs[k].saves
				run[b] += needs[k].runW
				start[b] = math.Max(start[b], needs[k].startW)
			}
			x /= len(backups) + 1
		}
		fits := true
		for b := range backups {
			fits = fits && run[b]+start[b] <= backups[b].PowerW
		}
		if fits {
			best = math.Max(best, saved)
		}
	}
	return best
}

// The assignment saves as much as the best of all, and carries no more than it can.
func TestShareIsTheBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var needs []need
		for range rapid.IntRange(0, 6).Draw(t, "houses") {
			needs = append(needs, need{runW: rapid.Float64Range(50, 4000).Draw(t, "W"), startW: rapid.Float64Range(0, 2000).Draw(t, "start"), saves: rapid.Float64Range(1, 5000).Draw(t, "saves")})
		}
		var backups []site.Backup
		for range rapid.IntRange(1, 3).Draw(t, "backups") {
			backups = append(backups, site.Backup{PowerW: rapid.Float64Range(100, 8000).Draw(t, "power")})
		}
		pick := share(needs, backups)
		got := 0.0
		for k, b := range pick {
			if b >= 0 {
				got += needs[k].saves
			}
		}
		for b := range backups {
			if l := load(needs, pick, b); l > backups[b].PowerW {
				t.Fatalf("backup %d carries %.0f of %.0f W", b, l, backups[b].PowerW)
			}
		}
		if want := standing(needs, backups); math.Abs(got-want) > 1e-6 {
			t.Fatalf("saves %.2f, the best of all ways %.2f", got, want)
		}
	})
}

// Many houses on many backups: quick, within what they carry, and all of it when all fits.
func TestShareOfMany(t *testing.T) {
	var needs []need
	for k := range 40 {
		needs = append(needs, need{runW: 100, saves: float64(1000 - k)})
	}
	backups := []site.Backup{{PowerW: 900}, {PowerW: 900}, {PowerW: 900}, {PowerW: 900}, {PowerW: 900}}
	begin := time.Now()
	pick := share(needs, backups)
	on := 0
	for b := range backups {
		if load(needs, pick, b) > backups[b].PowerW {
			t.Errorf("backup %d is overloaded", b)
		}
	}
	for _, b := range pick {
		if b >= 0 {
			on++
		}
	}
	if on != 40 || time.Since(begin) > 5*time.Second {
		t.Errorf("%d of 40 houses carried, after %v", on, time.Since(begin))
	}
}

// two is an invented site of two houses: a fan of 600 W, and an electric heater of 3 kW.
func two() (*site.Site, []*House) {
	s := &site.Site{
		Spaces: []site.Space{{Name: "low"}, {Name: "tall"}},
		Heaters: []site.Heater{
			{Name: "fan", Space: "low", Kind: site.VentedGas, Fuel: "propane", Count: 2, MainsW: 300, NeedsMains: true, Circuit: "A"},
			{Name: "rod", Space: "tall", Kind: site.Electric, Fuel: site.Electricity, Count: 1, MainsW: 3000, NeedsMains: true, Circuit: "B"},
			{Name: "idle", Space: "tall", Kind: site.Electric, Fuel: site.Electricity, Count: 1, MainsW: 9000, NeedsMains: true, Circuit: "B"},
		},
		Circuits: []site.Circuit{{Name: "A", Volts: 120, Amps: 15}, {Name: "B", Volts: 240, Amps: 60}},
	}
	at := func(h int) time.Time { return time.Date(2026, 1, 5, h, 0, 0, 0, time.UTC) }
	low := &House{Space: &s.Spaces[0], Fuel: []FuelLine{{Heater: "fan"}}, Mains: []Drill{{At: at(18), More: 500, Early: 90}, {At: at(22), More: 200, Early: 60}}}
	tall := &House{Space: &s.Spaces[1], Fuel: []FuelLine{{Heater: "rod"}}, Mains: []Drill{{At: at(22), More: 700, Early: 30}, {At: at(18), More: 900, Early: 120}}}
	return s, []*House{low, tall}
}

func TestStandbys(t *testing.T) {
	for _, c := range []struct {
		name    string
		backups []site.Backup
		want    [][]string
		loads   []float64
	}{
		// 600 W of fans, the start of one of 300 W adds 600 W; electric heat has no start
		{"both on one", []site.Backup{{Name: "big", PowerW: 4200, RunHours: 20}}, [][]string{{"low", "tall"}}, []float64{4200}},
		{"one of them", []site.Backup{{Name: "mid", PowerW: 4100, RunHours: 20}}, [][]string{{"tall"}}, []float64{3000}},
		{"only the fans", []site.Backup{{Name: "small", PowerW: 1200, RunHours: 4}}, [][]string{{"low"}}, []float64{1200}},
		{"one each", []site.Backup{{Name: "small", PowerW: 1300}, {Name: "mid", PowerW: 3100}}, [][]string{{"low"}, {"tall"}}, []float64{1200, 3000}},
		{"too small", []site.Backup{{Name: "toy", PowerW: 700}}, [][]string{nil}, []float64{0}},
		{"none", nil, nil, nil},
	} {
		s, houses := two()
		s.Backups = c.backups
		got := Standbys(s, houses, night.VoiceOf(s))
		if len(got) != len(c.want) {
			t.Errorf("%s: %d answers, want %d", c.name, len(got), len(c.want))
			continue
		}
		for b := range got {
			names := slices.Clone(got[b].Spaces)
			slices.Sort(names)
			if !slices.Equal(names, c.want[b]) || math.Abs(got[b].LoadW-c.loads[b]) > 1e-9 {
				t.Errorf("%s: %+v, want %v and %.0f W", c.name, got[b], c.want[b], c.loads[b])
			}
			t.Log(got[b].Say)
		}
	}
}

func TestCircuits(t *testing.T) {
	s, _ := two()
	var lit []night.Lit
	for i := range s.Heaters {
		lit = append(lit, night.Lit{Heater: &s.Heaters[i]})
	}
	got := Circuits(s, lit)
	// B: 12 kW at 240 V of 60 A; A: 600 W at 120 V of 15 A
	if len(got) != 2 || got[0].Name != "B" || got[0].Amps != 50 || got[1].Amps != 5 || !slices.Equal(got[0].Heaters, []string{"rod", "idle"}) {
		t.Errorf("%+v", got)
	}
	for _, c := range Circuits(s, nil) {
		if c.Amps != 0 || len(c.Heaters) > 0 {
			t.Errorf("nothing is lit: %+v", c)
		}
	}
}

func TestOutages(t *testing.T) {
	_, houses := two()
	got := Outages(houses)
	if len(got) != 2 || got[0].At.Hour() != 18 || got[0].More != 1400 || got[1].More != 900 {
		t.Fatalf("%+v", got)
	}
	if got[0].Spaces[0].Space != "low" || got[1].Spaces[0].Space != "tall" {
		t.Errorf("the quickest first: %+v, %+v", got[0].Spaces, got[1].Spaces)
	}
}
