package colour

import "math"

func scaled(c XYZ, by float64) XYZ { return XYZ{}.Plus(by, c) }

// viewing holds the conditions of CIE 224: average surround, adapting luminance
// 100 cd/m², background 20 %, complete adaptation (CIECAM02: CIE 159:2004).
type viewing struct {
	gain       [3]float64 // of the adapted receptors
	white      float64    // achromatic response to white
	fl, nbb, z float64
}

const (
	adapting, background   = 100.0, 20.0
	surroundC, surroundNc  = 0.69, 1.0
	uniformJ, uniformM     = 0.007, 0.0228 // CAM02-UCS (Luo, Cui and Li 2006)
	chromaticExponent      = 0.9
	backgroundOverWhite    = background / 100
	chromaticConstant      = 50_000. / 13
	achromaticOffset       = 0.305
	receptorHalf, receptor = 27.13, 0.42
)

func newViewing(white XYZ) viewing {
	const k = 1 / (5*adapting + 1)
	v := viewing{
		fl: 0.2*k*k*k*k*5*adapting + 0.1*(1-k*k*k*k)*(1-k*k*k*k)*math.Cbrt(5*adapting),
		z:  1.48 + math.Sqrt(backgroundOverWhite), nbb: 0.725 * math.Pow(1/backgroundOverWhite, 0.2),
	}
	for i, r := range times(cat02, white) {
		v.gain[i] = 100 / r
	}
	v.white = v.achromatic(v.receptors(white))
	return v
}

// cat02 is the sharpened receptor space of CIECAM02; hpe goes on from it to the cones
// of Hunt, Pointer and Estevez (their matrix times the inverse of cat02).
var (
	cat02 = [3][3]float64{{0.7328, 0.4296, -0.1624}, {-0.7036, 1.6975, 0.0061}, {0.0030, 0.0136, 0.9834}}
	cones = [3][3]float64{{0.38971, 0.68898, -0.07868}, {-0.22981, 1.18340, 0.04641}, {0, 0, 1}}
	back  = inverse(cat02)
)

func times(m [3][3]float64, c XYZ) (out [3]float64) {
	for i, row := range m {
		out[i] = row[0]*c.X + row[1]*c.Y + row[2]*c.Z
	}
	return out
}

func inverse(m [3][3]float64) (out [3][3]float64) {
	cof := func(i, j int) float64 {
		a, b, c, d := (i+1)%3, (i+2)%3, (j+1)%3, (j+2)%3
		return m[a][c]*m[b][d] - m[a][d]*m[b][c]
	}
	det := m[0][0]*cof(0, 0) + m[0][1]*cof(0, 1) + m[0][2]*cof(0, 2)
	for i := range out {
		for j := range out[i] {
			out[j][i] = cof(i, j) / det
		}
	}
	return out
}

// receptors are the compressed responses of the cones after adaptation.
func (v viewing) receptors(c XYZ) (out [3]float64) {
	sharp := times(cat02, c)
	adapted := times(back, XYZ{sharp[0] * v.gain[0], sharp[1] * v.gain[1], sharp[2] * v.gain[2]})
	for i, r := range times(cones, XYZ{adapted[0], adapted[1], adapted[2]}) {
		p := math.Pow(v.fl*math.Abs(r)/100, receptor)
		out[i] = math.Copysign(400*p/(p+receptorHalf), r) + 0.1
	}
	return out
}

func (v viewing) achromatic(r [3]float64) float64 {
	return (2*r[0] + r[1] + r[2]/20 - achromaticOffset) * v.nbb
}

// ucs are J′, a′, b′ of a colour with Y 100 for white.
func (v viewing) ucs(c XYZ) [3]float64 {
	r := v.receptors(c)
	a, b := r[0]-12*r[1]/11+r[2]/11, (r[0]+r[1]-2*r[2])/9
	hue := math.Atan2(b, a)
	eccentric := (math.Cos(hue+2) + 3.8) / 4
	j := 100 * math.Pow(max(v.achromatic(r)/v.white, 0), surroundC*v.z)
	t := chromaticConstant * surroundNc * v.nbb * eccentric * math.Hypot(a, b) / (r[0] + r[1] + 21*r[2]/20)
	chroma := math.Pow(max(t, 0), chromaticExponent) * math.Sqrt(j/100) * math.Pow(1.64-math.Pow(0.29, backgroundOverWhite), 0.73)
	m := math.Log1p(uniformM*chroma*math.Pow(v.fl, 0.25)) / uniformM
	return [3]float64{(1 + 100*uniformJ) * j / (1 + uniformJ*j), m * math.Cos(hue), m * math.Sin(hue)}
}
