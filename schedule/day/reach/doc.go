// Package reach turns what a day asks of the channels into what their ports can show,
// once and last, after all that changes a day. Everything that speaks of the light asked
// for counts the result, so that dli, balance, acclimate, compile and verify mean the same.
//
// With L the least light that a port can hold its lamp at ([port.Port.Least]):
//
//   - Moonlight below L is dark: it would only flash. [Problems] says so of a plan.
//   - A stretch of light that nowhere reaches L is dark.
//   - The foot of a ramp below L, where the port cannot follow a slow rise, is switched:
//     dark, then at L for ∫y dt / L next to what is lit beside it, so that it keeps its
//     dose and the day's dose stays level × τ. Between two lit parts it is dark about the
//     middle of what is too much.
//   - A port that cannot be dark gives its floor wherever less is asked. One that is fed
//     by an outlet is dark while that is off; the outlet is on while any lamp it feeds is
//     to be lit, and the others that cannot be dark glow at their floor meanwhile.
//   - Channels that share a port follow the first of them: a follower's curve is its own
//     response at the command that gives the first its light. Where responses are bent
//     that is a row of chords, within 1e-5 of full light of the true curve.
//
// A channel on several ports is taken to be on the one with the greatest L. Entries of the
// day that are still auto count as dark, but their hours count as lit: there no floor is
// added, and outlets are on.
//
// Left out: the grid of times, which lowering deals with, and a port whose fullest light is
// below what is asked, which lowering tells of.
package reach
