package web

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// mapPage is the nursery drawn to scale, with its spaces in the order of their cold beside it.
type mapPage struct {
	Frame
	Site    string
	V       string
	Told    string
	Stamp   aged
	Notices []string
	Wind    string
	Drawing *drawing
	Ranks   []rankLine // coldest first, then those without a number
	Put     placing
	Loose   []string // spaces without a place
	Planned bool
}

// placing is the form that puts a space on the map.
type placing struct {
	Space, East, North string
	Wrong              []string
	Spaces             []string
	Unit               string // an example length in the units of the site
}

// rankLine is one space with its coldest cell.
type rankLine struct {
	Rank        int // 0 without a number
	Space, Link string
	Coldest     string // "27 °F"
	Part        string // "north edge"
	Where       string // and when, and the middle where that is an edge
	Done        string // what the plan does there
	Size, At    string // for the table
	Loose       bool

	cold cold
}

// cold is the coldest cell of a space in the coming night, as planned.
type cold struct {
	cell  int
	shape site.CellShape
	low   night.Band
	core  float64
	at    time.Time
	words string // what is done
	known bool
}

// coldOf looks at the tissue that decides in a space.
func coldOf(a *plan.Answer, space string) cold {
	for _, s := range a.Spaces {
		r := chosen(s)
		if r == nil || s.Outlook.Space.Name != space || len(a.Plan.Nights) == 0 {
			continue
		}
		out := cold{low: night.Band{P50: math.Inf(1)}, core: math.NaN(), words: r.Protection.Words}
		class := tissue(s.Outlook, r)
		for i, c := range r.Cells {
			n := slices.IndexFunc(c.Nights, func(n night.CellNight) bool { return n.Date == a.Plan.Nights[0].Date })
			if n < 0 || class >= len(c.Nights[n].Min) || math.IsNaN(c.Nights[n].Min[class].P50) {
				continue
			}
			low := c.Nights[n].Min[class]
			if !c.Shape.Edge {
				out.core = low.P50
			}
			if low.P50 < out.low.P50 {
				out.cell, out.shape, out.low, out.at, out.known = i, c.Shape, low, c.Nights[n].At[class], true
			}
		}
		return out
	}
	return cold{}
}

// breeze is the mean wind of the coldest hours.
type breeze struct {
	from  float64 // degrees it comes from
	speed float64 // m/s
	known bool
}

// aroundCold is how far from the coldest moment the wind is looked at; calm is a wind too weak to have a side.
const (
	aroundCold = 2 * time.Hour
	calmMS     = 0.5
)

// breezeAt is the mean of all members' winds around a moment. The direction is that of the mean of the vectors.
func breezeAt(members []weather.Series, at time.Time) breeze {
	var x, y, sum, n float64
	for i := range members {
		for _, r := range members[i].Rows {
			if d := r.Time.Sub(at); d < -aroundCold || d > aroundCold || math.IsNaN(r.WindMS) || math.IsNaN(r.WindFromDeg) {
				continue
			}
			sin, cos := math.Sincos(r.WindFromDeg * math.Pi / 180)
			x, y, sum, n = x+r.WindMS*sin, y+r.WindMS*cos, sum+r.WindMS, n+1
		}
	}
	if n == 0 {
		return breeze{}
	}
	return breeze{from: math.Mod(math.Atan2(x, y)*180/math.Pi+360, 360), speed: sum / n, known: true}
}

// sided reports whether the wind has a side to come from.
func (b breeze) sided() bool { return b.known && b.speed >= calmMS }

// windward is the side of a space that meets the wind most nearly; false when there is hardly any.
func (b breeze) windward(s *site.Space) (site.Direction, bool) {
	if !b.sided() {
		return "", false
	}
	best, turn := site.Direction(""), math.Inf(1)
	for k := range 4 {
		d := site.Toward(s.Axis.Deg() + 90*float64(k))
		off := math.Abs(math.Mod(d.Deg()-b.from+540, 360) - 180)
		if off < turn {
			best, turn = d, off
		}
	}
	return best, true
}

// newMap builds the page. link says where a space is looked at closely.
func newMap(v View, link func(string) string) *mapPage {
	w := newVoice(v)
	p := &mapPage{Site: v.Site.Name}
	p.Title = "Map"
	p.Put.Unit = "12 m"
	if v.Site.Units == measure.Customary {
		p.Put.Unit = "40 ft"
	}
	if v.Trouble != "" {
		p.Notices = append(p.Notices, "There is no newer plan: "+phrase.Stop(v.Trouble))
	}
	if v.Answer == nil {
		p.Notices = append(p.Notices, "There is no plan yet, so nothing is said of the cold.")
	} else {
		p.Planned = true
		p.Stamp = aged{
			{Text: "Coldest plants of the coming night, as planned "},
			age(v.Answer.Plan.Now, v.Now, replanAfter),
			{Text: ", from a forecast made "},
			age(v.Answer.Plan.Issued, v.Now, staleAfter),
			{Text: "."},
		}
		if v.Stale != "" {
			p.Notices = append(p.Notices, "The forecast is old: "+phrase.Stop(v.Stale))
		}
	}
	for i := range v.Site.Spaces {
		s := &v.Site.Spaces[i]
		p.Put.Spaces = append(p.Put.Spaces, s.Name)
		l := rankLine{Space: s.Name, Link: link(s.Name), Size: w.Units.Length(measure.Length(s.LengthM)) + " × " + w.Units.Length(measure.Length(s.WidthM)), At: "not placed yet", Loose: s.Spot == nil}
		if s.Spot != nil {
			l.At = w.compassPlace(s.Spot)
		} else {
			p.Loose = append(p.Loose, s.Name)
		}
		if v.Answer != nil {
			l.cold = coldOf(v.Answer, s.Name)
		}
		if c := &l.cold; c.known {
			l.Coldest, l.Done = w.degrees(c.low.P50), phrase.Stop(c.words)
			l.Part = partWords(&c.shape)
			l.Where = phrase.Capital(whereWords(&c.shape)) + ", near " + w.near(c.at)
			if c.shape.Edge && !math.IsNaN(c.core) {
				l.Where += "; in the middle " + w.degrees(c.core)
			}
			l.Where = phrase.Stop(l.Where)
		}
		p.Ranks = append(p.Ranks, l)
	}
	slices.SortStableFunc(p.Ranks, func(a, b rankLine) int {
		switch {
		case a.cold.known != b.cold.known:
			return cmp.Compare(weight(b.cold.known), weight(a.cold.known))
		case !a.cold.known:
			return 0
		}
		return cmp.Compare(a.cold.low.P50, b.cold.low.P50)
	})
	for i := range p.Ranks {
		if p.Ranks[i].cold.known {
			p.Ranks[i].Rank = i + 1
		}
	}
	var b breeze
	if len(p.Ranks) > 0 && p.Ranks[0].cold.known {
		b = breezeAt(v.Weather, p.Ranks[0].cold.at)
		p.Wind = w.windWords(b, p.Ranks[0].cold.at)
	}
	if len(v.Site.Spaces) > 0 {
		p.Drawing = w.draw(v.Site, p.Ranks, b)
	}
	return p
}

func weight(known bool) int {
	if known {
		return 1
	}
	return 0
}

func whereWords(c *site.CellShape) string {
	if !c.Edge {
		return "in the middle"
	}
	return "along the " + compassWords(c.Facing) + " edge"
}

func partWords(c *site.CellShape) string {
	if !c.Edge {
		return "middle"
	}
	return compassWords(c.Facing) + " edge"
}

// compassWords spells out a direction: "north-east", "north-north-east".
func compassWords(d site.Direction) string {
	names := map[rune]string{'N': "north", 'E': "east", 'S': "south", 'W': "west"}
	var parts []string
	for _, r := range string(d) {
		parts = append(parts, names[r])
	}
	return strings.Join(parts, "-")
}

func (w voice) windWords(b breeze, at time.Time) string {
	switch {
	case !b.known:
		return "The forecast does not say from where the wind comes in the coldest hours."
	case !b.sided():
		return phrase.Stop("Hardly any wind in the coldest hours, around " + w.near(at))
	}
	return fmt.Sprintf("Wind in the coldest hours, around %s: from the %s, about %s. The thick side of each space meets it.",
		w.near(at), compassWords(site.Toward(b.from)), w.wind(b.speed))
}

// wind writes a speed in whole miles an hour, or in whole metres a second.
func (w voice) wind(ms float64) string {
	unit := 1.0
	if w.Units == measure.Customary {
		unit = 0.44704
	}
	return w.Units.Speed(measure.Speed(unit * max(math.Round(ms/unit), 1)))
}

// compassPlace writes a place: "40 ft east, 12 ft south".
func (w voice) compassPlace(at *site.Spot) string {
	say := func(x float64, plus, minus string) string {
		if x < 0 {
			plus = minus
		}
		return w.Units.Length(measure.Length(math.Abs(x))) + " " + plus
	}
	return say(at.EastM, "east", "west") + ", " + say(at.NorthM, "north", "south")
}
