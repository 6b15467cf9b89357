package measure

import (
	"math"
	"strings"
	"testing"
)

// No spelling belongs to two units of one quantity, in any case of letters, and every
// spelling is found as it stands in the table.
func TestSpellingsAreUnique(t *testing.T) {
	n := 0
	for _, k := range []kind{
		kindOf[Temperature](), kindOf[TemperatureDiff](), kindOf[Length](), kindOf[Area](), kindOf[Volume](), kindOf[Speed](),
		kindOf[Mass](), kindOf[ArealMass](), kindOf[Power](), kindOf[Energy](), kindOf[Pressure](),
	} {
		seen := map[string]string{}
		for _, u := range k.units {
			for _, w := range append([]string{u.name}, u.words...) {
				n++
				if other, ok := seen[strings.ToLower(w)]; ok {
					t.Errorf("%s: %q is both %s and %s", k.name, w, other, u.name)
				}
				seen[strings.ToLower(w)] = u.name
				if got, ok := k.find(w); !ok || got.name != u.name {
					t.Errorf("%s: %q found as %q", k.name, w, got.name)
				}
			}
			if x := u.toSI(u.fromSI(3)); math.Abs(x-3) > 1e-12 {
				t.Errorf("%s %s: 3 becomes %g", k.name, u.name, x)
			}
		}
		for _, e := range k.example {
			if _, err := k.parse(e, nil); err != nil {
				t.Errorf("%s: the example %q is refused: %v", k.name, e, err)
			}
		}
	}
	if n < 150 {
		t.Errorf("only %d spellings looked at", n)
	}
}
