package main

import (
	"fmt"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"dayloom/exporters/report"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/visible"
)

// run is the whole program, testable.
func run(args []string, w world) int {
	w.busy = newBusy(w.stderr, w.talked, w.now, min(w.width(), 80))
	defer w.busy.watch()()
	out := &output{to: w.busy.over(w.stdout)}
	results, talk := visible.Writer(out), visible.Writer(w.busy.over(w.stderr))
	w.stdout, w.stderr = results, talk
	root := rootCommand(w)
	root.SetArgs(args)
	err := root.Execute()
	if closing := results.Close(); out.err == nil {
		out.err = closing
	}
	if out.err != nil { // whoever wanted the result must hear it, whatever else there is to tell
		err = &failure{code: exitFile, message: "the result cannot be written to standard output: " + reason(out.err), hint: "write it to a place with room, such as a file on another disk"}
	}
	code := w.finish(err)
	_ = talk.Close() // there is nobody left to tell
	return code
}

func rootCommand(w world) *cobra.Command {
	root := &cobra.Command{
		Use:   "dayloom",
		Short: "Turn lamps, tank, corals and target light into timetables for light controllers",
		Long: `dayloom turns one plan file (lamps, tank, corals, target light) into timetables for
your light controllers. It calculates the light at every coral, finds channel levels
that meet the targets or says what prevents it, and checks the finished timetable by
playing it back. Light is PPFD (what keepers call PAR); over a day it adds up to the DLI.

Exit codes: 0 done, 1 the plan or a file is wrong, 2 the command line is wrong,
3 done, but a target or limit is not met.`,
		Example: `  dayloom new quay-street
  dayloom dli quay-street/plan.yaml
  dayloom compile quay-street/plan.yaml -o out
  dayloom verify out/timetable.json quay-street/plan.yaml`,
		Version:       version(debug.ReadBuildInfo()),
		SilenceErrors: true,
		SilenceUsage:  true,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return nil
			}
			return unknownCommand(cmd, args[0])
		},
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	w.wide = root.PersistentFlags().Bool("wide", false, "show every column and every line of a result, however wide")
	w.csv = root.PersistentFlags().String("csv", "comma", "how --format csv separates columns: comma|semicolon, the latter with decimal commas")
	root.PersistentPreRunE = func(cmd *cobra.Command, _ []string) error {
		w.busy.begin(cmd.Name())
		if *w.csv != "comma" && *w.csv != "semicolon" {
			return usageError("unknown --csv %q: allowed are comma, semicolon", *w.csv)
		}
		return nil
	}
	root.SetUsageTemplate(strings.ReplaceAll(root.UsageTemplate(), "FlagUsages", fmt.Sprintf("FlagUsagesWrapped %d", w.width())))
	root.SetVersionTemplate("{{.Version}}\n")
	root.SetIn(w.stdin)
	root.SetOut(w.stdout)
	root.SetErr(w.stderr)
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		return &failure{code: exitUsage, message: err.Error(), hint: "see: " + cmd.CommandPath() + " --help"}
	})
	root.SetHelpCommand(helpCommand(w))
	for _, make := range commands {
		root.AddCommand(make(w))
	}
	return root
}

// commands lists every command in the order of a job.
var commands = []func(world) *cobra.Command{
	newCommand, checkCommand, mapCommand, surveyCommand, fitCommand, dliCommand, colourCommand, balanceCommand, openCommand, compileCommand, verifyCommand, nowCommand, followCommand, acclimateCommand, journalCommand, drillCommand, reportCommand, schemaCommand,
}

func unknownCommand(cmd *cobra.Command, word string) error {
	var names []string
	for _, c := range cmd.Commands() {
		names = append(names, c.Name())
	}
	hint := "commands: " + strings.Join(names, ", ")
	if near := diag.Nearest(word, names); near != "" {
		hint = "did you mean " + near + "? " + hint
	}
	return &failure{code: exitUsage, message: "unknown command " + word, hint: hint}
}

// exactly asks for named arguments, and says which when they are not there.
func exactly(names ...string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		switch {
		case len(args) < len(names):
			return &failure{code: exitUsage, message: "missing " + strings.Join(names[len(args):], " and "), hint: "usage: " + cmd.UseLine()}
		case len(args) > len(names):
			return &failure{code: exitUsage, message: "too many arguments from " + args[len(names)] + " on", hint: "usage: " + cmd.UseLine()}
		}
		return nil
	}
}

// formatFlag adds --format with completion; check it with checkFormat.
func formatFlag(cmd *cobra.Command) *string {
	f := cmd.Flags().String("format", "text", "how to print the result: "+strings.Join(report.Formats, "|"))
	_ = cmd.RegisterFlagCompletionFunc("format", cobra.FixedCompletions(report.Formats, cobra.ShellCompDirectiveNoFileComp))
	old := cmd.PreRunE
	cmd.PreRunE = func(c *cobra.Command, args []string) error {
		for _, known := range report.Formats {
			if *f == known {
				if old != nil {
					return old(c, args)
				}
				return nil
			}
		}
		return usageError("unknown format %q: allowed are %s", *f, strings.Join(report.Formats, ", "))
	}
	return f
}
