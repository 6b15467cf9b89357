package site

import (
	"time"

	"example.org/coldnight/measure"
)

// Site is one nursery as its grower wrote it down, in SI units.
type Site struct {
	Name         string
	LatDeg       float64 // degrees, north positive
	LonDeg       float64 // degrees, east positive
	ElevationM   float64
	Zone         *time.Location
	Units        measure.Units
	Money        string  // the word for money in answers: "euro", "dollars"
	Risk         Risk    // how bad cases are looked at; "" is usual
	Odds         float64 // of being unsaleable after a night, for groups without their own; 0: not given, see [Site.OddsOf]
	HeatBy       HeatBy  // how thermostats are set; "" is by cost
	Surroundings Surroundings
	Ground       Ground // of every space that names none
	Spaces       []Space
	Shed         Shed
	Rooms        []Room
	Crew         []Worker
	Labour       Labour
	Heaters      []Heater
	Fans         []Fan
	Cylinders    []Cylinders
	Circuits     []Circuit
	Backups      []Backup
	Prices       Prices
}

// Ground is what a space stands on.
type Ground struct {
	Texture  Texture
	Moisture Moisture
}

// Space is one growing place that is covered, heated and walked as one.
type Space struct {
	Name         string
	Kind         Kind
	LengthM      float64   // along the long axis
	WidthM       float64   // across it
	HeightM      float64   // ridge of a house, top of hoops; 0 when nothing stands over the plants
	Axis         Direction // where the long axis points (N and S are the same)
	Spot         *Spot     // where its middle lies on the map; nil: not placed yet
	Ground       Ground
	Mulch        Mulch
	MulchDepthM  float64
	BenchHeightM float64 // 0 when the plants stand on or in the ground
	Pots         PotsStand
	House        *House // nil when nothing is built over the space
	Shelters     []Shelter
	SkyView      *float64 // 0..1 when the grower gave it; nil: from the shelters, see Cells
	ColdAirFrom  Direction
	ColdSpot     bool
	Hem          Hem         // how the lower edge of cloth is held
	Sides        []Direction // sides open to the wind, as they face; filled by Parse
	Covers       []Cover     // on the space now, nearest the plants first
	FreeBenchM2  float64     // floor and benches that pots from elsewhere could stand on
	Parked       *Parked     // a cover that hangs on what stands over the plants; nil for none
	Groups       []Group
	Worth        float64 // of everything in the space; 0 when the groups carry their own values
	Line         int     // where the space starts in the file; 0 when it came from no file
}

// House is what is built over a space and stays there.
type House struct {
	Glazing       string  // a name from the cover table, as Parse's Known has it
	Layers        int     // 1, or 2 with air blown between
	BlowerW       float64 // of the blower between two layers; 0 when not given
	BlowerMains   bool    // it stops when the mains fail
	BlowerCircuit string  // "" for none
	EaveHeightM   float64 // where the side walls end and the roof starts; 0 for an arch to the ground
	Leaks         Leaks
	VentAreaM2    float64
	Vents         float64 // open share of that area, 0..1
	OpeningLowM2  float64 // openings near the ground that stay open through the night, for air to breathe
	OpeningHighM2 float64 // the same near the ridge
	Curtain       string  // name of the inner curtain's fabric; "" for none
	CurtainWhen   When
	SnowM         float64 // depth of snow lying on the roof
	SnowLimitKgM2 float64 // load of snow it bears by its maker or the code; 0 when not given
}

// Shelter is something beside a space that takes wind and sky, and may be warm.
type Shelter struct {
	From      Direction // where it stands, seen from the space
	What      ShelterKind
	HeightM   float64
	DistanceM float64 // from the near side of the space
	LengthM   float64 // 0: it runs past the space on both sides
	SurfaceC  *float64
	Heated    bool
}

// Cloth names a cover either by name or by weight; one of the two is set.
type Cloth struct {
	Name       string
	WeightKgM2 float64
}

// Cover is one cloth or film that lies on a space in the plan's baseline and in `simulate`.
type Cover struct {
	Cloth   Cloth
	Layers  int
	Fit     Fit
	HeightM float64 // of the cloth above the ground or bench; 0 when it touches the plants
	When    When
	SnowM   float64 // depth of snow lying on it
	Parked  bool    // it is let down from where it hangs and rolled back, see [Parked]
}

// Group is a set of plants of one kind and pot size that suffers alike.
type Group struct {
	Plant      string  // name as the grower writes it; "" in a mix
	Word       string  // how tender: "borderline"; may be "" when Plant is known
	Count      int     // plants; 0 when only a share is known
	Share      float64 // of the space's area, 0..1; 0 when not given
	ValueEach  float64
	ValueTotal float64
	Pot        Pot
	Place      Place
	Tissue     string // overrides the tissue class of the plant; "" for none
	SaleableC  *float64
	AliveC     *float64
	HeightM    float64
	TrimToM    float64 // how high it stands when cut back; 0: it is not
	TrimLoss   float64 // part of its value that this takes
	NeverLose  bool    // protected before all others
	Odds       float64 // of being unsaleable after a night that the grower takes; 0: not given, see [Site.OddsOf]
	WetFoliage bool
	Line       int
}

// Pot is the size of a pot; one of the two is set, both are 0 for plants in the ground.
type Pot struct {
	DiameterM float64 // across the top
	VolumeM3  float64
}

// Shed is what is on the shelf.
type Shed struct {
	Cloths   []ShedCloth
	Cups     []ShedCup
	Panels   []ShedPanel
	Curtains []ShedCloth // pieces of curtain fabric
	Wraps    []ShedWrap
	Barrels  []ShedBarrel
	Clamps   int
	Pins     int
	Weights  int
	Tape     *int // rolls of mending tape; nil: the file does not say
	Igniters *int // spare ways to light a flame; nil: the file does not say
}

// ShedCloth is a stack of equal pieces of one cloth.
type ShedCloth struct {
	Cloth     Cloth
	LengthM   float64
	WidthM    float64
	Pieces    int
	Condition Condition
	Line      int
}

// ShedCup is a box of single covers: cups, cones, bags.
type ShedCup struct {
	Kind  string // a name from the cover table
	Count int
	FitsM float64 // tallest plant that fits under it
	Line  int
}

// ShedPanel is a stack of equal stiff panels that are stood up against the wind.
type ShedPanel struct {
	LengthM float64
	HeightM float64
	Count   int
	Line    int
}

// Worker is one line of the crew: a person, or several who work the same hours.
type Worker struct {
	Name    string
	People  int
	FromMin int // minutes after local midnight
	ToMin   int // may be past 24 h when work runs over midnight
}

// Labour is what handling takes, in person-minutes.
type Labour struct {
	LargePer100M2   float64 // spread and fix 100 m2 of cloth as large flat sheets in calm air
	UsualPer100M2   float64
	HoopsPer100M2   float64 // on many small beds or hoops
	WindyTimes      float64 // factor on these in wind or when wet
	UncoverPer100M2 float64
	CupsPer100      float64
	PanelEach       float64
	WrapPer100      float64
	TrimPer100      float64
	CarryPer100     float64 // load and set down 100 pots of 15 cm, without the way
	WaterPer100L    float64 // stand up barrels and fill 100 l
	WalkPerSpace    float64 // getting to a space with hands full
	// Guessed are the keys that the file leaves open: their numbers are judgement, and jobs that are done may teach
	// better ones.
	Guessed []string
}

// Assumption is a value the file left open and that some answer depends on, or a remark of the same weight.
type Assumption struct {
	Where string // "Bed 4, cover 1"
	What  string // "layers"
	Value string // "1"
	Why   string
	Line  int // of the table it belongs to; 0 for the whole file
}

// Known lists the names other parts of the program can resolve. An empty list switches its check off.
type Known struct {
	Covers  []string // cloths, films, glazings, cups, with their other names
	Words   []string // how tender a mix or group is
	Tissues []string
}

// Space returns the space of that name, or nil. Upper and lower case and spaces at the ends do not matter.
func (s *Site) Space(name string) *Space {
	for i := range s.Spaces {
		if plain(s.Spaces[i].Name) == plain(name) {
			return &s.Spaces[i]
		}
	}
	return nil
}

// AreaM2 is the floor of the space.
func (s *Space) AreaM2() float64 { return s.LengthM * s.WidthM }
