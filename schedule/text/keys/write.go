package keys

import (
	"fmt"
	"strings"
)

// Written says what may be written at the key, in the order of the table.
func (k Key) Written() string {
	var all []string
	for _, kind := range k.Kinds {
		if said, ok := said[kind]; ok {
			kind = said
		}
		all = append(all, kind)
	}
	if len(k.Words) > 0 {
		all = append(all, strings.Join(k.Words, " | "))
	}
	return strings.Join(all, ", or ")
}

// said are the kinds in the words of the help, where these differ.
var said = map[string]string{
	"group": "a group of keys", "named": "a group whose keys are names of your own", "list": "a list",
	"lamp": "a plain word: " + strings.Join(Lamps, " | "), "flux": "a flux", "file": "the name of a file beside the plan",
	"channel": "the name of a channel", "channels": "a list of channels", "zone": "the name of a zone", "tank": "the name of a tank", "corals": "a list of corals", "zones": "a list of zones",
	"place": "two lengths [x, y]", "place with height": "three lengths [x, y, height]", "pair": "two values", "points of hours and share": "a list of [hours, share]",
	"two of length": "two lengths", "two of command": "two commands", "two of wavelength": "two wavelengths", "command": "a command in the unit of the signal",
	"length": "a length (mm cm m in ft)", "duration": "a duration (s min h days weeks)", "share": "a share (%)", "power": "a power (W kW)",
	"time": `a time of day "HH:MM"`, "date": "a date YYYY-MM-DD", "number": "a bare number", "count": "a whole number", "text": "free text",
	"wavelength": "a wavelength (nm)", "angle": "an angle (deg)", "current": "a current (A)", "voltage": "a voltage (V)", "per length": "an absorption (/m)",
	"latitude": "a latitude (N S)", "longitude": "a longitude (E W)",
}

// Text is the page of the help for one key: its sentence, what may be written, an
// example, and the keys below it.
func (k Key) Text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\n%s\n\n", k.Form, k.Sentence)
	row := func(name, text string) {
		if text != "" {
			fmt.Fprintf(&b, "  %-10s %s\n", name, text)
		}
	}
	row("write", k.Written())
	row("range", k.Range)
	switch {
	case k.Needed:
		row("if absent", "an error: the key is needed")
	case k.Default != "":
		row("if absent", k.Default)
	default:
		row("if absent", "nothing")
	}
	if name := k.Name(); name != "#" {
		row("example", name+": "+k.Example)
	} else {
		row("example", "- "+k.Example)
	}
	if below := Under(k.Form); len(below) > 0 {
		b.WriteString("\nbelow it:\n")
		b.WriteString(list(below))
		if own := below[0]; len(below) == 1 && own.Name() == "NAME" {
			if below = Under(own.Form); len(below) > 0 {
				b.WriteString("\nbelow each:\n")
				b.WriteString(list(below))
			}
		}
	}
	return b.String()
}

// Top is the page of the help for the whole plan.
func Top() string {
	return "The keys of a plan; `dayloom help plan KEY` tells of one, such as\n" +
		"`dayloom help plan channels.emitters.beam`.\n\n" + list(Under(""))
}

func list(rows []Key) string {
	wide := 0
	for _, k := range rows {
		wide = max(wide, len(k.Name()))
	}
	var b strings.Builder
	for _, k := range rows {
		fmt.Fprintf(&b, "  %-*s  %s\n", wide, k.Name(), k.Sentence)
	}
	return b.String()
}

// Reference is the whole table as a page of Markdown.
func Reference() string {
	var b strings.Builder
	b.WriteString("# Every key of a plan\n\nMade from the table that the reader itself uses; `dayloom help plan KEY` shows one key,\n" +
		"`dayloom schema` the same for editors. NAME is a name of your own, # an item of a list.\n")
	for _, top := range Under("") {
		fmt.Fprintf(&b, "\n## %s\n\n%s Such as `%s: %s`\n", top.Name(), top.Sentence, top.Name(), top.Example)
		rows := ""
		for _, k := range table {
			if strings.HasPrefix(k.Form, top.Form+".") {
				absent := k.Default
				if k.Needed {
					absent = "needed"
				}
				rows += fmt.Sprintf("| `%s` | %s | %s | %s | %s | `%s` |\n", k.Form, k.Sentence, bars(k.Written()), k.Range, absent, bars(k.Example))
			}
		}
		if rows != "" {
			b.WriteString("\n| key | meaning | write | range | if absent | example |\n| --- | --- | --- | --- | --- | --- |\n" + rows)
		}
	}
	return b.String()
}

// bars makes text fit for a cell of a Markdown table.
func bars(s string) string { return strings.ReplaceAll(s, "|", "\\|") }
