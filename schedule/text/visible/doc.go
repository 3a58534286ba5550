// Package visible keeps out of text what does not show itself as it is.
//
// A control character (general category Cc of the Unicode Standard: ESC, BEL, NUL and
// the rest) can make a terminal do things; a character that changes the direction of
// writing (property Bidi_Control, Unicode Standard Annex 9, such as U+202E) makes text
// look like another; line and paragraph separators (Zl, Zp) break a line where most
// readers see none. None of them has a place in a name or a note.
//
// Names and notes with such characters are refused where they are read. Beside that,
// everything that is written as text goes through [Writer], which puts U+FFFD in place
// of each: what reaches a terminal, a sheet, a crontab or a picture is what it looks
// like, whatever the file was that it came from.
package visible
