package heat

// Sample is the weather at the cell at one moment. Between two samples every
// value runs linearly.
type Sample struct {
	AirC       float64 // screen air [°C]
	VapourKgM3 float64 // screen vapour density [kg/m3]
	WindMS     float64 // wind at Outside.WindM in the open field [m/s]
	HemWindMS  float64 // wind at cover height pressing on this cell's hem [m/s]
	SkyWM2     float64 // longwave from everything above the horizon, walls mixed in [W/m2]
	SurroundC  float64 // temperature of what slanting outer faces see beside the sky [°C]
	SunWM2     float64 // sunlight on the horizontal above the cell, shade taken off [W/m2]
	RainKgM2S  float64 // rain [kg/m2s]
	DeepC      float64 // temperature below the floor column [°C]

	// An edge cell mixes with the core's air and leans on the ground outside.
	BesideC      float64 // air of the neighbouring cell [°C]
	BesideKgM3   float64 // its vapour [kg/m3]
	BesideMS     float64 // exchange with it per m2 of floor [m/s]; 0 = none
	SideGroundC  float64 // ground outside at the depth of the layers' side exchange [°C]
	HeatAirWM2   float64 // heat released into the innermost zone's air [W/m2 of floor]
	HeatFloorWM2 float64 // radiant heat onto canopy and floor [W/m2 of floor]

	// Burn is the share of full burn that each heater of the cell can give, 0..1: 0
	// when it is out, less than 1 when its fuel comes too slowly.
	Burn [MaxHeaters]float64
	// SetK is by how much each thermostat is turned up from its set-point [K].
	SetK [MaxHeaters]float64

	// Fans and flues move the air of Cell.FanZone: StirMS is the mean air speed that
	// they keep up in it [m/s]; InMS and OutMS are what they bring in from outdoors and
	// take out [m/s, m3/s per m2 of floor]; FanWM2 is the heat of their motors [W/m2].
	StirMS, InMS, OutMS, FanWM2 float64
	// Slack is how far a blown gap has fallen together, 0 blown up, 1 down to
	// Skin.SlackM.
	Slack float64

	// LocalC and LocalKgM3 are the air of the open ground around the cell, used
	// when HoldLocal is set. It washes past a cover far faster than the cover can
	// cool it, so zone 0 of a covered cell is held to it; the open bed keeps air of
	// its own and exchanges LocalMS [m/s] with it.
	LocalC    float64
	LocalKgM3 float64 // 0 takes VapourKgM3
	LocalMS   float64
	HoldLocal bool
}

// Between is the sample at share f of the way from a to b.
func Between(a, b *Sample, f float64) Sample {
	var d Sample
	d.between(a, b, f)
	return d
}

// between sets d to the sample at share f of the way from a to b.
func (d *Sample) between(a, b *Sample, f float64) {
	g := 1 - f
	d.AirC = g*a.AirC + f*b.AirC
	d.VapourKgM3 = g*a.VapourKgM3 + f*b.VapourKgM3
	d.WindMS = g*a.WindMS + f*b.WindMS
	d.HemWindMS = g*a.HemWindMS + f*b.HemWindMS
	d.SkyWM2 = g*a.SkyWM2 + f*b.SkyWM2
	d.SurroundC = g*a.SurroundC + f*b.SurroundC
	d.SunWM2 = g*a.SunWM2 + f*b.SunWM2
	d.RainKgM2S = g*a.RainKgM2S + f*b.RainKgM2S
	d.DeepC = g*a.DeepC + f*b.DeepC
	d.BesideC = g*a.BesideC + f*b.BesideC
	d.BesideKgM3 = g*a.BesideKgM3 + f*b.BesideKgM3
	d.BesideMS = g*a.BesideMS + f*b.BesideMS
	d.SideGroundC = g*a.SideGroundC + f*b.SideGroundC
	d.HeatAirWM2 = g*a.HeatAirWM2 + f*b.HeatAirWM2
	d.HeatFloorWM2 = g*a.HeatFloorWM2 + f*b.HeatFloorWM2
	d.StirMS = g*a.StirMS + f*b.StirMS
	d.InMS = g*a.InMS + f*b.InMS
	d.OutMS = g*a.OutMS + f*b.OutMS
	d.FanWM2 = g*a.FanWM2 + f*b.FanWM2
	d.Slack = g*a.Slack + f*b.Slack
	for k := range d.Burn {
		d.Burn[k] = g*a.Burn[k] + f*b.Burn[k]
		d.SetK[k] = g*a.SetK[k] + f*b.SetK[k]
	}
	d.LocalC = g*a.LocalC + f*b.LocalC
	d.LocalKgM3 = g*a.LocalKgM3 + f*b.LocalKgM3
	d.LocalMS = g*a.LocalMS + f*b.LocalMS
	d.HoldLocal = a.HoldLocal
}

// localVapour is the vapour of the air around the cell [kg/m3].
func (d *Sample) localVapour() float64 {
	if d.LocalKgM3 > 0 {
		return d.LocalKgM3
	}
	return d.VapourKgM3
}
