package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// licence is how a licence is told by its text.
type licence struct {
	name string
	text *regexp.Regexp
}

// licences are those that a linked module may have; of one with two, both are named.
// Another is for a person to read before it is linked.
var licences = []licence{
	{"Apache 2.0", regexp.MustCompile(`Apache License,?\s+Version 2\.0`)},
	{"MIT", regexp.MustCompile(`Permission is hereby granted, free of charge, to any person obtaining\s+a\s+copy\s+of\s+this\s+software`)},
	{"BSD, 3 clauses", regexp.MustCompile(`(?s)Redistributions of source code must retain.*[Nn]either the name`)},
	{"SIL Open Font License 1.1", regexp.MustCompile(`SIL OPEN FONT LICENSE Version 1\.1`)},
	{"CC BY 4.0", regexp.MustCompile(`Creative Commons Attribution 4\.0 International Public License`)},
	{"FreeType License", regexp.MustCompile(`The FreeType License, which is similar to the original BSD license`)},
}

// remarks say what a licence that is not plainly permissive asks, and what the module is for.
var remarks = map[string]string{
	"github.com/ajstarks/svgo":         "writes pictures in SVG; CC BY 4.0 asks for credit: SVGo by Anthony Starks, unchanged",
	"github.com/golang/freetype":       "draws pictures in PNG; used by the FreeType License, which asks for this line: portions of this software are copyright © 2010 The FreeType Project (www.freetype.org), all rights reserved",
	"codeberg.org/go-fonts/liberation": "the fonts of pictures; they may not be sold by themselves, and changed ones may not keep their name",
}

type linked struct{ path, version, dir string }

// linkedModules are the modules of which packages are linked into the program on any of
// the systems that it is made for.
func linkedModules() ([]linked, error) {
	var all []linked
	for _, system := range []string{"linux", "darwin", "windows"} {
		cmd := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Version}}\t{{.Dir}}{{end}}{{end}}", ".")
		cmd.Env = append(os.Environ(), "GOOS="+system, "GOFLAGS=-mod=readonly", "GOPROXY=off")
		out, err := cmd.Output()
		if err != nil {
			return nil, fmt.Errorf("go list for %s: %w", system, err)
		}
		for line := range strings.Lines(string(out)) {
			f := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
			if len(f) != 3 {
				continue
			}
			if f[2] == "" {
				return nil, fmt.Errorf("the module %s is not at hand", f[0])
			}
			all = append(all, linked{f[0], f[1], f[2]})
		}
	}
	slices.SortFunc(all, func(a, b linked) int { return strings.Compare(a.path, b.path) })
	return slices.Compact(all), nil
}

var licenceFile = regexp.MustCompile(`(?i)^(licen[sc]e|copying|notice|patents|authors|ftl\.txt)`)

// texts are the licence files at the root of a module and in its folder of licences.
func texts(dir string) (names []string, err error) {
	for _, at := range []string{".", "licenses"} {
		entries, err := os.ReadDir(filepath.Join(dir, at))
		if err != nil && !os.IsNotExist(err) {
			return nil, err
		}
		for _, e := range entries {
			if !e.IsDir() && licenceFile.MatchString(e.Name()) {
				names = append(names, filepath.Join(at, e.Name()))
			}
		}
	}
	return names, nil
}

// section is a module in the notice file.
type section struct {
	title, licences, remark string
	texts                   [][2]string // name, text
}

func sectionOf(m linked) (section, error) {
	s := section{title: m.path + " " + m.version, remark: remarks[m.path]}
	names, err := texts(m.dir)
	if err != nil {
		return s, err
	}
	var found []string
	for _, name := range names {
		text, err := os.ReadFile(filepath.Join(m.dir, name))
		if err != nil {
			return s, err
		}
		clean := strings.TrimSpace(strings.ReplaceAll(strings.TrimPrefix(string(text), "\ufeff"), "\r\n", "\n"))
		s.texts = append(s.texts, [2]string{filepath.ToSlash(name), clean})
		for _, l := range licences {
			if l.text.MatchString(clean) && !slices.Contains(found, l.name) {
				found = append(found, l.name)
			}
		}
	}
	if found == nil {
		return s, fmt.Errorf("%s: its licence is none of those known here: read it, and add it to the table in this test, or do without the module", m.path)
	}
	s.licences = strings.Join(found, " and ")
	plain := regexp.MustCompile(`^(Apache 2\.0|MIT|BSD, 3 clauses)( and (Apache 2\.0|MIT|BSD, 3 clauses))*$`)
	if !plain.MatchString(s.licences) && s.remark == "" {
		return s, fmt.Errorf("%s: %s is not plainly permissive: say in the remarks of this test what it asks", m.path, s.licences)
	}
	return s, nil
}

func notice(modules []linked) (string, error) {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return "", err
	}
	sections := []section{}
	for _, m := range append([]linked{{path: "Go, its standard library and zone data", dir: strings.TrimSpace(string(root))}}, modules...) {
		s, err := sectionOf(m)
		if err != nil {
			return "", err
		}
		sections = append(sections, s)
	}
	var b strings.Builder
	b.WriteString("What the program dayloom is linked with, and under which licences. Written by\n\n    go test ./cmd/dayloom -run TestNotice -update\n\nand checked by the same test. dayloom's own licence is in the file LICENSE.\n\n")
	for _, s := range sections {
		fmt.Fprintf(&b, "  %s: %s\n", strings.TrimSpace(s.title), s.licences)
		if s.remark != "" {
			fmt.Fprintf(&b, "      %s\n", s.remark)
		}
	}
	first := map[string]string{}
	for _, s := range sections {
		for _, t := range s.texts {
			title := strings.TrimSpace(s.title) + ", " + t[0]
			fmt.Fprintf(&b, "\n%s\n%s\n\n", strings.Repeat("=", 80), title)
			if same, ok := first[t[1]]; ok {
				fmt.Fprintf(&b, "The same text as %s.\n", same)
				continue
			}
			first[t[1]] = title
			b.WriteString(t[1] + "\n")
		}
	}
	return b.String(), nil
}

// TestNotice compares the file NOTICE with what is linked. Without the modules, or
// without Go, it cannot tell; DAYLOOM_NOTICE makes that a failure.
func TestNotice(t *testing.T) {
	modules, err := linkedModules()
	if err != nil && os.Getenv("DAYLOOM_NOTICE") == "" {
		t.Skip(err)
	}
	require.NoError(t, err)
	require.Greater(t, len(modules), 8, "too few to prove anything")
	want, err := notice(modules)
	require.NoError(t, err)
	const file = "../../NOTICE"
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(want), 0o644))
	}
	got, err := os.ReadFile(file)
	require.NoError(t, err)
	if string(got) != want { // the texts are long
		gotHead, _, _ := strings.Cut(string(got), "\n====")
		wantHead, _, _ := strings.Cut(want, "\n====")
		assert.Equal(t, wantHead, gotHead, "the program links something else: go test ./cmd/dayloom -run TestNotice -update")
		t.Error("NOTICE differs from the licences at hand: go test ./cmd/dayloom -run TestNotice -update")
	}
}
