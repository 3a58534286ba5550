package main

import (
	"embed"
	"errors"
	"fmt"
	"io"
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
		if err := writeStarter(args[0]); err != nil {
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

func writeStarter(dir string) error {
	if entries, err := os.ReadDir(dir); err == nil && len(entries) > 0 {
		return &failure{code: exitFile, message: dir + ": the folder is not empty; nothing was written", hint: "name a new folder"}
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fileError(err, "name a new folder")
	}
	groups := map[string][]files.File{}
	var dirs []string
	err := fs.WalkDir(starter, "starter", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, _ := filepath.Rel("starter", path)
		to := filepath.Join(dir, filepath.Dir(rel))
		if _, seen := groups[to]; !seen {
			dirs = append(dirs, to)
		}
		groups[to] = append(groups[to], files.File{Name: filepath.Base(rel), Render: func(out io.Writer) error {
			b, err := starter.ReadFile(path)
			if err != nil {
				return err
			}
			_, err = out.Write(b)
			return err
		}})
		return nil
	})
	if err != nil {
		return fileError(err, "")
	}
	for _, to := range dirs {
		if err := files.WriteAll(to, groups[to]); err != nil {
			return fileError(err, "choose a folder that you may write to")
		}
	}
	return nil
}
