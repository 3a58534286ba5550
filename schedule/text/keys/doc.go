// Package keys is the table of every key that a plan may hold: where it stands, what
// is written there, within what range, what holds when it is not given, an example
// and one sentence. The reader takes its allowed keys, words, ranges and examples
// from it; the help, the JSON Schema for editors and the reference page are written
// from it; so a key that is not in the table cannot be read, and one that is has a
// sentence everywhere.
//
// # Forms
//
// A form is the path of a key with NAME for every name of the plan's own and # for
// every item of a list, such as channels.NAME.emitters.#.line.height. Two parts of a
// plan are written like others and share their rows: days.NAME like day, and a season
// inside the calendar like the season of the plan.
//
// # Kinds
//
// What is written at a key is one or more of these, joined by "or": group (of fixed
// keys), named (a group whose keys are names), list, a quantity (length, share, time
// …), "one of" some words, the name of a channel, coral or zone, a file beside the
// plan, a pair or a list of pairs.
package keys
