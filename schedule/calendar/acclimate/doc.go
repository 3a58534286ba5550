// Package acclimate brings new corals up to their light in even steps, by the dates
// and places of a plan and by what its journal says has happened since.
//
// # Steps
//
// From a DLI a to b, mol m⁻² d⁻¹, N steps are of one ratio (arithmetic)
//
//	q = (b/a)^(1/N)        N ≥ ln(b/a) / ln(1+s)
//
// s is the largest relative rise of a step, 15 % a week unless the plan says
// otherwise. On the day of arrival the coral has a; after step k it has a·q^k; with
// step N the usual day is back. Where the season lengthens the day meanwhile, s is
// lowered by as much. The limit holds for DLI, for peak PPFD and for the violet
// dose (380-430 nm), each on its own, for every coral and area, over the most that it
// had in the 7 days before. A rise of more than 30 % in a day is a warning, of more than 50 % an error
// unless the plan allows big steps.
//
// Evidence: no safe ratio has been published. Corals moved to 1.3-2.1 times their
// light bleached (Hoegh-Guldberg & Smith 1989, J Exp Mar Biol Ecol 129, 279; the
// ratios worked out from its depths at diffuse attenuation 0.05 and 0.15 per m),
// others at 1.8-6 times (Gleason & Wellington 1993, Nature 365, 836). 15 % a week
// and both thresholds are a reading of these, not a finding.
//
// # Ways
//
//	dimming  the daylight of all channels is scaled, lamps that cannot be dimmed by hours
//	hours    the plateau is shortened at full height: DLI falls, peak PPFD does not
//	place    the lamps stay and the coral moves: see path.go
//	height   the racks over the coral's zone, from a tenth of its light on, hang higher, and are lowered by steps; all
//	         over its tank where that is not enough
//	balance  a solver finds levels for the coral's target of the day and all others' own
//
// Where a plan names no way, all are tried, place and balance first, height where the plan has racks, and of those that are not
// refused the one is taken with which others are under their targets for the fewest days.
//
// Several newcomers at once: of dimming and of hours the smallest wins, each coral is
// checked against its own limit, and what does not go together is an error.
//
// # Journal
//
// Arrivals and journal entries are worked through by date, and each looks only at
// what is known on its date; so an entry dated D changes no day before D.
//
//	hold n     every step to come is n days later
//	back       one step down on D, up again at the interval of the plan
//	moved      the light at the new place counts from D on
//	reading r  all light of that coral counts r·f/E times, E the peak worked out for
//	           the place it stood at and f the meter's factor in water
//	outage n   all daylight restarts at 2^(−n/7) of what it was, at least one half, and
//	           returns in even steps of at most 15 % a week; other steps wait for that
//
// After moved and reading the coral goes on from the lesser of what it had by plan and
// what it now has, in as many steps as were left, or more where the limit asks for it.
// The half-time of 7 days with which a coral is taken to lose its tolerance in the
// dark is a working figure, no finding: photoacclimation has been seen to take from 3
// days to more than 20 (common practice, no source for outages). So is its floor.
//
// # Left out
//
// Whether the animal follows. The steps are common practice, not veterinary advice:
// watch the coral, and hold or go back when it pales. A path by place knows nothing of
// rock: say in `within` where there is something to stand on.
package acclimate
