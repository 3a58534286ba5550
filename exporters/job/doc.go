// Package job is the front door: a plan file, opened, with all that a command, a report
// or a page asks of it.
//
//	plan.yaml ─ Open ─▶ plan, light, journal, found levels, programme, calendar
//	                                              │
//	                                    On(date) ─┴▶ Dated: where corals stand, the day,
//	                                                 what age has left, DLI and verdicts
//
// It holds no arithmetic of its own. It calls the stages of a plan in their order and
// hands each what the one before it made; whoever wants only one stage calls that
// package. A [Job] is read, never patched: [Job.With] gives another one.
//
// What the stages complain of comes back in [Job.Problems], warnings too, stage by
// stage, also when opening fails; the error then says in a sentence what was not done.
// What the acclimation complains of is in Job.Programme.Problems: it may be refused on
// some dates and run on others (acclimate.Programme.Refused).
//
// Files are opened by the function that the caller gives, today is a date that the
// caller gives: nothing here knows a clock or prints.
package job
