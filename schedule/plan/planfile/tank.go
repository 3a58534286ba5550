package planfile

import (
	"bytes"
	"fmt"
	"math"

	"dayloom/photon/tank"
	"dayloom/photon/water"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/yamltree"
)

// readTanks reads the one tank, or several by name.
func (r *reader) readTanks(f yamltree.Fields) {
	one, several := f.Get("tank"), f.Get("tanks")
	if one.Given() && several.Given() {
		several.KeyConflict("a plan has tank or tanks", "write the one tank under tanks too, or leave tanks out", one.KeyPlace(), "the one tank is here")
	}
	if !several.Given() {
		if fields, ok := f.Need("tank").Fields(); ok {
			r.plan.Tank = r.tank(fields)
		}
		return
	}
	entries := several.Entries("write tanks such as nursery: {length: 240 cm, width: 60 cm, depth: 38 cm}")
	if several.IsMap() && len(entries) == 0 {
		several.Error("tanks is empty", "a plan needs at least one tank", "")
	}
	r.tanks.quiet = len(entries) == 0
	for _, v := range entries {
		r.tanks.define(v, "a tank")
		t := plan.Tank{}
		if fields, ok := v.Fields(); ok {
			t = r.tank(like(fields, v, several, "tank", likeTank))
		}
		t.Name = v.Name()
		r.plan.Tanks = append(r.plan.Tanks, t)
	}
	if r.plan.Tanks != nil {
		r.plan.Tank = r.plan.Tanks[0]
	}
}

func (r *reader) tank(f yamltree.Fields) (t plan.Tank) {
	b := &t.Box
	b.Length = number(f.Need("length"))
	b.Width = number(f.Need("width"))
	b.Depth = number(f.Need("depth"))
	t.Absorption = r.water(f.Get("water"))
	if walls, ok := f.Get("walls").Fields(); ok {
		b.Left, b.Right = wall(walls.Get("left")), wall(walls.Get("right"))
		b.Front, b.Back = wall(walls.Get("front")), wall(walls.Get("back"))
	}
	return t
}

// tankOf is the tank that a channel or a zone names. Where there are several it must; what is not known is -1.
func (r *reader) tankOf(of, named yamltree.Value, sort string) int {
	switch {
	case named.Given() && r.plan.Tanks == nil && !r.tanks.quiet:
		named.KeyError(fmt.Sprintf("the plan has one tank, without a name, and the %s names one", sort), "leave tank out here, or write tanks: {nursery: {…}, display: {…}} in place of tank", "")
	case named.Given():
		return r.tanks.find(named, "tank")
	case len(r.plan.Tanks) > 1 && of.IsMap():
		of.KeyError(fmt.Sprintf("the %s %q does not say its tank", sort, of.Name()), r.tanks.allowed("tank"), fmt.Sprintf("write it such as tank: %s", r.tanks.list[0]))
		return -1
	}
	return 0
}

// wall reads glass, dark or a share; dark when not given.
func wall(v yamltree.Value) tank.Wall {
	text, ok := v.Text("write glass, dark or a share such as 60 %")
	switch {
	case !ok || text == "dark":
		return tank.Wall{}
	case text == "glass":
		return tank.Wall{Kind: tank.Glass}
	}
	if text[0] < '0' || text[0] > '9' {
		v.Error(fmt.Sprintf("%q is not a wall", text), "write glass, dark or a share such as 60 %", diag.DidYouMean(text, []string{"glass", "dark"}))
		return tank.Wall{}
	}
	return tank.Wall{Kind: tank.Share, Share: number(v)}
}

func (r *reader) water(v yamltree.Value) water.Absorption {
	a := water.Pure()
	f, ok := v.Fields()
	if !ok {
		return a
	}
	if kind := f.Get("absorption"); kind.Given() {
		if text, ok := kind.Text("write pure, or the name of a csv file of nm,1/m"); ok && text != "pure" {
			r.files.table(kind, func(data *bytes.Reader) (err error) {
				a, err = water.ReadCSV(data)
				return err
			})
		}
	}
	y := f.Get("yellowing")
	organics := number(y)
	if math.IsNaN(organics) {
		return a
	}
	a, err := a.WithOrganics(organics)
	if err != nil {
		y.Error(err.Error(), "", "")
	}
	return a
}
