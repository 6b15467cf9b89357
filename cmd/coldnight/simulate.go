package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/burner"
)

type simulateCommand struct {
	Site    string        `arg:"" help:"Site file."`
	Space   string        `required:"" help:"Name of the space, as in the file."`
	Weather string        `required:"" help:"Weather file: our CSV, a service's JSON, EPW, TMY3 or METAR."`
	From    string        `help:"First moment; without an offset on the site's clock. Default: where the weather begins."`
	To      string        `help:"Last moment. Default: where the weather ends."`
	Step    time.Duration `help:"Step of the answer, such as 10m; the weather between its own hours is on straight lines." placeholder:"STEP"`
	Member  string        `help:"Which member, when the weather has several. Default: the first."`
	JSON    bool          `name:"json" xor:"form" help:"For programs, with everything assumed."`
	CSV     bool          `name:"csv" xor:"form" help:"A table of every hour, part and tissue."`
	Out     string        `help:"File for the answer instead of the screen." placeholder:"FILE"`
}

// simulated is the answer as --json prints it.
type simulated struct {
	Site    string         `json:"site"`
	Space   string         `json:"space"`
	Weather string         `json:"weather"`
	StepMin float64        `json:"step_min"`
	Assumed []string       `json:"assumed"`
	Rows    []simulatedRow `json:"rows"`
}

// simulatedRow is one moment of one tissue class in one part of the space. leaf,
// stem, apex and root are the part's small leaf, 3 cm stem, apex and 15 cm pot,
// but for the class's own kind, where its own temperature stands. Null: there is
// no such thing (a cover that is not on).
type simulatedRow struct {
	Time            string   `json:"time"`
	Cell            string   `json:"cell"`
	Class           string   `json:"class"`
	OutsideAirC     *float64 `json:"outside_air_c"`      // air of the weather here, at 2 m
	PlantHeightAirC *float64 `json:"plant_height_air_c"` // outdoor air beside it, at the height of the plants or of the cover
	AirC            *float64 `json:"air_c"`              // air at the plants
	RHPct           *float64 `json:"rh_pct"`
	LeafC           *float64 `json:"leaf_c"`
	StemC           *float64 `json:"stem_c"`
	ApexC           *float64 `json:"apex_c"`
	RootC           *float64 `json:"root_c"`
	Soil0C          *float64 `json:"soil_0_c"` // surface of the floor
	CoverC          *float64 `json:"cover_c"`  // innermost cover
	SkyWM2          *float64 `json:"sky_w_m2"` // longwave from above onto the space
	HeatW           *float64 `json:"heat_w"`   // of the heaters of the house, mean since the row before; 0 without
	O2Pct           *float64 `json:"o2_pct"`   // of dry air, in the house; outdoor air where nothing burns
	CO2PPM          *float64 `json:"co2_ppm"`  // the same
}

func simulatedColumns() []string {
	return []string{
		"time", "cell", "class", "outside_air_c", "plant_height_air_c", "air_c", "rh_pct", "leaf_c", "stem_c", "apex_c", "root_c",
		"soil_0_c", "cover_c", "sky_w_m2", "heat_w", "o2_pct", "co2_ppm",
	}
}

func (r *simulatedRow) values() []*float64 {
	return []*float64{
		r.OutsideAirC, r.PlantHeightAirC, r.AirC, r.RHPct, r.LeafC, r.StemC, r.ApexC, r.RootC,
		r.Soil0C, r.CoverC, r.SkyWM2, r.HeatW, r.O2Pct, r.CO2PPM,
	}
}

// Run carries the space through the weather.
func (cmd *simulateCommand) Run(c *console) error {
	n, err := openSite(cmd.Site)
	if err != nil {
		return err
	}
	sp, err := n.space(cmd.Space)
	if err != nil {
		return err
	}
	s, said, from, to, err := cmd.series(n)
	if err != nil {
		return err
	}
	c.busy("computing %s, %d steps ...", sp.Name, len(s.Rows))
	tracks, err := n.scene.Simulate(sp, s, from, to)
	if err != nil {
		return &fault{file: cmd.Weather, what: err.Error(), err: err}
	}
	a := simulated{Site: n.site().Name, Space: sp.Name, Weather: s.Source, StepMin: s.Step.Minutes()}
	a.Assumed = unique(slices.Concat([]string{night.SpinUp(s, from)}, said, n.guessesOf(sp)))
	var text []byte
	switch {
	case cmd.JSON:
		a.Rows = rows(tracks, n.site().Zone)
		if text, err = json.MarshalIndent(a, "", " "); err != nil {
			return err
		}
		text = append(text, '\n')
	case cmd.CSV:
		text = table(rows(tracks, n.site().Zone))
		for _, w := range a.Assumed {
			fmt.Fprintln(c.errs, "assumed: "+w)
		}
	default:
		text = []byte(summary(n, sp, tracks, a.Assumed))
	}
	return c.deliver(cmd.Out, text)
}

// series reads the weather, fills it and cuts the span.
func (cmd *simulateCommand) series(n *nursery) (s weather.Series, said []string, from, to time.Time, err error) {
	opt := weather.Options{Zone: n.site().Zone}
	if cmd.From != "" {
		if from, err = moment("--from", cmd.From, n.site().Zone); err != nil {
			return s, nil, from, to, err
		}
		opt.From, opt.Near = from.AddDate(0, 0, -10), from // enough for the ground to come into step
	}
	if cmd.To != "" {
		if to, err = moment("--to", cmd.To, n.site().Zone); err != nil {
			return s, nil, from, to, err
		}
		if cmd.From != "" && !from.Before(to) {
			return s, nil, from, to, misuse{"--to is not later than --from", "give the first moment first"}
		}
		opt.To = to.AddDate(0, 0, 1)
	}
	f, err := openWeather(cmd.Weather, opt)
	if err != nil {
		return s, nil, from, to, err
	}
	m, which, err := member(f, cmd.Member, cmd.Weather)
	if err != nil {
		return s, nil, from, to, err
	}
	s, said = n.complete(m)
	said = append(said, which)
	if len(s.Rows) < 2 {
		return s, nil, from, to, &fault{file: cmd.Weather, what: "no air temperature", do: "give a column air_c"}
	}
	if from.IsZero() {
		from = s.Rows[0].Time
	}
	if to.IsZero() {
		to = s.Rows[len(s.Rows)-1].Time
	}
	if cmd.Step > 0 && cmd.Step != s.Step {
		if s, err = finer(s, cmd.Step); err != nil {
			return s, nil, from, to, err
		}
		said = append(said, fmt.Sprintf("the weather between its own steps is on straight lines, every %s", spoken(cmd.Step)))
	}
	return s, said, from, to, nil
}

// member picks one of several.
func member(f weather.Forecast, name, path string) (weather.Series, string, error) {
	var names []string
	for _, m := range f.Members {
		if name != "" && m.Member == name {
			return m, "", nil
		}
		names = append(names, m.Member)
	}
	switch {
	case name != "":
		return weather.Series{}, "", misuse{fmt.Sprintf("%s has no member %q", path, name), "it has " + listed(names, 10)}
	case len(names) > 1:
		return f.Members[0], fmt.Sprintf("the weather has %d members: the first, %q, was used; --member names another", len(names), names[0]), nil
	}
	return f.Members[0], "", nil
}

// finer puts straight lines between the rows of a complete series. Rain, a sum
// of the step that ends at its stamp, is shared out; the wind turns the shorter
// way round.
func finer(s weather.Series, step time.Duration) (weather.Series, error) {
	if step < time.Minute || s.Step%step != 0 || 24*time.Hour%step != 0 {
		return s, misuse{
			fmt.Sprintf("--step %s does not fit weather that comes every %s", step, spoken(s.Step)),
			"give a part of that which fits a whole number of times, such as 10m or 15m, and at least 1m",
		}
	}
	n := int(s.Step / step)
	out := s.Clone()
	out.Step = step
	out.Rows = make([]weather.Row, 0, (len(s.Rows)-1)*n+1)
	first := s.Rows[0]
	first.RainMM /= float64(n)
	out.Rows = append(out.Rows, first)
	for i := 1; i < len(s.Rows); i++ {
		a, b := s.Rows[i-1], s.Rows[i]
		for k := 1; k <= n; k++ {
			w := float64(k) / float64(n)
			r := weather.Row{Time: a.Time.Add(time.Duration(k) * step)}
			for col := range weather.NColumns {
				x, y := *a.At(col), *b.At(col)
				if col == weather.WindFrom {
					y = x + math.Mod(y-x+540, 360) - 180
				}
				*r.At(col) = x + w*(y-x)
			}
			r.WindFromDeg = math.Mod(r.WindFromDeg+360, 360)
			r.RainMM = b.RainMM / float64(n)
			out.Rows = append(out.Rows, r)
		}
	}
	return out, nil
}

// rows are the hours of all parts and tissues in the order of time.
func rows(tracks []night.Track, zone *time.Location) []simulatedRow {
	out := []simulatedRow{}
	if len(tracks) == 0 {
		return out
	}
	classes := plant.Classes() // no cup stands in a site file, so no cupped tip
	leaf, stem := slices.Index(classes, plant.LeafSmall), slices.Index(classes, plant.Stem3)
	apex, root := slices.Index(classes, plant.Apex), slices.Index(classes, plant.RootBall15)
	for i := range tracks[0].Hours {
		for k := range tracks {
			h := &tracks[k].Hours[i]
			base := simulatedRow{
				Time: h.Time.In(zone).Format(time.RFC3339), Cell: tracks[k].Shape.Name,
				OutsideAirC: number(h.ScreenC), PlantHeightAirC: number(h.PlantC), AirC: number(h.State.AirC), RHPct: number(100 * h.State.RH),
				LeafC: number(h.Tissue[leaf]), StemC: number(h.Tissue[stem]), ApexC: number(h.Tissue[apex]), RootC: number(h.Tissue[root]),
				Soil0C: number(h.State.FloorC), CoverC: number(h.State.InnerC), SkyWM2: number(h.SkyWM2),
				HeatW: number(0), O2Pct: number(100 * burner.Outdoors().O2), CO2PPM: number(1e6 * burner.Outdoors().CO2),
			}
			if f := tracks[0].Hours[i].Fire; f != nil { // of the house, so of each of its parts
				base.HeatW, base.O2Pct, base.CO2PPM = number(f.HeatW), number(100*f.Gases.O2), number(1e6*f.Gases.CO2)
			}
			for j, class := range classes {
				r := base
				r.Class = string(class)
				switch own := number(h.Tissue[j]); {
				case class.IsRootBall():
					r.RootC = own
				case class == plant.Apex:
					r.ApexC = own
				case class == plant.LeafSmall, class == plant.LeafLarge, class == plant.LeafTouching:
					r.LeafC = own
				default:
					r.StemC = own // stems, and pads, which are stems
				}
				out = append(out, r)
			}
		}
	}
	return out
}

// number is a value to print, or nil for one that is not there.
func number(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	x = round(x, 3)
	return &x
}

func table(all []simulatedRow) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Write(simulatedColumns()) // a buffer takes everything
	for i := range all {
		r := []string{all[i].Time, all[i].Cell, all[i].Class}
		for _, v := range all[i].values() {
			if v == nil {
				r = append(r, "")
			} else {
				r = append(r, strconv.FormatFloat(*v, 'f', -1, 64))
			}
		}
		w.Write(r)
	}
	w.Flush()
	return b.Bytes()
}
