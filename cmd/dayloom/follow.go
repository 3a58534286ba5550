package main

import (
	"context"
	"slices"
	"strings"
	"time"

	"github.com/robfig/cron/v3"
	"github.com/spf13/cobra"

	"dayloom/exporters/follow"
	"dayloom/exporters/timetable"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
)

func followCommand(w world) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "follow TIMETABLE",
		Short: "Print each port's command whenever it changes, as it happens",
		Long: `follow plays timetable.json in real time on the controller's clock and prints a line
whenever a port is to show another command: first what every port shows now, then
each change at its second. A ramp becomes a row of steps that keep its light. Pipe the
lines into a script or a microcontroller. A clock that is set or a machine that slept is
noticed: what every port shows now is printed at once, and nothing is replayed.

With --speed the day runs faster, from --from on. Without --until it ends with the
timetable, or on a signal.`,
		Example: `  dayloom follow out/timetable.json
  dayloom follow out/timetable.json --speed 600 --from 2027-02-03T08:00 --format csv
  dayloom follow out/timetable.json --speed 3600 --from 2027-02-03T00:00 --until 2027-02-04T00:00`,
		Args: exactly("TIMETABLE"),
	}
	speed := cmd.Flags().Float64("speed", 1, "how many times faster than real time, 1 to 1000000")
	from := cmd.Flags().String("from", "", "the moment to begin at: 2027-02-03T08:00, or 08:00 today (default: now)")
	until := cmd.Flags().String("until", "", "the moment to end before (default: go on)")
	format := cmd.Flags().String("format", "json", "how to print changes: "+strings.Join(follow.Formats, "|"))
	_ = cmd.RegisterFlagCompletionFunc("format", cobra.FixedCompletions(follow.Formats, cobra.ShellCompDirectiveNoFileComp))
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		if !slices.Contains(follow.Formats, *format) {
			return usageError("unknown format %q: allowed are %s", *format, strings.Join(follow.Formats, ", "))
		}
		if !(*speed >= 1 && *speed <= 1e6) {
			return usageError("--speed: it must be a number from 1, real time, to 1000000")
		}
		file, err := readTimetable(args[0])
		if err != nil {
			return err
		}
		p := pace{now: w.now, speed: *speed}
		run := followed{world: w, writer: follow.NewWriter(w.stdout, *format), name: args[0], beats: newBeat, silence: 3*time.Second + p.tick()}
		if err := run.open(file, &p, *from, *until); err != nil {
			return err
		}
		w.busy.end() // from here on it waits for the clock
		ctx, stop := untilSignal()
		defer stop()
		return run.play(ctx, &p)
	}
	return cmd
}

// pace turns the clock on the wall into the time that is followed. In real time
// that is the wall clock itself, with all that is done to it; a day that runs from
// another moment or faster goes by the time that passed.
type pace struct {
	now   func() time.Time
	speed float64
	start time.Time // zero: real time
	began time.Time // when start was
}

func (p *pace) time() time.Time {
	if p.start.IsZero() {
		return p.now()
	}
	if p.began.IsZero() {
		p.began = time.Now()
	}
	return p.start.Add(time.Duration(float64(time.Since(p.began)) * p.speed))
}

// tick is how often the clock is looked at, and patience how many ticks may stay
// away before that counts as a jump.
func (p *pace) tick() time.Duration {
	if p.speed == 1 {
		return time.Second
	}
	return time.Second / 20
}

const patience = 5 * time.Second

// followed is one run of the command.
type followed struct {
	world    world
	writer   *follow.Writer
	name     string
	follower *follow.Follower
	session  *follow.Session
	until    time.Time // zero: go on
	beats    func(period time.Duration) beat
	silence  time.Duration // after which a beat is taken for stuck
	looked   bool
	waits    bool // it has been said that the timetable has not begun
}

func (r *followed) open(file timetable.File, p *pace, from, until string) error {
	if file.NeedsPlan() {
		return &failure{code: exitFile, message: r.name + ": csv does not say which clock is meant or how lamps answer", hint: "follow the timetable.json beside it"}
	}
	zone, err := clock.Zone(file.Clock.Zone)
	if err != nil {
		return &failure{code: exitFile, message: r.name + ": " + err.Error(), hint: "compile the plan again"}
	}
	clocks := plan.Clock{Zone: zone, ZoneName: file.Clock.Zone, FollowsSummerTime: file.Clock.FollowsSummerTime, ControllerStays: file.Clock.ControllerStays}
	if r.follower, err = follow.New(file, clock.Of(clocks)); err != nil {
		return fileError(err, "")
	}
	r.session = follow.NewSession(r.follower, time.Duration(p.speed*float64(patience)))
	begin, err := r.world.momentOr(from, &plan.Plan{Clock: clocks})
	if err != nil {
		return err
	}
	if from != "" || p.speed != 1 {
		p.start = begin
	}
	if until != "" {
		if r.until, err = r.world.momentOr(until, &plan.Plan{Clock: clocks}); err != nil {
			return err
		}
		if !r.until.After(begin) {
			return usageError("--until %s is not after the beginning, %s", until, begin.In(zone).Format(time.DateTime))
		}
	}
	return nil
}

// play looks at the clock at every tick until the end or a signal.
func (r *followed) play(ctx context.Context, p *pace) error {
	beat := r.beats(p.tick())
	defer func() { beat.stop() }()
	for {
		done, err := r.look(p.time())
		if done || err != nil {
			return err
		}
		select {
		case <-ctx.Done():
			return nil
		case <-beat.ticks:
		case <-time.After(r.silence):
			// Cron reckons by the wall clock: set back an hour, it would sleep for an
			// hour. Timers do not, so when it falls silent it is begun anew.
			beat.stop()
			beat = r.beats(p.tick())
		}
	}
}

// look tells what is due at a moment of the followed time, and whether that was all.
func (r *followed) look(now time.Time) (done bool, err error) {
	end, ends := r.until, r.follower.Ends()
	over := !ends.IsZero() && !now.Before(ends) && (end.IsZero() || ends.Before(end))
	if over {
		end = ends
	}
	last := now
	if !end.IsZero() && !now.Before(end) {
		done, last = true, end.Add(-time.Second)
	}
	if begins := r.follower.Begins(); last.Before(begins) && !r.waits {
		r.waits = true
		r.world.note("%s begins on %s; there is nothing for the dates before", r.name, begins.Format(time.RFC3339))
	}
	if !over || r.looked { // begun too late there is nothing to tell
		if err := r.writer.Write(r.session.Step(last)); err != nil {
			return true, fileError(err, "nobody reads the output any more")
		}
	}
	r.looked = true
	if over {
		return true, &failure{code: exitFile, message: r.name + " ended at " + ends.Format(time.RFC3339) + "; every port keeps what it shows", hint: "compile the plan for more dates"}
	}
	return done, nil
}

// beat is cron's ticks.
type beat struct {
	ticks chan struct{}
	stop  func()
}

// every is a schedule of any period; cron's own know no less than a second.
type every time.Duration

func (e every) Next(t time.Time) time.Time { return t.Truncate(time.Duration(e)).Add(time.Duration(e)) }

func newBeat(period time.Duration) beat {
	ticks := make(chan struct{}, 1)
	c := cron.New(cron.WithLocation(time.UTC), cron.WithLogger(cron.DiscardLogger))
	c.Schedule(every(period), cron.FuncJob(func() {
		select {
		case ticks <- struct{}{}:
		default: // the last one has not been looked at yet
		}
	}))
	c.Start()
	return beat{ticks, func() { c.Stop() }}
}
