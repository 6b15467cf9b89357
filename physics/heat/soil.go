package heat

// soilSystem is the floor column below its first layer: a tridiagonal system
// eliminated from the bottom up, so that the dense block sees only its first
// layer.
type soilSystem struct {
	n      int              // layers
	t      [MaxSoil]float64 // temperature [°C]
	start  [MaxSoil]float64 // the same at the step's start [°C]
	perK   [MaxSoil]float64 // dh/dT at the step's start [J/m3K]
	m      [MaxSoil]float64 // effective heat capacity [J/m2K]
	half   [MaxSoil]float64 // resistance of half a layer [m2K/W]
	g      [MaxSoil]float64 // conductance i to i+1, the last to the deep boundary [W/m2K]
	r      [MaxSoil]float64 // rate of heat [W/m2]
	inv    [MaxSoil]float64 // inverse of the eliminated diagonal
	pass   [MaxSoil]float64 // γτg/diagonal: what layer i hands on of what comes to it from above
	icy    [MaxSoil]bool    // below the start of freezing
	b      float64          // boundary flow [W/m2]
	melted bool             // half and g are those of a column without ice
}

// refreshConductance takes the conductance between layers, half layers in series,
// from the state expected in the middle of a step of tau seconds by the rate of the
// last one. A column that stays free of ice keeps its own.
func (s *Sim) refreshConductance(tau float64) {
	y := &s.soilSys
	ls := s.cell.Ground.Layers
	ice := false
	for i := range ls {
		y.icy[i] = s.soil[i] < s.fixed.melt[i]
		ice = ice || y.icy[i]
	}
	if ice || !y.melted {
		y.n = len(ls)
		for i := range ls {
			y.half[i] = 0.5 * ls[i].ThickM / ls[i].Material.Conductivity(s.soil[i]+0.5*tau*s.soilRate[i])
		}
		for i := 0; i+1 < y.n; i++ {
			y.g[i] = 1 / (y.half[i] + y.half[i+1])
		}
		y.g[y.n-1] = 1 / y.half[y.n-1]
		y.melted = !ice
	}
	upper := 0.0
	for k, l := range s.cell.Bench.Layers[:s.ix.nb] {
		i := s.ix.bench + k
		lower := 0.5 * l.ThickM / l.Material.Conductivity(s.h[i]+0.5*tau*s.benchRate[k])
		if k > 0 {
			s.fixed.benchG[k-1] = s.fixed.fp / (upper + lower)
		}
		upper = lower
	}
}

// keepRates notes how fast soil and bench took up heat in a step of tau seconds.
func (s *Sim) keepRates(before *snapshot, tau float64) {
	for i := range s.soilSys.n {
		s.soilRate[i] = (s.soil[i] - before.soil[i]) / tau
	}
	for k := range s.ix.nb {
		s.benchRate[k] = (s.h[s.ix.bench+k] - before.h[s.ix.bench+k]) / tau
	}
}

// soilTemperatures fills temperatures and capacities from the enthalpies. Above
// freezing the temperature is h/C, the common case.
func (s *Sim) soilTemperatures() {
	y, f := &s.soilSys, &s.fixed
	for i := range y.n {
		l := &s.cell.Ground.Layers[i]
		if s.soil[i] >= f.melt[i] {
			y.t[i], y.perK[i] = s.soil[i]*f.perC[i], l.Material.C
		} else {
			t, slope := l.Material.Temperature(s.soil[i])
			y.t[i], y.perK[i] = t, 1/slope
		}
		y.m[i] = l.ThickM * y.perK[i]
	}
	y.start = y.t
}

// soilMove adds w times the increments us to layers 1.., through the enthalpy where
// ice is near.
func (s *Sim) soilMove(us *[MaxSoil]float64, w float64) {
	y := &s.soilSys
	for i := 1; i < y.n; i++ {
		dz := w * us[i]
		h := s.soil[i] + dz*y.perK[i]
		s.soil[i] = h
		if y.icy[i] || h < s.fixed.melt[i] {
			y.t[i], _ = s.cell.Ground.Layers[i].Material.Temperature(h)
		} else {
			y.t[i] += dz
		}
	}
}

// soilFlows computes the rates of layers 1.. and adds what the first layer
// exchanges with them to the dense system, except its derivative, which the
// elimination supplies.
func (s *Sim) soilFlows(d *Sample) {
	y, f := &s.soilSys, &s.fixed
	top, last := s.ix.soil, y.n-1
	y.t[0] = s.t[top]
	above := y.g[0] * (y.t[0] - y.t[1]) // flow into the layer from above
	s.sys.r[top] -= above
	y.b = 0
	for i := 1; i < y.n; i++ {
		below := 0.0
		if i < last {
			below = y.g[i] * (y.t[i] - y.t[i+1])
		} else {
			below = y.g[i] * (y.t[i] - d.DeepC)
			y.b -= below
		}
		y.r[i] = above - below
		above = below
	}
	if f.sided {
		for i := 1; i < y.n; i++ {
			w := f.sideG[i] * (d.SideGroundC - y.t[i])
			y.r[i] += w
			y.b += w
		}
	}
	s.sys.b[FlowGround] += y.b
}

// eliminate factors the column for step factor gt = γτ and returns what is to
// be added to the diagonal of the first layer.
func (y *soilSystem) eliminate(gt float64, side *[MaxSoil]float64) float64 {
	below := 0.0 // what the layer below takes off the diagonal
	for i := y.n - 1; i >= 1; i-- {
		c := gt * y.g[i-1]
		y.inv[i] = 1 / (y.m[i] + c + gt*(y.g[i]+side[i]) - below)
		y.pass[i] = c * y.inv[i]
		below = c * y.pass[i]
	}
	return gt*y.g[0] - below
}

// reduce folds the right-hand sides r of layers 1.. into the first and returns
// the addition to its right-hand side.
func (y *soilSystem) reduce(r *[MaxSoil]float64) float64 {
	for i := y.n - 1; i > 1; i-- {
		r[i-1] += y.pass[i] * r[i]
	}
	return y.pass[1] * r[1]
}

// expand computes the increments of layers 1.. in place, once the first, top, is
// known; r is the reduced right-hand side.
func (y *soilSystem) expand(top float64, r *[MaxSoil]float64) {
	r[0] = top
	for i := 1; i < y.n; i++ {
		r[i] = r[i]*y.inv[i] + y.pass[i]*r[i-1]
	}
}
