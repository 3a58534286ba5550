// Package quantity reads the numbers, units, times and dates of a plan from their
// text, by one small grammar of its own.
//
//	number    = [ "+" | "-" ] digits [ "." digits ] [ ( "e" | "E" ) [ "+" | "-" ] digits ]
//	quantity  = number [ " " ] unit
//	time      = digit digit ":" digit digit [ ":" digit digit ]      00:00 to 23:59:59
//	date      = year "-" month "-" day                               ISO 8601
//
// A [Kind] is one sort of quantity with its units, the factor of each to the unit
// used inside, and an example for messages:
//
//	Length      mm cm m in ft              m       1 in = 25.4 mm exactly (international inch, 1959)
//	Duration    s min h day(s) week(s)     s
//	Share       %                          1       Percent the same, inside in %
//	Power       W kW                       W
//	Efficacy    umol/J                     µmol/J
//	Angle       deg                        rad
//	Wavelength  nm                         nm
//	PerLength   /m /cm                     1/m
//	Volts V, Amps A, Counts (no unit)
//	Latitude    N S      Longitude  E W    degrees, north and east positive
//	Plain       no unit: the bare numbers of a plan
//
// The list of kinds is a table, and so longer than a package's usual handful of names.
//
// YAML itself would read 010 as 8, 0830 as 830, 1_000 and 0x1F as numbers and .inf
// as infinity. Here a leading zero, an underscore, a hexadecimal number and all that
// is not finite are refused. 24:00 is refused as well; midnight is "00:00".
// The unit is never left out, so 30 can not be taken for cm by one reader and for
// inches by another; the micro sign, the Greek letter mu and a plain u are the same.
package quantity
