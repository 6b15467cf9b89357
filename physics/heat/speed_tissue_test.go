package heat

import "testing"

// BenchmarkTissues runs gusty weeks of the cell under two cloths with the test tissues
// and without; the difference is what the tissues cost.
func BenchmarkTissues(b *testing.B) {
	for _, with := range []bool{false, true} {
		name, tissues := "without", []Tissue(nil)
		if with {
			name, tissues = "with", testTissues()
		}
		b.Run(name, func(b *testing.B) {
			w := speedWeek(0, true)
			s, err := New(testBed(2), tissues...)
			if err != nil {
				b.Fatal(err)
			}
			for range b.N {
				s.Begin(testStart(&w[0]))
				for i := 0; i+1 < len(w); i++ {
					if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
						b.Fatal(err)
					}
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/(float64(b.N)*168), "ns/cell-hour")
			b.ReportMetric(float64(len(tissues)), "tissues")
		})
	}
}
