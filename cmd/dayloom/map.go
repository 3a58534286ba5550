package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"dayloom/exporters/picture"
	"dayloom/exporters/report"
	"dayloom/photon/tank"
	"dayloom/schedule/balance"
	"dayloom/schedule/light"
	"dayloom/schedule/maps"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/quantity"
)

func mapCommand(w world) *cobra.Command {
	var f mapFlags
	cmd := &cobra.Command{
		Use:   "map PLAN",
		Short: "Map the light: at the corals, over a plane, a section or the whole volume",
		Long: `map works out the light of each channel: at the corals; on a horizontal plane
(--depth); in a vertical section (--section); or in the whole volume (--grid alone).
PPFD is what keepers call PAR. Readings correct the model everywhere, as in dli. All lamps are new.
--at peaks balances first what the plan leaves to be found.

The places of a grid are the middles of equal cells no wider than --grid, half a
cell from the walls, the surface and the floor. Without --grid a plane or section
has some 120 cells along its longer side.

--picture draws the plane or section to a PNG or SVG file, sampled from wall to wall;
without --depth or --section it draws the plane at the corals' median depth.

--show uncertainty maps how unsure the light is, in % of it (one standard deviation):
where it is greatest a reading tells most.

--sweep sets one value of the plan to each of several in turn, without touching the
file, and shows the spread of light in each zone; what the readings taught of lamps
and meter goes on to hold.`,
		Example: `  dayloom map quay-street/plan.yaml
  dayloom map quay-street/plan.yaml --depth 12cm --picture map.png
  dayloom map quay-street/plan.yaml --section y=30cm --channels bar-blue --band 420-480
  dayloom map quay-street/plan.yaml --grid 2cm --format csv
  dayloom map quay-street/plan.yaml --sweep channels.bar-blue.emitters.height=15cm..45cm:5cm`,
		Args: exactly("PLAN"),
	}
	format := formatFlag(cmd)
	cmd.Flags().StringVar(&f.depth, "depth", "", "map the horizontal plane at this depth, such as 12cm")
	cmd.Flags().StringVar(&f.section, "section", "", "map the vertical section at x or y, such as y=30cm")
	cmd.Flags().StringVar(&f.grid, "grid", "", "spacing of the places, such as 2cm; alone it maps the whole volume")
	cmd.Flags().StringSliceVar(&f.channels, "channels", nil, "the channels lit, separated by commas (default: all)")
	cmd.Flags().StringVar(&f.at, "at", "full", "how far they are lit: full output, or the peaks of the plan's day: full|peaks")
	cmd.Flags().StringVar(&f.band, "band", "400-700", "the wavelengths counted, in nm")
	cmd.Flags().StringVar(&f.show, "show", "light", "what to draw: light|uncertainty")
	cmd.Flags().StringVar(&f.picture, "picture", "", "draw a plane or section to this file, .png or .svg")
	cmd.Flags().StringVar(&f.sweep, "sweep", "", "tabulate the zones against a value: path=start..end:step, or path=a,b,c")
	tankFlag(cmd, &f.tank)
	racks := rackFlag(cmd)
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		w := w
		w.racks = *racks
		return w.mapLight(args[0], f, *format)
	}
	return cmd
}

// mapJob is a map in hand.
type mapJob struct {
	world
	*plan.Plan
	ctx    context.Context
	flags  mapFlags
	format string
	region maps.Region
	field  light.Field
}

func (w world) mapLight(file string, f mapFlags, format string) error {
	band, sweep, err := f.check()
	if err != nil {
		return err
	}
	p, err := w.load(file)
	if err != nil {
		return err
	}
	field, err := w.light(p)
	if err != nil {
		return err
	}
	usual, err := f.found(w, p, field)
	if err != nil {
		return err
	}
	gridded := f.depth != "" || f.section != "" || f.grid != ""
	if f.tank != "" || gridded || f.picture != "" {
		var kept []int
		if p, field, kept, err = tanked(p, field, f.tank); err != nil {
			return err
		}
		usual = usual.Of(kept)
	}
	wanted := func(p *plan.Plan) (maps.Ask, error) {
		a, err := maps.Full(p, f.channels, band)
		if err == nil && f.at == "peaks" {
			return a.AtPeaks(balance.Found(p, usual))
		}
		return a, err
	}
	ask, err := wanted(p)
	if err != nil {
		return usageError("%s", err)
	}
	region, err := f.region(p)
	if err != nil {
		return err
	}
	ctx, stop := untilSignal()
	defer stop()
	j := mapJob{world: w, Plan: p, ctx: ctx, flags: f, format: format, region: region, field: field}
	switch {
	case f.sweep != "":
		return j.sweep(ask, sweep, wanted)
	case !gridded || f.picture != "":
		return j.withCorals(ask, gridded)
	}
	return j.grid(ask)
}

// withCorals is every map that shows the corals: their table, or a picture.
func (j mapJob) withCorals(ask maps.Ask, gridded bool) error {
	if !gridded {
		c, err := maps.AtCorals(j.Plan, j.field, ask)
		if err != nil {
			return j.failed(err)
		}
		if err := j.report(j.format, report.NewCoralMap(j.Plan, c, j.head(ask))); err != nil {
			return err
		}
	}
	if j.flags.picture == "" {
		return j.sketch(ask)
	}
	if gridded {
		if err := j.grid(ask); err != nil {
			return err
		}
	}
	return j.picture(ask)
}

// sketch adds to the table of the corals, at a terminal, a plane drawn in characters.
func (j mapJob) sketch(ask maps.Ask) error {
	r, ok := j.region.OrPlane(j.Plan)
	if !ok || j.Several() || !j.terminal || j.format != "text" || len(ask.Channels) == 0 {
		return nil
	}
	j.region = r
	fmt.Fprintln(j.stdout)
	return j.grid(ask)
}

func (j mapJob) head(ask maps.Ask) report.MapHead {
	h := report.NewMapHead(j.Plan, ask, j.flags.at)
	if j.flags.show == "uncertainty" {
		return h.Uncertain()
	}
	return h
}

// failed says in plain words what stopped the work.
func (j mapJob) failed(err error) error {
	if errors.Is(err, context.Canceled) {
		return &failure{code: exitFile, message: "stopped before the map was done"}
	}
	return fileError(err, "")
}

func (j mapJob) grid(ask maps.Ask) error {
	spacing := j.region.Spacing()
	if j.flags.grid != "" {
		var err error
		if spacing, err = quantity.Length.Parse(j.flags.grid); err != nil {
			return usageError("--grid: %s", err)
		}
	}
	g, err := j.region.Cells(spacing)
	if err != nil {
		return usageError("--grid: %s", err)
	}
	m, err := j.onGrid(ask, g, "mapping")
	if err != nil {
		return j.failed(err)
	}
	j.problems(m.Unsettled(j.Plan), source)
	return j.report(j.format, report.NewGridMap(j.Plan, j.region, m, j.head(ask)))
}

// onGrid is the light, or how unsure it is.
func (j mapJob) onGrid(ask maps.Ask, g tank.Grid, doing string) (maps.Map, error) {
	m, err := maps.OnGrid(j.ctx, j.field, ask, g, j.progress(doing))
	if err == nil && j.flags.show == "uncertainty" {
		return m.Uncertainty(j.ctx, j.field, len(j.Channels))
	}
	return m, err
}

func (j mapJob) sweep(ask maps.Ask, s maps.Sweep, wanted func(*plan.Plan) (maps.Ask, error)) error {
	steps, err := s.Run(j.ctx, j.field, j.editedAndMoved(s), wanted, j.progress("sweeping"))
	if err != nil {
		return j.failed(err)
	}
	if s.Turned {
		j.note("warning: from %s to %s the step falls; write it with a minus", s.Values[0], s.Values[len(s.Values)-1])
	}
	if maps.Idle(steps) {
		j.note("warning: %s changes no light here: every value gives the same; sweep something of a lamp that is lit, the water, the glass or a coral", s.Path)
	}
	return j.report(j.format, report.NewSweep(s, steps, j.head(ask)))
}

// editedAndMoved loads the plan with a value of a sweep, and racks where the flags push them.
func (j mapJob) editedAndMoved(s maps.Sweep) func(string) (*plan.Plan, error) {
	load := s.Edited(readFile, j.File)
	return func(value string) (*plan.Plan, error) {
		p, err := load(value)
		if err != nil {
			return nil, err
		}
		if p, err = j.moved(p); err != nil || j.flags.tank == "" {
			return p, err
		}
		if i, what := p.TankNamed(j.flags.tank); what == "" && p.Several() {
			p = p.Part(i).Plan
		}
		return p, nil
	}
}

func (j mapJob) picture(ask maps.Ask) error {
	r, ok := j.region.OrPlane(j.Plan)
	if !ok {
		return usageError("the plan has no corals to tell a depth: add --depth or --section")
	}
	nodes, err := r.Nodes(r.Fine())
	if err != nil {
		return usageError("%s", err)
	}
	corals, err := maps.AtCorals(j.Plan, j.field, ask)
	if err != nil {
		return j.failed(err)
	}
	m, err := j.onGrid(ask, nodes, "drawing")
	if err != nil {
		return j.failed(err)
	}
	j.problems(m.Unsettled(j.Plan), source)
	head := j.head(ask)
	pic := picture.New(j.Plan, r, m, corals, head.Quantity(), head.Lit())
	err = j.writeOne(j.flags.picture, 0, func(out io.Writer) error { return picture.Write(out, j.flags.ending(), pic) }, "choose a place that you may write to")
	if err != nil {
		return err
	}
	j.note("wrote %s: %s", j.flags.picture, r.Name())
	return nil
}

// progress tells a person how far long work is.
func (w world) progress(what string) func(done, total int) {
	return func(done, total int) { w.busy.is("%s, %d %%", what, 100*done/max(total, 1)) }
}
