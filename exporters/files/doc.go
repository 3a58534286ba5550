// Package files opens what is read and writes sets of files whole or not at all.
//
// A timetable without its schedule of reminders, or half a timetable, is worse than
// none: the controller would be loaded with it. So every file of a set is first written
// beside its place under a hidden name, and synced to the disk.
//
// A folder that is not there yet is filled under a hidden name beside its place and then
// given its own in one atomic step (POSIX.1-2017, rename): it is there with all its
// files or not at all. In a folder that is there, each file takes its place in an atomic
// step of its own once all of them are complete; a link is written through to the file
// that it points to, and what is replaced keeps its permissions.
//
// What holds, exactly:
//
//   - A file that has its own name is whole, old or new, at any moment.
//   - An error on the way, a full disk included, or a signal that cancels the context
//     leaves folder and files as they were. A signal that comes when all is written lets
//     the set be finished.
//   - Only one process writes in a folder at a time; others wait. Two sets cannot mix.
//   - Whoever reads several files of a folder while they take their places, which is
//     some milliseconds, may see new ones beside old ones.
//   - A process that is killed, or a power cut, leaves hidden files (names that end in
//     .dayloom-new and .dayloom-old), and in those milliseconds new files beside old
//     ones; whoever writes in that folder next first takes the unfinished set back and
//     removes what was left.
//   - A journal is added to in one write at its end, synced, and by one process at a
//     time; a power cut in that moment may leave the new entry in part, never an old one.
//
// Left out: where the system cannot lock a folder (some network file systems, and other
// systems than Linux, macOS and the BSDs) processes do not wait for each other. File
// systems without hard links pass through a short moment in which a replaced file has
// no name.
//
// Rendering streams: a file is never held in memory, however long.
package files
