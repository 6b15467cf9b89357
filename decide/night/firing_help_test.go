package night

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

const (
	btuH  = 1055.05585262 / 3600 // [W]
	pound = 0.45359237           // [kg]
)

// shelter is an invented house of the tests of heat: upright walls, so that floor
// times height is its volume when the roof is flat.
type shelter struct {
	lengthM, widthM, heightM float64
	leaks                    string  // of the site file
	curtain                  string  // "" for none
	glazing                  string  // "" for single film
	elevM                    float64 // [m]
	more                     string  // tables of heaters, cylinders and the like
}

// volume is the air of the house [m3]: its eaves are as high as its ridge.
func (h shelter) volume() float64 { return h.lengthM * h.widthM * h.heightM }

// scene reads the house from a site file.
func (h shelter) scene(t testing.TB) (*Scene, *site.Space) {
	t.Helper()
	var b strings.Builder
	glazing := h.glazing
	if glazing == "" {
		glazing = "greenhouse film"
	}
	fmt.Fprintf(&b, `[site]
name = "Test"
latitude = "33 S"
longitude = "20 E"
elevation = "%.0f m"
timezone = "Africa/Johannesburg"
units = "metric"
money = "coins"
[prices]
propane = "2 per kg"
electricity = "0.2 per kWh"
[[space]]
name = "House"
kind = "tall house"
length = "%.3f m"
width = "%.3f m"
height = "%.3f m"
[space.house]
glazing = "%s"
eave_height = "%.3f m"
leaks = "%s"
`, h.elevM, h.lengthM, h.widthM, h.heightM, glazing, h.heightM, h.leaks)
	if h.curtain != "" {
		fmt.Fprintf(&b, "curtain = \"%s\"\ncurtain_when = \"always\"\n", h.curtain)
	}
	b.WriteString(`[[space.group]]
plant = "test leaf"
word = "tender"
count = 400
value_each = 3
saleable = "2 °C"
alive = "-1 °C"
height = "20 cm"
`)
	b.WriteString(h.more)
	s, _, err := site.Parse([]byte(b.String()), "test.toml", Known())
	if err != nil {
		t.Fatalf("%v\n%s", err, b.String())
	}
	sc, err := NewScene(s)
	if err != nil {
		t.Fatal(err)
	}
	return sc, sc.Site.Space("House")
}

// evenWeather is four invented winter days (UTC+2) with a steady wind and sky and an
// air that does not change by more than swing about its mean; the span of the tests
// is its last night, noon to noon.
func evenWeather(sc *Scene, mean, swing, wind, cloud float64) weather.Series {
	t0 := time.Date(2026, 7, 10, 0, 0, 0, 0, sc.Site.Zone)
	s := weather.Series{Source: "invented", Step: time.Hour, Issued: t0}
	for i := range 96 {
		r := weather.EmptyRow(t0.Add(time.Duration(i) * time.Hour))
		r.AirC = mean + swing*math.Cos((float64(i%24)-14.5)/24*2*math.Pi)
		r.DewC = mean - swing - 3
		r.WindMS, r.GustMS, r.WindFromDeg, r.CloudFrac = wind, 1.6*wind, 0, cloud
		s.Rows = append(s.Rows, r)
	}
	done, _ := s.Complete(sc.Site.LatDeg, sc.Site.LonDeg, sc.Site.ElevationM)
	return done
}

// burning runs one draw of a house under a firing, the days before without heat, and
// returns its cells, the core first.
func burning(t testing.TB, sc *Scene, sp *site.Space, f *Firing, d Draw, s weather.Series) []Track {
	t.Helper()
	from, to := lastNight(s)
	i, j, err := Span(s, from, to)
	if err != nil {
		t.Fatal(err)
	}
	ps := []Protection{{Key: "none"}, {Key: "lit", Firing: f}}
	out, err := sc.run(sp, fewer(sp.Cells()), ps, onlyLeaves(), d, s, span{i, j})
	if err != nil {
		t.Fatal(err)
	}
	return out[1]
}

// onlyLeaves asks for the small leaf alone.
func onlyLeaves() []bool {
	need := make([]bool, len(Classes()))
	need[0] = true
	return need
}

// always lets every line burn at any hour.
func always(f *Firing) *Firing {
	for l := range f.Lit {
		f.Lit[l].When = site.When{}
	}
	return f
}

// last is the end of the night of a core.
func last(tr []Track) *Fire { return tr[0].Hours[len(tr[0].Hours)-1].Fire }

// gasHeater is an invented heater without a flue or a thermostat.
func gasHeater(inputW, cutoff float64) string {
	out := fmt.Sprintf(`[[heater]]
name = "gas"
space = "House"
kind = "unvented gas"
input = "%.6f kW"
fuel = "propane"
mains = false
`, inputW/1000)
	if cutoff > 0 {
		out += fmt.Sprintf("cutoff = \"%.2f %%\"\n", 100*cutoff)
	}
	return out
}

// near fails when two numbers are further apart than a share of the second.
func near(t testing.TB, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within*math.Abs(want)) {
		t.Errorf("%s: %.6g, want %.6g within %.3g", what, got, want, within)
	}
}
