package quantity

import (
	"fmt"
	"strings"

	"dayloom/schedule/text/diag"
)

// FluxUnit is how a plan gives the light of a channel.
type FluxUnit int

// The units of a flux.
const (
	Photons        FluxUnit = iota // µmol/s
	Radiant                        // W of light
	Lumens                         // lm
	PerElectricity                 // µmol for each J of electricity
)

// Flux is the light of a channel at full output as written. Lo and Hi are the
// band of photons in nm; both are 0 when none is named.
type Flux struct {
	Value  float64
	Unit   FluxUnit
	Lo, Hi float64
}

const fluxAllowed = "write a flux such as 420 umol/s, 420 umol/s 380-750 nm, 95 W radiant, 12000 lm or 2.4 umol/J"

// ParseFlux reads a flux; the value is more than 0. The error is an *Error.
func ParseFlux(text string) (Flux, error) {
	text = strings.TrimSpace(text)
	x, rest, ok := number(text)
	if !ok {
		e := badNumber(text, "a flux", "")
		e.Allowed = fluxAllowed
		return Flux{}, e
	}
	words := strings.Fields(plainMicro(rest))
	f := Flux{Value: x}
	switch {
	case len(words) == 0:
		return f, &Error{What: fmt.Sprintf("%q has no unit", shorten(text)), Allowed: fluxAllowed}
	case words[0] == "umol/s" && len(words) == 1:
	case words[0] == "umol/s":
		lo, hi, err := ParseBand(strings.Join(words[1:], " "))
		if err != nil {
			return f, err
		}
		f.Lo, f.Hi = lo, hi
	case words[0] == "W" && len(words) == 2 && words[1] == "radiant":
		f.Unit = Radiant
	case words[0] == "lm" && len(words) == 1:
		f.Unit = Lumens
	case words[0] == "umol/J" && len(words) == 1:
		f.Unit = PerElectricity
	case words[0] == "W" && len(words) == 1:
		return f, &Error{What: fmt.Sprintf("%q may be electrical power or light", shorten(text)), Allowed: fluxAllowed,
			Hint: "light in watts is written \"W radiant\"; electricity goes under power"}
	default:
		return f, &Error{What: fmt.Sprintf("%q is not a flux", shorten(text)), Allowed: fluxAllowed,
			Hint: diag.DidYouMean(words[0], []string{"umol/s", "umol/J", "lm"})}
	}
	if !(x > 0) {
		return f, &Error{What: fmt.Sprintf("the flux %q must be more than 0", shorten(text)), Allowed: fluxAllowed}
	}
	return f, nil
}

// ParseBand reads a band of wavelengths such as 380-750 nm. The error is an *Error.
func ParseBand(text string) (lo, hi float64, err error) {
	e := &Error{What: fmt.Sprintf("%q is not a band of wavelengths", shorten(text)), Allowed: "write it such as 380-750 nm"}
	lo, rest, ok := number(strings.TrimSpace(text))
	if !ok || !strings.HasPrefix(strings.TrimSpace(rest), "-") {
		return 0, 0, e
	}
	hi, rest, ok = number(strings.TrimSpace(strings.TrimSpace(rest)[1:]))
	if !ok || strings.TrimSpace(rest) != "nm" {
		return 0, 0, e
	}
	if !(lo > 0 && hi > lo) {
		e.Hint = "the second wavelength must be longer than the first"
		return 0, 0, e
	}
	return lo, hi, nil
}
