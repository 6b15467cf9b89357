package demo_test

import (
	"bytes"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/demo"
	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/cover"
)

// known is what the decisions would let a site file use.
func known() site.Known {
	k := site.Known{Words: plant.Words()}
	for _, m := range cover.Materials() {
		k.Covers = append(append(k.Covers, m.Key, m.Name), m.Words...)
	}
	for _, c := range plant.Classes() {
		k.Tissues = append(k.Tissues, string(c))
	}
	return k
}

func parsed(t *testing.T) *site.Site {
	t.Helper()
	s, _, err := site.Parse(demo.Site(), demo.SiteName, known())
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestSiteParsesAndIsVaried(t *testing.T) {
	s := parsed(t)
	if n := len(s.Spaces); n < 14 || n > 20 {
		t.Errorf("%d spaces, want 14 to 20", n)
	}
	kinds, mixOnly, cold, heated := map[site.Kind]int{}, 0, 0, 0
	least, most := math.Inf(1), 0.0
	for i := range s.Spaces {
		sp := &s.Spaces[i]
		kinds[sp.Kind]++
		named := 0
		for k, g := range sp.Groups {
			if g.Plant != "" {
				named++
			}
			if g.Count > 0 {
				each := sp.WorthOf(k) / float64(g.Count)
				least, most = math.Min(least, each), math.Max(most, each)
			}
		}
		if named == 0 {
			mixOnly++
		}
		if sp.ColdAirFrom != "" {
			cold++
		}
		for _, sh := range sp.Shelters {
			if sh.Heated {
				heated++
			}
		}
	}
	for _, k := range []site.Kind{site.Bed, site.RaisedBed, site.Bench, site.LowHoop, site.Frame, site.ShadeHouse, site.TallHouse, site.Glasshouse} {
		if kinds[k] == 0 {
			t.Errorf("no space is a %s", k)
		}
	}
	if mixOnly != 1 || cold != 1 || heated != 1 {
		t.Errorf("%d spaces told by mix only, %d with cold air flowing in, %d by a heated house; want one of each", mixOnly, cold, heated)
	}
	if least > 1 || most < 500 {
		t.Errorf("one plant is worth %g to %g: want from a coin to irreplaceable", least, most)
	}
	people := 0
	for _, c := range s.Crew {
		people += c.People
	}
	if people != 4 {
		t.Errorf("a crew of %d, want 4", people)
	}
	weights := map[float64]bool{}
	for _, c := range s.Shed.Cloths {
		weights[c.Cloth.WeightKgM2] = true
	}
	if len(weights) != 3 || len(s.Shed.Cups) != 2 || len(s.Shed.Panels) == 0 || s.Shed.Clamps == 0 {
		t.Errorf("the shed has %d weights of cloth, %d kinds of cup, %d kinds of panel, %d clamps", len(weights), len(s.Shed.Cups), len(s.Shed.Panels), s.Shed.Clamps)
	}
}

// The heaters are those with the troubles of the trade: a fan that stops with the
// mains, a flame that breathes the house's air and shuts itself off, one without a
// thermostat on a cylinder that must be changed in the night, and electric heat.
func TestHeatIsVaried(t *testing.T) {
	s := parsed(t)
	kinds := map[site.HeaterKind]*site.Heater{}
	for i := range s.Heaters {
		kinds[s.Heaters[i].Kind] = &s.Heaters[i]
	}
	if len(s.Heaters) != 4 || len(kinds) != 4 {
		t.Fatalf("%d heaters of %d kinds, want one each of four", len(s.Heaters), len(kinds))
	}
	if h := kinds[site.VentedGas]; h == nil || !h.NeedsMains || h.SetpointC == nil || h.Circuit == "" {
		t.Errorf("the big heater: %+v; want a flue, a thermostat, and a fan on a circuit", h)
	} else if floor := s.Space(h.Space).AreaM2(); floor < 100 {
		t.Errorf("the big heater stands in a house of %.0f m2, want 100 or more", floor)
	}
	switch h := kinds[site.UnventedGas]; {
	case h == nil || h.CutoffO2 == 0 || h.NeedsMains:
		t.Errorf("the wall heater: %+v; want no flue, a low-oxygen device, no mains", h)
	default:
		sp := s.Space(h.Space)
		if sp.AreaM2() > 30 || sp.House.Leaks != site.Tight || sp.House.OpeningLowM2+sp.House.OpeningHighM2 != 0 {
			t.Errorf("the wall heater stands in %s, %.0f m2: want a small tight house without openings", sp.Name, sp.AreaM2())
		}
	}
	if h := kinds[site.TankTop]; h == nil || h.SetpointC != nil || s.Space(h.Space).Kind != site.TallHouse {
		t.Errorf("the tank-top burner: %+v; want none of a thermostat, in a tall house", h)
	}
	if h := kinds[site.Electric]; h == nil || h.Circuit == "" || h.Circuit == kinds[site.VentedGas].Circuit {
		t.Errorf("the fan heater: %+v; want a circuit of its own", h)
	}
	known := map[string]bool{}
	for _, c := range s.Cylinders {
		known[c.LeftFrom] = true
	}
	if !known["weight"] || !known["gauge"] || !known["hours"] || len(s.Cylinders) != 3 {
		t.Errorf("what is left in the %d sets of cylinders is known by %v; want the scale, the gauge and the hours, once each", len(s.Cylinders), known)
	}
	if len(s.Circuits) != 2 || len(s.Backups) != 1 || !s.Prices.Set {
		t.Errorf("%d circuits, %d backups, prices %v; want two, one and the prices", len(s.Circuits), len(s.Backups), s.Prices)
	}
	all := 0.0
	for i := range s.Heaters {
		if s.Heaters[i].NeedsMains {
			all += s.Heaters[i].MainsW
		}
	}
	if b := s.Backups; len(b) == 1 && b[0].PowerW >= all {
		t.Errorf("the generator of %.0f W carries all of %.0f W: nothing to choose", b[0].PowerW, all)
	}
}

// Cloth on the shelf is scarce on purpose: one layer over everything is not there.
func TestClothIsScarce(t *testing.T) {
	s := parsed(t)
	floor, cloth := 0.0, 0.0
	for i := range s.Spaces {
		floor += s.Spaces[i].AreaM2()
	}
	for _, c := range s.Shed.Cloths {
		if c.Condition != site.Torn {
			cloth += c.LengthM * c.WidthM * float64(c.Pieces)
		}
	}
	if r := cloth / floor; r < 0.5 || r > 1 { // and every cover needs more than the floor it covers
		t.Errorf("cloth for %.0f %% of the floor, want 50 to 100 %%", 100*r)
	}
}

// families says to which family the library's genus belongs (from memory; the
// families of these genera are not in dispute).
func families() map[string]string {
	return map[string]string{
		"acca": "Myrtaceae", "adiantum": "Pteridaceae", "agapanthus": "Amaryllidaceae", "agave": "Asparagaceae", "allium": "Amaryllidaceae",
		"aloe": "Asphodelaceae", "aloiampelos": "Asphodelaceae", "asparagus": "Asparagaceae", "austroblechnum": "Blechnaceae", "banksia": "Proteaceae",
		"blechnum": "Blechnaceae", "bougainvillea": "Nyctaginaceae", "brassica": "Brassicaceae", "brunfelsia": "Solanaceae", "callistemon": "Myrtaceae",
		"camellia": "Theaceae", "campanula": "Campanulaceae", "chamaerops": "Arecaceae", "citrus": "Rutaceae", "correa": "Rutaceae",
		"crassula": "Crassulaceae", "cussonia": "Araliaceae", "cycas": "Cycadaceae", "dais": "Thymelaeaceae", "dianthus": "Caryophyllaceae",
		"erica": "Ericaceae", "feijoa": "Myrtaceae", "eriobotrya": "Rosaceae", "euryops": "Asteraceae", "bursaria": "Pittosporaceae", "felicia": "Asteraceae", "gasteria": "Asphodelaceae", "grevillea": "Proteaceae",
		"hebe": "Plantaginaceae", "heuchera": "Saxifragaceae", "hibiscus": "Malvaceae", "lapageria": "Philesiaceae", "lavandula": "Lamiaceae",
		"luma": "Myrtaceae", "melaleuca": "Myrtaceae", "nephrolepis": "Nephrolepidaceae", "olea": "Oleaceae", "opuntia": "Cactaceae",
		"pelargonium": "Geraniaceae", "penstemon": "Plantaginaceae", "petroselinum": "Apiaceae", "phlox": "Polemoniaceae", "phoenix": "Arecaceae",
		"photinia": "Rosaceae", "phygelius": "Scrophulariaceae", "podocarpus": "Podocarpaceae", "polystichum": "Dryopteridaceae", "protea": "Proteaceae",
		"psidium": "Myrtaceae", "punica": "Lythraceae", "rhododendron": "Ericaceae", "salvia": "Lamiaceae", "sempervivum": "Crassulaceae",
		"spinacia": "Amaranthaceae", "strelitzia": "Strelitziaceae", "syagrus": "Arecaceae", "verbena": "Verbenaceae", "washingtonia": "Arecaceae",
		"yucca": "Asparagaceae",
	}
}

func succulent(group string) bool {
	if strings.HasPrefix(group, "cactus") {
		return true
	}
	switch group {
	case "agave", "aloe", "haworthia", "sansevieria", "crassulaceae", "euphorbia", "stapeliad", "succulent", "caudiciform":
		return true
	}
	return false
}

func TestGroupsResolve(t *testing.T) {
	lib, err := plant.New()
	if err != nil {
		t.Fatal(err)
	}
	s := parsed(t)
	family := families()
	groups, found, fat, own := 0, 0, 0, 0
	seen := map[string]bool{}
	for _, sp := range s.Spaces {
		for _, g := range sp.Groups {
			if g.Plant == "" {
				continue // told by word
			}
			groups++
			if g.SaleableC != nil {
				own++
			}
			m, ok := lib.Find(g.Plant)
			if !ok {
				t.Logf("not in the library, on purpose: %q", g.Plant)
				continue
			}
			found++
			if succulent(m.Group) {
				fat++
			}
			if f := family[m.Genus]; f == "" {
				t.Errorf("%s (%s): no family in the table of this test", g.Plant, m.Genus)
			} else {
				seen[f] = true
			}
		}
	}
	if groups < 60 {
		t.Errorf("%d groups, want at least 60", groups)
	}
	if len(seen) < 8 {
		t.Errorf("%d families, want at least 8", len(seen))
	}
	if 3*fat > groups {
		t.Errorf("%d of %d groups are succulents, want a third at most", fat, groups)
	}
	if float64(found) < 0.8*float64(groups) || found == groups {
		t.Errorf("%d of %d groups are in the library, want four in five, and not all", found, groups)
	}
	if own != 1 {
		t.Errorf("%d groups with the grower's own limit, want one", own)
	}
	t.Logf("%d groups of %d families, %d in the library, %d succulents", groups, len(seen), found, fat)
}

// The place is said twice: in the site file and in the weather's daylight.
func TestPlaceIsTheSame(t *testing.T) {
	s := parsed(t)
	start := demo.Start(2031)
	// the sun's own position is tested in physics/sun; here only that both mean one valley
	lat, lon, elev, offset := demo.Valley()
	if s.LatDeg != lat || s.LonDeg != lon || s.ElevationM != elev {
		t.Errorf("the site file says %g, %g, %g m; the weather %g, %g, %g m", s.LatDeg, s.LonDeg, s.ElevationM, lat, lon, elev)
	}
	if _, o := start.In(s.Zone).Zone(); time.Duration(o)*time.Second != offset {
		t.Errorf("the site's clock is %d s from Greenwich, the weather's %s", o, offset)
	}
	if start.In(s.Zone).Hour() != 0 {
		t.Errorf("the ten days start at %s, want midnight", start.In(s.Zone))
	}
}

// Nothing in the demo is somebody's: no title, firm or mark.
func TestNamesNobody(t *testing.T) {
	text := string(demo.Site()) + string(demo.CSV(demo.Weather(demo.Start(2031), 1)))
	if m := regexp.MustCompile(`(?i)\b(mr|mrs|ms|dr|prof|inc|ltd|llc|gmbh|pty|corp|co\.|brand)\b|[®™©]|@|\bwww\.|https?:`).FindString(text); m != "" {
		t.Errorf("%q names somebody, or a mark", m)
	}
	if !strings.Contains(string(demo.Site()), "invented") {
		t.Error("the site file does not say that it is invented")
	}
	for _, c := range parsed(t).Crew {
		if c.Name != strings.ToLower(c.Name) {
			t.Errorf("%q looks like a person's name: the crew is named by its work", c.Name)
		}
	}
}

func TestSiteIsACopy(t *testing.T) {
	a := demo.Site()
	clear(a)
	if bytes.Equal(a, demo.Site()) {
		t.Error("the caller can change the text of the site")
	}
}

func TestWeatherRoundTrip(t *testing.T) {
	start := demo.Start(2031)
	want := demo.Weather(start, 7)
	f, err := weather.ReadCSV(bytes.NewReader(demo.CSV(want)))
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Members) != 1 {
		t.Fatalf("%d members, want 1", len(f.Members))
	}
	got := f.Members[0]
	if len(got.Notes) != 0 {
		t.Errorf("the reader had to say: %q", got.Notes)
	}
	if got.Source != want.Source || got.Station != want.Station || !got.Issued.Equal(want.Issued) || got.Step != want.Step {
		t.Errorf("read %q %q %s %s, want %q %q %s %s", got.Source, got.Station, got.Issued, got.Step, want.Source, want.Station, want.Issued, want.Step)
	}
	if got.IntervalOf(weather.Rain) != weather.MeanEnding || got.IntervalOf(weather.Air) != weather.Instant {
		t.Error("the meaning of the stamps is lost")
	}
	if len(got.Rows) != len(want.Rows) || len(got.Rows) != demo.Days*24+1 {
		t.Fatalf("%d rows read of %d", len(got.Rows), len(want.Rows))
	}
	for i := range got.Rows {
		if !got.Rows[i].Time.Equal(want.Rows[i].Time) {
			t.Fatalf("row %d is at %s, want %s", i, got.Rows[i].Time, want.Rows[i].Time)
		}
		for c := range weather.NColumns {
			g, w := *got.Rows[i].At(c), *want.Rows[i].At(c)
			if g != w && !(math.IsNaN(g) && math.IsNaN(w)) {
				t.Fatalf("row %d, %s: read %g, want %g", i, c, g, w)
			}
		}
	}
}

func TestWeatherIsDeterminedByStartAndSeed(t *testing.T) {
	start := demo.Start(2031)
	one := demo.CSV(demo.Weather(start, 3))
	if !bytes.Equal(one, demo.CSV(demo.Weather(start.UTC(), 3))) {
		t.Error("the same start and seed give other weather")
	}
	if bytes.Equal(one, demo.CSV(demo.Weather(start, 4))) {
		t.Error("another seed gives the same weather")
	}
	if !bytes.Contains(one, []byte("nvented")) {
		t.Error("the weather is not marked as invented")
	}
}

// night sums up the dark hours from one evening to the next morning.
type night struct {
	low, depression, wind, gust, cloud float64
}

func nights(s weather.Series, start time.Time) []night {
	var out []night
	for d := range demo.Days - 1 {
		n := night{low: math.Inf(1)}
		count := 0.0
		for _, r := range s.Rows {
			// from 18 h to 7 h: dark at midwinter in this latitude
			if h := r.Time.Sub(start).Hours() - float64(24*d); h < 18 || h > 31 {
				continue
			}
			n.low, n.gust = math.Min(n.low, r.AirC), math.Max(n.gust, r.GustMS)
			n.wind += r.WindMS
			n.cloud += r.CloudFrac
			n.depression += r.AirC - r.DewC
			count++
		}
		n.wind, n.cloud, n.depression = n.wind/count, n.cloud/count, n.depression/count
		out = append(out, n)
	}
	return out
}

// The criteria are ours: a radiation frost falls below 0 °C with a mean wind below
// 2 m/s at 10 m, a tenth of cloud at most, and air 2 K or more above its dew
// point; a windy freeze below -5 °C with a mean wind of 5 m/s or more and gusts of 10.
func TestWeatherHasOneRadiationFrostAndAWindyFreeze(t *testing.T) {
	start := demo.Start(2031)
	for seed := range uint64(40) {
		s := demo.Weather(start, seed)
		var calm, windy []int
		for d, n := range nights(s, start) {
			if seed == 1 {
				t.Logf("night %d: low %.1f °C, wind %.1f, gust %.1f m/s, cloud %.2f, %.1f K dry", d, n.low, n.wind, n.gust, n.cloud, n.depression)
			}
			if n.low < 0 && n.wind < 2 && n.cloud <= 0.1 && n.depression >= 2 {
				calm = append(calm, d)
			}
			if n.low < -5 && n.wind >= 5 && n.gust >= 10 {
				windy = append(windy, d)
			}
			if freezes := n.low < 0; freezes != (d >= 3 && d <= 6) {
				t.Errorf("seed %d, night %d: low of %.1f °C", seed, d, n.low)
			}
			if n.low < -10.5 {
				t.Errorf("seed %d, night %d: %.1f °C is colder than meant", seed, d, n.low)
			}
		}
		if len(calm) != 1 || calm[0] != 3 {
			t.Errorf("seed %d: radiation frost in nights %v, want night 3 alone", seed, calm)
		}
		if len(windy) < 2 || windy[0] != 4 {
			t.Errorf("seed %d: windy freeze in nights %v, want two or more from night 4", seed, windy)
		}
	}
}

func TestNowIsTheMorningBeforeTheFirstFreeze(t *testing.T) {
	start := demo.Start(2031)
	now := demo.Now(start)
	s := demo.Weather(start, 1)
	if h := now.Sub(start).Hours(); math.Mod(h, 24) < 8 || math.Mod(h, 24) > 11 {
		t.Errorf("now is %s, want mid-morning", now)
	}
	if s.Issued.After(now) || now.Sub(s.Issued) > 6*time.Hour {
		t.Errorf("the forecast of %s is not the morning's, seen from %s", s.Issued, now)
	}
	for _, r := range s.Rows {
		freezes := r.AirC < 0
		switch {
		case freezes && !r.Time.After(now):
			t.Errorf("it froze already at %s", r.Time)
		case freezes:
			if ahead := r.Time.Sub(now); ahead > 24*time.Hour {
				t.Errorf("the first freeze is %s ahead, want the coming night", ahead)
			}
			return
		}
	}
	t.Error("it never freezes")
}
