package web

import (
	"strings"
	"testing"

	"example.org/coldnight/decide/heating"
)

// The page tells the worst places that drip, one edge of several, and what an opening costs in heat.
func TestDripsAndDraughtOnThePage(t *testing.T) {
	v := stories(t)["heated"].view
	w := newVoice(v)
	h := v.Answer.Houses[0]
	h.Drips = []heating.Drip{
		{Place: "the N wall", Edge: true, Say: "the N wall drips from about 3 a.m. to 7 a.m."},
		{Place: "the S wall", Edge: true, Say: "the S wall drips as well"},
		{Place: "the cloth"},
		{Place: "the roof", Say: "the roof drips from about 4 a.m."},
		{Place: "the curtain", Say: "the curtain drips too"},
	}
	facts := w.dripFacts(h)
	if len(facts) != 2 || !strings.HasPrefix(facts[0].Say, "The N wall") || !strings.HasPrefix(facts[1].Say, "The roof") {
		t.Errorf("%+v", facts)
	}
	for _, h := range v.Answer.Houses {
		if !h.Opening.NeedsIt {
			continue
		}
		h.Draught = heating.Draught{Known: true, KWh: 12, OpenC: 3, ShutC: 4.5}
		said := ""
		for _, f := range w.airHere(h).Facts {
			if f.What == "In heat" {
				said = f.Say
			}
		}
		if !strings.Contains(said, "12") || !strings.Contains(said, "°") {
			t.Errorf("%q", said)
		}
		return
	}
	t.Error("no house with a flame in the story")
}
