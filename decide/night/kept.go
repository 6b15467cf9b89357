package night

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"hash"
	"maps"
	"math"
	"reflect"
	"slices"
	"sync"
	"time"
)

// Kept remembers what has been worked out, by the mark of everything it was worked out
// from, so that a plan made again after one change works out only what the change
// touches. It belongs to the caller, and answers are the same with it and without.
// Safe for use by several at once; nil remembers nothing.
type Kept struct {
	mu   sync.Mutex
	had  map[Mark]*keep
	turn int
}

type keep struct {
	what any
	turn int // when it was last asked for
}

// Mark stands for a set of values: equal values have equal marks, others not, for all
// that chance can do (SHA-256).
type Mark [sha256.Size]byte

// Find returns what was put in under a mark.
func (k *Kept) Find(m Mark) (any, bool) {
	if k == nil {
		return nil, false
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	one, ok := k.had[m]
	if !ok {
		return nil, false
	}
	one.turn = k.turn
	return one.what, true
}

// Put remembers something that nobody may change any more.
func (k *Kept) Put(m Mark, what any) {
	if k == nil {
		return
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.had == nil {
		k.had = map[Mark]*keep{}
	}
	k.had[m] = &keep{what, k.turn}
}

// Turn forgets what nobody has asked for since the turn before: call it after each plan.
func (k *Kept) Turn() {
	if k == nil {
		return
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	maps.DeleteFunc(k.had, func(_ Mark, one *keep) bool { return one.turn < k.turn })
	k.turn++
}

// MarkOf is the mark of some values, with all they point to. Places in a file (fields
// named Line) are not looked at; functions count by where they stand.
func MarkOf(values ...any) Mark {
	m := marker{h: sha256.New()}
	for _, v := range values {
		m.value(reflect.ValueOf(v))
	}
	m.flush()
	return Mark(m.h.Sum(nil))
}

// marker feeds values to a hash, each behind what tells it from its neighbours.
type marker struct {
	h   hash.Hash
	buf []byte
}

func (m *marker) flush() { m.h.Write(m.buf); m.buf = m.buf[:0] }

func (m *marker) bits(v uint64) {
	if m.buf = binary.LittleEndian.AppendUint64(m.buf, v); len(m.buf) > 4096 {
		m.flush()
	}
}

func (m *marker) text(s string) {
	m.bits(uint64(len(s)))
	m.buf = append(m.buf, s...)
}

func (m *marker) value(v reflect.Value) {
	if !v.IsValid() {
		m.bits(0)
		return
	}
	switch v.Kind() {
	case reflect.Bool:
		m.bits(uint64(boolTo(v.Bool())))
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		m.bits(uint64(v.Int()))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uintptr:
		m.bits(v.Uint())
	case reflect.Float32, reflect.Float64:
		m.bits(math.Float64bits(v.Float()))
	case reflect.String:
		m.text(v.String())
	case reflect.Func:
		m.bits(uint64(v.Pointer()))
	case reflect.Slice, reflect.Array:
		m.bits(uint64(v.Len()))
		for i := range v.Len() {
			m.value(v.Index(i))
		}
	case reflect.Map:
		m.mapped(v)
	case reflect.Pointer, reflect.Interface:
		m.pointed(v)
	case reflect.Struct:
		m.structure(v)
	default:
		panic(fmt.Sprintf("night: no mark of a %s", v.Type()))
	}
}

// mapped marks each pair alone and puts the marks in order: maps have none.
func (m *marker) mapped(v reflect.Value) {
	var all []Mark
	for _, k := range v.MapKeys() {
		one := marker{h: sha256.New()}
		one.value(k)
		one.value(v.MapIndex(k))
		one.flush()
		all = append(all, Mark(one.h.Sum(nil)))
	}
	slices.SortFunc(all, func(a, b Mark) int { return slices.Compare(a[:], b[:]) })
	m.bits(uint64(len(all)))
	for i := range all {
		m.text(string(all[i][:]))
	}
}

func (m *marker) pointed(v reflect.Value) {
	if v.IsNil() {
		m.bits(0)
		return
	}
	m.bits(1)
	if v.Type() == reflect.TypeFor[*time.Location]() {
		if v.CanInterface() { // else it is part of a time that counts without it
			m.text(v.Interface().(*time.Location).String())
		}
		return
	}
	if v.Kind() == reflect.Interface {
		m.text(v.Elem().Type().String())
	}
	m.value(v.Elem())
}

func (m *marker) structure(v reflect.Value) {
	if v.Type() == reflect.TypeFor[time.Time]() && v.CanInterface() {
		t := v.Interface().(time.Time)
		m.bits(uint64(t.Unix()))
		m.bits(uint64(t.Nanosecond()))
		m.text(t.Location().String())
		return
	}
	for i := range v.NumField() {
		if v.Type().Field(i).Name != "Line" {
			m.value(v.Field(i))
		}
	}
}
