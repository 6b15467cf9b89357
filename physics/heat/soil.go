package heat

// soilSystem is the floor column below its first layer: a tridiagonal system
// eliminated from the bottom up, so that the dense block sees only its first
// layer.
type soilSystem struct {
	n int              // layers
	t [MaxSoil]float64 // temperature [°C]
	s [MaxSoil]float64 // dT/dh [K m3/J]
	m [MaxSoil]float64 // effective heat capacity [J/m2K]
	g [MaxSoil]float64 // conductance i to i+1, the last to the deep boundary [W/m2K]
	r [MaxSoil]float64 // rate of heat [W/m2]
	d [MaxSoil]float64 // eliminated diagonal
	b float64          // boundary flow [W/m2]
}

// refreshConductance takes the conductance between layers from the present
// state: half layers in series.
func (s *Sim) refreshConductance() {
	ls := s.cell.Ground.Layers
	y := &s.soilSys
	y.n = len(ls)
	var half [MaxSoil]float64 // resistance of half a layer
	for i := range ls {
		half[i] = 0.5 * ls[i].ThickM / ls[i].Material.Conductivity(s.soil[i])
	}
	for i := 0; i+1 < y.n; i++ {
		y.g[i] = 1 / (half[i] + half[i+1])
	}
	y.g[y.n-1] = 1 / half[y.n-1]
	bs := s.cell.Bench.Layers
	for k := 0; k+1 < s.ix.nb; k++ {
		r := 0.5*bs[k].ThickM/bs[k].Material.Conductivity(s.h[s.ix.bench+k]) +
			0.5*bs[k+1].ThickM/bs[k+1].Material.Conductivity(s.h[s.ix.bench+k+1])
		s.fixed.benchG[k] = s.fixed.fp / r
	}
}

// temperatures fills t, s and m from the enthalpies.
func (s *Sim) soilTemperatures() {
	y := &s.soilSys
	for i := range y.n {
		l := &s.cell.Ground.Layers[i]
		y.t[i], y.s[i] = l.Material.Temperature(s.soil[i])
		y.m[i] = l.ThickM / y.s[i]
	}
}

// soilFlows computes the rates of layers 1.. and adds what the first layer
// exchanges with them to the dense system, except its derivative, which the
// elimination supplies.
func (s *Sim) soilFlows(d *Sample) {
	y, f := &s.soilSys, &s.fixed
	top := s.ix.soil
	y.t[0] = s.t[top]
	for i := 1; i < y.n; i++ {
		y.r[i] = 0
	}
	for i := 0; i+1 < y.n; i++ {
		w := y.g[i] * (y.t[i] - y.t[i+1])
		if i == 0 {
			s.sys.r[top] -= w
		} else {
			y.r[i] -= w
		}
		y.r[i+1] += w
	}
	last := y.n - 1
	y.b = y.g[last] * (d.DeepC - y.t[last])
	y.r[last] += y.b
	for i := 1; i < y.n; i++ {
		if f.sideG[i] > 0 {
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
	for i := y.n - 1; i >= 1; i-- {
		d := y.m[i] + gt*(y.g[i]+y.g[i-1]+side[i])
		if i+1 < y.n {
			c := gt * y.g[i]
			d -= c * c / y.d[i+1]
		}
		y.d[i] = d
	}
	c := gt * y.g[0]
	return gt*y.g[0] - c*c/y.d[1]
}

// reduce folds the right-hand sides r of layers 1.. into the first and returns
// the addition to its right-hand side.
func (y *soilSystem) reduce(gt float64, r *[MaxSoil]float64) float64 {
	for i := y.n - 2; i >= 1; i-- {
		r[i] += gt * y.g[i] / y.d[i+1] * r[i+1]
	}
	return gt * y.g[0] / y.d[1] * r[1]
}

// expand computes the increments of layers 1.. in place, once the first is
// known; r is the reduced right-hand side.
func (y *soilSystem) expand(gt, z0 float64, r *[MaxSoil]float64) {
	r[0] = z0
	for i := 1; i < y.n; i++ {
		r[i] = (r[i] + gt*y.g[i-1]*r[i-1]) / y.d[i]
	}
}
