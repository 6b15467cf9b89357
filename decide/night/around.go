package night

import (
	"context"
	"time"

	"example.org/coldnight/nursery/weather"
)

// Around is the open ground of a site under each draw, which surrounds every space: worked
// out once for all of them. Answers are the same with it and without.
type Around struct {
	beds []bed
	mark Mark // of all it was made from, the site's place and the laws
}

// Mark stands for all the open ground was worked out from: weather, draws, place and laws.
func (a *Around) Mark() Mark { return a.mark }

// bed is the open ground under one draw.
type bed struct {
	draw  Draw
	first *weather.Row // of the member it was made from
	from  int          // row at which the span begins
	open  openAir
	cal   *calendar
}

// Around works out the open ground of the site for a span that begins at from. The
// errors are the weather's, and the context's when it ends.
func (sc *Scene) Around(ctx context.Context, members []weather.Series, draws []Draw, from time.Time) (*Around, error) {
	at := sc.Site
	out := &Around{
		beds: make([]bed, len(draws)),
		mark: MarkOf(at.LatDeg, at.LonDeg, at.ElevationM, at.Zone, at.Surroundings, at.Ground, at.Heaters, at.Fans, sc.Covers, sc.Laws, members, draws, from),
	}
	return out, Each(ctx, len(draws), func(k int) error {
		s := members[draws[k].Member%len(members)]
		i, _, err := Span(s, from, s.Rows[len(s.Rows)-1].Time)
		if err == nil {
			out.beds[k], err = sc.bed(draws[k], s, i)
		}
		return err
	})
}

// bed is the open ground under a draw of a series whose span begins at row from.
func (sc *Scene) bed(d Draw, s weather.Series, from int) (bed, error) {
	open, err := sc.openGround(d, s, s.Rows[from].SnowCM/100)
	return bed{draw: d, first: &s.Rows[0], from: from, open: open, cal: sc.calendar(s)}, err
}

// around finds what has been worked out for a draw, or works it out.
func (sc *Scene) around(a *Around, d Draw, s weather.Series, from int) (bed, error) {
	if a != nil {
		for k := range a.beds {
			if b := &a.beds[k]; b.draw == d && b.first == &s.Rows[0] && b.from == from {
				return *b, nil
			}
		}
	}
	return sc.bed(d, s, from)
}
