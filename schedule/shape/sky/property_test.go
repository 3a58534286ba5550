package sky

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var (
	latitudes  = rapid.Float64Range(-90, 90)
	longitudes = rapid.Float64Range(-180, 180)
	epoch      = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
)

func drawDate(t *rapid.T) time.Time {
	return epoch.AddDate(0, 0, rapid.IntRange(0, 36524).Draw(t, "day"))
}

// A sine wave has its crossings in closed form, also where it only just
// reaches the horizon.
func TestAboveSineWave(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const period = 24.8 * 3600.0
		dip := rapid.OneOf(rapid.Float64Range(-1.2, 1.2), rapid.Float64Range(0.9995, 0.99999), rapid.Float64Range(-0.99999, -0.9995)).Draw(t, "dip")
		phase := rapid.Float64Range(0, period).Draw(t, "crest, s")
		from, to := epoch, epoch.Add(time.Duration(period)*time.Second)
		got := above(func(at time.Time) float64 {
			return math.Cos(2*math.Pi*(at.Sub(epoch).Seconds()-phase)/period) - dip
		}, from, to)

		up := 0.0
		for i, interval := range got {
			require.True(t, interval.From.Before(interval.To))
			require.False(t, interval.From.Before(from) || interval.To.After(to))
			if i > 0 {
				require.True(t, got[i-1].To.Before(interval.From))
			}
			up += interval.To.Sub(interval.From).Seconds()
		}
		want := period * math.Acos(max(-1, min(1, dip))) / math.Pi
		require.InDelta(t, want, up, 2.5)
	})
}

func TestAboveNothing(t *testing.T) {
	high := func(time.Time) float64 { return 1 }
	assert.Empty(t, above(high, epoch, epoch))
	assert.Empty(t, above(high, epoch.Add(time.Second), epoch))
	assert.Equal(t, []Interval{{epoch, epoch.Add(time.Second)}}, above(high, epoch, epoch.Add(time.Second)))
}

// Cutting the time in two changes nothing but the cut.
func TestMoonUpInPieces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lat, lon := latitudes.Draw(t, "latitude"), longitudes.Draw(t, "longitude")
		from := drawDate(t)
		cut := from.Add(time.Duration(rapid.IntRange(1, 2879).Draw(t, "minutes")) * time.Minute)
		to := from.Add(48 * time.Hour)
		up := func(intervals []Interval) (s float64) {
			for _, i := range intervals {
				s += i.To.Sub(i.From).Seconds()
			}
			return s
		}
		whole := up(MoonUp(from, to, lat, lon))
		require.InDelta(t, whole, up(MoonUp(from, cut, lat, lon))+up(MoonUp(cut, to, lat, lon)), 5)
	})
}

func TestSunDayInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lat, lon := latitudes.Draw(t, "latitude"), longitudes.Draw(t, "longitude")
		zone := time.FixedZone("", 1800*rapid.IntRange(-24, 28).Draw(t, "zone, half hours"))
		year, month, d := drawDate(t).Date()
		date := time.Date(year, month, d, rapid.IntRange(0, 23).Draw(t, "hour"), 0, 0, 0, zone)
		day := SunDay(date, lat, lon)

		noon := time.Date(year, month, d, 12, 0, 0, 0, zone)
		require.LessOrEqual(t, day.Noon.Sub(noon).Abs(), 12*time.Hour+time.Minute)
		switch day.State {
		case PolarDay:
			require.Equal(t, 24*time.Hour, day.Length())
		case PolarNight:
			require.Zero(t, day.Length())
		default:
			require.Greater(t, day.Length(), time.Duration(0))
			require.Less(t, day.Length(), 24*time.Hour)
			if math.Abs(lat) < 65 {
				require.True(t, day.Rise.Before(day.Noon) && day.Noon.Before(day.Set))
				require.InDelta(t, day.Set.Sub(day.Rise).Seconds(), day.Length().Seconds(), 1)
			}
		}
		zenith, azimuth := SunAt(date, lat, lon)
		require.True(t, zenith >= 0 && zenith <= 180 && azimuth >= 0 && azimuth <= 360)
		fraction := MoonFraction(date)
		require.True(t, fraction >= 0 && fraction <= 1)
	})
}

// At the equator the upper limb is up for 12 h and the 2 · 50′/15 of the
// horizon, 6 min 40 s, a little more away from the equinoxes; the day of the
// tropics' summer is longer than of their winter, and the two hemispheres
// change places within half a year.
func TestDayLength(t *testing.T) {
	march, june, december := epoch.AddDate(0, 2, 19), epoch.AddDate(0, 5, 20), epoch.AddDate(0, 11, 20)
	assert.InDelta(t, 12+400.0/3600, DayLength(0, march), 0.01)
	assert.Greater(t, DayLength(21, june), 13.3)
	assert.Less(t, DayLength(21, december), 11.0)
	assert.InDelta(t, DayLength(-21, december), DayLength(21, june), 0.01)
	assert.Equal(t, 24.0, DayLength(80, june))
	assert.Equal(t, 0.0, DayLength(80, december))
}

func BenchmarkSunDayMidLatitude(b *testing.B) {
	for b.Loop() {
		SunDay(epoch, 38.7, -9.1)
	}
}

func BenchmarkMoonUpOneDayMidLatitude(b *testing.B) {
	for b.Loop() {
		MoonUp(epoch, epoch.AddDate(0, 0, 1), 38.7, -9.1)
	}
}

func BenchmarkMoonFraction(b *testing.B) {
	for b.Loop() {
		MoonFraction(epoch)
	}
}
