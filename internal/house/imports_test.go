package house

import (
	"strings"
	"testing"
)

// forbidden says what may not import what, and why. A name stands for that folder and everything below it.
func forbidden() []struct{ from, to, why string } {
	return []struct{ from, to, why string }{
		// Between layers: measure <- physics <- nursery <- demo <- decide <- gate <- cmd.
		{"measure", "physics", "a unit is older than any law that uses it"},
		{"measure", "nursery", "reading '28 F' must not need to know what a bed is"},
		{"measure", "demo", "nothing that counts is made from invented material"},
		{"measure", "decide", "reading '28 F' must not need to know what is done about it"},
		{"measure", "gate", "units touch no file and no network"},
		{"measure", "cmd", "a library does not know its commands"},
		{"physics", "measure", "inside the equations are plain SI numbers; customary units stop at the door"},
		{"physics", "nursery", "the sky treats all the same: an equation knows no plant and no bed, and its source can be checked alone"},
		{"physics", "demo", "nothing that counts is made from invented material"},
		{"physics", "decide", "what happens does not depend on what we would like"},
		{"physics", "gate", "an equation reads no file, clock or network, so that a night can be computed again"},
		{"physics", "cmd", "a library does not know its commands"},
		{"nursery", "demo", "nothing that counts is made from invented material"},
		{"nursery", "decide", "facts are written down before anything is decided from them"},
		{"nursery", "gate", "facts come in through a reader; where the bytes came from is the gate's business"},
		{"nursery", "cmd", "a library does not know its commands"},
		{"demo", "decide", "the demo is facts, if invented ones; what to do about them is computed like any grower's"},
		{"demo", "gate", "the demo is a text and a generator; it needs no file and no network"},
		{"demo", "cmd", "a library does not know its commands"},
		{"decide", "gate", "a decision is a function of facts and the moment: it can be replayed, explained and tested without a network"},
		{"decide", "cmd", "a library does not know its commands"},
		{"gate", "cmd", "a library does not know its commands"},

		// Inside physics: who stands on whom.
		{"physics/air", "physics", "moist air, wind and convection stand alone"},
		{"physics/ground", "physics", "a soil column is driven by numbers, whatever they come from"},
		{"physics/sun", "physics", "where the sun stands depends on place and time only"},
		{"physics/sky", "physics/ground", "the sky's radiation knows air, not soil"},
		{"physics/sky", "physics/sun", "the sky's radiation is handed the solar hour"},
		{"physics/sky", "physics/cover", "the open sky is above every cover"},
		{"physics/sky", "physics/heat", "heat joins the parts; no part knows the whole"},
		{"physics/cover", "physics/ground", "a cloth does not know what lies below it"},
		{"physics/cover", "physics/sky", "a cloth is handed radiation, whatever sent it"},
		{"physics/cover", "physics/sun", "a cloth is handed radiation, whatever sent it"},
		{"physics/cover", "physics/heat", "heat joins the parts; no part knows the whole"},
		{"physics/burner", "physics", "a burner gives heat and gases; what takes them knows it, not the other way round"},

		// Inside nursery: the three facts are joined by decide/night, not by each other.
		{"nursery/site", "nursery", "the site names plants and weather by text, so that each can be edited and tested alone"},
		{"nursery/plant", "nursery", "what a kind tolerates does not depend on where it stands or what is forecast"},
		{"nursery/weather", "nursery", "the weather is the same whatever stands below it"},

		// Inside decide: what happens, then what it means for fire and fuel, then who gets what.
		{"decide/night", "decide", "a night is computed the same whatever is decided from it"},
		{"decide/labour", "decide", "how long a job takes is learned the same whoever planned it"},
		{"decide/fasten", "decide/plan", "a cover is held down the same whoever chose it"},
		{"decide/fasten", "decide/heating", "wind and fire meet in the plan"},
		{"decide/morning", "decide/plan", "a morning is looked at for any choice; who chose does not matter"},
		{"decide/heating", "decide/plan", "a failure is played through for any choice; who chose does not matter"},

		// Inside gate: each wraps one technology, and only pages and commands see several.
		{"gate/paper", "gate", "paper is laid out from the plan alone; the page and the command hand it over"},
		{"gate/ledger", "gate", "the database knows no page, feed or bell; they know it"},
		{"gate/people", "gate/web", "who may do what is decided the same, whatever page asks"},
		{"gate/people", "gate/feed", "who has joined does not depend on a forecast"},
		{"gate/feed", "gate/web", "forecasts arrive with nobody watching"},
		{"gate/sensor", "gate/web", "readings arrive with nobody watching"},
		{"gate/bell", "gate/web", "an alarm must leave when the pages are broken"},
	}
}

func TestImportDirection(t *testing.T) {
	rules := forbidden()
	edges := 0
	for _, f := range goFiles(t) {
		for _, imported := range f.imports() {
			to, ours := strings.CutPrefix(imported, module+"/")
			if !ours || to == f.pkg {
				continue
			}
			edges++
			for _, r := range rules {
				inLayer := strings.Contains(r.from, "/")
				if f.test && inLayer {
					continue // tests may compare neighbours; no test may reach up a layer
				}
				// A package may always import what is below its own folder (heat and heat/exact).
				if within(f.pkg, r.from) && within(to, r.to) && !within(to, r.from) {
					t.Errorf("%s imports %s: %s", f.path, to, r.why)
					break
				}
			}
		}
	}
	t.Logf("%d imports of our own packages looked at", edges)
}

// The rules themselves: all have a reason, and every pair of layers is covered in the wrong direction.
func TestImportRulesAreComplete(t *testing.T) {
	layers := []string{"measure", "physics", "nursery", "demo", "decide", "gate", "cmd"}
	have := map[[2]string]bool{}
	for _, r := range forbidden() {
		if r.why == "" {
			t.Errorf("%s -> %s: no reason given", r.from, r.to)
		}
		have[[2]string{r.from, r.to}] = true
	}
	for low := range layers {
		for high := low + 1; high < len(layers); high++ {
			if !have[[2]string{layers[low], layers[high]}] {
				t.Errorf("no rule against %s importing %s", layers[low], layers[high])
			}
		}
	}
}

// Every package stands in a layer, so that no rule is passed by standing beside the house.
func TestEveryPackageHasALayer(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range goFiles(t) {
		if seen[f.pkg] {
			continue
		}
		seen[f.pkg] = true
		if !belowGate(f.pkg) && !within(f.pkg, "gate") && !within(f.pkg, "cmd") && !within(f.pkg, "internal") {
			t.Errorf("package %s stands in no layer: measure, physics, nursery, demo, decide, gate, cmd", f.pkg)
		}
		for _, bag := range [...]string{"types", "model", "models", "util", "utils", "common", "service", "services", "helper", "helpers", "misc", "base", "shared"} {
			if f.tree.Name.Name == bag {
				t.Errorf("package %s: %q is a bag; name it after what it does", f.pkg, bag)
			}
		}
	}
}
