package people

import (
	"sync"
	"time"
)

// How often somebody may try: from one address, and from all together, within the span.
const (
	triesHere  = 8
	triesAll   = 60
	triesSpan  = 10 * time.Minute
	mostPlaces = 1000 // addresses remembered at once; beyond that only the tries of all count
)

// attempts counts tries in the running span. It lives in memory: who restarts the
// program has its machine anyway.
type attempts struct {
	mu    sync.Mutex
	from  time.Time
	all   int
	place map[string]int
}

// allow counts one more try and reports whether it may be made, else how long to wait.
func (a *attempts) allow(place string, now time.Time) (wait time.Duration, ok bool) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if age := now.Sub(a.from); age < 0 || age >= triesSpan {
		a.from, a.all, a.place = now, 0, map[string]int{}
	}
	if a.all >= triesAll || a.place[place] >= triesHere {
		return a.from.Add(triesSpan).Sub(now), false
	}
	a.all++
	if _, known := a.place[place]; known || len(a.place) < mostPlaces {
		a.place[place]++
	}
	return 0, true
}
