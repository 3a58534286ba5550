package sky

import (
	"fmt"
	"math"
)

// CheckPlace returns an error unless latDeg is from −90 to 90 and lonDeg from
// −180 to 180. The other functions take a place that has passed it: what they
// give for any other has no meaning.
func CheckPlace(latDeg, lonDeg float64) error {
	if !(math.Abs(latDeg) <= 90) { // so written that NaN is refused too
		return fmt.Errorf("latitude %g is not on the globe: it goes from -90 (south pole) to 90 (north pole)", latDeg)
	}
	if !(math.Abs(lonDeg) <= 180) {
		return fmt.Errorf("longitude %g is not on the globe: it goes from -180 (west) to 180 (east of Greenwich)", lonDeg)
	}
	return nil
}
