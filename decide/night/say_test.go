package night

import (
	"strings"
	"testing"
	"time"

	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// fernBed is an invented outlook of two cells and two options.
func fernBed(nights int, odds Odds, low float64) *Outlook {
	at := time.Date(2031, 1, 15, 10, 10, 0, 0, time.UTC)
	cell := func(facing site.Direction, c float64) CellResult {
		r := CellResult{Shape: site.CellShape{Name: "core", Edge: facing != "", Facing: facing}}
		for range nights {
			n := CellNight{Date: "2031-01-14", Min: make([]Band, len(Classes())), At: make([]time.Time, len(Classes()))}
			for k := range n.Min {
				n.Min[k], n.At[k] = Band{c - 2, c, c + 1}, at
			}
			r.Nights = append(r.Nights, n)
		}
		return r
	}
	o := &Outlook{Space: &site.Space{Name: "Bed 4"}, Stocks: []Stock{{Name: "tender ferns", root: -1}}}
	for k := range 2 {
		c := low - 4*float64(1-k)
		r := Result{Cells: []CellResult{cell("", c+1), cell("N", c)}, Odds: []Odds{odds}}
		r.Worst = Worst{Stock: 0, Cell: 1, At: at, MinC: Band{c - 2, c, c + 1}}
		o.Options = append(o.Options, r)
	}
	return o
}

func TestSentence(t *testing.T) {
	us := Voice{Units: measure.Customary, Zone: time.FixedZone("", -5*3600)}
	si := Voice{Zone: time.FixedZone("", -5*3600)}
	for _, c := range []struct {
		v      Voice
		nights int
		odds   Odds
		low    float64
		want   string
	}{
		{us, 1, Odds{Unsaleable: 0.1}, -3, "Bed 4: coldest about 27 °F near 5 a.m., could be 23. First to suffer: tender ferns on the north edge, spoiled about 1 night in 10."},
		{si, 1, Odds{Unsaleable: 0.6, Dead: 0.1}, -3, "Bed 4: coldest about -3 °C near 05:00, could be -5. First to suffer: tender ferns on the north edge, spoiled about 6 nights in 10."},
		{si, 2, Odds{Unsaleable: 0.9, Dead: 0.7}, -8, "Bed 4: coldest about -8 °C near 05:00 on Wed 15 Jan, could be -10. First to suffer: tender ferns on the north edge, dead about 7 freezes like this in 10."},
		{us, 1, Odds{Unsaleable: 0.02}, 3, "Bed 4: coldest about 37 °F near 5 a.m., could be 34. All should hold; closest to harm: tender ferns on the north edge (spoiled about 1 night in 50)."},
	} {
		got := c.v.Sentence(fernBed(c.nights, c.odds, c.low), 1)
		if got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
		for _, word := range []string{"cell", "node", "percentile", "p10", "median"} {
			if strings.Contains(got, word) {
				t.Errorf("%q is no grower's word: %s", word, got)
			}
		}
	}
	if got := us.Bare(fernBed(1, Odds{}, -3), 1); got != "As things stand it would be about 19 °F." { // -7 °C
		t.Errorf("bare: %q", got)
	}
	o := fernBed(1, Odds{}, -3)
	o.Options[0].Cells = o.Options[1].Cells // a cover that does not help
	if got := us.Bare(o, 1); !strings.Contains(got, "no warmer") {
		t.Errorf("bare as warm: %q", got)
	}
	if got := us.Bare(o, 0); got != "" {
		t.Errorf("bare of doing nothing: %q", got)
	}
	o.Stocks, o.Options[1].Odds, o.Options[1].Worst.Stock = nil, nil, -1
	if got := us.Sentence(o, 1); !strings.HasSuffix(got, "No plants are named here.") || o.Harm(1) != Holds {
		t.Errorf("no groups: %s", got)
	}
}

func TestChance(t *testing.T) {
	for _, c := range []struct {
		p      float64
		nights int
		want   string
	}{
		{0, 1, "hardly ever"},
		{0.1, 1, "about 1 night in 10"},
		{0.21, 1, "about 1 night in 5"},
		{0.3, 1, "about 3 nights in 10"},
		{0.5, 1, "as likely as not"},
		{0.8, 2, "about 8 freezes like this in 10"},
		{0.1, 3, "about 1 freeze like this in 10"},
		{0.99, 1, "almost surely"},
	} {
		if got := Chance(c.p, c.nights); got != c.want {
			t.Errorf("%g over %d: %q, want %q", c.p, c.nights, got, c.want)
		}
	}
}

func TestVoiceClockAndMoney(t *testing.T) {
	zone := time.FixedZone("", -5*3600)
	us, si := Voice{Units: measure.Customary, Zone: zone, Money: "dollars"}, Voice{Zone: zone, Money: "coins"}
	at := func(h, m int) time.Time { return time.Date(2031, 1, 15, h, m, 0, 0, zone) }
	for _, c := range []struct{ got, want string }{
		{us.Clock(at(0, 0)), "midnight"},
		{us.Clock(at(12, 0)), "noon"},
		{us.Clock(at(0, 30)), "12:30 a.m."},
		{us.Clock(at(17, 0)), "5 p.m."},
		{si.Clock(at(17, 5)), "17:05"},
		{us.Near(at(4, 40)), "5 a.m."},
		{us.Near(at(23, 40)), "midnight"},
		{si.When(at(6, 0)), "Wed 15 Jan 06:00"},
		{si.Evening(at(6, 0)), "2031-01-14"},
		{us.Amount(1234.4), "$1,234"},
		{si.Amount(-1234567), "-1,234,567 coins"},
		{si.Amount(-0.2), "0 coins"},
		{Voice{}.Amount(12), "12"},
		{si.Degrees(-0.3), "0 °C"},
		{Where(site.CellShape{Edge: true, Facing: "NE"}, 3), "on the northeast edge"},
		{Where(site.CellShape{}, 1), ""},
		{organ(plant.RootBall15), " pots"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestSpinUpSaysHowOften(t *testing.T) {
	s := weather.Series{Step: time.Hour}
	from := time.Date(2031, 1, 1, 0, 0, 0, 0, time.UTC)
	for i := range 8 * 24 {
		s.Rows = append(s.Rows, weather.Row{Time: from.Add(time.Duration(i) * time.Hour)})
	}
	for _, c := range []struct {
		rows, at int
		want     string
	}{
		{192, 0, "5 times"}, {192, 96, "once more"}, {192, 150, "none had to be repeated"}, {20, 0, "shorter than a day"},
	} {
		short := s
		short.Rows = s.Rows[:c.rows]
		if got := SpinUp(short, s.Rows[c.at].Time); !strings.Contains(got, c.want) {
			t.Errorf("%d rows, from row %d: %q, want %q", c.rows, c.at, got, c.want)
		}
	}
}
