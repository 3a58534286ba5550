package maps_test

import (
	"context"
	"io/fs"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/flux"
	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/photon/water"
	"dayloom/schedule/balance"
	"dayloom/schedule/light"
	"dayloom/schedule/maps"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
)

// onePoint is a Lambertian point 30 cm over the middle of a dark tank.
const onePoint = `plan: 1
name: One point
clock: {zone: UTC}
tank:
  length: 100 cm
  width: 50 cm
  depth: 40 cm
  water: {absorption: pure}
  walls: {left: dark, right: dark, front: dark, back: dark}
channels:
  lamp:
    flux: 100 umol/s
    spectrum: {peak: 455 nm, width: 22 nm}
    emitters:
      - point: {at: [50 cm, 25 cm], height: 30 cm}
        beam: 120 deg
  tube:
    spectrum: {peak: 660 nm, width: 20 nm}
readings: readings.csv
zones:
  middle:
    dli: 5
    corals:
      a: {x: 50 cm, y: 25 cm, depth: 20 cm}
      b: {x: 80 cm, y: 10 cm, depth: 30 cm}
  floor:
    dli: 3
    area: {x: [40 cm, 60 cm], y: [20 cm, 30 cm], depth: 39 cm}
day:
  - channels: [lamp]
    sunrise: {from: "08:00", to: "09:00", shape: linear}
    peak: 50 %
    sunset: {from: "17:00", to: "18:00", shape: linear}
  - channels: [tube]
    sunrise: {from: "08:00", to: "09:00", shape: linear}
    peak: auto
    sunset: {from: "17:00", to: "18:00", shape: linear}
`

const readings = "coral,x_cm,y_cm,depth_cm,lit,ppfd\na,,,,tube@100%,20\nb,,,,tube@100%,10\n,50,25,39,tube@100%,6\n"

func reader(text string) func(string) ([]byte, error) {
	return func(path string) ([]byte, error) {
		switch path {
		case "plan.yaml":
			return []byte(text), nil
		case "readings.csv":
			return []byte(readings), nil
		}
		return nil, fs.ErrNotExist
	}
}

func load(t *testing.T, text string) *plan.Plan {
	t.Helper()
	p, problems := planfile.Load(reader(text), "plan.yaml")
	require.NotNil(t, p, "%v", problems)
	return p
}

func survey(t *testing.T, p *plan.Plan) light.Field {
	t.Helper()
	f, problems := light.Survey(p)
	require.False(t, problems.HasErrors(), "%v", problems)
	return f
}

func full(t *testing.T, p *plan.Plan, names ...string) maps.Ask {
	t.Helper()
	a, err := maps.Full(p, names, spectrum.PAR)
	require.NoError(t, err)
	return a
}

// byHand is the flux density under a Lambertian point in the open, by Snell's and
// Fresnel's laws alone (any optics text, such as Hecht, Optics, ch. 4): the ray by
// bisection, the spread of the beam by a difference quotient.
func byHand(phi, height, depth, r, n, left float64) float64 {
	reach := func(sin float64) float64 {
		w := sin / n
		return height*sin/math.Sqrt(1-sin*sin) + depth*w/math.Sqrt(1-w*w)
	}
	lo, hi := 0.0, 1-1e-12
	for range 200 {
		if mid := (lo + hi) / 2; reach(mid) < r {
			lo = mid
		} else {
			hi = mid
		}
	}
	theta := math.Asin(lo)
	const d = 1e-5
	slope := (reach(math.Sin(theta+d)) - reach(math.Sin(theta-d))) / (2 * d)
	ca, cw := math.Cos(theta), math.Sqrt(1-lo*lo/(n*n))
	rs, rp := (ca-n*cw)/(ca+n*cw), (cw-n*ca)/(cw+n*ca)
	return phi / math.Pi * ca * (1 - (rs*rs+rp*rp)/2) * math.Sin(theta) / (r * slope) * left
}

// The whole way from a plan's text to the numbers of a map, against the laws of
// optics worked out again.
func TestMapIsSnellAndFresnel(t *testing.T) {
	p := load(t, onePoint)
	lamp := p.Channels[0]
	n := water.Index(lamp.Spectrum.MeanWavelength(spectrum.PAR))
	transmit := water.Transmission(p.Tank.Absorption, lamp.Spectrum, spectrum.PAR)
	a, f := full(t, p, "lamp"), survey(t, p)
	depth := 0.2
	g, err := maps.Region{Box: p.Tank.Box, Depth: &depth}.Cells(0.1)
	require.NoError(t, err)
	m, err := maps.OnGrid(context.Background(), f, a, g, nil)
	require.NoError(t, err)
	require.Equal(t, 50, m.Len())
	for i := range m.Len() {
		at := m.Place(i)
		r := math.Hypot(at.X-0.5, at.Y-0.25)
		lo, hi := 0.0, math.Asin(1/n)
		for range 100 { // angle in water, for the length of the path
			if mid := (lo + hi) / 2; 0.3*math.Tan(math.Asin(n*math.Sin(mid)))+depth*math.Tan(mid) < r {
				lo = mid
			} else {
				hi = mid
			}
		}
		want := byHand(100, 0.3, depth, r, n, transmit(depth/math.Cos(lo)))
		assert.InEpsilon(t, want, m.Total(i), 0.002, "%v", at)
	}
	// On the axis: apparent depth h + d/n and reflectance ((n-1)/(n+1))² (the same text).
	field := survey(t, p)
	c, err := maps.AtCorals(p, field, full(t, p, "lamp"))
	require.NoError(t, err)
	want := 100 / math.Pi * (1 - math.Pow((n-1)/(n+1), 2)) * transmit(depth) / math.Pow(0.3+depth/n, 2)
	assert.InEpsilon(t, want, c.Places[0].Full[0], 1e-3)
}

// A grid agrees with the exact sum place by place, and its mean with the mean.
func TestPlaneMeanIsTheMeanOfPlaces(t *testing.T) {
	p := load(t, strings.ReplaceAll(onePoint, "front: dark", "front: glass"))
	a, f := full(t, p, "lamp"), survey(t, p)
	depth := 0.25
	g, err := maps.Region{Box: p.Tank.Box, Depth: &depth}.Cells(0.05)
	require.NoError(t, err)
	m, err := maps.OnGrid(context.Background(), f, a, g, nil)
	require.NoError(t, err)
	var at []tank.Place
	for i := range g.Len() {
		at = append(at, g.Place(i))
	}
	s, ok := flux.Source(light.Lamp(p.Channels[0]), p.Tank.Absorption, spectrum.PAR)
	require.True(t, ok)
	exact, err := p.Tank.Box.At(s, at)
	require.NoError(t, err)
	assert.InEpsilon(t, maps.Spread(exact.PPFD).Mean, maps.Spread(m.Totals()).Mean, 1e-3)
	for i, want := range exact.PPFD {
		assert.InDelta(t, want, m.Total(i), 1e-3*want+1e-6)
	}
}

// Cells lie half a cell from the walls and fill the tank; nodes reach the walls.
func TestRegions(t *testing.T) {
	box := tank.Box{Length: 1, Width: 0.5, Depth: 0.4}
	volume := maps.Region{Box: box}
	g, err := volume.Cells(0.03)
	require.NoError(t, err)
	assert.Equal(t, []int{34, 17, 14}, []int{g.Nx, g.Ny, len(g.Depths)})
	assert.InDelta(t, g.Dx/2, g.X0, 1e-12)
	last := g.Place(g.Len() - 1)
	assert.InDelta(t, 1-g.Dx/2, last.X, 1e-9)
	assert.InDelta(t, 0.5-g.Dy/2, last.Y, 1e-9)
	assert.InDelta(t, 0.4-0.4/14/2, last.Depth, 1e-9)
	assert.InDelta(t, 1, g.Dx*float64(g.Nx), 1e-12)

	y := 0.1
	nodes, err := maps.Region{Box: box, Y: &y}.Nodes(0.1)
	require.NoError(t, err)
	assert.Equal(t, []int{11, 1, 5}, []int{nodes.Nx, nodes.Ny, len(nodes.Depths)})
	assert.Equal(t, tank.Place{X: 0, Y: 0.1, Depth: 0}, nodes.Place(0))
	assert.InDelta(t, 0.4, nodes.Depths[4], 1e-12)

	far := 0.6
	for _, r := range []maps.Region{{Box: box, Depth: &far}, {Box: box, Y: &far}, {Box: box, Y: &y, Depth: &y}} {
		assert.Error(t, r.Check())
	}
	_, err = volume.Cells(1e-4)
	assert.ErrorContains(t, err, "choose a wider one")
	_, err = volume.Cells(0)
	assert.ErrorContains(t, err, "more than 0")
}

func TestAsk(t *testing.T) {
	p := load(t, onePoint)
	_, err := maps.Full(p, []string{"lmap"}, spectrum.PAR)
	assert.ErrorContains(t, err, `did you mean "lamp"?`)
	assert.Equal(t, []int{1, 0}, full(t, p, "tube", "lamp", "tube").Channels)

	_, err = full(t, p).AtPeaks(p)
	assert.ErrorContains(t, err, "no peak is set for tube")
	a, err := full(t, p).AtPeaks(balance.Found(p, balance.Answer{Peaks: []float64{0.9, 0.25}}))
	require.NoError(t, err)
	assert.Equal(t, []float64{0.5, 0.25}, a.Levels, "a written peak stays, an auto one is found")
	_, err = full(t, p).AtPeaks(p)
	assert.Error(t, err, "what was handed in stays as it was")
}

// What the readings say is in all of it, levels scale, zones spread over corals and areas.
func TestAtCorals(t *testing.T) {
	p := load(t, onePoint)
	field := survey(t, p)
	a := full(t, p)
	whole, err := maps.AtCorals(p, field, a)
	require.NoError(t, err)
	assert.Equal(t, []light.Source{light.Fitted, light.Reading}, whole.Places[0].Source)
	assert.InEpsilon(t, 20, whole.Places[0].Full[1], 0.01)
	assert.Equal(t, []string{"middle", "floor"}, []string{whole.Zones[0].Name, whole.Zones[1].Name})
	assert.True(t, whole.Zones[1].Area)
	assert.InDelta(t, (whole.Places[0].Total+whole.Places[1].Total)/2, whole.Zones[0].Mean, 1e-9)

	a.Levels = []float64{0.5, 0.5}
	half, err := maps.AtCorals(p, field, a)
	require.NoError(t, err)
	for z := range whole.Zones {
		assert.InEpsilon(t, whole.Zones[z].Mean/2, half.Zones[z].Mean, 1e-12)
		assert.LessOrEqual(t, half.Zones[z].Min, half.Zones[z].P10)
		assert.LessOrEqual(t, half.Zones[z].P90, half.Zones[z].Max)
	}

	// Two bands that part the visible add up to it, readings or not.
	sum := 0.0
	for _, b := range []spectrum.Band{{Lo: 400, Hi: 520}, {Lo: 520, Hi: 700}} {
		part, err := maps.Full(p, nil, b)
		require.NoError(t, err)
		c, err := maps.AtCorals(p, field, part)
		require.NoError(t, err)
		sum += c.Places[1].Total
	}
	assert.InEpsilon(t, whole.Places[1].Total, sum, 0.005)
}

// A reading stands for the model, whose shape in wavelength remains: in a band that the
// survey does not hold it is the reading times the model's share of the band there.
func TestReadingInABandOfItsOwn(t *testing.T) {
	p, problems := planfile.Load(func(path string) ([]byte, error) {
		if path == "readings.csv" {
			return []byte(readings + "a,,,,lamp@100%,200\n"), nil
		}
		return reader(onePoint)(path)
	}, "plan.yaml")
	require.NotNil(t, p, "%v", problems)
	f, problems := light.Survey(p)
	require.False(t, problems.HasErrors())
	band := spectrum.Band{Lo: 455, Hi: 470}
	c, err := maps.AtCorals(p, f, maps.Ask{Channels: []int{0}, Levels: []float64{0.5}, Band: band})
	require.NoError(t, err)
	at := []light.Place{{X: 0.5, Y: 0.25, Depth: 0.2}}
	in, err := light.Predict(p, 0, band, at)
	require.NoError(t, err)
	all, err := light.Predict(p, 0, spectrum.PAR, at)
	require.NoError(t, err)
	require.Less(t, in[0], 0.6*all[0])
	assert.InEpsilon(t, 0.5*200*in[0]/all[0], c.Places[0].Channel[0], 0.02)
}
