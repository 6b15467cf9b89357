package night

import (
	"math"
	"testing"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/heat"
)

// Marks: alike for what is alike, whatever it points through and in which order a map is
// read; not alike for what differs in one place.
func TestMarkOf(t *testing.T) {
	zone := time.FixedZone("there", 7200)
	make1 := func() []any {
		sp := site.Space{Name: "Bed", LengthM: 3, Line: 7, House: &site.House{Glazing: "glass"}}
		return []any{&sp, map[string]float64{"a": 1, "b": 2, "c": math.NaN()}, time.Date(2031, 1, 2, 3, 0, 0, 0, zone), heat.Laws{}, zone, []string{"ab", "c"}}
	}
	base := MarkOf(make1()...)
	for range 20 {
		if MarkOf(make1()...) != base {
			t.Fatal("the same values have another mark")
		}
	}
	moved := make1()
	moved[0].(*site.Space).Line = 99
	if MarkOf(moved...) != base {
		t.Error("another line of the file gives another mark")
	}
	for what, change := range map[string]func(v []any){
		"a field":           func(v []any) { v[0].(*site.Space).LengthM = math.Nextafter(3, 4) },
		"through a pointer": func(v []any) { v[0].(*site.Space).House.Glazing = "film" },
		"a missing pointer": func(v []any) { v[0].(*site.Space).House = nil },
		"a map":             func(v []any) { v[1].(map[string]float64)["b"] = 3 },
		"two of a map":      func(v []any) { m := v[1].(map[string]float64); m["a"], m["b"] = 2, 1 },
		"a moment":          func(v []any) { v[2] = v[2].(time.Time).Add(time.Nanosecond) },
		"its zone":          func(v []any) { v[2] = v[2].(time.Time).UTC() },
		"a law":             func(v []any) { v[3] = heat.Laws{OuterForced: math.Abs} },
		"where words end":   func(v []any) { v[5] = []string{"a", "bc"} },
		"one thing less":    func(v []any) { v[5] = []string{"ab"} },
	} {
		v := make1()
		if change(v); MarkOf(v...) == base {
			t.Errorf("%s does not count", what)
		}
	}
}

// What nobody asked for during a whole plan is forgotten; nil remembers nothing.
func TestKeptTurns(t *testing.T) {
	var k Kept
	a, b := MarkOf("a"), MarkOf("b")
	k.Put(a, 1)
	k.Put(b, 2)
	k.Turn()
	if v, ok := k.Find(a); !ok || v != 1 {
		t.Errorf("a plan later: %v", v)
	}
	k.Turn()
	if _, ok := k.Find(b); ok {
		t.Error("what no plan asked for is still there")
	}
	if _, ok := k.Find(a); !ok {
		t.Error("what the plan asked for is gone")
	}
	var none *Kept
	none.Put(a, 1)
	none.Turn()
	if _, ok := none.Find(a); ok {
		t.Error("nothing remembers something")
	}
}

// A result from what was kept is the one that would be worked out, and a change that
// matters is not answered from it.
func TestKeptResultsAreTheSame(t *testing.T) {
	sc := valley(t)
	sp := &sc.Site.Spaces[0]
	s := coldSpell(sc, 3, 1, 0)
	q := Request{
		Space: sp, Protections: []Protection{{Key: "none", Covers: sp.Covers}}, Draws: Draws(2, 1, 3),
		From: s.Rows[40].Time, To: s.Rows[60].Time, Kept: new(Kept),
	}
	q.Members = append(q.Members, s)
	around, err := sc.Around(t.Context(), q.Members, q.Draws, q.From)
	if err != nil {
		t.Fatal(err)
	}
	q.Around = around
	loss := func(q Request) float64 {
		o, err := sc.Outlook(q)
		if err != nil {
			t.Fatal(err)
		}
		return o.Options[0].Cells[0].Nights[0].Min[0].P50
	}
	first, again := loss(q), loss(q)
	bare := q
	bare.Kept, bare.Around = nil, nil
	if alone := loss(bare); first != again || first != alone {
		t.Errorf("%v, kept %v, without anything worked out before %v", first, again, alone)
	}
	dug := *sp
	dug.Ground.Moisture = site.Dry
	q.Space = &dug
	if loss(q) == first {
		t.Error("dry ground is answered from what was kept of moist")
	}
}
