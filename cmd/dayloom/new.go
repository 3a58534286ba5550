package main

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"dayloom/exporters/files"
	"dayloom/schedule/text/diag"
)

//go:embed starters
var starters embed.FS

// likes are the starters by name, the first unless another is asked for.
var likes = []string{"nursery", "single", "hybrid", "readings"}

func newCommand(w world) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "new DIR",
		Short: "Write a starter plan with its files, to be made your own",
		Long: `new writes a complete, invented plan into a new folder. --like says which:

  nursery   eight channels over a tank with a bright shelf, a slope and a dim end; readings,
            spectra, a photometric file, moonlight, a new coral that is brought up in steps
  single    one lamp of two colours over a small tank, in under 40 lines
  hybrid    three pendants, tubes, a bar and a strip of six colours, on eight outputs of
            ten points each, some of which carry two channels
  readings  no lamp data at all, only what a meter measured

Each compiles as it is; --compile does so at once, into the folder's timetables, and
plays back what was written. Change the plan line by line to describe your own tank. A
folder that already holds files is left alone.`,
		Example: "  dayloom new my-tank --like single\n  dayloom new quay-street --compile",
		Args:    exactly("DIR"),
	}
	like := cmd.Flags().String("like", likes[0], "which starter: "+strings.Join(likes, "|"))
	_ = cmd.RegisterFlagCompletionFunc("like", cobra.FixedCompletions(likes, cobra.ShellCompDirectiveNoFileComp))
	compile := cmd.Flags().Bool("compile", false, "compile the new plan at once and verify what was written")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if !slices.Contains(likes, *like) {
			hint := "starters: " + strings.Join(likes, ", ")
			if near := diag.Nearest(*like, likes); near != "" {
				hint = "did you mean " + near + "? " + hint
			}
			return &failure{code: exitUsage, message: "unknown starter " + *like, hint: hint}
		}
		if err := w.writeStarter(args[0], *like); err != nil {
			return err
		}
		plan := filepath.Join(args[0], "plan.yaml")
		fmt.Fprintf(w.stdout, "wrote %s and the files it names\n", plan)
		if *compile {
			return w.compiledToo(cmd.Root(), args[0], plan)
		}
		w.note("next: dayloom dli %s", plan)
		return nil
	}
	return cmd
}

// compiledToo compiles a new plan into its folder and verifies what was written.
func (w world) compiledToo(root *cobra.Command, dir, plan string) error {
	out := filepath.Join(dir, "timetables")
	for _, step := range [][]string{{"compile", plan, "-o", out}, {"verify", filepath.Join(out, "timetable.json"), plan}} {
		fmt.Fprintf(w.stdout, "\n$ dayloom %s\n", strings.Join(step, " "))
		root.SetArgs(step)
		if err := root.Execute(); err != nil {
			return err
		}
	}
	return nil
}

func (w world) writeStarter(dir, like string) error {
	set, err := starterFiles(like)
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

func starterFiles(like string) (set []files.File, err error) {
	root := "starters/" + like
	err = fs.WalkDir(starters, root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := starters.ReadFile(path)
		rel := strings.TrimPrefix(path, root+"/")
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
