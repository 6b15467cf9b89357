package plan

import (
	"math"
	"testing"
	"time"

	"example.org/coldnight/nursery/weather"
)

// everyLever is an invented nursery with something for each lever.
const everyLever = yard + `name = "Lever Yard"

[[space]]
name = "Dry bed"
kind = "bed"
length = "10 m"
width = "2 m"
height = "0.6 m"
axis = "E-W"
ground = "sand"
moisture = "dry"
hem = "pinned"
[[space.group]]
plant = "test leaf"
word = "tender"
count = 100
value_each = 30
saleable = "-5.5 °C"
alive = "-7.5 °C"

[[space]]
name = "Windy bed"
kind = "bed"
length = "9.6 m"
width = "2 m"
height = "0.6 m"
axis = "E-W"
hem = "pinned"
[[space.group]]
plant = "test leaf"
word = "tender"
count = 100
value_each = 120
saleable = "-5.5 °C"
alive = "-7.5 °C"

[[space]]
name = "Film hoop"
kind = "low hoop"
length = "20 m"
width = "1.5 m"
height = "0.6 m"
axis = "E-W"
hem = "loose"
[[space.group]]
plant = "test leaf"
word = "tender"
count = 100
value_each = 60
saleable = "-5 °C"
alive = "-7 °C"

[[space]]
name = "Old house"
kind = "glasshouse"
length = "26 m"
width = "8 m"
height = "3 m"
axis = "E-W"
[space.house]
glazing = "glass3"
layers = 1
eave_height = "2 m"
leaks = "leaky"
[[space.group]]
plant = "test leaf"
word = "tender"
count = 300
value_each = 30
saleable = "-2 °C"
alive = "-4 °C"

[[space]]
name = "Film house"
kind = "tall house"
length = "10 m"
width = "5 m"
height = "3 m"
axis = "E-W"
[space.house]
glazing = "greenhouse film"
layers = 1
eave_height = "2 m"
leaks = "usual"
[[space.group]]
plant = "test leaf"
word = "tender"
count = 300
value_each = 45
saleable = "-2 °C"
alive = "-4 °C"

[[shed.cloth]]
cloth = "51 g/m2"
length = "12 m"
width = "5 m"
pieces = 1
condition = "good"

[[shed.cloth]]
cloth = "infrared film 150 um"
length = "22 m"
width = "4.5 m"
pieces = 3
condition = "good"

[[shed.curtain]]
cloth = "woven polyester curtain"
length = "11 m"
width = "6 m"
pieces = 1
condition = "good"

[[shed.panel]]
length = "2.4 m"
height = "0.8 m"
count = 6

[[crew]]
name = "hand"
people = 4
from = "07:00"
to = "17:15"
`

// frontAt is a site under four invented days: mild, then from 17:00 of the second day a
// overcast windy front that brings the air down by drop [K].
func frontAt(t testing.TB, text string, drop, wind float64, now time.Duration) Freeze {
	t.Helper()
	f := freezeAt(t, text, 6, now, 6)
	s := f.Scene.Site
	t0 := f.Issued
	w := weather.Series{Source: "invented", Step: time.Hour, Issued: t0}
	for i := range 96 {
		r := weather.EmptyRow(t0.Add(time.Duration(i) * time.Hour))
		cold := math.Min(math.Max(float64(i-40)/6, 0), 1) * drop
		r.AirC = 6 + 3*math.Cos((float64(i%24)-14.5)/24*2*math.Pi) - cold
		r.DewC, r.WindMS, r.GustMS, r.WindFromDeg, r.CloudFrac = r.AirC-6, wind, 1.5*wind, 0, 1
		w.Rows = append(w.Rows, r)
	}
	f.Members = weather.Ensemble(weather.Forecast{Members: []weather.Series{w}, Issued: t0}, 6, 9,
		weather.EnsembleOptions{LatDeg: s.LatDeg, LonDeg: s.LonDeg, ElevM: s.ElevationM, Now: f.Now})
	return f
}
