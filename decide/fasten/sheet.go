package fasten

import (
	"math"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/cover"
)

// Judgement where no source is named.
const (
	cropM        = 0.3  // height of a crop nobody wrote down [m]
	leastCropM   = 0.15 // of what lies under a sheet [m]
	windwardMore = 1.25 // pull on a windward side over the mean of the sides
	cornerMore   = 2.0  // pull near a corner over that of the side: the zones F and G of EN 1991-1-4 Table 7.2 stand like that
	cornerM      = 0.5  // reach of a corner along the side [m]
	apartM       = 1.2  // between two holders in a gust of apartMS: a bay of usual hoops
	apartMS      = 8.0  // [m/s]
	mostApartM   = 3.0  // in calm air
	hemWideM     = 0.15 // hem under soil
	hemDeepM     = 0.05
	soilKgM3     = 1400.0
	dryLeft      = 0.5 // of dry soil on a hem, what the wind leaves: one grower's blew off in gusts of 13 m/s
)

// sheet is a cover as the wind sees it.
type sheet struct {
	space      *site.Space
	shape      cover.Shape
	spanM      float64 // between the hems, the short way
	topM       float64 // height in the wind [m]
	lift       float64 // mean net coefficient
	angle      float64 // of the cloth at the hem [rad]
	resistance float64 // to air, all layers [Pa s/m]
	kgM2       float64 // all layers
	roughM     float64
	sides      []edge
	soil       float64    // upward pull a buried hem takes [N/m]; 0 without
	each       [3]float64 // upward pull that one clamp, pin, weight takes [N]; 0: of no use here
	shovel     float64    // the same of a heaped shovel of soil
}

type edge struct {
	faces    site.Direction
	length   float64
	windward bool
}

// sheetOf reads what lies on a space; ok is false when there is nothing to hold.
func sheetOf(a Ask, stock Stock) (sh sheet, ok bool, err error) {
	sp := a.Space
	if sp.House != nil || len(a.Protection.Covers) == 0 {
		return sheet{}, false, nil
	}
	crop, high := 0.0, 0.0
	for _, g := range sp.Groups {
		crop = math.Max(crop, g.HeightM)
	}
	if crop == 0 {
		crop = cropM
	}
	sh = sheet{space: sp, roughM: night.Roughness(a.Scene.Site.Surroundings)}
	for _, c := range a.Protection.Covers {
		m, err := a.Scene.Material(c.Cloth)
		if err != nil {
			return sheet{}, false, err
		}
		n := float64(max(c.Layers, 1))
		sh.resistance += n * m.AirResistance
		sh.kgM2 += n * m.ArealKgM2
		high = math.Max(high, c.HeightM)
	}
	sh.stand(math.Max(crop, leastCropM), high)
	sh.hold(a.Scene.Site, stock)
	for i, deg := range [4]float64{0, 180, 90, 270} {
		bearing := sp.Axis.Deg() + deg
		e := edge{faces: toward(bearing), length: sp.WidthM, windward: windward(a.Gusts, bearing)}
		if i >= 2 {
			e.length = sp.LengthM
		}
		sh.sides = append(sh.sides, e)
	}
	return sh, true, nil
}

// stand fills in shape, coefficients and the angle of the hem.
func (sh *sheet) stand(crop, high float64) {
	sp := sh.space
	short, long := math.Min(sp.WidthM, sp.LengthM), math.Max(sp.WidthM, sp.LengthM)
	inside := cover.InsideOpen
	if sp.Hem == site.Sealed {
		inside = cover.InsideSealed
	}
	top := math.Max(high, crop)
	sh.topM = sp.BenchHeightM + top
	sh.spanM = short
	switch {
	case high > 0 && (sp.Kind == site.ShadeHouse || sp.Kind == site.Frame):
		sh.shape, sh.angle = cover.Tent, math.Pi/2
	case high > 0:
		sh.shape, sh.angle = cover.Tunnel, cover.FootAngle(short, high)
	default:
		// the hem lies half a crop's height outside the plants, the cloth slopes down to it
		sh.shape = cover.Flat
		sh.spanM = short + crop
		sh.angle = cover.BillowAngle((short+2*math.Hypot(crop, crop/2))/sh.spanM - 1)
	}
	sh.lift = cover.Lift(sh.shape, short, long, top, inside)
}

// hold fills in what one holder takes here.
func (sh *sheet) hold(s *site.Site, stock Stock) {
	sp := sh.space
	up := math.Sin(sh.angle)                              // upward share of a pull along the cloth
	bench := sp.Kind == site.Bench || sp.BenchHeightM > 0 // the hem hangs from it
	ground := sp.Ground
	if ground.Texture == "" {
		ground = s.Ground
	}
	if sh.shape != cover.Flat || bench {
		sh.each[0] = up * cover.ClampHold(sh.kgM2) // a hoop, rail or bench to clamp to
	}
	if !bench {
		grip := cover.GripOf(string(ground.Texture), string(ground.Moisture))
		sh.each[1] = math.Min(cover.PinHold(grip, stock.PinM, stock.WireM), up*cover.TearHold(sh.kgM2))
	}
	sh.each[2] = cover.WeightHold(stock.WeightKg, sh.angle)
	if !bench && ground.Texture != site.Concrete {
		sh.shovel = cover.WeightHold(shovelKg, sh.angle)
	}
	if sp.Hem == site.Sealed && !bench {
		sh.soil = cover.SoilHold(hemWideM, hemDeepM, soilKgM3, sh.angle)
		if ground.Moisture == site.Dry {
			sh.soil *= dryLeft
		}
	}
}

// up returns the upward pull on a metre of hem, away from windward sides and corners,
// in a gust [m/s] of 10 m at this place [N/m].
func (sh *sheet) up(gust float64) float64 {
	u := cover.GustAt(gust, windM, sh.topM, sh.roughM)
	lift := cover.ClothLoad(sh.lift*cover.WindPressure(u), sh.resistance)
	lift -= sh.kgM2 * 9.81
	return cover.HemPull(math.Max(lift, 0), sh.spanM, sh.angle).Up
}

// pull returns the upward pull on a side [N]: more to windward and at its two corners.
func (sh *sheet) pull(e edge, gust float64) float64 {
	corner := math.Min(cornerM, e.length/4)
	n := sh.up(gust) * (e.length + 2*corner*(cornerMore-1))
	if e.windward {
		n *= windwardMore
	}
	return n
}

// fewest is how many holders a side must have so that its hem does not gape between
// them in a gust [m/s].
func (sh *sheet) fewest(e edge, gust float64) int {
	apart := mostApartM
	if u := cover.GustAt(gust, windM, sh.topM, sh.roughM); u > 0 {
		apart = math.Min(mostApartM, apartM*apartMS/u)
	}
	apart = math.Max(apart, apartM)
	if e.windward {
		apart /= windwardMore
	}
	return max(int(math.Ceil(e.length/apart-1e-9)), 2)
}

// toward is the compass word nearest to a bearing.
func toward(deg float64) site.Direction {
	words := [...]site.Direction{"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"}
	n := int(math.Round(math.Mod(deg, 360)/22.5)) % len(words)
	return words[(n+len(words))%len(words)]
}
