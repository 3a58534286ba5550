package main

import (
	"os"
	"os/exec"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// exits CODE dayloom ARGS… runs the program and checks its exit code exactly;
// output is left for stdout and stderr checks in the files out and err.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE dayloom ARGS…")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	err = ts.Exec(args[1], args[2:]...)
	got := 0
	if e, ok := err.(*exec.ExitError); ok {
		got = e.ExitCode()
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if got != want {
		ts.Fatalf("%s: exit code %d, want %d", strings.Join(args[1:], " "), got, want)
	}
}

// edit FILE OLD NEW replaces the first OLD in a file and fails when there is none.
func edit(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: edit FILE OLD NEW")
	}
	text := ts.ReadFile(args[0])
	if !strings.Contains(text, args[1]) {
		ts.Fatalf("%s has no %q", args[0], args[1])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.Replace(text, args[1], args[2], 1)), 0o644))
}

// starter DIR takes the plan in a folder all the way; every step must end with 0, and check without a warning.
func starter(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: starter DIR")
	}
	plan, out := args[0]+"/plan.yaml", args[0]+"/out"
	for _, step := range []string{"check PLAN", "dli PLAN", "compile PLAN -o OUT", "verify OUT/timetable.json PLAN"} {
		line := strings.NewReplacer("PLAN", plan, "OUT", out).Replace(step)
		ts.Check(ts.Exec("dayloom", strings.Fields(line)...))
		if step == "check PLAN" && (!strings.Contains(ts.ReadFile("stdout"), "no errors, 0 warnings") || ts.ReadFile("stderr") != "") {
			ts.Fatalf("%s: %s%s", plan, ts.ReadFile("stdout"), ts.ReadFile("stderr"))
		}
	}
}
