package site

import "math"

// CellShape is one part of a space that is computed on its own: the core, or the strip along an open side.
type CellShape struct {
	Name    string // "core", "edge N"
	AreaM2  float64
	Edge    bool
	Facing  Direction // of an edge: where its open side looks
	SideM   float64   // length of that side
	DepthM  float64   // width of the strip
	SkyView float64   // share of the view upward that is sky, 0..1
	Walls   []WallView
}

// WallView is the share of the view upward that one shelter takes.
type WallView struct {
	Shelter int // index in Space.Shelters
	Share   float64
}

// allSides returns the way the four sides face: the two ends of the long axis, then the two long sides.
func (s *Space) allSides() []Direction {
	a := s.Axis.Deg()
	return []Direction{facing(a), facing(a + 180), facing(a + 90), facing(a + 270)}
}

// sideFacing returns the side that looks most nearly that way; none when it is exactly between two.
func (s *Space) sideFacing(d Direction) (Direction, bool) {
	for _, side := range s.allSides() {
		if math.Abs(turn(side.Deg()-d.Deg())) < 45 {
			return side, true
		}
	}
	return "", false
}

// turn brings an angle into -180..180.
func turn(deg float64) float64 { return math.Mod(math.Mod(deg, 360)+540, 360) - 180 }

// ShelterHeightM is the height that sets how far an edge reaches in [m]: of the house, else of the highest cover, else of
// the hoops; at least 0.3 m, as plants under a touching cloth are about that high.
func (s *Space) ShelterHeightM() float64 {
	h := math.Max(s.HeightM, 0.3)
	if s.House == nil {
		for _, c := range s.Covers {
			h = math.Max(h, c.HeightM)
		}
	}
	return h
}

// Cells returns the parts of a space: a core, and an edge along every side open to the wind. An edge is twice the cover's
// height deep, and the two edges of a pair take at most half the space. The corner between two edges is halved between them.
// Areas add up to the floor of the space. Geometry only: nothing here depends on the weather.
func (s *Space) Cells() []CellShape {
	isOpen := map[Direction]bool{}
	for _, d := range s.Sides {
		isOpen[d] = true
	}
	sides := s.allSides()
	long, across := s.LengthM, s.WidthM
	depth := [4]float64{}
	for i, d := range sides {
		if isOpen[d] {
			span := long
			if i >= 2 {
				span = across
			}
			depth[i] = math.Min(2*s.ShelterHeightM(), span/4)
		}
	}
	core := CellShape{Name: "core", AreaM2: (long - depth[0] - depth[1]) * (across - depth[2] - depth[3])}
	core.SkyView, core.Walls = s.view(0, 0)
	cells := []CellShape{core}
	for i, d := range sides {
		if depth[i] == 0 {
			continue
		}
		side, far, next := across, long, [2]float64{depth[2], depth[3]}
		if i >= 2 {
			side, far, next = long, across, [2]float64{depth[0], depth[1]}
		}
		c := CellShape{Name: "edge " + string(d), Edge: true, Facing: d, SideM: side, DepthM: depth[i]}
		c.AreaM2 = depth[i] * (side - (next[0]+next[1])/2)
		out := (far - depth[i]) / 2 // of the strip's middle from the middle of the space
		at := d.Deg() * math.Pi / 180
		c.SkyView, c.Walls = s.view(out*math.Sin(at), out*math.Cos(at))
		cells = append(cells, c)
	}
	return cells
}

// view returns the shares of sky and of each shelter seen from a level surface at a point of the space, in metres east and
// north of its middle. A shelter is an upright rectangle across its direction; where the grower gave the sky's share, the
// shelters take the rest in proportion. Shelters that overlap are counted twice; together they take at most 95 %.
func (s *Space) view(east, north float64) (sky float64, walls []WallView) {
	sum := 0.0
	for i, sh := range s.Shelters {
		a := sh.From.Deg() * math.Pi / 180
		toward := east*math.Sin(a) + north*math.Cos(a)
		d := math.Max(sh.DistanceM+s.halfExtent(sh.From)-toward, 0.05)
		f := wallView(sh.HeightM-s.BenchHeightM, d, sh.LengthM)
		walls, sum = append(walls, WallView{i, f}), sum+f
	}
	taken := math.Min(sum, 0.95)
	if s.SkyView != nil && sum > 0 {
		taken = 1 - *s.SkyView
	}
	for i := range walls {
		if sum > 0 {
			walls[i].Share *= taken / sum
		}
	}
	if s.SkyView != nil {
		return *s.SkyView, walls
	}
	return 1 - taken, walls
}

// halfExtent is the distance from the middle of the space to its side in a direction [m].
func (s *Space) halfExtent(d Direction) float64 {
	t := (d.Deg() - s.Axis.Deg()) * math.Pi / 180
	return (s.LengthM*math.Abs(math.Cos(t)) + s.WidthM*math.Abs(math.Sin(t))) / 2
}

// wallView returns the view factor from a small level surface to an upright wall [0..0.5]: height h [m] above the surface,
// distance d [m], run [m] with its middle straight ahead (0: endless). Exact: the integral of sin²β over the azimuth, with
// tan β = (h/d) cos φ, which for an endless wall is (1 - cos β0)/2.
func wallView(h, d, run float64) float64 {
	if h <= 0 {
		return 0
	}
	c := d / math.Hypot(h, d) // cos β0
	if run <= 0 {
		return (1 - c) / 2
	}
	phi := math.Atan(run / (2 * d))
	return (phi - c*math.Atan(c*math.Tan(phi))) / math.Pi
}

// AreaShare returns the part of the floor that group i takes [0..1]: its share; or of what the shares leave, by count, where a
// group without a count takes as much as an average one.
func (s *Space) AreaShare(i int) float64 {
	if s.Groups[i].Share > 0 {
		return s.Groups[i].Share
	}
	rest, plants, counted, without := 1.0, 0, 0, 0
	for _, g := range s.Groups {
		if g.Share > 0 {
			rest -= g.Share
			continue
		}
		without++
		if g.Count > 0 {
			plants, counted = plants+g.Count, counted+1
		}
	}
	mean := 1.0
	if counted > 0 {
		mean = float64(plants) / float64(counted)
	}
	mine := mean
	if s.Groups[i].Count > 0 {
		mine = float64(s.Groups[i].Count)
	}
	return math.Max(rest, 0) * mine / (mean * float64(without))
}

// WorthOf returns the value of group i, in the site's money: its own, or its part by area of what the others leave of the
// space's worth.
func (s *Space) WorthOf(i int) float64 {
	if own, ok := s.Groups[i].worth(); ok {
		return own
	}
	rest, area := s.Worth, 0.0
	for j, g := range s.Groups {
		if own, ok := g.worth(); ok {
			rest -= own
		} else {
			area += s.AreaShare(j)
		}
	}
	if area == 0 {
		return 0
	}
	return math.Max(rest, 0) * s.AreaShare(i) / area
}

func (g Group) worth() (float64, bool) {
	if g.ValueTotal > 0 {
		return g.ValueTotal, true
	}
	return g.ValueEach * float64(g.Count), g.ValueEach > 0
}
