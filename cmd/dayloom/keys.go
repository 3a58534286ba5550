package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/keys"
)

// helpCommand is help for commands and, as `help plan [KEY]`, for every key of a plan.
func helpCommand(w world) *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND | plan [KEY]]",
		Short: "Tell of a command, or of the keys of a plan",
		Long: `help tells of a command. help plan lists the keys of a plan, and help plan KEY tells of
one: what it means, what may be written, its range, and what holds when it is not given.`,
		Example: "  dayloom help plan\n  dayloom help plan zones.within\n  dayloom help plan channels.emitters.beam",
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 && args[0] == "plan" {
				return helpPlan(w, args[1:])
			}
			found, rest, err := cmd.Root().Find(args)
			if err != nil || len(rest) > 0 {
				return unknownCommand(cmd.Root(), strings.Join(args, " "))
			}
			return found.Help()
		},
	}
}

func helpPlan(w world, path []string) error {
	switch len(path) {
	case 0:
		fmt.Fprint(w.stdout, keys.Top())
		return nil
	case 1:
	default:
		return usageError("help plan takes one key, such as zones.within")
	}
	k, ok := keys.Resolve(path[0])
	if !ok {
		return unknownKey(path[0])
	}
	fmt.Fprint(w.stdout, k.Text())
	return nil
}

// unknownKey names the keys that end in the word that was asked for, or is near it.
func unknownKey(path string) error {
	last := path[strings.LastIndexByte(path, '.')+1:]
	var names []string
	for _, k := range keys.All() {
		names = append(names, k.Name())
	}
	hint := "dayloom help plan lists them"
	if forms := keys.Called(last); len(forms) > 0 {
		hint = "there is " + strings.Join(forms, ", ")
	} else if near := diag.Nearest(last, names); near != "" {
		hint = "did you mean " + near + "? " + hint
	}
	return &failure{code: exitUsage, message: "a plan has no key " + path, hint: hint}
}

func schemaCommand(w world) *cobra.Command {
	return &cobra.Command{
		Use:   "schema",
		Short: "Print a JSON Schema of the plan for editors",
		Long: `schema prints a JSON Schema (draft 2020-12) of a plan. Editors that know YAML use it to
complete keys, to show what each means and to mark what is wrong. It knows keys, units
and words; dayloom check knows the rest.`,
		Example: "  dayloom schema > plan.schema.json",
		Args:    exactly(),
		RunE: func(*cobra.Command, []string) error {
			out, err := keys.Schema()
			if err != nil {
				return err
			}
			_, err = w.stdout.Write(out)
			return err
		},
	}
}
