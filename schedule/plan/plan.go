package plan

import (
	"time"

	"dayloom/photon/colour"
	"dayloom/photon/emitter"
	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/photon/water"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// Pos is where a value stands in the plan file: line and column count from 1,
// columns in characters. The zero Pos means "not written", that is a default.
type Pos struct{ Line, Col int }

// Written reports whether the value was written in the file.
func (p Pos) Written() bool { return p.Line > 0 }

// Plan is a whole plan of format 1, read, resolved and checked. It is never
// changed after reading; later stages return values of their own.
type Plan struct {
	File  string // as the user named it, for messages
	Hash  string // "sha256:…" over the plan and every file it names, in a fixed order
	Name  string
	Clock Clock
	Tank  Tank   // the first of several
	Tanks []Tank // by name; nil: one without

	Channels    []Channel // in file order; all indexes below point into it
	Racks       []Rack    // their channels' emitters stand where the rack puts them
	AsRead      *Plan     // where a rack was moved after reading: the plan as it was; nil: this one
	Readings    *Readings // nil: none
	Meter       Meter     // the first of Meters
	Meters      []Meter   // at least one; Reading.Meter points into it
	Zones       []Zone
	Corals      []Coral    // all corals of all zones, in file order
	Day         []DayPart  // the usual day
	Days        []NamedDay // other days, by name, for the calendar
	Controllers []Controller
	Balance     Balance
	Acclimation []Acclimation
	Calendar    []CalendarRule
	Relamps     []Relamp
	RackMoves   []RackMove // those of one rack do not overlap
	Chores      []Chore
	Tariff      Tariff
	Season      *Season
	Circuits    []Circuit
}

// Clock says which clock the day is written on, and which the controller keeps.
type Clock struct {
	Zone              *time.Location
	ZoneName          string
	FollowsSummerTime bool // the day moves with the wall clock; false: it stays on standard time
	ControllerStays   bool // the controller's own clock does not move for summer time
}

// Tank is the water box and what its water absorbs.
type Tank struct {
	Name       string   // "" of the one that needs none
	Box        tank.Box // m
	Absorption water.Absorption
}

// Channel is everything that one output moves together.
type Channel struct {
	Name        string
	Pos         Pos
	Flux        Flux
	PowerW      float64 // electrical power at full output, W; 0: not given
	Spectrum    spectrum.Spectrum
	HasSpectrum bool // false: Spectrum is the flat 400-700 nm default
	Dimmable    bool
	Ageing      []AgePoint // rising hours; empty: does not age
	HoursRun    float64    // hours run before the first day, from `hours_run`
	Installed   Date       // day on which the lamps were new, if given
	Emitters    []emitter.Emitter
	Uncertainty Uncertainty
	Tank        int // into Plan.Tanks: the one that it lights
}

// Uncertainty is the relative standard uncertainty of a channel's modelled light, in two
// independent parts: Common, one error of all channels (height, water, glass; default 0.20),
// and Own, this channel's alone (default 0.15). Together they are the root of the sum of squares.
type Uncertainty struct{ Common, Own float64 }

// Flux is the channel's photon flux at full output.
type Flux struct {
	UmolS      float64 // µmol/s over 400-700 nm, whatever the plan gave; 0: not given
	TotalUmolS float64 // µmol/s of all wavelengths by the same spectrum; what near-UV channels are known by
	Given      string  // the plan's own words, e.g. "95 W radiant"
	Pos        Pos
	Derived    bool // worked out from W, lm, efficacy or another band by the spectrum
}

// AgePoint: after Hours of running the flux is Share of new.
type AgePoint struct{ Hours, Share float64 }

// Zone is a part of the tank with one target.
type Zone struct {
	Name    string
	Pos     Pos
	DLI     float64 // target, mol m⁻² d⁻¹
	Within  float64 // relative tolerance, default 0.10
	DLIMin  float64 // 0: none given
	DLIMax  float64 // +Inf: none given
	PPFDMax float64 // µmol m⁻² s⁻¹, +Inf: none given
	Ek      float64 // µmol m⁻² s⁻¹ at which photosynthesis saturates; 0: none given
	Corals  []int   // into Plan.Corals
	Area    *Area   // a sampled area instead of (or beside) corals
	Tank    int     // into Plan.Tanks
}

// Area is a horizontal rectangle, m.
type Area struct {
	X, Y  [2]float64
	Depth float64
	Pos   Pos
}

// Coral is one position in a zone, m.
type Coral struct {
	Name        string
	Zone        int
	X, Y, Depth float64
	Ek          float64 // its own, or its zone's, µmol m⁻² s⁻¹; 0: none given
	Pos         Pos
}

// Ramp is a rise or a fall; times are seconds after midnight on the day's own clock.
// To may be less than From: the ramp then crosses midnight.
type Ramp struct {
	From, To float64
	Shape    curve.Shape
	Pos      Pos
}

// Level is a light fraction, or auto: to be found by balance between two light fractions.
type Level struct {
	Auto     bool
	From, To float64 // of what is auto; To 0: no bound
	Fraction float64
	Pos      Pos
}

// DayPart is one entry of a day: some channels and what they do.
// Exactly one of Daylight, Switched, Moonlight is set.
type DayPart struct {
	Channels  []int
	Pos       Pos
	Daylight  *Daylight
	Switched  *Switched
	Moonlight *Moonlight
}

// Daylight is sunrise, peak and sunset of dimmable channels, or points of a curve in place of
// both ramps: these then hold its ends and its brightest moment.
type Daylight struct {
	Sunrise, Sunset Ramp
	Peak            Level
	Points          []Share // rising times; nil: none
}

// Share is a point of a curve: the share of the peak at a time.
type Share struct {
	TimeS, Share float64 // s after midnight; 0..1
}

// Switched is on and off of a channel that cannot be dimmed, seconds after midnight.
type Switched struct {
	On, Off         float64
	AutoOn, AutoOff bool
	Window          *Window // required when AutoOn or AutoOff
	Pos             Pos
}

// Window bounds the hours that balance may give a switched channel; seconds.
type Window struct {
	From, To, AtLeast float64
}

// Phase says how moonlight follows the moon.
type Phase int

// The phases a plan may name.
const (
	Constant Phase = iota
	Follow         // scaled by the moon's lit fraction on that date
	TrueSky        // and only while the moon is up
)

// Moonlight is a constant low level by night.
type Moonlight struct {
	From, To float64 // seconds after midnight; To < From crosses midnight
	Peak     float64 // light fraction
	Phase    Phase
	// Place whose sky true-sky follows, degrees; given as `latitude`, `longitude`.
	LatitudeDeg, LongitudeDeg float64
	Pos                       Pos
}

// NamedDay is another day than the usual one.
type NamedDay struct {
	Name  string
	Parts []DayPart
	Pos   Pos
}

// Controller is one device and what it can hold.
type Controller struct {
	Name string
	Pos  Pos
	port.Kind
	Ports         []Port
	TablesPerYear int // of a controller that is keyed in by hand; 0: a table for every date that needs one
}

// Port is one output of a controller, with its places in the plan.
type Port struct {
	port.Port
	Channels  []int // of its lamps, in their order; none: an outlet that only feeds other ports
	Pos       Pos
	OutletPos Pos
}

// Ports lists the ports of all controllers.
func (p *Plan) Ports() (out []Port) {
	for _, c := range p.Controllers {
		out = append(out, c.Ports...)
	}
	return out
}

// Balance is what the solver may and may not do.
type Balance struct {
	Shares    []BandShare
	Colour    *ColourWish   // nil: none
	Spectrum  *SpectrumWish // nil: none
	PowerMaxW float64       // +Inf: none
	Prefer    Prefer
	Spend     float64 // part of the tolerances that shares and the wish may use
	Pos       Pos
}

// HalfSpent is Balance.Spend unless the plan says otherwise.
const HalfSpent = 0.5

// Prefer is the plan's wish for the freedom that targets and shares leave.
type Prefer int

// The wishes.
const (
	Even        Prefer = iota // levels as near to each other as may be
	LeastPower                // of the day
	LeastChange               // from the plan's peaks
	Closest                   // to the targets
)

// ColourWish asks for a colour at every place of its zones, all channels at their peaks.
type ColourWish struct {
	Near   colour.Chromaticity
	Within float64 // in u′, v′
	Zones  []int   // into Plan.Zones
	Pos    Pos
}

// SpectrumWish asks for the photon shares of another light at every place of its zones, all
// channels at their peaks.
type SpectrumWish struct {
	Like     string // "daylight", or the file as the plan names it
	Spectrum spectrum.Spectrum
	DepthM   float64 // of the plan's water that it has come through, straight down
	Zones    []int   // into Plan.Zones
	Pos      Pos
}

// BandShare bounds the share of a band in the PPFD of each coral at peak.
type BandShare struct {
	Band            spectrum.Band
	AtLeast, AtMost float64 // 0..1
	Pos             Pos
}

// StepMax and StepDays are the largest relative rise of a step and the days between two, where the
// plan says nothing: common practice, no source; package acclimate has what they rest on.
const (
	StepMax  = 0.15
	StepDays = 7
)

// How a newcomer is brought up to its light.
type How int

// The ways of acclimation.
const (
	ByDimming How = iota
	ByHours
	ByPlace
	ByBalance
	ByHeight // all racks raised, and lowered by steps
	ByChoice // not said: package acclimate chooses
)

// Acclimation is one stepped programme.
type Acclimation struct {
	Corals    []int
	Arrives   Date
	FromDLI   float64     // mol m⁻² d⁻¹; 0: not given
	FromShare float64     // of the target; 0: not given
	FromPlace *[3]float64 // x, y, depth in m, where it stood before
	OverDays  int         // whole days
	EveryDays int         // whole days
	StepMax   float64     // relative, 0.20: no step brighter than 1.2 of the last
	By        How
	Within    *Volume // by: place: where it may stand on the way; nil: anywhere
	Apart     float64 // by: place: least distance from other corals, m
	Force     bool    // `allow: big steps`: do not refuse steps above 50 %
	Pos       Pos
	StepPos   Pos
}

// Volume is a box in the water, m.
type Volume struct{ X, Y, Depth [2]float64 }

// CalendarRule changes the day on the dates it matches.
type CalendarRule struct {
	Name     string
	Pattern  string  // cron day pattern; "" when Range or On is used
	From, To Date    // inclusive; both zero: always (pattern) ; On is From == To
	Scale    float64 // of the daylight peaks; 1 when only another day is named
	Day      int     // index into Plan.Days, -1: the usual day
	Pos      Pos
}

// Chore is something to do on dates, without effect on the light.
type Chore struct {
	Name     string
	Pattern  string // cron day pattern; "" for dates alone
	From, To Date   // inclusive; both zero: always
}

// Tariff is what electricity costs; a zero price: not given.
type Tariff struct {
	PerKWh   float64
	Currency string // such as EUR
}

// Relamp: on that date the channel's lamps are new again.
type Relamp struct {
	Channel int
	On      Date
	StepMax float64 // largest relative rise from one day to the next; default 0.15 a week
	Pos     Pos
}

// Season lets the length of the day follow the sun's at a latitude.
type Season struct {
	LatitudeDeg float64 // north positive
	Share       float64 // 0..1 of the sun's own swing
	Pos         Pos
}

// Circuit is a mains circuit and what hangs on it.
type Circuit struct {
	Name        string
	Channels    []int
	RatingA     float64
	SupplyV     float64
	Continuous  float64 // share of the rating allowed for continuous load, default 0.8
	PowerFactor float64 // default 1
	Pos         Pos
}

// Meter says how readings are corrected.
type Meter struct {
	Name          string       // "" when the plan names none
	FactorGiven   bool         // the plan says something of the factor in water
	InWaterFactor float64      // 1 when the meter has it built in or none is given
	Uncertainty   float64      // relative standard uncertainty common to all readings, default 0.05
	Spectral      [][2]float64 // nm, response: the sensor's own response to photons by wavelength, rising nm; nil: ideal
	Pos           Pos
}

// Readings is the file of measurements.
type Readings struct {
	File string
	Rows []Reading
	Pos  Pos
}

// Reading is one PPFD with known channels lit.
type Reading struct {
	Line        int
	Coral       int        // -1: at X, Y, Depth
	X, Y, Depth float64    // m; filled for corals too
	Tank        int        // into Plan.Tanks
	Racks       []RackMove // those that hung elsewhere; date and times are not said
	Date        Date       // zero: not said; the lamps are then taken as new
	Meter       int        // into Plan.Meters
	Lit         []Lit      // none: the light of the room
	PPFD        float64    // µmol m⁻² s⁻¹ as read, before the meter's factors
	RepeatSD    float64    // µmol m⁻² s⁻¹, of repeated readings; 0: not said
	Digit       float64    // µmol m⁻² s⁻¹, a step of the last digit written
	Note        string
}

// Lit is one channel and the light fraction it stood at.
type Lit struct {
	Channel  int
	Fraction float64 // through the response of the port
	Command  string  // as written: "100%", "5 V", "" for full
}
