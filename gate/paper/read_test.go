package paper

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"
)

// printed is one page as it is read back.
type printed struct {
	text    string // pieces, one a line
	words   string // the same with single spaces, for sentences that wrap
	sizes   map[float64]bool
	ys      []float64 // of the feet of the lines [pt from the foot of the page]
	content string
}

// readBack reads a PDF as this package writes it: the table of its objects must lead
// to every object, and each page's stream must inflate.
func readBack(t *testing.T, b []byte) (pages []printed, w, h float64) {
	t.Helper()
	if !bytes.HasPrefix(b, []byte("%PDF-1.")) || !bytes.HasSuffix(bytes.TrimSpace(b), []byte("%%EOF")) {
		t.Fatal("not a whole PDF")
	}
	m := regexp.MustCompile(`startxref\n(\d+)\n`).FindSubmatch(b)
	if m == nil {
		t.Fatal("no startxref")
	}
	at, _ := strconv.Atoi(string(m[1]))
	table := string(b[at:])
	if !strings.HasPrefix(table, "xref\n") {
		t.Fatal("startxref does not lead to the table of objects")
	}
	objects := map[int]int{}
	for i, line := range strings.Split(table, "\n")[2:] {
		var off, gen int
		var kind string
		if n, err := fmt.Sscanf(line, "%d %d %s", &off, &gen, &kind); n != 3 || err != nil {
			break
		}
		if kind != "n" {
			continue
		}
		if !bytes.HasPrefix(b[off:], fmt.Appendf(nil, "%d 0 obj", i)) {
			t.Fatalf("object %d is not where the table says", i)
		}
		objects[i] = off
	}
	box := regexp.MustCompile(`/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]`).FindSubmatch(b)
	if box == nil {
		t.Fatal("no MediaBox")
	}
	w, _ = strconv.ParseFloat(string(box[1]), 64)
	h, _ = strconv.ParseFloat(string(box[2]), 64)
	for _, c := range regexp.MustCompile(`(?s)<</Type /Page\n.{0,400}?/Contents (\d+) 0 R`).FindAllSubmatch(b, -1) {
		n, _ := strconv.Atoi(string(c[1]))
		pages = append(pages, readPage(t, b[objects[n]:]))
	}
	return pages, w, h
}

func readPage(t *testing.T, b []byte) printed {
	t.Helper()
	from := bytes.Index(b, []byte("stream\n"))
	z, err := zlib.NewReader(bytes.NewReader(b[from+len("stream\n"):]))
	if err != nil {
		t.Fatal(err)
	}
	raw, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	p := printed{content: string(raw), sizes: map[float64]bool{}}
	for _, m := range regexp.MustCompile(`/F\w+ ([0-9.]+) Tf`).FindAllSubmatch(raw, -1) {
		pt, _ := strconv.ParseFloat(string(m[1]), 64)
		p.sizes[pt] = true
	}
	for _, m := range regexp.MustCompile(`(?s)BT [0-9.-]+ ([0-9.-]+) Td \(((?:\\.|[^\\)])*)\) Tj ET`).FindAllSubmatch(raw, -1) {
		y, _ := strconv.ParseFloat(string(m[1]), 64)
		p.ys = append(p.ys, y)
		s := regexp.MustCompile(`(?s)\\(.)`).ReplaceAllFunc(m[2], func(e []byte) []byte {
			if e[1] == 'r' {
				return []byte{'\r'}
			}
			return e[1:]
		})
		var u []uint16
		for i := 0; i+1 < len(s); i += 2 {
			u = append(u, uint16(s[i])<<8|uint16(s[i+1]))
		}
		p.text += string(utf16.Decode(u)) + "\n"
	}
	p.words = strings.Join(strings.Fields(p.text), " ")
	// the parts that draw colour must be black or white alone
	for _, m := range regexp.MustCompile(`(?m)^(?:q )?([0-9.]+(?: [0-9.]+)*) (rg|RG|g|G|k|K)\b`).FindAllStringSubmatch(p.content, -1) {
		if strings.Trim(m[1], "01. ") != "" || len(m[2]) != 1 || m[2] == "k" || m[2] == "K" {
			t.Errorf("a colour: %q", m[0])
		}
	}
	return p
}

func wordsOf(pages []printed) string {
	var all []string
	for _, p := range pages {
		all = append(all, p.words)
	}
	return strings.Join(all, " ")
}
