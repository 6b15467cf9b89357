package heat

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/ground"
)

// whiteBlanket is a heavy cloth that throws the sun back, invented.
const whiteBlanket = "white blanket"

// worn runs a moist bed of low plants through the weather with the layers that
// `on` names for every hour, and returns each night's lowest leaf [°C].
func worn(t testing.TB, w []Sample, groundC float64, on func(hour int) []string) []float64 {
	t.Helper()
	bare := openBed(ground.Soil(ground.Loam, ground.Moist), 0.35, 0.3)
	bare.Canopy = lowPlants()
	local := washed(t, bare, w, groundC)
	cells := map[string]*Sim{}
	at := func(keys []string) *Sim {
		name := strings.Join(keys, "+")
		if cells[name] == nil {
			ms := make([]cover.Material, len(keys))
			for k, key := range keys {
				if key == whiteBlanket {
					ms[k] = findCover(t, "pp68")
					ms[k].Key = key
					ms[k].SolarDry = cover.SolarOptic{Tau: 0.03, Rho: 0.77, Abs: 0.20}
					ms[k].SolarWet = ms[k].SolarDry
					continue
				}
				ms[k] = findCover(t, key)
			}
			c := bare
			if len(ms) > 0 {
				c = under(bare, 0.3, tightHem(), ms...)
			}
			s, err := New(c, bareLeaf(0.05))
			if err != nil {
				t.Fatal(err)
			}
			cells[name] = s
		}
		return cells[name]
	}
	s := at(on(0))
	s.Begin(Start{AirC: w[0].AirC, VapourKgM3: w[0].VapourKgM3, GroundC: slices.Repeat([]float64{groundC}, len(bare.Ground.Layers))})
	low := make([]float64, len(w)/24)
	for n := range low {
		low[n] = math.Inf(1)
	}
	for i := 0; i+1 < len(w); {
		k := i + 1
		for k+1 < len(w) && slices.Equal(on(k), on(i)) {
			k++
		}
		if next := at(on(i)); next != s {
			next.Become(s)
			s = next
		}
		goOn(t, s, local, i, k, func(i int, s *Sim, _ *Sample) {
			if isNight(i) {
				n := min((i+12)/24, len(low)-1) // night 1 ends the second day
				low[n] = math.Min(low[n], s.Tissue(0))
			}
		})
		i = k
	}
	return low
}

// byDay returns layers worn from 8 to 16 h and from 16 to 8 h; from the given hour
// of the run on, before it nothing.
func byDay(from int, day, night []string) func(int) []string {
	return func(h int) []string {
		if h < from {
			return nil
		}
		if of := h % 24; of >= 8 && of < 16 {
			return day
		}
		return night
	}
}

// TestSecondLayer: extension note, North Carolina (trade measurements V19): a
// second cover put on for the night gave about 15 °F the first night and much less
// the next, left on: the soil did not recharge. So it is with a cover that throws
// the sun back; a black one heats in the sun and loses little.
func TestSecondLayer(t *testing.T) {
	day := firstFrost()
	w := day.days(5)
	g := day.deepC
	none := worn(t, w, g, byDay(999, nil, nil))
	one := []string{"pp30"}
	single := worn(t, w, g, byDay(40, one, one))
	for _, second := range []string{whiteBlanket, "curtainblack"} {
		both := []string{second, "pp30"}
		evening := worn(t, w, g, byDay(40, one, both))
		left := worn(t, w, g, byDay(40, both, both))
		for n := 2; n <= 4; n++ {
			t.Logf("%-13s night %d: bare leaf %.1f °C; one clear layer %+.1f, second added each evening %+.1f, second left on %+.1f K",
				second, n-1, none[n], single[n]-none[n], evening[n]-none[n], left[n]-none[n])
		}
		if first := evening[2] - single[2]; first < 0.3 {
			t.Errorf("%s: second layer adds %.2f K on the first night", second, first)
		}
		for n := 3; n <= 4; n++ {
			by := 0.2
			if second == whiteBlanket {
				by = 0.5
			}
			if evening[n] < left[n]+by {
				t.Errorf("%s, night %d: put on in the evening %.2f °C, left on %.2f °C; must be %.1f K apart", second, n-1, evening[n], left[n], by)
			}
		}
		if second == whiteBlanket && left[3]-none[3] > left[2]-none[2]-0.3 {
			t.Errorf("left on, the second night gains %.2f K after %.2f K; must fall", left[3]-none[3], left[2]-none[2])
		}
	}
}

// TestSecondNight: as above and trade facts 1.2: after a dull day a cover gains
// less than after a sunny one; under clear cloth the sun of the day is kept.
func TestSecondNight(t *testing.T) {
	sunny := firstFrost()
	dull := sunny
	dull.cloud = 1
	gain := func(d dayWeather) (first, second float64) {
		w := append(sunny.days(2)[:32], d.days(3)[32:]...)
		one := []string{"pp30"}
		none := worn(t, w, sunny.deepC, byDay(999, nil, nil))
		got := worn(t, w, sunny.deepC, byDay(40-24, one, one))
		return got[1] - none[1], got[2] - none[2]
	}
	s1, s2 := gain(sunny)
	d1, d2 := gain(dull)
	t.Logf("clear cloth left on: first night %+.1f K, second after a sunny day %+.1f, after a dull day %+.1f (first %+.1f)", s1, s2, d2, d1)
	if d2 >= s2 {
		t.Errorf("after a dull day the cover gains %.2f K, after a sunny one %.2f", d2, s2)
	}
}
