package lowering

import "testing"

func Benchmark24Points1PercentRamp(b *testing.B) {
	l := Limits{Response: linear(b, 0, 100), Range: [2]float64{0, 100}, Step: 1, MaxPoints: 24}
	for b.Loop() {
		Lower(smoothDay(0.8), l)
	}
}

func Benchmark24PointsCutInRamp(b *testing.B) {
	l := Limits{Response: cutIn(b), Range: [2]float64{0, 10}, Step: 0.1, MaxPoints: 24}
	for b.Loop() {
		Lower(smoothDay(0.8), l)
	}
}

func Benchmark96Points16BitRamp(b *testing.B) {
	l := Limits{Response: linear(b, 0, 65535), Range: [2]float64{0, 65535}, Step: 1, MaxPoints: 96}
	for b.Loop() {
		Lower(smoothDay(0.8), l)
	}
}

func Benchmark24Points1PercentHold(b *testing.B) {
	l := Limits{Response: linear(b, 0, 100), Range: [2]float64{0, 100}, Step: 1, MaxPoints: 24, Hold: true}
	for b.Loop() {
		Lower(smoothDay(0.8), l)
	}
}

// Sixteen ports one after the other: the caller may share them over cores.
func Benchmark16Ports24PointsOneMinuteGrid(b *testing.B) {
	ports := []Limits{
		{Response: linear(b, 0, 100), Range: [2]float64{0, 100}, Step: 1, MaxPoints: 24},
		{Response: linear(b, 0, 100), Range: [2]float64{0, 100}, Step: 1, MaxPoints: 24, Hold: true},
		{Response: cutIn(b), Range: [2]float64{0, 10}, Step: 0.1, MaxPoints: 24},
		{Response: linear(b, 0, 65535), Range: [2]float64{0, 65535}, Step: 1, MaxPoints: 24},
	}
	for b.Loop() {
		for k := range 16 {
			Lower(smoothDay(0.5+float64(k)/32), ports[k%4])
		}
	}
}
