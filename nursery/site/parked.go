package site

import "strconv"

// Parked is a cover that hangs rolled or gathered on what stands over a space: hoops,
// posts, rafters. It is let down for a night and rolled back in the morning.
type Parked struct {
	Cloth   Cloth
	Layers  int
	HeightM float64 // of the cloth above the ground or bench when it is down
	DownMin float64 // person-minutes to let it down
	UpMin   float64 // person-minutes to roll it back
	Shade   float64 // share of the sun it takes while it hangs rolled, 0..1
	Rolled  Rolled  // how the roll lies: rain gathers in one that is open side up
}

// Cover is the parked cover when it is let down, from evening to morning.
func (p *Parked) Cover() Cover {
	return Cover{Cloth: p.Cloth, Layers: p.Layers, Fit: OnHoops, HeightM: p.HeightM, When: When{Kind: EveningMorning}, Parked: true}
}

// fileParked is the table of a parked cover in the file.
type fileParked struct {
	table
	Cloth  value `toml:"cloth" is:"cloth" doc:"its name in the cover table, or its weight" eg:"\"51 g/m2\"" else:"must be given"`
	Layers value `toml:"layers" is:"count" within:"1 3" doc:"how many hang together" eg:"1" else:"1"`
	Height value `toml:"height" is:"length" within:"0.15 6" doc:"of the cloth above the ground or bench when it is let down" eg:"\"6 ft\"" else:"the height of the hoops; the eaves of a house, or four fifths of its height where it has none"`
	Down   value `toml:"down" is:"number" within:"0.5 600" doc:"person-minutes to let it down and close its edges" eg:"12" else:"must be given"`
	Up     value `toml:"up" is:"number" within:"0.5 600" doc:"person-minutes to roll it back" eg:"15" else:"must be given"`
	Shades value `toml:"shades" is:"share" within:"0 0.6" doc:"share of the roof that it shades while it hangs rolled" eg:"\"5 %\"" else:"5 %, listed as assumed"`
	Rolled value `toml:"rolled" is:"rolled" doc:"how the roll lies: rain gathers in one that is open above" eg:"\"open side down\"" else:"open side up, listed as assumed"`
}

// parked reads the parked cover of a space; nil for none.
func (r *reader) parked(sf *fileSpace, s *Space) *Parked {
	f := sf.Parked
	if f == nil {
		return nil
	}
	p := &Parked{
		Cloth: cloth(f.Cloth), Layers: max(int(f.Layers.Num), 1), HeightM: f.Height.Num, DownMin: f.Down.Num, UpMin: f.Up.Num,
		Shade: f.Shades.Num, Rolled: Rolled(f.Rolled.Text),
	}
	where := s.Name + ", parked cover"
	if f.Height.open() {
		switch {
		case s.House != nil && s.House.EaveHeightM > 0:
			p.HeightM = s.House.EaveHeightM
		case s.House != nil:
			p.HeightM = 0.8 * s.HeightM
		case s.HeightM > 0:
			p.HeightM = s.HeightM
		case sf.Height.Sort != bad:
			r.complain(f.At, "nothing stands over "+s.called()+" that a cover could be parked on", "add the height of its hoops or posts to the space: height = \"6 ft\", or height to this cover")
		}
	} else if s.House != nil && sf.Height.Set && p.HeightM >= s.HeightM && p.HeightM > 0 {
		r.complain(f.Height.At, "this parked cover hangs higher than the house it is in", "check both heights; one that lies over the glazing is not computed")
	}
	if f.Shades.open() {
		p.Shade = usualShade
		r.assume(where, "shades", strconv.FormatFloat(100*usualShade, 'f', -1, 64)+" %", "not given; it takes this share of the light all winter", f.At)
	}
	if f.Rolled.open() {
		p.Rolled = OpenUp
		r.assume(where, "rolled", string(OpenUp), "not given; rain gathers in it and it is let down wet", f.At)
	}
	return p
}

// usualShade is the share of the sun a parked roll takes: judgement, a roll of 30 cm at
// each side of a house 6 m wide takes a tenth, one gathered at the middle half of that.
const usualShade = 0.05

// parked writes a parked cover.
func (w *writer) parked(p *Parked) {
	if p == nil {
		return
	}
	w.header("[space.parked]")
	w.cloth(p.Cloth)
	if p.Layers > 1 {
		w.line("layers", strconv.Itoa(p.Layers))
	}
	w.length("height", p.HeightM)
	w.line("down", decimal(p.DownMin))
	w.line("up", decimal(p.UpMin))
	w.share("shades", p.Shade)
	w.text("rolled", string(p.Rolled))
}
