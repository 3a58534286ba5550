// Package pigment tells how much of a light excites the fluorescent proteins that make
// corals glow: an indication, and no more.
//
// The share of a light that excites a protein is
//
//	share = Σ photons · excitation / Σ photons      over 350-700 nm,
//
// with the protein's published relative excitation (peak 1, straight lines between rows
// 5 nm apart, nothing where it was not measured). 1 would be light of the protein's peak alone. Half of
// the peak is reached 35-60 nm below it but only 10-20 nm above: the curves are steep to
// the red. How bright a coral glows depends on how much protein it has as well, on its
// yield, and on how much of the lamp's own light drowns the glow; none of that is here.
// Four proteins have open curves. Corals have many more, among them cyans that violet
// excites best (404-420 nm), so a low share of violet light says nothing of those; and
// violet is dosed apart, whatever glows in it.
//
// The curves are those of FPbase, under their own licence: see NOTICE.
package pigment
