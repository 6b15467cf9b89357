package site

import (
	"reflect"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// decoder fills a fileRoot from the text. It walks the syntax tree itself instead of unmarshalling, so that every value
// keeps its place, one bad value does not hide the next, and no message speaks of Go.
type decoder struct {
	*page
	known    Known
	problems Problems
	root     fileRoot
	meant    []meant
}

// meant is a key that a misspelt one in the table at that place stands for; it is not complained about as missing.
type meant struct {
	table span
	key   string
}

func (d *decoder) complain(at span, text, hint string) {
	d.problems = append(d.problems, d.problem(at, text, hint))
}

// run fills the tables from the lines that can be read, and reports whether that was all of them.
func (d *decoder) run() bool {
	data, ok := d.syntax()
	if !ok {
		return false
	}
	unread := len(d.problems)
	var p unstable.Parser
	p.Reset(data)
	var current reflect.Value
	var name string
	for p.NextExpression() {
		e := p.Expression()
		switch e.Kind {
		case unstable.Table, unstable.ArrayTable:
			current, name = d.header(e)
		case unstable.KeyValue:
			if name == "" && current == (reflect.Value{}) {
				current = reflect.ValueOf(&d.root).Elem()
			}
			if current.IsValid() {
				d.keyValue(current, name, e)
			}
		}
	}
	if err := p.Error(); err != nil { // the reader before has accepted the text, so this is not expected
		d.complain(span{}, "this file cannot be read: "+err.Error(), "a line is: key = \"value\"")
		return false
	}
	return unread == 0
}

// header finds or makes the table a [header] or [[header]] opens. An unknown one gives a zero Value: its keys are skipped,
// as the header is complained about already.
func (d *decoder) header(e *unstable.Node) (reflect.Value, string) {
	v := reflect.ValueOf(&d.root).Elem()
	var path []string
	it := e.Key()
	for it.Next() {
		k := it.Node()
		key, at := string(k.Data), span{int(k.Raw.Offset), int(k.Raw.Length)}
		field, ok := fieldOf(v.Type(), key)
		path = append(path, key)
		if !ok || field.Type == reflect.TypeFor[value]() {
			d.unknownTable(at, v.Type(), path)
			return reflect.Value{}, strings.Join(path, ".")
		}
		v = v.FieldByIndex(field.Index)
		list, last := v.Kind() == reflect.Slice, it.IsLast()
		switch {
		case list && last && e.Kind == unstable.Table:
			d.complain(at, "["+strings.Join(path, ".")+"] has single brackets and there may be several", "write [["+strings.Join(path, ".")+"]]")
		case !list && last && e.Kind == unstable.ArrayTable:
			d.complain(at, "[["+strings.Join(path, ".")+"]] has double brackets and there is only one", "write ["+strings.Join(path, ".")+"]")
		}
		switch {
		case list && last:
			v.Set(reflect.Append(v, reflect.Zero(v.Type().Elem())))
			v = v.Index(v.Len() - 1)
		case list && v.Len() == 0:
			d.complain(at, "["+string(d.raw(e))+"] stands before any [["+key+"]]", "put it below the [["+key+"]] it belongs to")
			return reflect.Value{}, strings.Join(path, ".")
		case list:
			v = v.Index(v.Len() - 1)
		case v.Kind() == reflect.Pointer:
			if v.IsNil() {
				v.Set(reflect.New(v.Type().Elem()))
			}
			v = v.Elem()
		}
		if last {
			v.FieldByName("At").Set(reflect.ValueOf(at))
		}
	}
	return v, strings.Join(path, ".")
}

// raw returns the key of a header as written.
func (d *decoder) raw(e *unstable.Node) []byte {
	it, first, last := e.Key(), -1, 0
	for it.Next() {
		r := it.Node().Raw
		if first < 0 {
			first = int(r.Offset)
		}
		last = int(r.Offset + r.Length)
	}
	return d.data[max(first, 0):last]
}

// keyValue stores one `key = value` of the table v.
func (d *decoder) keyValue(v reflect.Value, table string, e *unstable.Node) {
	it := e.Key()
	for it.Next() {
		k := it.Node()
		key, at := string(k.Data), span{int(k.Raw.Offset), int(k.Raw.Length)}
		field, ok := fieldOf(v.Type(), key)
		if !ok {
			d.unknownKey(at, v.FieldByName("At").Interface().(span), v.Type(), table, key)
			return
		}
		f := v.FieldByIndex(field.Index)
		if f.Type() == reflect.TypeFor[value]() {
			if !it.IsLast() {
				d.complain(at, key+" is a single value, it has no parts", "write "+key+" = "+field.Tag.Get("eg"))
				return
			}
			f.Set(reflect.ValueOf(d.read(field, at, e.Value())))
			return
		}
		table = strings.TrimPrefix(table+"."+key, ".")
		if it.IsLast() {
			d.inline(f, table, at, e.Value())
			return
		}
		if f.Kind() == reflect.Slice {
			d.complain(at, key+" may stand several times", "write it as [["+table+"]] with its keys below")
			return
		}
		v = d.open(f, at)
	}
}

// open returns the table in a field, made if need be.
func (d *decoder) open(f reflect.Value, at span) reflect.Value {
	if f.Kind() == reflect.Pointer {
		if f.IsNil() {
			f.Set(reflect.New(f.Type().Elem()))
		}
		f = f.Elem()
	}
	if a := f.FieldByName("At"); a.IsZero() {
		a.Set(reflect.ValueOf(at))
	}
	return f
}

// inline stores `house = { ... }` and `group = [{ ... }, { ... }]`.
func (d *decoder) inline(f reflect.Value, table string, at span, n *unstable.Node) {
	list := f.Kind() == reflect.Slice
	switch {
	case n.Kind == unstable.InlineTable && !list:
		v := d.open(f, at)
		it := n.Children()
		for it.Next() {
			if it.Node().Kind == unstable.KeyValue {
				d.keyValue(v, table, it.Node())
			}
		}
	case n.Kind == unstable.Array && list:
		it := n.Children()
		for it.Next() {
			c := it.Node()
			if c.Kind == unstable.Comment {
				continue
			}
			if c.Kind != unstable.InlineTable {
				d.complain(at, table+" is a list of tables", "write [["+table+"]] with its keys below")
				return
			}
			f.Set(reflect.Append(f, reflect.Zero(f.Type().Elem())))
			v := d.open(f.Index(f.Len()-1), at)
			in := c.Children()
			for in.Next() {
				if in.Node().Kind == unstable.KeyValue {
					d.keyValue(v, table, in.Node())
				}
			}
		}
	case list:
		d.complain(at, table+" is a list of tables", "write [["+table+"]] with its keys below")
	default:
		d.complain(at, table+" is a table", "write ["+table+"] with its keys below")
	}
}

// fieldOf finds the field of a key.
func fieldOf(t reflect.Type, key string) (reflect.StructField, bool) {
	for f := range t.Fields() {
		if f.Tag.Get("toml") == key && key != "" {
			return f, true
		}
	}
	return reflect.StructField{}, false
}

// keysOf lists the keys of single values, or the names of tables.
func keysOf(t reflect.Type, tables bool) []string {
	var out []string
	for f := range t.Fields() {
		if name := f.Tag.Get("toml"); name != "" && (f.Type != reflect.TypeFor[value]()) == tables {
			out = append(out, name)
		}
	}
	return out
}

func (d *decoder) unknownKey(at, parent span, t reflect.Type, table, key string) {
	where := headerOf(table)
	text := "there is no key " + quote(key) + " in " + where
	if table == "" {
		where, text = "the top of the file", "the key "+quote(key)+" stands before any table"
	}
	hint := "keys here are " + listed(keysOf(t, false))
	if near := nearest(key, keysOf(t, false)); near != "" {
		hint = "did you mean " + near + "?"
		d.meant = append(d.meant, meant{parent, near})
	} else if home := d.homeOf(key, table); home != "" {
		hint = "it belongs to " + home + ": move it below that header, above the next one"
	} else if len(keysOf(t, false)) == 0 {
		hint = "the file starts with [site]"
	} else if near := nearest(key, keysOf(t, true)); near != "" {
		hint = "that is a table of " + where + ", write it as a header of its own"
	}
	d.complain(at, text, hint)
}

// homeOf names the table a misplaced key belongs to, the one above first.
func (d *decoder) homeOf(key, table string) string {
	found := ""
	eachTable(func(path, header string, t reflect.Type) {
		if _, ok := fieldOf(t, key); ok && path != table && (found == "" || strings.HasPrefix(table, path+".")) {
			found = header
		}
	})
	return found
}

func (d *decoder) unknownTable(at span, t reflect.Type, path []string) {
	name := path[len(path)-1]
	hint := ""
	if near := nearest(name, keysOf(t, true)); near != "" {
		hint = "did you mean " + near + "?"
	}
	var headers []string
	eachTable(func(p, header string, _ reflect.Type) {
		if p[strings.LastIndex(p, ".")+1:] == name && hint == "" {
			hint = "write " + header
			if strings.HasPrefix(p, "space.") {
				hint += " below the [[space]] it belongs to"
			}
		}
		headers = append(headers, header)
	})
	if hint == "" {
		hint = "tables are " + listed(headers)
	}
	d.complain(at, "there is no table "+quote(strings.Join(path, ".")), hint)
}

// headerOf writes the header of a table.
func headerOf(table string) (header string) {
	eachTable(func(path, h string, _ reflect.Type) {
		if path == table {
			header = h
		}
	})
	return header
}

// eachTable calls fn for every table a site file may have, in the order of the reference.
func eachTable(fn func(path, header string, t reflect.Type)) {
	var walk func(t reflect.Type, path string)
	walk = func(t reflect.Type, path string) {
		for f := range t.Fields() {
			name, ft := f.Tag.Get("toml"), f.Type
			if name == "" || ft == reflect.TypeFor[value]() {
				continue
			}
			p := strings.TrimPrefix(path+"."+name, ".")
			header := "[" + p + "]"
			if ft.Kind() == reflect.Slice {
				header = "[" + header + "]"
			}
			if ft.Kind() != reflect.Struct {
				ft = ft.Elem()
			}
			fn(p, header, ft)
			walk(ft, p)
		}
	}
	walk(reflect.TypeFor[fileRoot](), "")
}
