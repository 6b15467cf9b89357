package heat

// system is the linearised network at one moment: rates and their derivatives.
// Thermal unknowns count energy per time [W/m2] against temperature [K]; vapour
// unknowns count mass per time [kg/m2s] against density [kg/m3].
//
// Only [system.exchange], [system.gain] and [system.deposit] write to it, each
// in equal and opposite pairs: that is what makes the ledgers close.
type system struct {
	r   [maxNodes]float64
	j   [maxNodes][maxNodes]float64
	lu  [maxNodes][maxNodes]float64  // M - γτJ, factored
	b   [flowKinds]float64           // boundary flows into the cell [W/m2]
	jb  [flowKinds][maxNodes]float64 // their derivatives
	wet [maxFilms]float64            // deposit on each face [kg/m2s]
	wq  [maxFilms]float64            // its derivative by vapour density
	wt  [maxFilms]float64            // by temperature
	wz  [maxFilms]int                // the vapour unknown it takes from
	wi  [maxFilms]int                // the face it lands on
	wa  [maxFilms]float64            // its derivative by the temperature of the air
	wn  [maxFilms]int                // that air
	wf  [maxFilms]float64            // its derivative by the film [1/s]

	wantJ bool
	audit bool
}

// flowKind names a boundary flow in the ledger.
type flowKind int

// Boundary flows, all positive into the cell.
const (
	FlowSky    flowKind = iota // longwave, sky and surroundings
	FlowSun                    // sunlight absorbed
	FlowAir                    // sensible and latent exchange with screen air and neighbours
	FlowGround                 // deep boundary and ground beside
	FlowHeat                   // heaters
	flowKinds
)

func (y *system) clear(n int, wantJ bool) {
	y.wantJ = wantJ
	for i := range n {
		y.r[i] = 0
	}
	y.b = [flowKinds]float64{}
	if !wantJ {
		return
	}
	for i := range n {
		row := &y.j[i]
		for k := range n {
			row[k] = 0
		}
	}
	if y.audit {
		y.jb = [flowKinds][maxNodes]float64{}
	}
}

// exchange moves heat w [W/m2] from unknown i to k; gi = ∂w/∂i, gk = -∂w/∂k.
func (y *system) exchange(i, k int, w, gi, gk float64) {
	y.r[i] -= w
	y.r[k] += w
	if y.wantJ {
		y.j[i][i] -= gi
		y.j[i][k] += gk
		y.j[k][i] += gi
		y.j[k][k] -= gk
	}
}

// gain adds heat w [W/m2] from the boundary to unknown k; g = -∂w/∂k.
func (y *system) gain(kind flowKind, k int, w, g float64) {
	y.r[k] += w
	y.b[kind] += w
	if y.wantJ {
		y.j[k][k] -= g
		if y.audit {
			y.jb[kind][k] -= g
		}
	}
}

// gainVapour adds vapour m [kg/m2s] from outside to vapour unknown k; its latent
// heat enters the books with it.
func (y *system) gainVapour(k int, m, g float64) {
	y.r[k] += m
	y.b[FlowAir] += Latent * m
	if y.wantJ {
		y.j[k][k] -= g
		if y.audit {
			y.jb[FlowAir][k] -= Latent * g
		}
	}
}

// carry completes an exchange of vapour between unknowns i and k whose conductance
// depends on how much warmer a is than b: by = ∂m/∂a = -∂m/∂b [kg/m2sK].
func (y *system) carry(i, k, a, b int, by float64) {
	if y.wantJ {
		y.j[i][a] -= by
		y.j[i][b] += by
		y.j[k][a] += by
		y.j[k][b] -= by
	}
}

// carryIn completes [system.gainVapour] where the conductance depends on the
// temperature of a: by = ∂m/∂a [kg/m2sK].
func (y *system) carryIn(k, a int, by float64) {
	if y.wantJ {
		y.j[k][a] += by
		if y.audit {
			y.jb[FlowAir][a] += Latent * by
		}
	}
}

// deposit moves vapour m [kg/m2s] from vapour unknown k to the face of thermal
// unknown i in the air of thermal unknown z; its latent heat appears at the face. g is
// the conductance [m/s], slope the derivative of saturation density at the face
// [kg/m3K], by that of m by how much warmer the face is than the air, at the same
// saturation [kg/m2sK]. film < 0 means water that is not kept (soil).
func (y *system) deposit(k, i, z, film int, m, g, slope, by float64) {
	y.r[k] -= m
	y.r[i] += Latent * m
	if film >= 0 {
		y.wet[film] = m
	}
	if y.wantJ {
		gs := g*slope - by
		y.j[k][k] -= g
		y.j[k][i] += gs
		y.j[k][z] += by
		y.j[i][k] += Latent * g
		y.j[i][i] -= Latent * gs
		y.j[i][z] -= Latent * by
		if film >= 0 {
			y.wq[film], y.wt[film], y.wz[film], y.wi[film] = g, -gs, k, i
			y.wa[film], y.wn[film] = -by, z
		}
	}
}
