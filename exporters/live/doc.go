// Package live is the page on which a plan is tried out: an http.Handler for one plan and
// one person on one machine.
//
// # What is true
//
// The plan's text is. An edit on the page is an edit of that text (package planedit), read
// again as any plan is (package job); what it then says is sent back, numbers as `dayloom
// dli` writes them. The page itself adds up only pixels: it has the light of each channel
// at full output over the plane that it shows and multiplies by levels.
//
// A [Document] is the text as it is on the disk, the texts that edits made of it, and
// where among them undo and redo stand. The file is written only after the lines that
// change were shown, by the mark of that showing; a file that is not what the document
// was read from is never written over.
//
// # What is worked out when
//
// An edit reads the plan and works out the day of the date shown. The light at the corals
// is worked out again only where it could differ: what lamps, water, corals, readings and
// the age of the lamps at the readings are made of is compared. Maps are worked out for the
// channels and the depth that the page asks for; while a lamp is dragged for those that
// hang on it. Of maps asked for in haste only the newest is worked out.
//
// # Who may ask
//
// The handler answers one browser on this machine. It is given a token and a session by
// its caller. The token, in the URL, is taken once for a cookie that scripts cannot read and
// that other sites do not send. Every request is refused (403) whose Host is not the
// handler's own, whose Origin is another one, or that lacks the cookie, before anything is
// done. Bodies are JSON of at most 64 KiB. Pages load nothing from elsewhere, no script
// or style that stands in the page, and are shown in no frame.
//
// Nothing here knows a clock, draws chance or opens a port: see [Config].
package live
