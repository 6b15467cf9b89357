package cover

// MaxN is the greatest number of layers of a stack, the bottom included.
const MaxN = 12

// Optic is what a layer does with diffuse longwave: shares passed, thrown back
// and absorbed (= emissivity). They sum to 1. Both faces are alike.
type Optic struct {
	Tau, Rho, Eps float64
}

// Exchange is the longwave balance of a stack. Node 0 is the sky, node i+1 is
// layer i of the stack, node N the bottom. Emissive power of a node is σT⁴ (for
// the sky: its downward flux).
type Exchange struct {
	N int // layers, bottom included

	// G[i][j] is the net exchange factor per m2: node i gains
	// Σj G[i][j]·(σTj⁴ - σTi⁴). Symmetric, never negative, zero on the diagonal.
	G [MaxN + 1][MaxN + 1]float64

	// DownBelow[k][j] is the share of node j's emissive power in the downward
	// flux just below node k (k = 0: what falls on the top layer). Each row for
	// k < N sums to 1 when the whole stack has one temperature.
	DownBelow [MaxN + 1][MaxN + 1]float64

	// UpAbove[k][j] is the share of node j's emissive power in the upward flux
	// just above node k; k = 1 is what leaves to the sky. Row 0 is zero.
	UpAbove [MaxN + 1][MaxN + 1]float64
}

// Longwave fills out for a stack of layers, top first; the last is the opaque
// bottom (Tau 0). All reflections between all layers are counted (adding
// method), at a cost of N² multiplications and no allocation. It panics when
// the stack is empty, longer than [MaxN], or has a clear bottom.
//
// Limits met exactly: opaque layers exchange 1/(1/e1+1/e2-1) with their
// neighbours only; clear layers drop out.
func Longwave(layers []Optic, out *Exchange) {
	n := len(layers)
	if n < 1 || n > MaxN {
		panic("cover: a longwave stack has 1 to 12 layers, the bottom included")
	}
	if layers[n-1].Tau != 0 {
		panic("cover: the bottom of a longwave stack must be opaque")
	}
	out.N = n
	// The stack from layer k down, seen from above, sends up
	// r[k]·(what falls on it) + UpAbove[k], for now with no flux from above.
	var r [MaxN + 2]float64
	for k := n; k >= 1; k-- {
		l := &layers[k-1]
		up := &out.UpAbove[k]
		*up = [MaxN + 1]float64{}
		if k == n {
			r[k] = l.Rho
			up[k] = l.Eps
			continue
		}
		below := &out.UpAbove[k+1]
		m := between(l.Rho, r[k+1])
		r[k] = l.Rho + l.Tau*l.Tau*r[k+1]*m
		// emission of layer k: up, and down then thrown back from below
		up[k] = l.Eps * (1 + l.Tau*r[k+1]*m)
		for j := k + 1; j <= n; j++ {
			up[j] = l.Tau * m * below[j]
		}
	}
	// From the top down: the downward flux, then the full upward flux.
	out.UpAbove[0] = [MaxN + 1]float64{}
	out.DownBelow[0] = [MaxN + 1]float64{}
	out.DownBelow[0][0] = 1
	for k := 1; k <= n; k++ {
		l := &layers[k-1]
		above := &out.DownBelow[k-1]
		down := &out.DownBelow[k]
		if k == n {
			*down = [MaxN + 1]float64{}
		} else {
			m := between(l.Rho, r[k+1])
			below := &out.UpAbove[k+1]
			for j := 0; j <= n; j++ {
				down[j] = m * (l.Tau*above[j] + l.Rho*below[j])
			}
			down[k] += m * l.Eps
		}
		up := &out.UpAbove[k]
		for j := 0; j <= n; j++ {
			up[j] += r[k] * above[j]
		}
	}
	// Absorbed by node i of node j's power; the mean of both directions takes
	// the last rounding out of the symmetry.
	for i := 0; i <= n; i++ {
		out.G[i][i] = 0
		for j := 0; j < i; j++ {
			g := 0.5 * (absorbed(layers, out, i, j) + absorbed(layers, out, j, i))
			out.G[i][j], out.G[j][i] = g, g
		}
	}
}

// between is the sum of all reflections in the space between two mirrors. Two
// perfect mirrors hold no radiation of their own: the sum is cut there.
func between(a, b float64) float64 {
	d := 1 - a*b
	if d < 1e-12 {
		d = 1e-12
	}
	return 1 / d
}

func absorbed(layers []Optic, e *Exchange, i, j int) float64 {
	if i == 0 {
		return e.UpAbove[1][j]
	}
	a := e.DownBelow[i-1][j]
	if i < e.N {
		a += e.UpAbove[i+1][j]
	}
	return layers[i-1].Eps * a
}

// Down returns the downward longwave [W/m2] just below node k for emissive
// powers [W/m2] of all nodes (sky first).
func (e *Exchange) Down(k int, power []float64) float64 { return dot(&e.DownBelow[k], power, e.N) }

// Up returns the upward longwave [W/m2] just above node k.
func (e *Exchange) Up(k int, power []float64) float64 { return dot(&e.UpAbove[k], power, e.N) }

// Net returns the heat node i gains [W/m2].
func (e *Exchange) Net(i int, power []float64) float64 {
	s := 0.0
	for j := 0; j <= e.N; j++ {
		s += e.G[i][j] * (power[j] - power[i])
	}
	return s
}

func dot(row *[MaxN + 1]float64, power []float64, n int) float64 {
	s := 0.0
	for j := 0; j <= n; j++ {
		s += row[j] * power[j]
	}
	return s
}
