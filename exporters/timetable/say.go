package timetable

import "dayloom/schedule/plan"

// Say is a command for people, with its unit: "5.3 V", "40 %", "on".
func (p Port) Say(command float64) string {
	if p.Signal == plan.Switch {
		return onOff(command)
	}
	return p.Bare(command) + " " + p.Unit()
}

// Bare is a command without its unit, with the decimals of the port's step.
func (p Port) Bare(command float64) string {
	return string(p.appendCommand(nil, p.nearest(command), p.decimals()))
}

// nearest is the command on the port's step that a display would show.
func (p Port) nearest(command float64) float64 {
	if p.Step <= 0 {
		return command
	}
	n := (command - p.Range[0]) / p.Step
	return p.Range[0] + p.Step*float64(int64(n+0.5))
}
