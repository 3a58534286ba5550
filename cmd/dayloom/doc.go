// Command dayloom compiles a daily light programme: from one plan file that
// describes a tank, the lamps over it, the corals in it and the light each should
// get, to timetables that any dimming controller can follow, with the proof that
// each coral gets what was asked.
//
// This package is the command line and nothing more: flags, printing, exit codes,
// and the order in which the stages are called. One file a command. Results go to
// standard output; errors, warnings and progress go to standard error, by the two
// small files that talk to people, talk.go and busy.go.
//
// Exit codes: 0 done; 1 the plan or a file is wrong; 2 the command line is wrong;
// 3 done, but a target or limit is not met.
package main
