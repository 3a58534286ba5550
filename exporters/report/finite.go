package report

import (
	"fmt"
	"math"
	"reflect"
	"strings"
)

// NotFinite is the error of a report in which a number is none: a fault of the program,
// or numbers of the plan beyond all measure. Nothing of the report is written.
type NotFinite struct {
	What string   // the key of the number, such as dli_mol_m2_d
	Of   []string // what it belongs to, outermost first: a coral, a channel
}

func (e *NotFinite) Error() string {
	of := ""
	if len(e.Of) > 0 {
		of = " of " + strings.Join(e.Of, ", ")
	}
	return fmt.Sprintf("%s%s came out as no number, so nothing is printed; look for an extreme number in the plan there, and report it if there is none", e.What, of)
}

// allFinite looks through what a report shows for a number that is none.
func allFinite(v any) error {
	if g, ok := v.(GridMap); ok {
		return g.finite()
	}
	if bad := search(reflect.ValueOf(v), "a number", nil); bad != nil {
		return bad
	}
	return nil
}

func search(v reflect.Value, key string, of []string) *NotFinite {
	switch v.Kind() {
	case reflect.Float64, reflect.Float32:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			return &NotFinite{key, of}
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			return search(v.Elem(), key, of)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if bad := search(v.Index(i), key, of); bad != nil {
				return bad
			}
		}
	case reflect.Map:
		for _, k := range v.MapKeys() {
			if bad := search(v.MapIndex(k), key, append(of[:len(of):len(of)], fmt.Sprint(k))); bad != nil {
				return bad
			}
		}
	case reflect.Struct:
		return searchFields(v, key, of)
	}
	return nil
}

func searchFields(v reflect.Value, key string, of []string) *NotFinite {
	if name := v.FieldByName("Name"); name.IsValid() && name.Kind() == reflect.String {
		of = append(of[:len(of):len(of)], name.String())
	}
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if !f.IsExported() {
			continue
		}
		field := key
		if tag, _, _ := strings.Cut(f.Tag.Get("json"), ","); tag != "" {
			field = tag
		}
		if field == "-" {
			continue
		}
		if bad := search(v.Field(i), field, of); bad != nil {
			return bad
		}
	}
	return nil
}

// finite is the same for a map, which holds its numbers by channel and place.
func (r GridMap) finite() error {
	for k, c := range r.Channels {
		for i := range r.m.Len() {
			if v := r.m.At(k, i); math.IsNaN(v) || math.IsInf(v, 0) {
				p := r.m.Place(i)
				return &NotFinite{r.total(), []string{c.Name, fmt.Sprintf("the place %s, %s, %s cm", cm(p.X), cm(p.Y), cm(p.Depth))}}
			}
		}
	}
	return nil
}
