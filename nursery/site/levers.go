package site

import "math"

// Room is a place that is no growing space but keeps out frost: a shed, a garage, a
// cellar. Plants can be carried there for a freeze.
type Room struct {
	Name        string
	KeepsC      float64 // coldest it gets in a freeze [°C]
	FreeBenchM2 float64 // floor and benches that pots could stand on
	Light       float64 // daylight, of that outdoors, 0..1
	DistanceM   float64 // one way
	Line        int
}

// Wrap is what a wrap is made of.
type Wrap string

// Kinds of wrap.
const (
	FoamPipe   Wrap = "foam pipe"
	BlanketRag Wrap = "blanket"
	Sacking    Wrap = "sacking"
	BubbleWrap Wrap = "bubble wrap"
	FleeceWrap Wrap = "fleece"
	StrawWrap  Wrap = "straw"
)

// wraps lists the kinds with their conductivity, dry [W/mK], and usual thickness [m].
// Conductivities from memory of handbook tables of insulation and textiles; thicknesses
// are judgement.
func wraps() []struct {
	kind       Wrap
	conductive float64
	usualM     float64
} {
	return []struct {
		kind       Wrap
		conductive float64
		usualM     float64
	}{
		{FoamPipe, 0.038, 0.013},
		{BlanketRag, 0.045, 0.008},
		{Sacking, 0.06, 0.004},
		{BubbleWrap, 0.05, 0.008},
		{FleeceWrap, 0.05, 0.002},
		{StrawWrap, 0.06, 0.05},
	}
}

// Conductivity of the dry wrap [W/mK]; 0 for a word that is none.
func (w Wrap) Conductivity() float64 {
	for _, x := range wraps() {
		if x.kind == w {
			return x.conductive
		}
	}
	return 0
}

func (w Wrap) usualM() float64 {
	for _, x := range wraps() {
		if x.kind == w {
			return x.usualM
		}
	}
	return 0
}

// ShedWrap is a box of wraps for stems and trunks.
type ShedWrap struct {
	Kind   Wrap
	ThickM float64
	Count  int
	FitsM  float64 // thickest stem; 0: any
	Line   int
}

// ShedBarrel is a stack of equal barrels for water.
type ShedBarrel struct {
	HoldsM3 float64
	Count   int
	Line    int
}

// Size returns the width and height of a barrel [m]: a drum half again as high as wide,
// which the usual 208-litre steel drum is (57 by 85 cm inside; from memory).
func (b ShedBarrel) Size() (widthM, heightM float64) {
	widthM = math.Cbrt(b.HoldsM3 / (1.5 * math.Pi / 4))
	return widthM, 1.5 * widthM
}

// SpotM2 is the bench that one plant of a group takes when pots stand wall to wall: the
// square of the pot's width. 0 where it stands in the ground or its pot is not known.
func (g *Group) SpotM2() float64 {
	d := g.Pot.DiameterM
	if v := g.Pot.VolumeM3; v > 0 {
		d = math.Cbrt(4 * v / math.Pi) // as wide as high
	}
	return d * d
}
