package plan

import "maps"

// heldWhy is why nothing else is done where the heat goes by odds.
const heldWhy = "the site file has heat_by = \"odds\": thermostats are set to keep every group within its odds"

// hold asks that a space gets an option whatever it costs.
func (f *Facts) hold(space, key string) {
	f.held = maps.Clone(f.held)
	if f.held == nil {
		f.held = map[string]string{}
	}
	f.held[space] = key
}

// heldBars keep everything else from the spaces whose option is held.
func (f *Facts) heldBars(m *Model) []bar {
	var out []bar
	for s, c := range m.c.Spaces {
		key, ok := f.held[c.Space]
		for o := range c.Options {
			if ok && c.Options[o].Key != key {
				out = append(out, bar{s, o, heldWhy})
			}
		}
	}
	return out
}

// unheld are the facts for a plan that may set thermostats otherwise, as none fits
// with them held.
func (f Facts) unheld() Facts {
	f.held = nil
	f.Assumed = append([]string{"heat_by = \"odds\" is not kept to everywhere: no plan fits the shed and the crew's hours with it"}, f.Assumed...)
	return f
}
