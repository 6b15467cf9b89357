package sun

import "math"

// ThroughCloud returns the share of clear-sky sunshine that a sky covered to cloud
// (0-1) lets through [-]: 1 when clear, 0.25 when overcast. KC80, ten years of Hamburg;
// single hours scatter by 0.1-0.2, most under broken cloud.
func ThroughCloud(cloud float64) float64 {
	return 1 - 0.75*math.Pow(clamp01(cloud), 3.4) // KC80 Eq 3
}

// CloudFromSun returns the cloud cover [0-1] that would let through the share clearness
// of the clear-sky sunshine. The inverse of [ThroughCloud], and as rough: cover below
// 0.4 hardly dims the sun, so a clear-looking value may be 0 or 0.4.
func CloudFromSun(clearness float64) float64 {
	return clamp01(math.Pow(math.Max(1-clearness, 0)/0.75, 1/3.4)) // KC80 Eq 3 turned round
}

func clamp01(x float64) float64 { return math.Min(math.Max(x, 0), 1) }
