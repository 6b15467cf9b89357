package plant

import "math"

// Curve is the share of plants lost against tissue temperature:
// P = 1/(1+exp((T-MidC)/SlopeK)) after RefHours at constant T.
type Curve struct {
	MidC     float64 // °C, half lost, at the reference state of hardening
	SlopeK   float64 // K, width of the logistic among plants
	SpreadC  float64 // K, one standard deviation of MidC: what we do not know
	RefHours float64 // h, exposure the record speaks about; 0 means 1
	Basis    string  // where it comes from, in words
}

// Constants of ice and time. Judgement except where a source is named.
const (
	iceStartC    = -0.3 // °C, no tissue freezes above
	wetStartC    = -0.5 // °C, drops on the leaf seed ice from here (frozen drop nucleates a leaf, HortScience 27:244)
	wetWidthK    = 1.5  // K, practically certain by -2 °C
	dryStartC    = -2.0 // °C, dry tissue supercools to here
	dryWidthK    = 4.0  // K, practically certain by -6 °C (one exotherm near -6 °C in a cactus stem, Nobel 1981)
	certainPerH  = 6.0  // 1/h, hazard where ice is practically certain: 95 % in half an hour
	capPerH      = 30.0 // 1/h
	firstMarks   = 2.2  // slopes above the centre where one in ten is hurt: ln 9
	steepestK    = 0.3  // K, steepest slope under a spread
	spanDev      = 2.8  // half width of the quadrature [standard deviations]
	maxNodes     = 49
	ln81         = 4.394449154672439
	minIceWidthK = 0.5
)

// Logistic returns the curve through a measured T10 and T90 [°C, T90 colder]
// after refHours [h], with no spread of the centre.
// k = ln 81/(T10-T90), T50 = (T10+T90)/2: T10-T90 = 2 ln 9 s.
func Logistic(t10, t90, refHours float64) Curve {
	return Curve{MidC: (t10 + t90) / 2, SlopeK: (t10 - t90) / ln81, RefHours: refHours}
}

// At returns the share lost [0..1] at t [°C] by the bare logistic, at the
// reference exposure and with ice present.
func (c Curve) At(t float64) float64 {
	return 1 / (1 + math.Exp((t-c.MidC)/c.SlopeK))
}

// Shifted returns the curve with its centre moved by k [K].
func (c Curve) Shifted(k float64) Curve {
	c.MidC += k
	return c
}

// hours returns the reference exposure [h].
func (c Curve) hours() float64 {
	if c.RefHours > 0 {
		return c.RefHours
	}
	return 1
}

// POf returns the share lost [0..1] after hours [h] at constant t [°C], with
// wet or dry surfaces; the spread of the centre is not used. See Harm.
func POf(c Curve, t, hours float64, wet bool) float64 {
	series := [1]float64{t}
	return Harm(c, series[:], hours, wet)
}

// Harm returns the share lost [0..1] for a series of tissue temperatures
// [°C], each lasting stepHours [h], on wet or dry tissue, given the centre.
// NaN in the series gives NaN; an empty series gives 0.
//
// Law (ours; each part from the literature, the whole a judgement):
// one exposure of RefHours is the logistic; its injury hazard is
// f(T) = ln(1+exp((MidC-T)/s)); with M the worst f and n = Σ f dt/(M RefHours)
// the number of such exposures, the total is M n up to one and M (1+ln n)
// after it: time adds, ever less, because tissue comes to equilibrium with its
// ice in 0.5-1.5 h (rapeseed leaf, Plant Physiology 135:1642). That is
// multiplied by the chance that ice formed at all: a hazard per hour, from
// -0.5 °C when wet and below -2 °C when dry, or from the curve's own first
// marks where these are warmer.
//
// P never falls when it is colder, longer or wetter.
func Harm(c Curve, tissue []float64, stepHours float64, wet bool) float64 {
	c.SpreadC = 0
	return harm(&c, tissue, stepHours, wet)
}

// HarmSpread is Harm averaged over the normal spread SpreadC of the centre, by
// a fixed rule of 13 to 49 points over ±2.8 standard deviations; within 0.01 of
// a rule ten times finer. No allocation.
func HarmSpread(c Curve, tissue []float64, stepHours float64, wet bool) float64 {
	return harm(&c, tissue, stepHours, wet)
}

// nodes holds the running sums of each point of the rule.
type nodes struct {
	weight, seed, prod, logs, ice, start, perK [maxNodes]float64
}

// harm is the one loop behind Harm and HarmSpread. NaN stops it; hours above
// iceStartC are skipped, so mild nights cost nothing.
func harm(c *Curve, tissue []float64, stepHours float64, wet bool) float64 {
	cold := math.Inf(1)
	for _, t := range tissue {
		if t != t {
			return math.NaN()
		}
		if t < cold {
			cold = t
		}
	}
	if cold >= iceStartC || !(stepHours > 0) {
		return 0
	}
	s := c.SlopeK
	n := 1
	if c.SpreadC > 0.02 {
		s = math.Max(s, steepestK)
		n = int(2*spanDev*c.SpreadC/(1.5*s)) | 1
		n = min(max(n, 13), maxNodes)
	}
	var k nodes
	total := k.fill(c, s, n)
	wetIce, worst := 0.0, 0.0
	prod, ice := k.prod[:n], k.ice[:n]
	seed, start, perK := k.seed[:n], k.start[:n], k.perK[:n]
	for _, t := range tissue {
		if t >= iceStartC {
			continue
		}
		x := (c.MidC - t) / s
		if x > 200 {
			x = 200
		}
		e := math.Exp(x)
		if e > worst {
			worst = e
		}
		if wet {
			wetIce += iceHazard(wetStartC-t, 1/wetWidthK)
		}
		for i := range prod {
			// ln Π(1+z) instead of Σ ln(1+z): one logarithm per point
			p := prod[i] * (1 + seed[i]*e)
			if p > 1e100 {
				k.logs[i] += math.Log(p)
				p = 1
			}
			prod[i] = p
			ice[i] += iceHazard(start[i]-t, perK[i])
		}
	}
	ratio := stepHours / c.hours()
	sum := 0.0
	for i := 0; i < n; i++ {
		// M: the worst hazard f = ln(1+exp((mid-T)/s)) of the series
		m := math.Log1p(k.seed[i] * worst)
		// Λ = Σ f dt/RefHours
		lambda := (k.logs[i] + math.Log(k.prod[i])) * ratio
		if k.prod[i]-1 < 1e-6 && k.logs[i] == 0 { // keep the small ones exact
			lambda = (k.prod[i] - 1) * ratio
		}
		// g(n) = n to one exposure, 1+ln n after; n = Λ/M
		h := lambda
		if lambda > m && m > 0 {
			h = m * (1 + math.Log(lambda/m))
		}
		// chance of ice, 1-exp(-Σ hazard dt), times injury given ice, 1-exp(-M g)
		frozen := -math.Expm1(-(k.ice[i] + wetIce) * certainPerH * stepHours)
		sum += k.weight[i] * frozen * -math.Expm1(-h)
	}
	return math.Min(1, sum/total)
}

// fill sets the points of the rule and returns the sum of their weights.
func (k *nodes) fill(c *Curve, s float64, n int) float64 {
	dev, total := 0.0, 0.0
	if n > 1 {
		dev = 2 * spanDev / float64(n-1)
	}
	for i := 0; i < n; i++ {
		z := 0.0
		if n > 1 {
			z = -spanDev + dev*float64(i)
		}
		off := z * c.SpreadC
		k.weight[i] = math.Exp(-z * z / 2)
		k.seed[i] = math.Exp(off / s)
		k.prod[i] = 1
		mid := c.MidC + off
		k.start[i] = math.Min(math.Max(mid+firstMarks*s, dryStartC), iceStartC)
		k.perK[i] = 1 / math.Min(math.Max(k.start[i]-mid, minIceWidthK), dryWidthK)
		total += k.weight[i]
	}
	return total
}

// iceHazard returns the hazard of ice relative to certainPerH for tissue below
// its start by d [K] with a width of 1/perK [K].
func iceHazard(d, perK float64) float64 {
	if d <= 0 {
		return 0
	}
	d *= perK
	if d *= d; d > capPerH/certainPerH {
		return capPerH / certainPerH
	}
	return d
}
