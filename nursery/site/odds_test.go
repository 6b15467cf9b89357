package site_test

import (
	"testing"

	"example.org/coldnight/nursery/site"
)

// Odds of groups: their own, else the site's, else a usual one; never-lose groups are
// held to more.
func TestOddsOfGroups(t *testing.T) {
	for _, c := range []struct {
		site, own float64
		never     bool
		want      float64
	}{
		{0, 0, false, 0.1}, {0, 0, true, 0.02}, {0.05, 0, false, 0.05}, {0.2, 0, true, 0.02}, {0.01, 0, true, 0.01}, {0.2, 0.25, true, 0.25},
	} {
		s := site.Site{Odds: c.site}
		if got := s.OddsOf(&site.Group{Odds: c.own, NeverLose: c.never}); got != c.want {
			t.Errorf("site %g, own %g, never lose %v: %g, want %g", c.site, c.own, c.never, got, c.want)
		}
	}
}
