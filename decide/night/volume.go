package night

import "example.org/coldnight/nursery/site"

// AirVolume is the air of a house, over a drawn curtain as well [m3]; 0 for a space
// that is none. An arch where the eaves are on the ground, else walls and a pitched roof.
func AirVolume(sp *site.Space) float64 {
	if sp.House == nil {
		return 0
	}
	b := &builder{space: sp}
	return b.houseShape().height * sp.AreaM2()
}
