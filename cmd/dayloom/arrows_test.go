package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// layers from the bottom; a package may import its own layer and those below it.
var layers = []string{"photon", "schedule", "exporters", "cmd"}

func layer(path string) int {
	for i, l := range layers {
		if path == l || strings.HasPrefix(path, l+"/") {
			return i
		}
	}
	return -1
}

// impure are calls that only cmd may make: clocks, environment, chance, printing, exits.
var impure = map[string]bool{
	"time.Now": true, "time.Local": true, "os.Getenv": true, "os.Exit": true, "os.Args": true,
	"fmt.Print": true, "fmt.Println": true, "fmt.Printf": true, "os.Stdout": true, "os.Stderr": true, "log.Fatal": true,
}

// onFiles are calls that open or change files: only exporters/files makes them.
var onFiles = map[string]bool{
	"os.Open": true, "os.OpenFile": true, "os.ReadFile": true, "os.Create": true, "os.CreateTemp": true, "os.WriteFile": true, "os.Rename": true,
	"os.Remove": true, "os.RemoveAll": true, "os.Mkdir": true, "os.MkdirAll": true, "os.MkdirTemp": true, "os.Symlink": true, "os.Link": true, "os.Truncate": true,
}

// TestArrows reads every import: cmd → exporters → schedule → photon, and nothing
// below cmd touches the world.
func TestArrows(t *testing.T) {
	root := "../.."
	seen := 0
	for _, top := range layers {
		err := filepath.WalkDir(filepath.Join(root, top), func(path string, d fs.DirEntry, err error) error {
			require.NoError(t, err)
			if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return nil
			}
			seen++
			f, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
			require.NoError(t, err)
			rel, _ := filepath.Rel(root, filepath.Dir(path))
			checkFile(t, filepath.ToSlash(rel), path, f)
			return nil
		})
		require.NoError(t, err)
	}
	require.Greater(t, seen, 50, "the walk found too few files to prove anything")
}

// rooms are the folders of schedule in the order of a job: none imports one after it.
var rooms = []string{"text", "shape", "plan", "light", "day", "balance", "calendar", "maps"}

// room is the place in that order of a package, -1 outside schedule.
func room(pkg string) int {
	rest, ok := strings.CutPrefix(pkg, "schedule/")
	if !ok {
		return -1
	}
	name, _, _ := strings.Cut(rest, "/")
	return slices.Index(rooms, name)
}

func checkFile(t *testing.T, pkg, path string, f *ast.File) {
	own := layer(pkg)
	for _, im := range f.Imports {
		name := strings.Trim(im.Path.Value, `"`)
		if rest, ours := strings.CutPrefix(name, "dayloom/"); ours {
			assert.LessOrEqual(t, layer(rest), own, "%s imports %s: arrows go cmd → exporters → schedule → photon", path, name)
		}
		if here := room(pkg); here >= 0 {
			assert.LessOrEqual(t, room(strings.TrimPrefix(name, "dayloom/")), here, "%s imports %s: inside schedule the order is %v", path, name, rooms)
		}
		if own < layer("cmd") {
			assert.NotContains(t, []string{"math/rand", "math/rand/v2", "github.com/spf13/cobra", "log"}, name, path)
		}
	}
	ast.Inspect(f, func(n ast.Node) bool {
		if s, ok := n.(*ast.SelectorExpr); ok {
			if x, ok := s.X.(*ast.Ident); ok {
				call := x.Name + "." + s.Sel.Name
				assert.False(t, own < layer("cmd") && impure[call], "%s uses %s: only cmd may", path, call)
				assert.False(t, pkg != "exporters/files" && onFiles[call], "%s uses %s: only exporters/files may", path, call)
			}
		}
		return true
	})
}
