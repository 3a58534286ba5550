package quantity

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The inch of 25.4 mm and the foot of 0.3048 m are exact (international yard and
// pound agreement, 1959; NIST SP 811, B.8).
func TestUnits(t *testing.T) {
	for _, c := range []struct {
		kind Kind
		text string
		want float64
	}{
		{Length, "24 cm", 0.24}, {Length, "24cm", 0.24}, {Length, "1000 mm", 1}, {Length, "1 in", 0.0254}, {Length, "1 ft", 0.3048},
		{Length, "-3 cm", -0.03}, {Length, "2.5e2 mm", 0.25}, {Length, "+1 m", 1}, {Length, "-0 m", 0},
		{Duration, "90 min", 5400}, {Duration, "2 h", 7200}, {Duration, "1 day", 86400}, {Duration, "6 weeks", 42 * 86400},
		{Duration, "1 week", 7 * 86400}, {Duration, "3 days", 3 * 86400}, {Duration, "10 s", 10},
		{Share, "85 %", 0.85}, {Share, "70%", 0.7}, {Share, "1.5 %", 0.015}, {Percent, "7 %", 7},
		{Power, "190 W", 190}, {Power, "1.2 kW", 1200}, {Efficacy, "2.4 umol/J", 2.4}, {Efficacy, "2.4 µmol/J", 2.4}, {Efficacy, "2.4 μmol/J", 2.4},
		{Angle, "180 deg", math.Pi}, {Wavelength, "455 nm", 455}, {PerLength, "0.05 /m", 0.05}, {PerLength, "0.01 /cm", 1},
		{Volts, "1.2 V", 1.2}, {Amps, "10 A", 10}, {Counts, "16", 16}, {Plain, "3.5", 3.5},
		{Latitude, "18 S", -18}, {Latitude, "38.7 N", 38.7}, {Longitude, "9.1 W", -9.1}, {Longitude, "147 E", 147},
	} {
		got, err := c.kind.Parse(c.text)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.want, got, c.text)
		assert.False(t, math.Signbit(got) && got == 0, "no negative zero: %s", c.text)
	}
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		kind       Kind
		text, want string
	}{
		{Length, "24", `"24" has no unit; write a length with one of the units m, mm, cm, in, ft, such as 24 cm`},
		{Length, "24 mn", `"24 mn" is not a length: unknown unit "mn"; write a length with one of the units m, mm, cm, in, ft, such as 24 cm; did you mean "mm"?`},
		{Length, "24 inches", `did you mean "in"?`},
		{Length, "", `a length is missing`},
		{Length, "cm", `"cm" is not a length`},
		{Length, "0x1F cm", `only decimal numbers are read`},
		{Length, "010 cm", `leave out the leading zero`},
		{Length, "1_000 mm", `leave out the _`},
		{Length, "1,5 m", `decimals take a point`},
		{Length, ".5 m", `put a 0 before the point`},
		{Length, "5. m", `is not a length`},
		{Length, "1e999 m", `is not a length`},
		{Duration, "1e308 weeks", `is not a duration`},
		{Plain, ".inf", `numbers must be finite`},
		{Plain, ".nan", `numbers must be finite`},
		{Plain, "NaN", `numbers must be finite`},
		{Plain, "14 mol", `"14 mol" is not a number; write it without a unit, such as 14`},
		{Counts, "2.5", `is not a whole number`},
		{Latitude, "-18 S", `has both a sign and a letter`},
		{Latitude, "18", `"18" has no unit`},
		{Share, "0.7", `"0.7" has no unit; write a share with the unit %, such as 85 %`},
	} {
		_, err := c.kind.Parse(c.text)
		require.Error(t, err, c.text)
		assert.Contains(t, err.Error(), c.want, c.text)
		var e *Error
		assert.ErrorAs(t, err, &e)
	}
}

// Whatever is written in the kind's own unit reads back as the same number.
func TestFormatReadsBack(t *testing.T) {
	for _, k := range []Kind{Length, Duration, Percent, Power, Efficacy, Wavelength, PerLength, Volts, Amps, Plain, Latitude, Longitude} {
		rapid.Check(t, func(t *rapid.T) {
			x := rapid.Float64Range(-1e6, 1e6).Draw(t, "x")
			got, err := k.Parse(k.Format(x))
			if err != nil || got != x {
				t.Fatalf("%g was written %q and read %g, %v", x, k.Format(x), got, err)
			}
		})
	}
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(0, 1).Draw(t, "x")
		got, err := Share.Parse(Share.Format(x))
		if err != nil || math.Abs(got-x) > 1e-11 {
			t.Fatalf("%g was written %q and read %g, %v", x, Share.Format(x), got, err)
		}
	})
	assert.Equal(t, "55 %", Share.Format(0.55))
	assert.Equal(t, "7 %", Share.Format(0.07))
	assert.Equal(t, "18 S", Latitude.Format(-18))
}

func TestTimeOfDay(t *testing.T) {
	for text, want := range map[string]float64{"00:00": 0, "08:30": 30600, "23:59:59": 86399, "12:00:01": 43201} {
		got, err := TimeOfDay(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for text, hint := range map[string]string{
		"0830": `did you mean "08:30"?`, "830": `did you mean "08:30"?`, "8:30": `did you mean "08:30"?`, "8.30": `did you mean "08:30"?`,
		"24:00": `midnight is "00:00"`, "23:60": "", "08:30:60": "", "08:3O": "", "noon": "", "": "", "-8:30": "", "08:30 h": "", "8:30pm": "",
	} {
		_, err := TimeOfDay(text)
		require.Error(t, err, text)
		assert.Equal(t, hint, err.(*Error).Hint, text)
	}
	rapid.Check(t, func(t *rapid.T) {
		s := float64(rapid.IntRange(0, 86399).Draw(t, "seconds"))
		if got, err := TimeOfDay(FormatTime(s)); err != nil || got != s {
			t.Fatalf("%g became %q", s, FormatTime(s))
		}
	})
	assert.Equal(t, "00:00", FormatTime(86400), "the end of a day is the start of the next")
}

func TestFlux(t *testing.T) {
	for text, want := range map[string]Flux{
		"420 umol/s":             {420, Photons, 0, 0},
		"420 µmol/s":             {420, Photons, 0, 0},
		"420 umol/s 380-750 nm":  {420, Photons, 380, 750},
		"420umol/s 380 - 750 nm": {420, Photons, 380, 750},
		"95 W radiant":           {95, Radiant, 0, 0},
		"12000 lm":               {12000, Lumens, 0, 0},
		"2.4 umol/J":             {2.4, PerElectricity, 0, 0},
	} {
		got, err := ParseFlux(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for text, want := range map[string]string{
		"95 W": `light in watts is written "W radiant"`, "420": "has no unit", "0 lm": "must be more than 0", "-4 umol/s": "must be more than 0",
		"420 umol/s 750-380 nm": "must be longer", "420 umol/s 380": "is not a band", "420 mol/s": "is not a flux", "420 umols": `did you mean "umol/s"?`, "bright": "is not a flux",
	} {
		_, err := ParseFlux(text)
		assert.ErrorContains(t, err, want, text)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"24 cm", "85 %", "0x1F", ".inf", "1e999", "08:30", "420 umol/s 380-750 nm", "18 S", "\xff", "1e", "5.e3 m"} {
		f.Add(s)
	}
	kinds := []Kind{Length, Duration, Share, Percent, Power, Efficacy, Angle, Wavelength, PerLength, Volts, Amps, Counts, Plain, Latitude, Longitude}
	f.Fuzz(func(t *testing.T, text string) {
		for _, k := range kinds {
			x, err := k.Parse(text)
			if err != nil {
				require.NotContains(t, strings.ReplaceAll(err.Error(), text, ""), "strconv")
				continue
			}
			require.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%s read %q as %g", k.Name, text, x)
			again, err := k.Parse(k.Format(x))
			require.NoError(t, err)
			require.InEpsilon(t, 1+math.Abs(x), 1+math.Abs(again), 1e-9)
		}
		if s, err := TimeOfDay(text); err == nil {
			require.True(t, s >= 0 && s < 86400)
		}
		if x, err := ParseFlux(text); err == nil {
			require.True(t, x.Value > 0 && !math.IsInf(x.Value, 0))
		}
	})
}
