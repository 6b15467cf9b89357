package labour

import (
	"math"
	"slices"
	"time"

	"example.org/coldnight/nursery/site"
)

// Kind is a kind of handling: the key of its rate in [labour].
type Kind string

// The kinds whose rates are learned. Large, usual and hoops are spreading and fixing 100 m2 of cloth, uncover is
// taking 100 m2 off, cups is setting 100 cups, panel is standing up one.
const (
	Large   Kind = "large"
	Usual   Kind = "usual"
	Hoops   Kind = "hoops"
	Uncover Kind = "uncover"
	Cups    Kind = "cups"
	Panel   Kind = "panel"

	windy Kind = "windy" // the factor of wind or wet, learned beside them
)

// Work is what a job handles, in units of its rate.
type Work struct {
	Of     Kind    `json:"of"`
	Amount float64 `json:"amount"` // hundreds of m2 (every layer counts) or of cups; panels
	Slow   bool    `json:"slow"`   // in wind or wet
}

// Finished is a job that is done, and what it took.
type Finished struct {
	Work
	Minutes float64 // of the clock, from begin to end [min]
	People  int
	Done    time.Time
}

// Rate is what is known of one kind after the jobs.
type Rate struct {
	Of            Kind
	Value         float64 // [person-minutes for its unit]; of windy: a factor
	P10, P90      float64 // how well the rate is known; a single job scatters more
	Was           float64 // before any job
	Jobs          int     // that were counted
	Odd           int     // of these, jobs so far off that they hardly count
	GivenAnyway   bool    // the site file gives a number: it is used, not this one
	priorPrec, mu float64
}

// Book is a labour table with what jobs have taught it.
type Book struct {
	Labour  site.Labour
	Rates   []Rate // of which there are jobs, in a fixed order
	Refused int    // jobs whose minutes cannot be
}

// The model. Natural logarithms of rates; all judgement but for the two growers' notes of 8 and 20 person-minutes
// per 100 m2, which lie within the prior's band of usual beds.
const (
	priorFactor  = 2.0                      // four in five nurseries lie within this factor of the stated rate
	windyFactor  = 1.5                      // the same of the factor of wind
	jobFactor    = 1.5                      // four in five jobs lie within this factor of the nursery's own rate
	spreadJobs   = 8.0                      // jobs that the scatter of jobs above is worth
	forgotten    = 0.05                     // share of ticks that say nothing: forgotten, pressed late, pressed twice
	forgottenIs  = 0.14                     // their density by the logarithm of minutes: anything over a factor of 1000
	halfLife     = 2 * 365 * 24 * time.Hour // a job of two winters ago counts half
	leastMinutes = 1.0                      // a job shorter than that was ticked twice in a row
	mostMinutes  = 16 * 60.0                // a job longer than that was forgotten overnight
	walkShareMax = 0.5                      // the walk is at most this share of what a job took
	q80          = 1.2815515655446004       // standard normal quantile of 0.9
	oddWeight    = 0.5                      // a job that more likely than that says nothing is called odd
	rounds       = 60
)

// kinds are those that are learned, in the order in which they are told, and where the table has them.
func kinds(l *site.Labour) []struct {
	of Kind
	at *float64
} {
	return []struct {
		of Kind
		at *float64
	}{{Large, &l.LargePer100M2}, {Usual, &l.UsualPer100M2}, {Hoops, &l.HoopsPer100M2}, {Uncover, &l.UncoverPer100M2}, {Cups, &l.CupsPer100}, {Panel, &l.PanelEach}}
}

// row is one job as the model sees it.
type row struct {
	kind   int
	y      float64 // ln of person-minutes for a unit
	slow   bool
	recent float64 // weight by age, 0..1
	weight float64 // odds that it is one of those that say something, 0..1
}

// Learn returns the labour table l with what the finished jobs say of the rates that its file leaves open. It is a
// pure function of its arguments: rates are log-normal with the stated judgement as prior, one factor of wind for
// all kinds, jobs scatter log-normally but for one tick in twenty that says nothing (a tick nine hours late is taken
// for one of these), and older jobs count less. The most likely values are found by DLR77's method; the bands are
// those of the normal law at them. Without jobs the table comes back as it is.
//
// Source: DLR77; the numbers of the model are judgement. Accuracy not given.
func Learn(l site.Labour, jobs []Finished, now time.Time) Book {
	b := Book{Labour: l}
	all := kinds(&b.Labour)
	rates := make([]Rate, len(all)+1)
	for k, x := range all {
		rates[k] = newRate(x.of, *x.at, priorFactor, &l)
	}
	wind := &rates[len(all)]
	*wind = newRate(windy, math.Max(l.WindyTimes, 1), windyFactor, &l)
	var seen []row
	for _, j := range jobs {
		k := slices.IndexFunc(rates[:len(all)], func(r Rate) bool { return r.Of == j.Of })
		if k < 0 {
			continue
		}
		r, ok := j.row(k, l.WalkPerSpace, now)
		if !ok || rates[k].Was <= 0 {
			b.Refused++
			continue
		}
		seen = append(seen, r)
	}
	if len(seen) == 0 {
		return b
	}
	fit(rates, seen)
	for k := range rates {
		r := &rates[k]
		for i := range seen {
			if seen[i].kind != k && !(k == len(all) && seen[i].slow) {
				continue
			}
			r.Jobs++
			if seen[i].weight < oddWeight {
				r.Odd++
			}
		}
		if r.Jobs == 0 {
			continue
		}
		b.Rates = append(b.Rates, *r)
		if !r.GivenAnyway && k < len(all) {
			*all[k].at = r.Value
		} else if !r.GivenAnyway {
			b.Labour.WindyTimes = math.Max(1, r.Value)
		}
	}
	return b
}

func newRate(of Kind, was, factor float64, l *site.Labour) Rate {
	sd := math.Log(factor) / q80
	r := Rate{Of: of, Was: was, Value: was, GivenAnyway: !slices.Contains(l.Guessed, string(of)), priorPrec: 1 / (sd * sd)}
	if was > 0 {
		r.mu = math.Log(was)
	}
	if r.GivenAnyway && of == windy {
		r.priorPrec = 1e9 // what is given is given: the other rates are told with it
	}
	return r
}

// row turns a job into a logarithm; false where its minutes cannot be.
func (j *Finished) row(kind int, walkMin float64, now time.Time) (row, bool) {
	if !(j.Minutes >= leastMinutes) || j.Minutes > mostMinutes || j.People < 1 || !(j.Amount > 0) || math.IsInf(j.Amount, 0) {
		return row{}, false
	}
	work := j.Minutes * float64(j.People)
	work -= math.Min(walkMin, walkShareMax*work)
	age := max(now.Sub(j.Done), 0)
	return row{kind: kind, y: math.Log(work / j.Amount), slow: j.Slow, recent: math.Exp2(-float64(age) / float64(halfLife)), weight: 1}, true
}

// fit finds the most likely rates. There may be more than one peak where jobs and prior disagree: it is climbed from
// the prior and from the middle of the jobs, and the higher peak is taken.
func fit(rates []Rate, seen []row) {
	best := math.Inf(-1)
	var rs []Rate
	var ws []row
	for start := range 2 {
		r, s := slices.Clone(rates), slices.Clone(seen)
		if start == 1 {
			for k := range r[:len(r)-1] {
				if m, ok := middle(s, k, r[len(r)-1].mu); ok {
					r[k].mu = m
				}
			}
		}
		if h := climb(r, s, rates); h > best {
			best, rs, ws = h, r, s
		}
	}
	copy(rates, rs)
	copy(seen, ws)
}

// middle is the median of the jobs of a kind.
func middle(seen []row, kind int, wind float64) (float64, bool) {
	var y []float64
	for _, r := range seen {
		if r.kind == kind {
			if y = append(y, r.y); r.slow {
				y[len(y)-1] -= wind
			}
		}
	}
	if len(y) == 0 {
		return 0, false
	}
	slices.Sort(y)
	return (y[(len(y)-1)/2] + y[len(y)/2]) / 2, true
}

// climb reweights until nothing moves, writes the rates with their bands and returns the height of the peak.
func climb(rates []Rate, seen []row, prior []Rate) float64 {
	sd0 := math.Log(jobFactor) / q80
	v0 := sd0 * sd0
	v := v0
	wind := len(rates) - 1
	mu := make([]float64, len(rates))
	for k := range rates {
		mu[k] = rates[k].mu
	}
	off := func(r *row) float64 {
		d := r.y - mu[r.kind]
		if r.slow {
			d -= mu[wind]
		}
		return d
	}
	var sd []float64
	for range rounds {
		sum, n := spreadJobs*v0, spreadJobs
		for i := range seen {
			r := &seen[i]
			d := off(r)
			honest, either := densities(d, v)
			r.weight = honest / either // DLR77 E-step, two parts
			sum += r.recent * r.weight * d * d
			n += r.recent * r.weight
		}
		v = sum / n
		next, s := solve(prior, seen, v)
		moved := 0.0
		for k := range mu {
			moved = math.Max(moved, math.Abs(next[k]-mu[k]))
		}
		mu, sd = next, s
		if moved < 1e-12 {
			break
		}
	}
	height := 0.0
	for k := range mu {
		d := mu[k] - prior[k].mu
		height -= prior[k].priorPrec * d * d / 2
		r := &rates[k]
		r.mu, r.Value = mu[k], math.Exp(mu[k])
		r.P10, r.P90 = math.Exp(mu[k]-q80*sd[k]), math.Exp(mu[k]+q80*sd[k])
	}
	total := spreadJobs / 2 * (math.Log(v) + v0/v)
	for i := range seen {
		d := off(&seen[i])
		_, either := densities(d, v)
		total -= seen[i].recent * math.Log(either)
	}
	return height - total
}

// densities are how likely a job is that lies d off, of those that say something and of all.
func densities(d, v float64) (honest, either float64) {
	honest = (1 - forgotten) * math.Exp(-d*d/(2*v)) / math.Sqrt(2*math.Pi*v)
	return honest, honest + forgotten*forgottenIs
}

// solve is the least-squares answer for given weights: a rate for each kind and one factor of wind that joins them.
// Its matrix is an arrow, so the wind is solved first. It returns means and standard deviations, of logarithms.
func solve(prior []Rate, seen []row, v float64) (mu, sd []float64) {
	n := len(prior) - 1
	p, q, slow := make([]float64, n), make([]float64, n), make([]float64, n)
	for k := range n {
		p[k], q[k] = prior[k].priorPrec, prior[k].priorPrec*prior[k].mu
	}
	wp, wq := prior[n].priorPrec, prior[n].priorPrec*prior[n].mu
	for i := range seen {
		r := &seen[i]
		w := r.recent * r.weight / v
		p[r.kind] += w
		q[r.kind] += w * r.y
		if r.slow {
			slow[r.kind] += w
			wp += w
			wq += w * r.y
		}
	}
	for k := range n {
		wp -= slow[k] * slow[k] / p[k]
		wq -= slow[k] * q[k] / p[k]
	}
	mu, sd = make([]float64, n+1), make([]float64, n+1)
	mu[n], sd[n] = wq/wp, math.Sqrt(1/wp)
	for k := range n {
		mu[k] = (q[k] - slow[k]*mu[n]) / p[k]
		sd[k] = math.Sqrt(1/p[k] + slow[k]*slow[k]/(p[k]*p[k])/wp)
	}
	return mu, sd
}
