// Package report turns results into what people and programs read: aligned text,
// CSV with units in its column names, and JSON whose keys carry their unit.
//
// Every report is a plain value made once from a result; Text, CSV and JSON are
// three ways to write that same value, so they cannot disagree. Numbers in JSON
// are finite: what has no value (a limit that was not given) is left out.
package report
