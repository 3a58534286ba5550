package main

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"dayloom/exporters/files"
)

//go:embed starter
var starter embed.FS

func newCommand(w world) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "new DIR",
		Short: "Write a starter plan with its files: the Quay Street coral nursery",
		Long: `new writes a complete, invented example into a new folder: eight channels over a
tank with a bright shelf, a slope and a deliberately dim end, eight corals, their
readings, spectra and a photometric file. It compiles as it stands; --compile does so
at once, into the folder's timetables, and proves the result. Change the plan to
describe your own tank. A folder that already holds files is left alone.`,
		Example: "  dayloom new quay-street\n  dayloom new quay-street --compile",
		Args:    exactly("DIR"),
	}
	compile := cmd.Flags().Bool("compile", false, "compile the new plan at once and verify what was written")
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		if err := w.writeStarter(args[0]); err != nil {
			return err
		}
		plan := filepath.Join(args[0], "plan.yaml")
		fmt.Fprintf(w.stdout, "wrote %s and the files it names\n", plan)
		if !*compile {
			w.note("next: dayloom dli %s", plan)
			return nil
		}
		out := filepath.Join(args[0], "timetables")
		for _, step := range [][]string{{"compile", plan, "-o", out}, {"verify", filepath.Join(out, "timetable.json"), plan}} {
			fmt.Fprintf(w.stdout, "\n$ dayloom %s\n", strings.Join(step, " "))
			next := cmd.Root()
			next.SetArgs(step)
			if err := next.Execute(); err != nil {
				return err
			}
		}
		return nil
	}
	return cmd
}

func (w world) writeStarter(dir string) error {
	set, err := starterFiles()
	if err != nil {
		return fileError(err, "")
	}
	if entries, err := os.ReadDir(dir); err == nil && len(entries) > 0 && !begun(dir, set) {
		return &failure{code: exitFile, message: dir + ": the folder is not empty; nothing was written", hint: "name a new folder"}
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fileError(err, "name a new folder")
	}
	return w.write(dir, set, "choose a folder that you may write to")
}

func starterFiles() (set []files.File, err error) {
	err = fs.WalkDir(starter, "starter", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := starter.ReadFile(path)
		rel := strings.TrimPrefix(path, "starter/")
		set = append(set, files.File{Name: filepath.FromSlash(rel), Render: plain(b)})
		return err
	})
	return set, err
}

// begun reports whether a folder holds some of the starter's files, as they were written,
// and nothing else: what a run that was killed leaves.
func begun(dir string, set []files.File) bool {
	found := 0
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || files.Leftover(d.Name()) {
			return err
		}
		for _, f := range set {
			if filepath.Join(dir, f.Name) != path {
				continue
			}
			var want bytes.Buffer
			if err := f.Render(&want); err != nil {
				return err
			}
			if got, err := readFile(path); err != nil || !bytes.Equal(got, want.Bytes()) {
				break
			}
			found++
			return nil
		}
		return fs.ErrExist
	})
	return err == nil && found < len(set)
}
