package cover

// SolarOptic is what a layer does with diffuse sunlight: shares passed, thrown
// back and absorbed. They sum to 1. Both faces are alike, and so are all
// angles.
type SolarOptic struct {
	Tau, Rho, Abs float64
}

// Absorbed tells where sunlight ends up, as shares of what falls on the stack.
type Absorbed struct {
	N         int
	Layer     [MaxN]float64 // absorbed in each layer; the last is the bottom
	Down      [MaxN]float64 // falling on the upper face of each layer; Down[0] = 1
	Up        [MaxN]float64 // leaving the upper face of each layer upward
	Reflected float64       // back to the sky, = Up[0]
	Through   float64       // passing the last layer; 0 when it is opaque
}

// Shortwave fills out for a stack of layers, top first, the last being the
// bottom. All reflections are counted; shares absorbed, Reflected and Through
// sum to 1. No allocation. It panics when the stack is empty or longer than
// [MaxN].
func Shortwave(layers []SolarOptic, out *Absorbed) {
	n := len(layers)
	if n < 1 || n > MaxN {
		panic("cover: a stack has 1 to 12 layers, the bottom included")
	}
	*out = Absorbed{N: n}
	var r [MaxN + 1]float64 // of the stack from layer k down
	for k := n - 1; k >= 0; k-- {
		l := &layers[k]
		r[k] = l.Rho + l.Tau*l.Tau*r[k+1]*between(l.Rho, r[k+1])
	}
	down := 1.0
	for k := range n {
		l := &layers[k]
		under := down * l.Tau * between(l.Rho, r[k+1])
		out.Down[k] = down
		out.Up[k] = down * r[k]
		out.Layer[k] = l.Abs * (down + under*r[k+1])
		down = under
	}
	out.Reflected = out.Up[0]
	out.Through = down
}
