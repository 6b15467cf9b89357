package site

// HeaterKind is what a heater is.
type HeaterKind string

// The kinds, as the file says them; it takes other usual words for each as well.
const (
	VentedGas   HeaterKind = "vented gas"      // burnt gas leaves through a flue
	UnventedGas HeaterKind = "unvented gas"    // on a wall or the floor; its burnt gas stays in the house
	TankTop     HeaterKind = "tank-top burner" // radiant head on the cylinder itself
	Kerosene    HeaterKind = "kerosene heater"
	Electric    HeaterKind = "electric"
	HotWater    HeaterKind = "hot water" // pipes or a fan coil, fed from a boiler elsewhere
)

// What heaters live on besides fuels that burn in them. A fuel is named as package burner names it: "propane".
const (
	Electricity = "electricity"
	WarmWater   = "hot water"
)

// Heater is one heater, or several equal ones in one space.
type Heater struct {
	Name, Space string // Space is "" for one that is carried to where it is needed
	Kind        HeaterKind
	Count       int
	InputW      float64  // rated input of one [W]; of fuel by its higher heating value
	Fuel        string   // "propane", "butane", "natural gas", "kerosene", Electricity or WarmWater
	Vented      bool     // the burnt gas leaves through a flue
	OutsideAir  bool     // takes the air it burns from outdoors
	Efficiency  float64  // share of the input that stays in the house, 0..1
	Radiant     float64  // share of that given off as radiation, 0..1
	Least       float64  // least share of the input while it burns, 0..1; 1: it is on or off
	SetpointC   *float64 // nil: no thermostat, it burns until shut off or empty
	SwingK      float64  // between switching on and off; 0 without a thermostat
	NeedsMains  bool     // stops when the mains fail: as the file says, never by its kind
	MainsW      float64  // electricity of one: all of it for electric, fan and controls for others
	Circuit     string   // name of its circuit; "" for none
	Hood        bool     // the flue draws house air through a draught hood as well
	Damper      bool     // and is shut while nothing burns
	MovesM3S    float64  // air that the fan of one throws while it gives heat; 0: none
	CutoffO2    float64  // oxygen (share of dry air) at which it shuts itself off; 0: no such device
	Portable    bool     // may be carried to another space
	Line        int
}

// Burns reports whether there is a flame.
func (h *Heater) Burns() bool { return h.Kind != Electric && h.Kind != HotWater }

// Unvented reports whether what it burns stays in the house as fumes.
func (h *Heater) Unvented() bool { return h.Burns() && !h.Vented }

// BreathesHouse reports whether it burns the air of the house.
func (h *Heater) BreathesHouse() bool { return h.Burns() && !h.OutsideAir }

// Cylinders are equal cylinders, or one tank, that feed the same heaters.
type Cylinders struct {
	Name         string
	Fuel         string
	HoldsKg      float64 // fuel in a full one
	TareKg       float64 // of an empty one; 0 when not known
	Count        int     // connected
	Together     bool    // all draw at once; otherwise one after the other
	LeftKg       []float64
	LeftFrom     LeftFrom
	LeftSpreadKg float64  // how sure LeftKg is, for each cylinder
	Feeds        []string // names of heaters
	Spare        int      // full ones in the shed
	CanBuy       bool     // more full ones can be had before they are needed
	Indoors      bool     // stands in the house, so it is as warm as that
	Line         int
}

// LeftFrom says how it is known what is left in a cylinder.
type LeftFrom = string

// The ways to know.
const (
	FromWeight LeftFrom = "weight"
	FromGauge  LeftFrom = "gauge"
	FromHours  LeftFrom = "hours"
	AsWritten  LeftFrom = "as written"
	TakenFull  LeftFrom = "taken as full"
)

// Circuit is one circuit of the mains behind its breaker.
type Circuit struct {
	Name        string
	Volts, Amps float64 // Amps is of the breaker
	Line        int
}

// Backup is a generator or a battery for when the mains fail.
type Backup struct {
	Name     string
	PowerW   float64
	RunHours float64 // on what is in its tank or battery, at that power
	Fuel     string  // "gasoline", "battery", ...; "" when not said
	Line     int
}

// Prices are what fuel costs, in the site's money.
type Prices struct {
	PerKg  map[string]float64 // by fuel; nil when none is given
	PerKWh float64            // of electricity; 0 when not given
	Set    bool               // some price is given; otherwise fuel is counted as free
}
