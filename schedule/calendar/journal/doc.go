// Package journal reads and extends the record of what was done and seen at a tank:
// the file journal.yaml beside a plan.
//
//   - date: 2027-02-20
//     coral: staghorn-b
//     do: hold 7 days
//   - {date: 2027-02-27, coral: staghorn-b, do: back one step, note: tips are pale}
//   - {date: 2027-03-01, coral: staghorn-b, do: moved, x: 40 cm, y: 30 cm, depth: 20 cm}
//   - {date: 2027-03-02, coral: staghorn-b, do: reading 180}
//   - {date: 2027-03-09, do: outage 3 days}
//   - {date: 2027-03-09, rack: main, x: 60 cm, from: "14:00", to: "15:30", note: service}
//   - {date: 2027-03-10, note: fed less}
//   - {date: 2027-03-09, do: undo}
//
// What the words mean:
//
//	hold n days    the light of the coral stays as it is; all its steps to come are n days later
//	back one step  from the date on one step lower, then up again at the usual interval
//	moved          from the date on it stands at x, y, depth, and in another zone if one is named
//	reading n      its PPFD at the brightest moment of that day, µmol m⁻² s⁻¹, as the meter showed it
//	outage n days  the tank was dark for the n days before the date; light is back on the date
//	rack           it hung elsewhere (x, y, height) for a while: the light of that day counts both places
//	undo           cancels the last entry above that is not cancelled yet, and has its date
//	note           changes nothing
//
// An entry acts from its date on and never before, so what was done stays as it was
// done. The file is only ever added to: [Append] gives back every byte it was given,
// followed by the new entry. Entries act by date; of two on the same date the upper
// one acts first.
package journal
