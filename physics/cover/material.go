package cover

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// Kind says what sort of thing a material is.
type Kind string

// Kinds of materials.
const (
	Cloth   Kind = "cloth"
	Film    Kind = "film"
	Glazing Kind = "glazing"
	Curtain Kind = "curtain"
	Net     Kind = "net"
	Cup     Kind = "cup"
)

// Grade says how a row is known.
type Grade string

// Grades, best first.
const (
	Measured Grade = "measured" // a published measurement of such a material
	Computed Grade = "computed" // from published optical constants
	Weak     Grade = "weak"     // bracketed, remembered or judged; wide spread
)

// Material is one row of the table of covers.
type Material struct {
	Key   string   // short name, unique
	Name  string   // what a grower calls it
	Words []string // other words for it
	Kind  Kind
	Walls int     // sheets of which it is made (2 for twin-wall)
	GapM  float64 // width of the air between its walls [m]

	ArealKgM2    float64 // mass of all walls [kg/m2]
	CapacityJM2K float64 // heat capacity of all walls [J/m2K]
	InnerR       float64 // thermal resistance between its faces [m2K/W]

	Dry, Wet      Optic   // longwave, of one wall
	DrySpread     float64 // one standard deviation of the dry Tau and Eps [-]
	WetSpread     float64 // the same, wet
	SolarDry      SolarOptic
	SolarWet      SolarOptic
	SolarSpread   float64 // one standard deviation of the solar Tau [-]
	AirResistance float64 // pressure drop per face velocity [Pa s/m]; +Inf for tight sheets
	AirSpread     float64 // one standard deviation of its natural logarithm
	HoldKgM2      float64 // water held per face (film) or in all (cloth) before it drips [kg/m2]
	Drops         bool    // water sits as drops (Kon) and not as a closed film
	Source        string  // source key, see doc/SOURCES.md
	Grade         Grade   // of the longwave values
}

//go:embed materials.csv
var materialsCSV []byte

// Materials returns the built-in table. It panics if the table is broken, which
// a test rules out.
func Materials() []Material {
	m, err := ReadMaterials(bytes.NewReader(materialsCSV))
	if err != nil {
		panic("cover: built-in materials: " + err.Error())
	}
	return m
}

// Find returns the material of a key, a name or one of its words, without
// regard to case.
func Find(table []Material, word string) (Material, bool) {
	word = strings.TrimSpace(word)
	for _, m := range table {
		if strings.EqualFold(m.Key, word) || strings.EqualFold(m.Name, word) {
			return m, true
		}
	}
	for _, m := range table {
		for _, w := range m.Words {
			if strings.EqualFold(w, word) {
				return m, true
			}
		}
	}
	return Material{}, false
}

// RowError says where a table of materials is wrong.
type RowError struct {
	Line, Column int    // from 1; Column counts bytes of the line
	Field        string // heading of the column
	What         string // what is wrong, and what to do
}

func (e *RowError) Error() string {
	return fmt.Sprintf("%d:%d: %s: %s", e.Line, e.Column, e.Field, e.What)
}

// columns of the file, in order.
var columns = [...]string{
	"key", "name", "words", "kind", "walls", "gap_m", "areal_kg_m2", "capacity_j_m2k", "inner_r_m2k_w",
	"dry_tau", "dry_eps", "dry_spread", "wet_tau", "wet_eps", "wet_spread",
	"sun_dry_tau", "sun_dry_abs", "sun_wet_tau", "sun_wet_abs", "sun_spread",
	"air_pa_s_m", "air_spread", "hold_kg_m2", "water", "source", "grade",
}

// ReadMaterials reads a table of materials: comma separated, a heading line as
// in the built-in table, lines starting with # ignored. Reflectances are what
// is left of 1. The first mistake is returned as a [*RowError].
func ReadMaterials(r io.Reader) ([]Material, error) {
	c := csv.NewReader(r)
	c.Comment = '#'
	c.FieldsPerRecord = -1
	head, err := c.Read()
	if err != nil {
		return nil, readError(c, err, "a heading line is missing")
	}
	if strings.Join(head, ",") != strings.Join(columns[:], ",") {
		return nil, &RowError{1, 1, "heading", "write exactly " + strings.Join(columns[:], ",")}
	}
	var out []Material
	seen := map[string]bool{}
	for {
		row, err := c.Read()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return nil, readError(c, err, "")
		}
		m, err := parseRow(c, row)
		if err != nil {
			return nil, err
		}
		if seen[strings.ToLower(m.Key)] {
			line, col := c.FieldPos(0)
			return nil, &RowError{line, col, "key", fmt.Sprintf("%q is there twice; give each row its own key", m.Key)}
		}
		seen[strings.ToLower(m.Key)] = true
		out = append(out, m)
	}
}

func readError(c *csv.Reader, err error, missing string) error {
	var pe *csv.ParseError
	if errors.As(err, &pe) {
		return &RowError{pe.Line, pe.Column, "row", pe.Err.Error()}
	}
	if errors.Is(err, io.EOF) {
		return &RowError{1, 1, "heading", missing}
	}
	return fmt.Errorf("reading materials: %w", err)
}

// fields reads one row and keeps the first mistake.
type fields struct {
	c   *csv.Reader
	row []string
	err *RowError
}

func (f *fields) fail(i int, what string) {
	if f.err == nil {
		line, col := f.c.FieldPos(i)
		f.err = &RowError{line, col, columns[i], what}
	}
}

// number reads column i, which must lie in lo..hi.
func (f *fields) number(i int, lo, hi float64) float64 {
	v, err := strconv.ParseFloat(strings.TrimSpace(f.row[i]), 64)
	if err != nil || math.IsNaN(v) {
		f.fail(i, fmt.Sprintf("%q is not a number", f.row[i]))
		return lo
	}
	if v < lo || v > hi {
		f.fail(i, fmt.Sprintf("%g must lie between %g and %g", v, lo, hi))
		return lo
	}
	return v
}

func parseRow(c *csv.Reader, row []string) (Material, error) {
	if len(row) != len(columns) {
		line, col := c.FieldPos(0)
		return Material{}, &RowError{
			line, col, "row",
			fmt.Sprintf("has %d fields; %d are needed", len(row), len(columns)),
		}
	}
	f := &fields{c: c, row: row}
	m := Material{Key: strings.TrimSpace(row[0]), Name: strings.TrimSpace(row[1]), Kind: Kind(row[3])}
	if m.Key == "" || m.Name == "" {
		f.fail(0, "key and name must not be empty")
	}
	for w := range strings.SplitSeq(row[2], ";") {
		if w = strings.TrimSpace(w); w != "" {
			m.Words = append(m.Words, w)
		}
	}
	switch m.Kind {
	case Cloth, Film, Glazing, Curtain, Net, Cup:
	default:
		f.fail(3, fmt.Sprintf("no kind %q; write cloth, film, glazing, curtain, net or cup", row[3]))
	}
	m.Walls = int(f.number(4, 1, 5))
	m.GapM = f.number(5, 0, 0.2)
	m.ArealKgM2 = f.number(6, 1e-3, 50)
	m.CapacityJM2K = f.number(7, 1, 1e5)
	m.InnerR = f.number(8, 0, 5)
	m.Dry = f.optic(9, 10)
	m.DrySpread = f.number(11, 0, 0.5)
	m.Wet = f.optic(12, 13)
	m.WetSpread = f.number(14, 0, 0.5)
	m.SolarDry = f.solar(15, 16)
	m.SolarWet = f.solar(17, 18)
	m.SolarSpread = f.number(19, 0, 0.5)
	m.AirResistance = f.number(20, 0.1, math.Inf(1))
	m.AirSpread = f.number(21, 0, 2)
	m.HoldKgM2 = f.number(22, 0, 10)
	switch row[23] {
	case "drops":
		m.Drops = true
	case "film":
	default:
		f.fail(23, fmt.Sprintf("water sits as drops or as a film, not as %q", row[23]))
	}
	m.Source = strings.TrimSpace(row[24])
	if m.Source == "" {
		f.fail(24, "a source key is needed")
	}
	m.Grade = Grade(row[25])
	switch m.Grade {
	case Measured, Computed, Weak:
	default:
		f.fail(25, fmt.Sprintf("no grade %q; write measured, computed or weak", row[25]))
	}
	if f.err != nil {
		return Material{}, f.err
	}
	return m, nil
}

// optic reads transmissivity and emissivity; the rest is reflected.
func (f *fields) optic(i, j int) Optic {
	tau, eps := f.number(i, 0, 1), f.number(j, 0, 1)
	if tau+eps > 1 {
		f.fail(j, fmt.Sprintf("passed %g and absorbed %g are together above 1", tau, eps))
		return Optic{}
	}
	return Optic{Tau: tau, Rho: 1 - tau - eps, Eps: eps}
}

func (f *fields) solar(i, j int) SolarOptic {
	o := f.optic(i, j)
	return SolarOptic{Tau: o.Tau, Rho: o.Rho, Abs: o.Eps}
}
