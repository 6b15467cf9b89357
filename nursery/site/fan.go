package site

// FanKind is what a fan does with the air of its house.
type FanKind string

// The kinds, as the file says them; it takes other usual words for each as well.
const (
	Circulation FanKind = "circulation" // round and round inside
	Exhaust     FanKind = "exhaust"     // out of the house
	Intake      FanKind = "intake"      // in from outdoors
)

// Fan is one fan, or several equal ones in one house.
type Fan struct {
	Name, Space string
	Kind        FanKind
	Count       int
	MovesM3S    float64 // of one [m3/s]
	MainsW      float64 // electricity of one; 0 when not given
	NeedsMains  bool    // stops when the mains fail
	Circuit     string  // name of its circuit; "" for none
	When        *When   // nil: it stands still through a freeze
	Line        int
}
