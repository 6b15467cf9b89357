package heating

import (
	"math"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
)

// invented crew: a pair in the evening, one who watches from 22:00 to 6:00, and two
// together from 5:00 to 6:00.
func watched() *site.Site {
	return &site.Site{Zone: time.UTC, Labour: site.Labour{WalkPerSpace: 2}, Crew: []site.Worker{
		{Name: "pair", People: 2, FromMin: 14 * 60, ToMin: 22 * 60},
		{Name: "Ana", People: 1, FromMin: 22 * 60, ToMin: 30 * 60},
		{Name: "Ben", People: 1, FromMin: 5 * 60, ToMin: 9 * 60},
	}}
}

// Who walks a round: two into a house with a flame and no flue, and where only one is on
// shift it is said, with what to do and by when they must have called.
func TestNobodyWalksAlone(t *testing.T) {
	s := watched()
	a := Ask{Scene: &night.Scene{Site: s}, Voice: night.VoiceOf(s)}
	at := func(h, m int) time.Time { return time.Date(2026, 1, 5, h, m, 0, 0, time.UTC) }
	for _, c := range []struct {
		hour, minute int
		flame        bool
		people, need int
		alone        bool
		says         []string
	}{
		{20, 0, true, 2, 2, false, []string{"pair: on until 22:00."}},
		{2, 0, true, 1, 2, true, []string{"Ana: on until 06:00.", "this takes two", "nobody goes in", "do not enter alone", "again by 02:40"}},
		{2, 0, false, 1, 1, true, []string{"Ana: on until 06:00.", "alone then", "again by 02:40"}},
		{5, 30, true, 2, 2, false, []string{"Ana: on until 06:00; Ben: on until 09:00."}},
		{10, 0, true, 0, 2, false, []string{"Nobody is on shift", "which two get up"}},
		{10, 0, false, 0, 1, false, []string{"Nobody is on shift", "who gets up"}},
	} {
		r := a.staffed([]Round{{At: at(c.hour, c.minute)}}, c.flame)[0]
		if r.People != c.people || r.Need != c.need || (r.Alone != "") != c.alone || r.CheckIn.IsZero() == c.alone {
			t.Errorf("%02d:%02d: %+v", c.hour, c.minute, r)
		}
		for _, w := range c.says {
			if !strings.Contains(r.Who, w) {
				t.Errorf("%02d:%02d: %q does not say %q", c.hour, c.minute, r.Who, w)
			}
		}
		if !c.flame && strings.Contains(r.Who, "do not enter") {
			t.Errorf("a house with a flue: %q", r.Who)
		}
	}
}

// What a night's rounds cost in sleep, reckoned by hand: a change of cylinders outdoors
// of a house with a flue (one person) and one with none (two), at 23:20 and at 4:40, one
// rare trip; who is on shift is up anyway.
func TestSleepByHand(t *testing.T) {
	s := watched()
	s.Crew = s.Crew[:1]
	v := night.VoiceOf(s)
	day := time.Date(2026, 1, 5, 0, 0, 0, 0, time.UTC)
	m := func(odds float64, hours float64) night.Moment {
		x := day.Add(time.Duration(hours * float64(time.Hour)))
		return night.Moment{Odds: odds, Early: x, Usual: x, Late: x}
	}
	store := &site.Cylinders{Fuel: "propane", Count: 1, HoldsKg: 9, LeftKg: []float64{9}}
	flue := night.Lit{Heater: &site.Heater{Kind: site.VentedGas, Fuel: "propane", Vented: true, Count: 1}, Store: store}
	open := night.Lit{Heater: &site.Heater{Kind: site.UnventedGas, Fuel: "propane", Count: 1}, Store: store}
	heat := func(l ...night.LineOutlook) *night.HeatOutlook { return &night.HeatOutlook{Lines: l} }
	for _, c := range []struct {
		name                          string
		lit                           night.Lit
		line                          night.LineOutlook
		wakes, each, persons, dayCost float64 // dayCost: minutes as they count
	}{
		// be there 20 min before: 23:20 and 4:40; 10 to change, 2 to walk, 10 to dress
		{"flue, two changes", flue, night.LineOutlook{Swap: []night.Moment{m(1, 23+2.0/3), m(0.5, 29)}}, 2, 44, 44, 88},
		{"no flue, one change", open, night.LineOutlook{Swap: []night.Moment{m(1, 27)}}, 1, 22, 44, 88},
		{"in the evening, on shift", flue, night.LineOutlook{Swap: []night.Moment{m(1, 20)}}, 0, 0, 0, 12},
		{"a rare change", flue, night.LineOutlook{Swap: []night.Moment{m(0.05, 27)}}, 0.05, 1.1, 1.1, 2.2},
		{"a rare trip", open, night.LineOutlook{Trip: m(0.05, 27)}, 0.05, 1.6, 3.2, 6.4}, // 20 to air and relight, 2, 10
		{"a trip by day", open, night.LineOutlook{Trip: m(1, 12)}, 0, 0, 0, 44},
	} {
		z := SleepOf(s, []night.Lit{c.lit}, heat(c.line), 0.25, v)
		near := func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }
		if !near(z.Wakes, c.wakes) || !near(60*z.EachH, c.each) || !near(60*z.PersonH, c.persons) || !near(z.Cost, 0.25*c.dayCost) {
			t.Errorf("%s: %+v, want %g wakes, %g and %g min, %g counted", c.name, z, c.wakes, c.each, c.persons, 0.25*c.dayCost)
		}
		t.Log(z.Say)
	}
	s.Crew = []site.Worker{{Name: "watch", People: 2, FromMin: 20 * 60, ToMin: 30 * 60}}
	z := SleepOf(s, []night.Lit{open}, heat(night.LineOutlook{Swap: []night.Moment{m(1, 27)}}), 0.25, v)
	if z.Wakes != 0 || math.Abs(60*z.EachH-12) > 1e-9 || !strings.Contains(z.Say, "on shift") {
		t.Errorf("on shift: %+v", z)
	}
	if z = SleepOf(s, []night.Lit{open}, nil, 0.25, v); z != (Sleep{}) {
		t.Errorf("nothing burns: %+v", z)
	}
}

// A shut house that trips says what the openings cost beside what the trip costs, in
// plants and in sleep; an open one that swaps cylinders says who is got up.
func TestOpeningBesideSleep(t *testing.T) {
	large := strings.NewReplacer(`"7 kW"`, `"16 kW"`, `"6 °C"`, `"12 °C"`).Replace(flame)
	sc, sp := build{more: large + cylinders(5, 1, 6, false)}.scene(t)
	a := ask(t, sc, sp, nights(sc, -4, 0.3, 0.1), 0.15, 4)
	a.MinuteCost = 0.25
	h := look(t, a)
	t.Log(h.Trade)
	t.Log(h.Sleep.Say)
	if h.Sealed.Lines[0].Trip.Odds > 0 != strings.Contains(h.Trade, "gets two people up about") {
		t.Errorf("trips in %.2f: %q", h.Sealed.Lines[0].Trip.Odds, h.Trade)
	}
	if h.Trade == "" {
		t.Error("a tight shut house of 120 m3 with 16 kW never trips: make it harder")
	}
	if h.Sleep.Wakes < 1 || h.Sleep.Cost <= 0 || h.Sleep.People != 2 {
		t.Errorf("5 kg at up to 1.1 kg an hour do not last a night: %+v", h.Sleep)
	}
	for _, r := range h.Rounds {
		if r.Need != 2 {
			t.Errorf("one person for %s", r.What)
		}
	}
}

// The band of the hours left: hard cases burn faster, and the middle lies between.
func TestHoursLeftBand(t *testing.T) {
	sc, sp := build{more: fan + strings.Replace(cylinders(20, 2, 0, true), `["flame"]`, `["fan"]`, 1)}.scene(t)
	l := look(t, ask(t, sc, sp, nights(sc, -2, 2, 0.5), 0, 8)).Fuel[0]
	t.Logf("%.1f to %.1f to %.1f h; %.1f by the mean pace", l.Hours.P10, l.Hours.P50, l.Hours.P90, l.HoursTonight)
	if !(l.Hours.P10 < l.Hours.P50 && l.Hours.P50 < l.Hours.P90) || math.Abs(l.Hours.P50/l.HoursTonight-1) > 0.15 {
		t.Errorf("%+v, %g", l.Hours, l.HoursTonight)
	}
	sc, sp = build{more: stove + cans(3, 1, 0)}.scene(t)
	l = look(t, ask(t, sc, sp, nights(sc, -2, 1, 0.5), 0.07, 6)).Fuel[0]
	if e := l.Empty; e.Odds != 1 || e.Usual.Before(e.Early) || e.Late.Before(e.Usual) || e.Early.IsZero() {
		t.Errorf("runs dry %+v", e)
	}
}

// The rule for confined rooms, as it is printed: 50 cubic feet for each 1,000 BTU/h of
// all that burns the air of the house, so 4.83 m3 for each kW; a heater that takes its
// air from outdoors, and an electric one, are not counted.
func TestConfinedHouse(t *testing.T) {
	vented := strings.Replace(fan, `"12 kW"`, `"40 kW"`, 1)
	for _, c := range []struct {
		name, heaters string
		kW            float64
		confined      bool
	}{
		{"7 kW without a flue", flame, 7, false}, // 33.8 of 129 m3
		{"40 kW with a flue", vented, 40, true},  // 193
		{"40 kW that takes its air from outdoors", vented + "outside_air = true\n", 0, false},
		{"both", flame + strings.Replace(fan, `"12 kW"`, `"20 kW"`, 1), 27, true}, // 130.4
		{"electric", "[[heater]]\nname = \"it\"\nspace = \"House\"\nkind = \"electric\"\ninput = \"40 kW\"\n", 0, false},
	} {
		sc, sp := build{more: c.heaters}.scene(t)
		r := RoomOf(sp, sc.Written(sp).Lit, night.VoiceOf(sc.Site))
		// 12 by 5 m, eaves 1.8, ridge 2.5 m
		if math.Abs(r.VolumeM3-12*5*(1.8+2.5)/2) > 1e-9 || math.Abs(r.InputW-1000*c.kW) > 1e-9 || math.Abs(r.LeastM3-c.kW*4.828) > 0.01*c.kW || r.Confined != c.confined {
			t.Errorf("%s: %+v", c.name, r)
		}
		if said := strings.Contains(r.Say, "129 m³") && strings.Contains(r.Say, "Local code decides"); said != c.confined {
			t.Errorf("%s: %q", c.name, r.Say)
		}
	}
}
