package main

import (
	"runtime/debug"
	"strings"
)

// version is the module's version and the commit it was built from, as far as the
// build knows them.
func version(b *debug.BuildInfo, ok bool) string {
	if !ok {
		return "dayloom, version unknown: built without module information"
	}
	text := "dayloom " + strings.Trim(b.Main.Version, "()")
	set := map[string]string{}
	for _, s := range b.Settings {
		set[s.Key] = s.Value
	}
	if commit := set["vcs.revision"]; commit != "" {
		text += ", commit " + commit[:min(len(commit), 12)] + " of " + set["vcs.time"]
	}
	if set["vcs.modified"] == "true" {
		text += ", with changes that are not committed"
	}
	return text + ", " + b.GoVersion
}
