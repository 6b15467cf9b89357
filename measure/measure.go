// Package measure is the only door for customary units. Inside the program every
// value is SI ([Temperature] in °C); here text becomes such a value and a value
// becomes text in the units a site has chosen.
//
//	t, err := measure.ParseTemperature("28 °F")      // -2.2 °C
//	measure.Customary.Temperature(t)                 // "28 °F"
//
// A point and a difference are different types: 5 °F as a temperature is -15 °C, as
// a difference 2.8 K, and the compiler keeps them apart.
//
// A number without a unit is refused unless the caller says which unit it takes:
// 28 read in the wrong scale is the loss of a nursery.
package measure

// Quantities, all SI. A zero value is zero of that quantity.
type (
	Temperature     float64 // point on the scale, °C
	TemperatureDiff float64 // K
	Length          float64 // m
	Area            float64 // m2
	Volume          float64 // m3
	Speed           float64 // m/s
	Mass            float64 // kg
	ArealMass       float64 // kg/m2
	Power           float64 // W
	Energy          float64 // J
	Pressure        float64 // Pa
	Flow            float64 // m3/s of air
)

// AbsoluteZero is the lowest temperature there is.
const AbsoluteZero Temperature = -273.15

// Sub returns how much warmer t is than u.
func (t Temperature) Sub(u Temperature) TemperatureDiff { return TemperatureDiff(t - u) }

// Add returns the temperature d above t.
func (t Temperature) Add(d TemperatureDiff) Temperature { return t + Temperature(d) }

// Fahrenheit returns t on the Fahrenheit scale.
func (t Temperature) Fahrenheit() float64 { return float64(t)*1.8 + 32 }

// Kelvin returns t above absolute zero.
func (t Temperature) Kelvin() float64 { return float64(t - AbsoluteZero) }

// FromFahrenheit returns the temperature of f degrees Fahrenheit.
func FromFahrenheit(f float64) Temperature { return Temperature((f - 32) / 1.8) }

// Quantity is any of the quantities.
type Quantity interface {
	Temperature | TemperatureDiff | Length | Area | Volume | Speed | Mass | ArealMass | Power | Energy | Pressure | Flow
}

// In returns q counted in unit u; false if u does not measure that quantity.
func In[Q Quantity](q Q, u Unit) (float64, bool) {
	x, ok := kindOf[Q]().find(string(u))
	if !ok {
		return 0, false
	}
	return x.fromSI(float64(q)), true
}

// Of returns n units u as a quantity; false if u does not measure it.
func Of[Q Quantity](n float64, u Unit) (Q, bool) {
	x, ok := kindOf[Q]().find(string(u))
	if !ok {
		return 0, false
	}
	return Q(x.toSI(n)), true
}
