package night

import (
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/heat"
)

// Prepared is what is done to a space itself before a night, beside what is laid over
// the plants. Zero fields leave the space as its file describes it.
type Prepared struct {
	Watered  time.Time      // from then on dry ground is moist; zero: it is not watered
	Hem      site.Hem       // how the lower edges of covers are held
	Leaks    site.Leaks     // of a house
	Curtain  string         // inner curtain of a house that has none, drawn from evening to morning
	Shelters []site.Shelter // stood up beside it, with what stands there already

	Water   *Barrels  // filled and stood among the plants; nil for none
	Wrap    *Wrapping // round the stems of some groups; nil for none
	Trimmed []int     // groups that are cut back, by their place in the space
	Cleared time.Time // snow is cleared from its roof; zero: it is left
	Brushed time.Time // snow is brushed off its plants; zero: it is left
}

// wateredBit is where in the state of a cell its watered ground stands, above its
// vents.
const wateredBit = 1 << 24

// watered tells whether the ground has been watered by t.
func (p *Prepared) watered(t time.Time) bool {
	return p != nil && !p.Watered.IsZero() && !t.Before(p.Watered)
}

// Space returns the space as it is prepared, ground left as it is until it is watered.
// The space given is not changed.
func (p *Prepared) Space(of *site.Space) *site.Space {
	if p == nil {
		return of
	}
	sp := *of
	if p.Hem != "" {
		sp.Hem = p.Hem
	}
	if sp.House != nil && (p.Leaks != "" || p.Curtain != "") {
		h := *sp.House
		if p.Leaks != "" {
			h.Leaks = p.Leaks
		}
		if p.Curtain != "" {
			h.Curtain, h.CurtainWhen = p.Curtain, site.When{Kind: site.EveningMorning}
		}
		sp.House = &h
	}
	sp.Shelters = append(sp.Shelters[:len(sp.Shelters):len(sp.Shelters)], p.Shelters...)
	return &sp
}

// prepared returns the builder of the space as it is prepared, and the weather there.
// The cells keep their shape and their view of the sky: what is stood up is hardly
// higher than the plants.
func (b *builder) prepared(p *Prepared, samples []heat.Sample, s weather.Series) (*builder, []heat.Sample) {
	if p == nil {
		return b, samples
	}
	out := *b
	out.space = p.Space(b.space)
	if len(p.Shelters) > 0 {
		samples = out.samples(s)
	}
	return &out, samples
}

// watered is the builder of the space with moist ground.
func (b *builder) watered() *builder {
	out, sp := *b, *b.space
	out.space = &sp
	if sp.Ground.Texture == "" {
		sp.Ground = b.scene.Site.Ground
	}
	sp.Ground.Moisture = site.Moist
	return &out
}
