package ledger

import (
	"bytes"
	"testing"
)

// Whatever a damaged row holds: an error, or exactly as many bytes as were written down. What is packed comes back.
func FuzzUnpack(f *testing.F) {
	seeds := 0
	for _, text := range []string{"", "time,air_c\n2031-01-14T18:00:00Z,-4\n", "\x00\xff", string(make([]byte, 5000))} { // invented
		packed, err := pack([]byte(text))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(packed, int64(len(text)))
		f.Add(packed[:len(packed)/2], int64(len(text)))
		f.Add(packed, int64(len(text)-1))
		seeds += 3
	}
	if seeds != 12 {
		f.Fatalf("%d seeds, want 12", seeds)
	}
	f.Fuzz(func(t *testing.T, packed []byte, size int64) {
		if raw, err := unpack(packed, size); err == nil && int64(len(raw)) != size {
			t.Fatalf("%d bytes where %d were kept", len(raw), size)
		}
		again, err := pack(packed)
		if err != nil {
			t.Fatal(err)
		}
		if raw, err := unpack(again, int64(len(packed))); err != nil || !bytes.Equal(raw, packed) {
			t.Fatalf("%d bytes came back of %d, %v", len(raw), len(packed), err)
		}
	})
}
