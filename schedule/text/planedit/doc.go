// Package planedit changes, takes out or repeats a value in the text of a plan and leaves every other
// byte alone: comments, order, quotes and line ends stay as they are.
//
// A path is a row of steps with points between, each a key or the index of a list
// item counted from 0, as in the messages of a reader:
//
//	zones.shelf.dli
//	day.0.peak
//	channels.bar-blue.emitters.1.beam
//	channels.bar-blue.emitters.line.height
//
// A step over a list without an index, as in the last, means every item of the list;
// items without the key are passed over. The new value replaces scalars in place:
// the file is read to find where they stand, and the text is spliced there, the last
// first. A value that YAML would not read back as the same text is put in double
// quotes, and one that replaces quoted text keeps the quotes. Nothing is checked
// against the plan format: that is the reader's task.
package planedit
