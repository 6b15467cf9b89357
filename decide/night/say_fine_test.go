package night

import (
	"testing"

	"example.org/coldnight/measure"
)

// Small money keeps its cents; half degrees of a dial are not rounded away. Values invented.
func TestFineWords(t *testing.T) {
	us, si := Voice{Units: measure.Customary, Money: "dollars"}, Voice{Money: "coins"}
	for _, c := range []struct{ got, want string }{
		{us.Cents(0.35), "$0.35"},
		{us.Cents(9.5), "$9.50"},
		{us.Cents(9.999), "$10"},
		{us.Cents(1234.4), "$1,234"},
		{us.Cents(3), "$3"},
		{us.Cents(-0.35), "-$0.35"},
		{si.Cents(0.35), "0.35 coins"},
		{si.Cents(0), "0 coins"},
		{si.Cents(-0.001), "0 coins"},
		{si.HalfDegrees(5.5), "5.5 °C"},
		{si.HalfDegrees(4.4444), "4 °C"},
		{us.HalfDegrees(5), "41 °F"},
		{us.HalfDegrees(5.2778), "41.5 °F"},
		{si.HalfDegrees(-0.5), "-0.5 °C"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
