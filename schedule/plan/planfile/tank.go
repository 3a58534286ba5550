package planfile

import (
	"bytes"
	"fmt"
	"math"

	"dayloom/photon/tank"
	"dayloom/photon/water"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/yamltree"
)

func (r *reader) tank(v yamltree.Value) {
	f, ok := v.Fields()
	if !ok {
		return
	}
	b := &r.plan.Tank.Box
	b.Length = number(f.Need("length"))
	b.Width = number(f.Need("width"))
	b.Depth = number(f.Need("depth"))
	r.plan.Tank.Absorption = r.water(f.Get("water"))
	if walls, ok := f.Get("walls").Fields(); ok {
		b.Left, b.Right = wall(walls.Get("left")), wall(walls.Get("right"))
		b.Front, b.Back = wall(walls.Get("front")), wall(walls.Get("back"))
	}
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
