package timetable

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"dayloom/schedule/shape/port"
)

// maxDecimals of a command: finer than any dimmer, and still exact in a float.
const maxDecimals = 9

// decimals is how many a command of this port needs.
func (p Port) decimals() int {
	scale := 1.0
	for d := range maxDecimals {
		if whole(p.Step*scale) && whole(p.Range[0]*scale) {
			return d
		}
		scale *= 10
	}
	return maxDecimals
}

func whole(x float64) bool { return math.Abs(x-math.Round(x)) <= 1e-9*max(1, math.Abs(x)) }

// appendCommand writes a command with the decimals of the port's step, so that
// a column lines up. A command that is not on the step keeps all its digits.
func (p Port) appendCommand(b []byte, command float64, decimals int) []byte {
	if p.Signal == port.Switch {
		return append(b, onOff(command)...)
	}
	start := len(b)
	b = strconv.AppendFloat(b, command+0, 'f', decimals, 64) // +0: no minus before a zero
	back, err := strconv.ParseFloat(string(b[start:]), 64)
	if err == nil && p.Step > 0 && math.Abs(back-command) <= 1e-9*max(1, math.Abs(command)) {
		return b
	}
	return strconv.AppendFloat(b[:start], command+0, 'f', -1, 64)
}

// Text is a command as the files write it, with the decimals of the port's step;
// on or off for a switch.
func (p Port) Text(command float64) string {
	return string(p.appendCommand(nil, command, p.decimals()))
}

func onOff(command float64) string {
	if command == 0 {
		return "off"
	}
	return "on"
}

// appendLight writes a light fraction as percent, to 0.001 %.
func appendLight(b []byte, light float64) []byte {
	return strconv.AppendFloat(b, light*100+0, 'f', 3, 64)
}

// TimeOfDay is HH:MM, or HH:MM:SS where there are seconds.
func TimeOfDay(seconds float64) string { return string(appendTime(nil, seconds)) }

func appendTime(b []byte, seconds float64) []byte {
	s := int(seconds)
	two := func(n int) { b = append(b, byte('0'+n/10), byte('0'+n%10)) }
	two(s / 3600)
	b = append(b, ':')
	two(s / 60 % 60)
	if s%60 != 0 {
		b = append(b, ':')
		two(s % 60)
	}
	return b
}

// ParseTimeOfDay reads HH:MM or HH:MM:SS, seconds after midnight.
func ParseTimeOfDay(text string) (float64, error) {
	bad := fmt.Errorf("%q is not a time of day; write HH:MM or HH:MM:SS, from 00:00 to 23:59:59", text)
	if len(text) != 5 && len(text) != 8 {
		return 0, bad
	}
	part := [3]int{}
	for i := range (len(text) + 1) / 3 {
		tens, ones := text[3*i]-'0', text[3*i+1]-'0' // below '0' wraps to large
		if tens > 9 || ones > 9 || i > 0 && text[3*i-1] != ':' {
			return 0, bad
		}
		part[i] = int(tens)*10 + int(ones)
	}
	if part[0] > 23 || part[1] > 59 || part[2] > 59 {
		return 0, bad
	}
	return float64(part[0]*3600 + part[1]*60 + part[2]), nil
}

// parseNumber reads a plain decimal number, refusing what only a programmer
// would write (hexadecimal, infinities, underscores).
func parseNumber(text string) (float64, error) {
	if text == "" || strings.Trim(text, "0123456789.-+eE") != "" {
		return 0, fmt.Errorf("%q is not a number; write it like 4.5", text)
	}
	x, err := strconv.ParseFloat(text, 64)
	if errors.Is(err, strconv.ErrRange) {
		return 0, fmt.Errorf("the number %s is too large", text)
	}
	if err != nil {
		return 0, fmt.Errorf("%q is not a number; write it like 4.5", text)
	}
	return x, nil
}
