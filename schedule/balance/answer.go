package balance

import "dayloom/schedule/day"

// Answer is what was found, with its proof, ready for JSON. Departures and shares are relative numbers, 0.1 for 10 %.
type Answer struct {
	Date        string       `json:"date,omitempty"`
	Met         bool         `json:"met"` // every target within its tolerance, every dli_min, dli_max, share and colour
	Prefer      string       `json:"prefer"`
	Spend       float64      `json:"spend"`
	Greatest    float64      `json:"greatest_departure"`
	Channels    []Channel    `json:"channels"`
	Places      []Place      `json:"places"` // corals, then areas
	Energy      float64      `json:"energy_kwh_d"`
	Power       float64      `json:"power_peak_w"`
	Certificate Certificate  `json:"certificate"`
	Binding     []Constraint `json:"binding"` // causes first
	Remedies    []Remedy     `json:"remedies,omitempty"`
	Shares      []Share      `json:"shares,omitempty"`
	Colours     []Colour     `json:"colours,omitempty"`
	Spectrum    *Spectrum    `json:"spectrum,omitempty"`
	Cost        *Cost        `json:"wish_cost,omitempty"`
	Sure        *Sureness    `json:"sure,omitempty"`
	Notes       []string     `json:"notes,omitempty"`

	// As Plan.Channels: what was found, 0 where nothing was to be. Found puts both into a plan.
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
	Tank      string  `json:"tank,omitempty"` // where the plan has several
	Area      bool    `json:"area,omitempty"`
	DLI       float64 `json:"dli_mol_m2_d"`
	Target    float64 `json:"target_dli_mol_m2_d"`
	Within    float64 `json:"within"`
	Departure float64 `json:"departure"` // signed, of the target
	Excess    float64 `json:"excess"`    // outside tolerance, dli_min and dli_max, of the target
	Peak      float64 `json:"ppfd_peak_umol_m2_s"`
	Met       bool    `json:"met"`
	Coral     int     `json:"-"` // into Plan.Corals, −1 for an area
}

// Certificate is the proof of rank 2: no answer that keeps the limits has a smaller sum of excesses than Bound, in parts of
// the targets.
type Certificate struct {
	Sum    float64 `json:"primal"` // of the answer
	Bound  float64 `json:"dual"`
	Gap    float64 `json:"gap"`
	Proven bool    `json:"proven"`
	Stages []Stage `json:"stages"` // each linear programme, in order of rank
	Cuts   int     `json:"cuts"`   // moments at which a limit was taken in
	Pivots int     `json:"pivots"` // of the simplex method
	Boxes  int     `json:"boxes"`  // ranges of hours, and sets of lit channels, that were looked at
	Open   bool    `json:"open"`   // some were not
}

// Stage is one linear programme of a rank: what the answer reaches, and below what nothing can be that keeps the ranks before.
type Stage struct {
	Rank   int     `json:"rank"`
	What   string  `json:"what"`
	Primal float64 `json:"primal"`
	Dual   float64 `json:"dual"`
}

// Constraint is something that binds at the answer.
type Constraint struct {
	Kind    string  `json:"kind"` // fixed, ppfd_max, dli_max, power_max, circuit, light_fraction, peak, dark, hours, dli_min, target, share
	Text    string  `json:"text"`
	Channel string  `json:"channel,omitempty"`
	Zone    string  `json:"zone,omitempty"`
	Place   string  `json:"place,omitempty"`
	Circuit string  `json:"circuit,omitempty"`
	Limit   float64 `json:"limit,omitempty"`
	// Price is by how much the sum of excesses would fall for each part by which this were loosened:
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

// Colour is the colour at one place with all at peak.
type Colour struct {
	Place    string  `json:"place"`
	X        float64 `json:"x"`
	Y        float64 `json:"y"`
	Distance float64 `json:"distance_u_v"` // from the wish
	Within   float64 `json:"within_u_v"`
	Met      bool    `json:"met"`
}

// Spectrum is how like the light at all places, with all at peak, is to the spectrum wished for: the greatest departure of
// a photon share in steps of 20 nm of 400-700 nm. Nothing that keeps the targets and the limits comes under Bound.
type Spectrum struct {
	Like     string             `json:"like"`
	DepthM   float64            `json:"at_m"`
	Greatest float64            `json:"greatest_departure"`
	Bound    float64            `json:"dual"`
	Proven   bool               `json:"proven"` // Greatest − Bound is at most 1e-6
	Place    string             `json:"place"`  // where it is greatest, and in which step
	Band     string             `json:"band_nm"`
	Wish     map[string]float64 `json:"wish"`    // share by step
	HeldBy   []string           `json:"held_by"` // what keeps it from being less
}

// Cost says what the wishes of colour cost: what holds without them.
type Cost struct {
	Energy   float64 `json:"energy_kwh_d_without"`
	Greatest float64 `json:"greatest_departure_without"` // from a target
	Met      bool    `json:"met_without"`                // targets, limits and shares
	Distance float64 `json:"distance_u_v_without"`       // greatest, of the colour
	Spectrum float64 `json:"spectrum_departure_without"` // greatest
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
