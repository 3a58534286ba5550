package main

import (
	"context"
	"path/filepath"
	"slices"
	"strings"

	"dayloom/exporters/job"
	"dayloom/exporters/picture"
	"dayloom/photon/spectrum"
	"dayloom/schedule/balance"
	"dayloom/schedule/light"
	"dayloom/schedule/maps"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/quantity"
)

// mapFlags are the flags of map as written.
type mapFlags struct {
	depth, section, grid, at, band, show, picture, sweep string
	channels                                             []string
	tank                                                 string
}

// check reads the flags that need no plan.
func (f mapFlags) check() (band spectrum.Band, sweep maps.Sweep, err error) {
	if f.at != "full" && f.at != "peaks" {
		return band, sweep, usageError("unknown --at %q: allowed are full, peaks", f.at)
	}
	if f.show != "light" && f.show != "uncertainty" {
		return band, sweep, usageError("unknown --show %q: allowed are light, uncertainty", f.show)
	}
	if f.show == "uncertainty" && f.depth+f.section+f.grid+f.picture == "" {
		return band, sweep, usageError("the table of the corals shows the uncertainty already: add --depth, --section or --picture to draw it")
	}
	text := strings.TrimSpace(f.band)
	if !strings.HasSuffix(text, "nm") {
		text += " nm"
	}
	if band.Lo, band.Hi, err = quantity.ParseBand(text); err != nil {
		return band, sweep, usageError("--band: %s", err)
	}
	if f.sweep != "" {
		if f.depth+f.section+f.grid+f.picture != "" {
			return band, sweep, usageError("--sweep tabulates the zones; leave out --depth, --section, --grid and --picture")
		}
		if sweep, err = maps.ParseSweep(f.sweep); err != nil {
			return band, sweep, usageError("--sweep: %s", err)
		}
	}
	if f.picture != "" && !slices.Contains(picture.Formats, f.ending()) {
		return band, sweep, usageError("--picture %s: the name must end in .%s", f.picture, strings.Join(picture.Formats, " or ."))
	}
	if f.picture != "" && f.grid != "" && f.depth == "" && f.section == "" {
		return band, sweep, usageError("a whole volume has no picture: add --depth or --section")
	}
	return band, sweep, nil
}

func (f mapFlags) ending() string {
	return strings.ToLower(strings.TrimPrefix(filepath.Ext(f.picture), "."))
}

// region reads where the grid lies.
func (f mapFlags) region(p *plan.Plan) (maps.Region, error) {
	r := maps.Region{Box: p.Tank.Box}
	if f.depth != "" {
		d, err := quantity.Length.Parse(f.depth)
		if err != nil {
			return r, usageError("--depth: %s", err)
		}
		r.Depth = &d
	}
	if f.section != "" {
		axis, at, _ := strings.Cut(f.section, "=")
		v, err := quantity.Length.Parse(at)
		switch axis = strings.TrimSpace(axis); {
		case axis != "x" && axis != "y":
			return r, usageError("--section %q: write x=… or y=…, such as y=30cm", f.section)
		case err != nil:
			return r, usageError("--section: %s", err)
		case axis == "x":
			r.X = &v
		default:
			r.Y = &v
		}
	}
	if err := r.Check(); err != nil {
		return r, usageError("%s", err)
	}
	return r, nil
}

// found is what the plan leaves to be found, balanced, where the map needs it.
func (f mapFlags) found(w world, p *plan.Plan, field light.Field) (balance.Answer, error) {
	if f.at == "full" {
		return balance.Answer{}, nil
	}
	j := &job.Job{Read: p, Plan: p, Field: field}
	if err := w.told(p.File, j, j.Find(context.Background())); err != nil || j.Found == nil {
		return balance.Answer{}, err
	}
	return *j.Found, nil
}
