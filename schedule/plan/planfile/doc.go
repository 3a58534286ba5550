// Package planfile reads a plan of format 1 with the files that it names, resolves
// its units and names, and checks it: text in, a [plan.Plan] and a list of problems
// out. All problems of all files are collected in one go; a plan with an error gives
// no Plan. Nothing is read except through the function that [Load] is given, and no
// input makes it panic.
//
// # Rules of the format
//
// An unknown key, a missing unit, a name used but not defined and a number out of
// its range are errors at their place; a missing key is one at the group to which it
// would belong. Names are lower-case words of letters, digits, - and _, beginning
// with a letter; ports may begin with a digit. A coral's name is unique in the plan.
// Files are named relative to the plan's folder; what is wrong in one is reported at
// its own line.
//
// # What may be left out
//
//	clock.summer_time    ignore      clock.controller       follows
//	tank.water           pure        tank.walls             dark
//	channel.spectrum     flat from 400 to 700 nm, with a warning if there are emitters
//	channel.dimmable     yes         channel.uncertainty    25 %
//	channel.flux         if readings give the light; emitters need it
//	emitter.aim          straight down (the third number of an aim is negative)
//	emitter.share        equal shares; all emitters of a channel or none
//	zone.within          10 %        ramp shape             linear
//	moonlight.phase      constant
//	controller.range     volts [0 V, 10 V], percent [0 %, 100 %], counts by bits
//	controller.step      0.1 V, 1 %, 1
//	controller.between_points  ramp  controller.time_step   1 min
//	controller.points_per_day  no limit
//	port.response        linear      balance.prefer         even
//	acclimation.every    1 week      acclimation.step_max   15 %
//	acclimation.by       dimming     acclimation.apart      5 cm
//	relamp.step_max      15 %        circuit.continuous     80 %
//	circuit.power_factor 1           meter.in_water_factor  1
//	meter.uncertainty    5 %
//
// The defaults
// of light steps, uncertainty and circuits are common practice, no source.
//
// # Flux
//
// What a channel gives is µmol/s over 400-700 nm. Another band is turned into it by
// the ratio of photons in the spectrum, watts of radiation by its photons per joule,
// lumens by V(λ), and an efficacy by the channel's power; the first three need a
// spectrum. A channel that is all near-UV or far red has its flux in a band of its
// own, such as 40 umol/s 380-420 nm. An emitter needs either a beam or a photometry file; none is assumed.
//
// # Time
//
// Times are on the day's own clock. Times that wrap at midnight are allowed
// everywhere: light after midnight counts to the date on which it falls, of which a
// daylight or switched curve gives a warning. A channel may stand in several entries
// of a day when they do not overlap.
package planfile
