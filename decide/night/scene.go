package night

import (
	"fmt"
	"math"
	"time"

	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/heat"
)

// Scene is everything that stays the same while a site is looked at.
type Scene struct {
	Site    *site.Site
	Library *plant.Library
	Covers  []cover.Material
	Laws    heat.Laws // rival laws of physics; zero takes the usual ones
}

// NewScene joins a site with the built-in libraries.
func NewScene(s *site.Site) (*Scene, error) {
	lib, err := plant.New()
	if err != nil {
		return nil, err
	}
	return &Scene{Site: s, Library: lib, Covers: cover.Materials()}, nil
}

// Known lists the names a site file may use, for [site.Parse].
func Known() site.Known {
	k := site.Known{Words: plant.Words()}
	for _, m := range cover.Materials() {
		k.Covers = append(k.Covers, m.Key, m.Name)
		k.Covers = append(k.Covers, m.Words...)
	}
	for _, c := range plant.Classes() {
		k.Tissues = append(k.Tissues, string(c))
	}
	return k
}

// Material finds what a cloth is made of: by its name, else the spunbonded
// cloth nearest in weight; said in words when it is not the weight asked for.
func (sc *Scene) Material(c site.Cloth) (cover.Material, error) {
	if c.Name != "" {
		if m, ok := cover.Find(sc.Covers, c.Name); ok {
			return m, nil
		}
		return cover.Material{}, fmt.Errorf("cloth %q is not in the cover table; `coldnight check` lists the names", c.Name)
	}
	best, off := -1, math.Inf(1)
	for i, m := range sc.Covers {
		if m.Kind != cover.Cloth {
			continue
		}
		if d := math.Abs(m.ArealKgM2 - c.WeightKgM2); d < off-1e-9 {
			best, off = i, d
		}
	}
	if best < 0 {
		return cover.Material{}, fmt.Errorf("no cloth in the cover table weighs anything like %.0f g/m2", c.WeightKgM2*1000)
	}
	return sc.Covers[best], nil
}

// Hour is one moment of a cell as people read it.
type Hour struct {
	Time     time.Time
	ScreenC  float64 // air of the weather at this cell [°C]
	PlantC   float64 // outdoor air at plant height beside the cell [°C]
	State    heat.State
	SkyWM2   float64
	Tissue   []float64 // °C, by class as [Classes] lists them
	Covered  bool
	WindMS   float64
	SunWM2   float64
	CloudPct float64
	Fire     *Fire // of the core of a heated house; nil elsewhere
	// Drip is the water that came down since the hour before, by the face it came from
	// [kg/m2 of floor].
	Drip [heat.Faces]float64
}

// Classes are the tissue classes of [Hour.Tissue].
func Classes() []plant.Class { return append(plant.Classes(), Wrapped, Cupped) }

// Track is what one cell lived through.
type Track struct {
	Shape site.CellShape
	Hours []Hour
}

// span is the part of a series to report: rows from..to, both included.
type span struct{ from, to int }

// Span finds the rows of a series between two times, both included.
func Span(s weather.Series, from, to time.Time) (i, j int, err error) {
	i, j = -1, -1
	for k, r := range s.Rows {
		if i < 0 && !r.Time.Before(from) {
			i = k
		}
		if !r.Time.After(to) {
			j = k
		}
	}
	if i < 0 || j <= i {
		return 0, 0, fmt.Errorf("the weather holds nothing between %s and %s", from.Format(time.RFC3339), to.Format(time.RFC3339))
	}
	return i, j, nil
}

// Simulate carries one space through a series under the protection its file
// describes, without an ensemble, and returns a track per cell. step below the
// series' own refines the answer.
func (sc *Scene) Simulate(sp *site.Space, s weather.Series, from, to time.Time) ([]Track, error) {
	i, j, err := Span(s, from, to)
	if err != nil {
		return nil, err
	}
	p := Protection{Key: "as written", Words: "as the site file says", Covers: sp.Covers, Firing: sc.Written(sp)}
	out, err := sc.run(sp, sp.Cells(), []Protection{p}, nil, Central(), s, span{i, j})
	if err != nil {
		return nil, err
	}
	return out[0], nil
}
