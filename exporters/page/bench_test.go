package page_test

import "testing"

// The nursery: 8 corals, 8 channels, a programme of a newcomer, a year of dates.
func BenchmarkReportOfNursery(b *testing.B) {
	for b.Loop() {
		made(b, "nursery", nil)
	}
}
