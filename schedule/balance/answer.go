package balance

import "dayloom/schedule/day"

// Answer is what was found, with its proof, ready for JSON. Departures and shares are relative numbers, 0.1 for 10 %.
type Answer struct {
	Date        string       `json:"date,omitempty"`
	Met         bool         `json:"met"`                                 // every target within its tolerance, every dli_min reached
	MetInstead  bool         `json:"met_counted_in_tolerances,omitempty"` // not met, but would be with Options.Tolerances
	Channels    []Channel    `json:"channels"`
	Places      []Place      `json:"places"` // corals, then areas
	Energy      float64      `json:"energy_kwh_d"`
	Power       float64      `json:"power_peak_w"`
	Certificate Certificate  `json:"certificate"`
	Binding     []Constraint `json:"binding"`
	Why         []string     `json:"why,omitempty"` // what stands in the way of each target not met
	Remedies    []Remedy     `json:"remedies,omitempty"`
	Shares      []Share      `json:"shares,omitempty"`
	Sure        *Sureness    `json:"sure,omitempty"`
	Notes       []string     `json:"notes,omitempty"`

	// As Plan.Channels: what was found, 0 where nothing was to be. settle.Found puts both into a plan.
	Peaks  []float64   `json:"-"`
	Switch []day.Hours `json:"-"`
}

// Channel is one channel of the answer.
type Channel struct {
	Name  string   `json:"name"`
	Auto  bool     `json:"auto"`            // found here; false: as the plan has it
	Peak  float64  `json:"peak"`            // of the day, before the date's scale
	On    *float64 `json:"on_s,omitempty"`  // after midnight, of a switched channel
	Off   *float64 `json:"off_s,omitempty"` // equal to on: dark all day
	Hours *float64 `json:"hours_h,omitempty"`
	Dose  float64  `json:"dose_s"` // full light, everything included
}

// Place is what one coral or area mean gets.
type Place struct {
	Name      string  `json:"name"`
	Zone      string  `json:"zone"`
	Area      bool    `json:"area,omitempty"`
	DLI       float64 `json:"dli_mol_m2_d"`
	Target    float64 `json:"target_dli_mol_m2_d"`
	Within    float64 `json:"within"`
	Departure float64 `json:"departure"` // signed, of the target
	Bound     float64 `json:"departure_bound"`
	Level     int     `json:"level"` // of the leximin order, 1 the worst
	Peak      float64 `json:"ppfd_peak_umol_m2_s"`
	Met       bool    `json:"met"`
	Coral     int     `json:"-"` // into Plan.Corals, −1 for an area
}

// Certificate is the proof: no answer that keeps the limits has a greatest departure below Bound.
type Certificate struct {
	Greatest float64 `json:"primal"` // greatest departure of the answer
	Bound    float64 `json:"dual"`   // below which no answer's greatest departure can be
	Unit     string  `json:"unit"`   // what departures of stages and bounds count in: target, or tolerance
	Gap      float64 `json:"gap"`    // the greatest excess of a departure over its stage's bound
	Proven   bool    `json:"proven"`
	Stages   []Stage `json:"stages"`
	Cuts     int     `json:"cuts"`   // moments at which a limit was taken in
	Pivots   int     `json:"pivots"` // of the simplex method
}

// Stage is one rank, or one level of rank 2.
type Stage struct {
	Rank   int      `json:"rank"`
	What   string   `json:"what"`
	Places []string `json:"places,omitempty"`
	Primal float64  `json:"primal"`
	Dual   float64  `json:"dual"`
}

// Constraint is something that binds at the answer.
type Constraint struct {
	Kind    string  `json:"kind"` // ppfd_max, dli_max, power_max, circuit, light_fraction, peak, dark, hours, target
	Text    string  `json:"text"`
	Channel string  `json:"channel,omitempty"`
	Zone    string  `json:"zone,omitempty"`
	Place   string  `json:"place,omitempty"`
	Circuit string  `json:"circuit,omitempty"`
	Limit   float64 `json:"limit,omitempty"`
	// Price is by how much the greatest departure would fall for each part by which this were loosened:
	// 0.2 means that 1 % more takes 0.002 off. 0: it only binds lower ranks.
	Price float64 `json:"price"`
}

// Share is one band's share at one place with all at peak.
type Share struct {
	Place   string  `json:"place"`
	Band    string  `json:"band_nm"`
	Share   float64 `json:"share"`
	AtLeast float64 `json:"at_least"`
	AtMost  float64 `json:"at_most"`
	Met     bool    `json:"met"`
}

// Sureness says what the margin costs.
type Sureness struct {
	Probability     float64   `json:"probability"`
	Margin          float64   `json:"margin_sd"`
	GreatestWithout float64   `json:"greatest_departure_without"`
	Without         []Without `json:"without"`
	MetWithout      bool      `json:"met_without"`
}

// Without is what a place would get without the margin.
type Without struct {
	Name      string  `json:"name"`
	DLI       float64 `json:"dli_mol_m2_d"`
	Departure float64 `json:"departure"`
}

// Remedy is a change of the plan that was tried and meets all targets; package remedy finds them.
type Remedy struct {
	Kind  string  `json:"kind"` // flux, limit, minutes, place, tolerance
	Text  string  `json:"text"`
	Edits []Edit  `json:"edits"`
	Size  float64 `json:"size"` // how large the change is, relative where that makes sense
}

// Edit is one value of the plan to change.
type Edit struct {
	Key  string `json:"key"` // such as zones.shelf.ppfd_max
	From string `json:"from"`
	To   string `json:"to"`
}
