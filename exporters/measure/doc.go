// Package measure writes a survey for whoever holds the meter: a table with the columns of
// a readings file and room for the PPFD, which is a readings file once filled in (the
// columns expected_umol_m2_s, low and high are passed over when it is read), and a page
// to print with the same lines. Each line has what the meter should show and the range
// of two standard deviations either way, so that a gross error is seen on the spot.
package measure
