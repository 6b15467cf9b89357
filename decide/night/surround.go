package night

import (
	"math"
	"slices"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/heat"
)

// openAir is the open ground of the site: what surrounds every space.
type openAir struct {
	offK    []float64 // air at plant height less the screen's [K]
	perDay  int       // rows in a day
	groundC []float64 // at 10 cm [°C]
}

// surround gives a cell the air and the ground that lie around it; s[i] is row
// i-shift of the series, rows before the first being its first day again. The
// air at the height of what stands there lies between plant height and screen,
// on the logarithm of height. An open bed mixes with the air beside it as the
// wind carries it across: depth of the layer times its wind, over the way.
func (b *builder) surround(s []heat.Sample, o openAir, p Protection, shift int) {
	h := plantM
	if b.space.House != nil {
		h = b.space.HeightM
	} else {
		for _, c := range p.Covers {
			h = math.Max(h, c.HeightM)
		}
		h += b.space.BenchHeightM
	}
	f := math.Log(screenM/math.Min(math.Max(h, plantM), screenM)) / math.Log(screenM/plantM)
	way := math.Max(math.Min(b.space.WidthM, b.space.LengthM), 1)
	for i := range s {
		k := i - shift
		for k < 0 {
			k += o.perDay
		}
		k = min(k, len(o.offK)-1)
		s[i].SideGroundC = o.groundC[k]
		s[i].HoldLocal = true
		s[i].LocalC = s[i].AirC + f*o.offK[k]
		sat, _ := air.SaturationDensity(s[i].LocalC)
		s[i].LocalKgM3 = math.Min(s[i].VapourKgM3, sat)
		s[i].LocalMS = plantM * math.Max(0.1, 0.4*s[i].WindMS) / way
	}
}

// openGround runs the open ground of the site under a series.
func (sc *Scene) openGround(d Draw, s weather.Series, snowM float64) (openAir, error) {
	bare := site.Space{Name: "open ground", Kind: site.Bed, LengthM: 10, WidthM: 10, Ground: sc.Site.Ground}
	d.Cold = 0
	b := &builder{scene: sc, space: &bare, shape: site.CellShape{Name: "core", AreaM2: 100, SkyView: 1}, draw: d, snowM: snowM}
	samples := b.samples(s)
	warm, repeated := spinUp(samples, s.Step, 0)
	t := &track{b: b, cal: sc.calendar(s), step: s.Step, p: Protection{Key: "open"}, bare: true}
	if err := t.begin(&warm[0], firstDay(s), repeated); err != nil {
		return openAir{}, err
	}
	for i := 0; i+1 < len(warm); i++ {
		if err := t.advance(&warm[i], &warm[i+1], 0); err != nil {
			return openAir{}, err
		}
	}
	o := openAir{perDay: max(int(24*time.Hour/s.Step), 1), offK: make([]float64, len(samples)), groundC: make([]float64, len(samples))}
	o.offK[0], o.groundC[0] = t.cur.State(&samples[0]).LocalC-samples[0].AirC, t.cur.GroundC(0.1)
	for i := 0; i+1 < len(samples); i++ {
		if err := t.advance(&samples[i], &samples[i+1], i); err != nil {
			return openAir{}, err
		}
		o.offK[i+1], o.groundC[i+1] = t.cur.State(&samples[i+1]).LocalC-samples[i+1].AirC, t.cur.GroundC(0.1)
	}
	return o, nil
}

// beside is the core's air, for the edges that mix with it, and what its heaters
// gave by row, for the edges they warm as well.
type beside struct {
	air, vapour []float64
	fire        [][]float64
	blown       []blowing // what moved its air
}

// burn notes what the fires and fans of the core gave in the row that is over.
func (n *beside) burn(t *track) {
	if t.fires != nil {
		n.fire = append(n.fire, slices.Clone(t.fires.share))
	}
	n.blown = append(n.blown, t.blew)
}

func (n *beside) take(s *heat.Sim, d *heat.Sample, i, size int) {
	if n.air == nil {
		n.air, n.vapour = make([]float64, size), make([]float64, size)
		n.air[0], n.vapour[0] = d.AirC, d.VapourKgM3
	}
	f := s.Feel(d)
	n.air[i], n.vapour[i] = f.AirC, f.VapourKgM3
}

// put writes the core's air into an edge's samples. The strip changes air with
// the core: by drifts of 4 mm/s through the cross-section between them under
// low covers and in the open, 2 mm/s along the wall of a house, where cold air
// runs down and stays low; what fans stir comes to that ([track.blow]). The core does
// not feel its edges: it is computed as the house as a whole. Judgement: an edge
// 2 K colder than the middle of one tunnel was read (doc/SOURCES.md, H19).
func (n *beside) put(s []heat.Sample, b *builder) {
	if n.air == nil {
		return
	}
	drift, height := 0.004, math.Max(b.space.HeightM, 0.2)
	if b.space.House != nil {
		drift = 0.002
	}
	for i := range s {
		if i < len(n.air) {
			s[i].BesideC, s[i].BesideKgM3 = n.air[i], n.vapour[i]
			s[i].BesideMS = drift * height / b.shape.DepthM
		}
	}
}
