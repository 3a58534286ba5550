package tank_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"dayloom/photon/emitter"
	"dayloom/photon/tank"

	"github.com/stretchr/testify/require"
)

// photon is a particle in the folded tank: it knows the real walls, not images.
type photon struct{ x, y, z, dx, dy, dz float64 } // z is depth, downward

// scene is a lamp over a tank, for particles.
type scene struct {
	box        tank.Box
	x, y, h, m float64
	axis       [3]float64 // unit, z up
	absorb     float64
}

// launch is a photon of the cosine-power law about the axis, γ by inversion of
// its cumulative 1 − cos^(m+1) γ, carried on to the surface. False: it misses.
func (s *scene) launch(u, v float64) (photon, bool) {
	cos := math.Pow(u, 1/(s.m+1))
	sin := math.Sqrt(1 - cos*cos)
	a := s.axis
	p := [3]float64{-a[2], 0, a[0]} // at right angles to the axis, which is never along y here
	l := math.Hypot(p[0], p[2])
	p[0], p[2] = p[0]/l, p[2]/l
	q := [3]float64{a[1]*p[2] - a[2]*p[1], a[2]*p[0] - a[0]*p[2], a[0]*p[1] - a[1]*p[0]}
	var d [3]float64
	for i := range d {
		d[i] = cos*a[i] + sin*(math.Cos(2*math.Pi*v)*p[i]+math.Sin(2*math.Pi*v)*q[i])
	}
	if d[2] >= 0 {
		return photon{}, false
	}
	way := s.h / -d[2]
	f := photon{x: s.x + way*d[0], y: s.y + way*d[1], dx: d[0], dy: d[1], dz: -d[2]}
	return f, f.x > 0 && f.x < s.box.Length && f.y > 0 && f.y < s.box.Width
}

// reflectance is Fresnel's law in its sine and tangent form (Hecht, Optics,
// 4.34 and 4.38 to 4.43, numbers from memory), for sin t = ratio sin i.
func reflectance(cosI, ratio float64) float64 {
	i := math.Acos(math.Min(1, cosI))
	st := ratio * math.Sin(i)
	if st >= 1 {
		return 1
	}
	if i < 1e-4 {
		return math.Pow((1-ratio)/(1+ratio), 2)
	}
	t := math.Asin(st)
	rs, rp := math.Sin(i-t)/math.Sin(i+t), math.Tan(i-t)/math.Tan(i+t)
	return (rs*rs + rp*rp) / 2
}

func (p *photon) refract() {
	p.dx, p.dy = p.dx/sea, p.dy/sea
	p.dz = math.Sqrt(1 - p.dx*p.dx - p.dy*p.dy)
}

// wall moves the photon to the next wall or to the depth, whichever comes
// first, and gives the way and the wall with its cosine of incidence.
func (s *scene) wall(p *photon, depth float64) (way float64, hit *tank.Wall, cos float64) {
	way = (depth - p.z) / p.dz
	try := func(at, dir, size float64, low, high *tank.Wall) {
		w, side := (size-at)/dir, high
		if dir < 0 {
			w, side = -at/dir, low
		}
		if dir != 0 && w < way {
			way, hit, cos = w, side, math.Abs(dir)
		}
	}
	try(p.x, p.dx, s.box.Length, &s.box.Left, &s.box.Right)
	try(p.y, p.dy, s.box.Width, &s.box.Front, &s.box.Back)
	p.x, p.y, p.z = p.x+way*p.dx, p.y+way*p.dy, p.z+way*p.dz
	return way, hit, cos
}

func (s *scene) throwsBack(w *tank.Wall, cos float64) float64 {
	switch w.Kind {
	case tank.Glass:
		return reflectance(cos, sea)
	case tank.Share:
		return w.Share
	}
	return 0
}

// bounce turns the photon about on the wall it stands at.
func (s *scene) bounce(p *photon, w *tank.Wall) {
	if w == &s.box.Left || w == &s.box.Right {
		p.dx = -p.dx
	} else {
		p.dy = -p.dy
	}
}

// simulate counts photons through square patches of 10 cm at the depths.
func (s *scene) simulate(photons int, depths []float64, seed uint64) [][]float64 {
	random := rand.New(rand.NewPCG(seed, 1))
	nx, ny := patches(s.box)
	counts := make([][]float64, len(depths))
	for k := range counts {
		counts[k] = make([]float64, nx*ny)
	}
	for range photons {
		p, ok := s.launch(random.Float64(), random.Float64())
		if !ok || random.Float64() < reflectance(p.dz, 1/sea) {
			continue
		}
		p.refract()
		left := random.ExpFloat64() / s.absorb // the way this one lives
	down:
		for k, depth := range depths {
			for p.z < depth {
				way, hit, cos := s.wall(&p, depth)
				left -= way
				if left < 0 {
					break down
				}
				if hit == nil {
					break
				}
				if random.Float64() >= s.throwsBack(hit, cos) {
					break down
				}
				s.bounce(&p, hit)
			}
			counts[k][min(int(p.y*10), ny-1)*nx+min(int(p.x*10), nx-1)]++
		}
	}
	return counts
}

func patches(b tank.Box) (nx, ny int) {
	return int(math.Round(b.Length * 10)), int(math.Round(b.Width * 10))
}

// grid covers the tank with cells of the size given.
func (s *scene) grid(cell float64, depths ...float64) tank.Grid {
	return tank.Grid{
		X0: cell / 2, Dx: cell, Nx: int(math.Round(s.box.Length / cell)),
		Y0: cell / 2, Dy: cell, Ny: int(math.Round(s.box.Width / cell)),
		Depths: depths,
	}
}

func (s *scene) source(t testing.TB) tank.Source {
	full := 2 * math.Acos(math.Pow(0.5, 1/s.m)) * 180 / math.Pi
	return tank.Source{Flux: 1, Index: sea, Transmit: absorb(s.absorb), Emitters: []emitter.Emitter{{
		At: [2]float64{s.x, s.y}, Height: s.h, Axis: s.axis, Light: beam(t, full), Share: 1}}}
}

func scenes() map[string]*scene {
	r := math.Sqrt(0.4*0.4 + 0.3*0.3 + 1)
	tilt := [3]float64{0.4 / r, 0.3 / r, -1 / r}
	glass, dark := walled(1, .5, .4, tank.Wall{Kind: tank.Glass}), walled(1, .5, .4, tank.Wall{})
	mixed := tank.Box{Length: 1, Width: .5, Depth: .4, Left: tank.Wall{Kind: tank.Share, Share: .6}, Back: tank.Wall{Kind: tank.Glass}, Right: tank.Wall{Kind: tank.Glass}}
	narrow := tank.Box{Length: .2, Width: .3, Depth: .4, Left: tank.Wall{Kind: tank.Share, Share: .9}, Right: tank.Wall{Kind: tank.Share, Share: .2},
		Front: tank.Wall{Kind: tank.Glass}, Back: tank.Wall{Kind: tank.Share, Share: .5}}
	return map[string]*scene{
		"Lambertian over the middle, glass": {glass, .5, .25, .3, 1, [3]float64{0, 0, -1}, .3},
		"Lambertian over the middle, dark":  {dark, .5, .25, .3, 1, [3]float64{0, 0, -1}, .3},
		"tilted beam off centre, glass":     {glass, .7, .15, .2, 4, tilt, .8},
		"tilted beam off centre, mixed":     {mixed, .7, .15, .2, 4, tilt, .8},
		"low lamp, light leaves by glass":   {glass, .45, .2, .05, 1, [3]float64{0, 0, -1}, .3},
		"narrow tank, four walls":           {narrow, .08, .1, .05, 1, [3]float64{0, 0, -1}, .1},
	}
}

// Photons by chance, from the lamp through the surface, off the walls and lost
// in the water, against the field that the images give: patch by patch within
// the noise of counting, and every layer as a whole within 1 %.
func TestFieldAgreesWithPhotonsByChance(t *testing.T) {
	const photons = 1_000_000
	depths := []float64{0.1, 0.39}
	for name, s := range scenes() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			counts := s.simulate(photons, depths, 7)
			g := s.grid(.01, depths...)
			f, err := s.box.Grid(context.Background(), []tank.Source{s.source(t)}, g, tank.Options{})
			require.NoError(t, err)
			nx, ny := patches(s.box)
			for k := range depths {
				expect := make([]float64, nx*ny)
				var all, counted float64
				for i := range g.Nx * g.Ny {
					n := float64(f.PPFD[0][k*g.Nx*g.Ny+i]) * g.Dx * g.Dy * photons
					expect[i/g.Nx/10*nx+i%g.Nx/10] += n
					all += n
				}
				for i, n := range expect {
					counted += counts[k][i]
					require.InDelta(t, n, counts[k][i], 4.5*math.Sqrt(n)+0.01*n, "layer %d patch %d", k, i)
				}
				require.InEpsilon(t, all, counted, 0.01)
			}
		})
	}
}

// Every photon that enters is absorbed, leaves through a wall or reaches the
// floor. The lamp's rays are laid out evenly and weighed, walked through the
// folded tank, and what they bring to surface and floor is compared with the
// field added up over each: 0.5 %.
func TestEnergyIsAccountedFor(t *testing.T) {
	for name, s := range scenes() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			var entered, absorbed, left, floor float64
			const nu, nv = 600, 600
			for i := range nu * nv {
				p, ok := s.launch((float64(i/nv)+.5)/nu, (float64(i%nv)+.5)/nv)
				if !ok {
					continue
				}
				w := (1 - reflectance(p.dz, 1/sea)) / (nu * nv)
				entered += w
				p.refract()
				for w > 1e-12 {
					way, hit, cos := s.wall(&p, s.box.Depth)
					rest := w * math.Exp(-s.absorb*way)
					absorbed, w = absorbed+w-rest, rest
					if hit == nil {
						floor += w
						break
					}
					back := w * s.throwsBack(hit, cos)
					left, w = left+w-back, back
					s.bounce(&p, hit)
				}
			}
			require.InDelta(t, entered, absorbed+left+floor, 1e-9)
			g := s.grid(.005, 0, s.box.Depth)
			f, err := s.box.Grid(context.Background(), []tank.Source{s.source(t)}, g, tank.Options{})
			require.NoError(t, err)
			var sum [2]float64
			for i, e := range f.PPFD[0] {
				sum[i/(g.Nx*g.Ny)] += float64(e) * g.Dx * g.Dy
			}
			require.InEpsilon(t, entered, sum[0], 0.005, "surface")
			require.InEpsilon(t, entered-absorbed-left, sum[1], 0.005, "floor")
		})
	}
}
