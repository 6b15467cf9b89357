package night

import (
	"context"
	"fmt"
	"slices"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// Ready is a space with the days before its span behind it: what every protection starts
// from. They are lived through once per draw, when the draw is first asked for, so that
// protections may be looked at in several goes. Not for use by two at once.
type Ready struct {
	scene *Scene
	q     Request
	out   Outlook // without options
	past  []passage
	mark  Mark // of all but protections and draws
}

// Ready checks a request and makes a space ready for it.
func (sc *Scene) Ready(q Request) (*Ready, error) {
	if len(q.Members) == 0 || len(q.Draws) == 0 || len(q.Protections) == 0 {
		return nil, fmt.Errorf("space %q: an outlook needs at least one member, one draw and one protection", q.Space.Name)
	}
	i, j, err := Span(q.Members[0], q.From, q.To)
	if err != nil {
		return nil, err
	}
	shapes := fewer(q.Space.Cells())
	minima := q.Minima
	if len(minima) == 0 {
		minima = RecentMinima(q.Members[0], i)
	}
	if q.Space.House != nil {
		minima = nil // a house keeps its plants from the nights that would harden them
	}
	r := &Ready{scene: sc, q: q, out: Outlook{
		Space: q.Space, Shapes: shapes, Step: q.Members[0].Step,
		Stocks: sc.Stocks(q.Space, shapes, minima), From: q.From, To: q.To,
	}}
	r.out.Guests = sc.guests(q, shapes, i)
	r.assume(i, len(minima) == 0)
	need := r.out.needs(q.Protections)
	if q.Kept != nil && q.Around != nil {
		r.mark = MarkOf(q.Around.mark, q.Space, q.Protections[0], r.out.Stocks, r.out.Guests, need, q.Draws, q.From, q.To)
	}
	r.past = make([]passage, len(q.Draws))
	for k, d := range q.Draws {
		m := q.Members[d.Member%len(q.Members)]
		r.past[k] = passage{
			scene: sc, space: q.Space, shapes: shapes, need: need, before: q.Protections[0],
			draw: d, series: m, span: span{i, min(j, len(m.Rows)-1)}, around: q.Around,
		}
	}
	return r, nil
}

// assume says what had to be assumed; from is the row at which the span begins.
func (r *Ready) assume(from int, soft bool) {
	o, q := &r.out, &r.q
	o.Assumed = append(o.Assumed, fmt.Sprintf("the ground at 1 m is taken as %.0f °C, give or take %.0f K, from the latitude and height of the place: no reading of it",
		r.scene.deepGround(q.Members[0]), deepSpreadK))
	if perDay := max(int(24*time.Hour/o.Step), 1); len(q.Members[0].Rows) < perDay {
		o.Assumed = append(o.Assumed, SpinUp(q.Members[0], q.From))
	} else if days := spinDays - from/perDay; days > 0 {
		o.Assumed = append(o.Assumed, fmt.Sprintf("only %d of the %d days before are at hand; the first day of the weather stands in for the others, in ground, pots and houses", spinDays-days, spinDays))
	}
	if soft && q.Space.House == nil {
		o.Assumed = append(o.Assumed, "hardening: no nights before this one are known; plants are taken as in an ordinary cool spell of 5 °C nights")
	}
}

// Blank is the outlook without a result of any protection.
func (r *Ready) Blank() Outlook { return r.out }

// Run looks at some of the protections asked for under some of the draws, both by their
// place in the request; draws nil means all. The results are in the order of which, and
// nobody may change them. Draws are shared out over the cores; the answer does not depend
// on how many there are.
func (r *Ready) Run(ctx context.Context, which, draws []int) ([]Result, error) {
	if draws == nil {
		draws = make([]int, len(r.past))
		for k := range draws {
			draws[k] = k
		}
	}
	out := make([]Result, len(which))
	marks := make([]Mark, len(which))
	var anew []int // places in which
	for i, p := range which {
		if r.q.Kept != nil && r.q.Around != nil {
			marks[i] = MarkOf(r.mark, r.q.Protections[p], draws)
			if had, ok := r.q.Kept.Find(marks[i]); ok {
				out[i] = had.(Result)
				continue
			}
		}
		anew = append(anew, i)
	}
	if slices.ContainsFunc(anew, func(i int) bool { return r.q.Protections[which[i]].parts() }) {
		anew = anew[:0] // what parts from another runs with it, to the same digit
		for i := range which {
			anew = append(anew, i)
		}
	}
	if len(anew) == 0 {
		return out, ctx.Err()
	}
	ps := make([]Protection, len(anew))
	for k, i := range anew {
		ps[k] = r.q.Protections[which[i]]
	}
	tracks := make([][][]Track, len(draws)) // [draw][protection][shape]
	err := Each(ctx, len(draws), func(k int) (err error) {
		tracks[k], err = r.past[draws[k]].run(ps)
		return err
	})
	if err != nil {
		return nil, err
	}
	err = Each(ctx, len(ps), func(p int) error {
		i := anew[p]
		out[i] = r.scene.result(&r.out, ps[p], p, tracks)
		if r.q.Kept != nil && r.q.Around != nil {
			r.q.Kept.Put(marks[i], out[i])
		}
		return nil
	})
	return out, err
}

// passage is one draw of a space.
type passage struct {
	scene  *Scene
	space  *site.Space
	shapes []site.CellShape
	need   []bool
	before Protection // what the days before the span run under
	draw   Draw
	series weather.Series
	span   span
	around *Around
	led    []led // by shape, once lived through
}
