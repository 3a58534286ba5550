package planfile

import (
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/yamltree"
)

// Load reads the plan named file and all files that it names, each through read.
// The problems are in document order. The plan is nil when one of them is an error.
func Load(read func(path string) ([]byte, error), file string) (*plan.Plan, diag.List) {
	r := &reader{plan: &plan.Plan{File: file}}
	r.files = files{read: read, main: file, problems: &r.problems}
	if data, ok := r.files.open(file); ok {
		if root, ok := yamltree.Parse(file, data, &r.problems); ok {
			r.root(root)
		}
	}
	problems := r.problems.Sort(file)
	if problems.HasErrors() {
		return nil, problems
	}
	r.plan.Hash = r.files.hash()
	return r.plan, problems
}

// reader is the work in hand: the plan so far, and where its names were given.
type reader struct {
	plan     *plan.Plan
	problems diag.List
	files    files

	channels     names          // of Plan.Channels
	channelGroup yamltree.Value // as it stands, for what is like another
	tanks        names          // of Plan.Tanks
	here         int            // the tank in which places are read
	zones        names
	corals       names // of Plan.Corals
	days         names // of Plan.Days
	controllers  names
	portValues   [][]yamltree.Value // the ports of each controller as they stand in the plan
	rows         []row              // of the readings file, commands not yet turned into light
	usedDays     map[int]bool
	racked       map[string]bool // channels on a rack
	hung         bool            // the channel that is being read is

	counted, faults int // problems looked at by errors, and the errors among them
}

// root reads the whole. The order is that of dependence, not of the file: whatever
// names something is read after what it may name.
func (r *reader) root(v yamltree.Value) {
	f, ok := v.Fields()
	if !ok {
		return
	}
	r.format(f.Need("plan"))
	r.plan.Name, _ = f.Need("name").Text("write the plan's name")
	r.clock(f.Need("clock"))
	r.readTanks(f)
	r.meter(f.Get("meter"))
	r.onRacks(f.Get("racks"))
	r.readChannels(f.Need("channels"))
	r.racks(f.Get("racks"))
	r.readZones(f.Need("zones"))
	r.readings(f.Get("readings"))
	r.readControllers(f.Get("controllers"))
	r.light()
	r.plan.Day = r.day(f.Need("day"))
	r.namedDays(f.Get("days"))
	r.balance(f.Get("balance"))
	r.acclimation(f.Get("acclimation"))
	r.calendar(f.Get("calendar"))
	r.season(f.Get("season"))
	r.circuits(f.Get("circuits"))
	r.tariff(f.Get("tariff"))
	r.unused()
}

func (r *reader) format(v yamltree.Value) {
	if text, ok := v.Text("write plan: 1"); ok && text != "1" {
		v.Error("this is a plan of format "+text, "format 1 is read: write plan: 1", "")
	}
}

// errors is the number of errors so far; a section compares it before it makes
// something of values that may be bad.
func (r *reader) errors() int {
	for _, p := range r.problems[r.counted:] { // problems are only ever added
		if p.Severity == diag.Error {
			r.faults++
		}
	}
	r.counted = len(r.problems)
	return r.faults
}
