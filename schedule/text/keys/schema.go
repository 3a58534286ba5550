package keys

import (
	"encoding/json"
	"slices"
	"strings"
)

// patterns are the kinds and, for those that are written as one text, the regular
// expression of it (ECMA 262, anchored); "" for those with a shape of their own.
var patterns = map[string]string{
	"group": "", "named": "", "list": "", "pair": "", "three numbers": "", "two numbers": "", "points of hours and share": "",
	"two of length": "", "two of command": "", "two of wavelength": "", "place": "", "place with height": "", "channels": "", "corals": "", "zones": "",
	"number": "", "count": "",
	"text": `\S`, "file": `\S`, "lamp": "", "channel": name, "zone": name, "tank": name, "coral": name,
	"length": quantity("m", "mm", "cm", "in", "ft"), "share": quantity("%"), "duration": quantity("s", "min", "h", "days?", "weeks?"),
	"power": quantity("W", "kW"), "current": quantity("A"), "voltage": quantity("V"), "wavelength": quantity("nm"),
	"angle": quantity("deg"), "per length": quantity("/m", "/cm"), "latitude": quantity("N", "S"), "longitude": quantity("E", "W"),
	"command": `^\s*-?[0-9.]+\s*(V|%)?\s*$`, "flux": `^\s*[0-9.eE+]+\s*\S`,
	"time": `^\s*([01][0-9]|2[0-3]):[0-5][0-9](:[0-5][0-9])?\s*$`, "date": `^\s*[0-9]{4}-[0-9]{2}-[0-9]{2}\s*$`,
}

const name = `^[a-z][a-z0-9_-]{0,63}$`

func quantity(units ...string) string {
	return `^\s*[-+]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?\s*(` + strings.Join(units, "|") + `)\s*$`
}

type object = map[string]any

// Schema is a JSON Schema (draft 2020-12) of a plan, for editors: it knows keys,
// forms, units and words, each with its sentence, and no more. What depends on other
// parts of the plan, such as names and times in order, is for the reader.
func Schema() ([]byte, error) {
	root := group("")
	root["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	root["title"] = "a dayloom plan, format 1"
	root["oneOf"] = []object{{"required": []string{"tank"}}, {"required": []string{"tanks"}}}
	out, err := json.MarshalIndent(root, "", "  ")
	return append(out, '\n'), err
}

// group is the schema of a group of fixed keys.
func group(form string) object {
	properties, needed := object{}, []string{}
	for _, k := range Under(form) {
		if k.Name() == "#" || k.Name() == "NAME" {
			continue
		}
		properties[k.Name()] = schemaOf(k, join(form, k.Name()))
		if k.Needed && !slices.ContainsFunc(Under(form), func(k Key) bool { return k.Name() == "like" }) {
			needed = append(needed, k.Name())
		}
	}
	out := object{"type": "object", "properties": properties, "additionalProperties": false}
	if len(needed) > 0 {
		out["required"] = needed
	}
	return out
}

// schemaOf is the schema of one key, whose form may be one written like another.
func schemaOf(k Key, form string) object {
	var any []object
	if len(k.Words) > 0 {
		any = append(any, words(k.Words))
	}
	for _, kind := range k.Kinds {
		any = append(any, shape(kind, form))
	}
	out := any[0]
	if len(any) > 1 {
		out = object{"anyOf": any}
	}
	out["description"] = k.Sentence
	out["examples"] = []string{k.Example}
	return out
}

// words is one of some words; numbers and yes and no may also be written bare.
func words(list []string) object {
	values := []any{}
	for _, w := range list {
		values = append(values, w)
		var bare any
		if json.Unmarshal([]byte(w), &bare) == nil {
			values = append(values, bare)
		}
	}
	if slices.Contains(list, "yes") {
		values = append(values, true, false)
	}
	return object{"enum": values}
}

func shape(kind, form string) object {
	many := func(item object, n int) object {
		return object{"type": "array", "items": item, "minItems": n, "maxItems": n}
	}
	text := func(kind string) object { return object{"type": "string", "pattern": patterns[kind]} }
	number := object{"anyOf": []object{{"type": "number"}, {"type": "string", "pattern": quantity("")}}}
	switch kind {
	case "group":
		return group(form)
	case "named":
		entry, _ := Find(join(form, "NAME"))
		return object{"type": "object", "additionalProperties": schemaOf(entry, join(form, "NAME")), "propertyNames": object{"pattern": `^[a-z0-9][a-z0-9_-]{0,63}$`}, "minProperties": 1}
	case "list":
		out := object{"type": "array"}
		if item, ok := Find(join(form, "#")); ok {
			out["items"] = schemaOf(item, join(form, "#"))
		}
		return out
	case "channels", "corals", "zones":
		return object{"type": "array", "items": object{"type": "string", "pattern": name}, "minItems": 1}
	case "pair":
		return many(object{"type": []string{"string", "number"}}, 2)
	case "points of hours and share":
		return object{"type": "array", "items": many(object{"type": "string"}, 2), "minItems": 1}
	case "three numbers":
		return many(number, 3)
	case "place with height":
		return many(text("length"), 3)
	case "two numbers":
		return many(number, 2)
	case "place", "two of length":
		return many(text("length"), 2)
	case "two of wavelength":
		return many(text("wavelength"), 2)
	case "two of command":
		return many(object{"type": []string{"string", "number"}}, 2)
	case "lamp":
		return object{"enum": Lamps}
	case "number", "count":
		return number
	case "command":
		return object{"anyOf": []object{{"type": "number"}, text(kind)}}
	}
	return text(kind)
}

// Lamps are the plain words for the spectrum of a sort of lamp.
var Lamps = []string{"near-uv", "violet", "blue", "cyan", "green", "amber", "red", "warm white", "cool white", "fluorescent"}
