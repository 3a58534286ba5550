// Package cutting chooses, for controllers that are keyed in by hand, into which runs of dates a year is
// cut and whose day each run plays.
//
// A run plays the day of one of its own dates on all of them. On date d with the day of date r a coral's DLI
// is off its own by
//
//	dist(r, d) = max over corals | Σ F_c(d) τ_c(r) / Σ F_c(d) τ_c(d) − 1 |
//
// with F the light of a channel at full output on that date, age and place included, and τ its dose. The
// greatest of these over all dates is made as small as a given number of tables allows: with
//
//	cost of a run [i, j] played by r = max(L_r(i), R_r(j)),   L, R the greatest dist from r back to i, on to j
//
// the best cutting of the dates up to j, the last run of which is played by r, follows from the best ones of the
// dates before it (dynamic programming, Bellman 1957). From one run to the next no coral may rise by more than its
// limit, by the judge of package acclimate; runs end where the controller's clock is shifted against the day, which
// takes one of the tables each time. Of
// cuttings that are equally good the one with fewest tables is taken. Nothing better exists: every cutting is
// compared, none is left out; moonlight alone is not part of the comparison.
//
// Where rules of the calendar follow weekdays, the weekdays that they tell apart are cut each for themselves, as they
// have tables of their own, and the tables are shared among them so that the greatest of all is least: by the costs
// of each with 1, 2, … tables, the least to which all come with no more than there are. A rack that hangs elsewhere for
// some hours counts on its date, with the light of those hours.
//
// Moonlight is at its mean over all dates that are cut, so that no night has a step where a run begins: a controller
// whose clock is ahead of the day changes tables before the day does. Years count from the first date; of a part of a year as large a part of
// the number is used.
package cutting
