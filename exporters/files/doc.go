// Package files writes a set of files whole or not at all.
//
// A timetable without its schedule of reminders, or half a timetable, is worse
// than none: the controller would be loaded with it. So every file of a set is
// first rendered beside its target, under a name that begins with a dot, and
// synced to the disk. Only when all of them are complete are they renamed to
// their own names, each in one atomic step (POSIX.1-2017, rename). Whatever
// fails on the way, the folder is left as it was: new files are removed,
// replaced ones put back, and a folder that was made for the set goes too.
//
// Rendering streams: a file is never held in memory, however long.
//
// Left out: a power cut between two of the renames can leave some files new and
// some old, each of them whole. File systems without hard links pass through a
// short moment in which a replaced file has no name.
package files
