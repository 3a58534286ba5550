// Package diag holds what a reader found wrong with a file, and prints it.
//
// A [Problem] keeps apart where it is, what is wrong, what is allowed and what
// was probably meant, so that the same value serves a terminal, JSON and a test:
//
//	plan.yaml:12:1: unknown key "chanels"; allowed here: channels, clock; did you mean "channels"?
//	  12 | chanels:
//	     | ^
//
// Lines and columns count from 1, columns in characters as an editor shows them,
// a tab being one character. The caret stands under the column also when the line
// holds tabs (repeated below it) or characters of several bytes; characters that
// a terminal draws two cells wide are counted as two.
//
// A [List] is in document order after [List.Sort]: the main file first, then the
// files that it names. Warnings do not stop anything and are marked as such.
package diag
