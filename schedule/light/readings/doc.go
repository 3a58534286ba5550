// Package readings judges what a meter read: what each reading should have been by all
// the others, which are doubtful, and what slip of the pen or the hand would explain it.
//
// A reading is doubtful when it was set aside (package fit) or lies over three standard
// deviations from what all other readings and the model expect of it. Each slip that a
// person may make is then tried in its place: a factor of ten either way, the factor
// of the meter in water left out or used twice, another channel lit, another coral,
// another command. A slip explains the reading if with it the reading lies within two
// and a half deviations. The likeliest is the one whose −z²/2 − ln n is greatest, n being
// how many slips of its kind were tried: the kind is as likely as any other, and each of
// its kind as any of the same. It is the likeliest of those tried and no proof.
package readings
