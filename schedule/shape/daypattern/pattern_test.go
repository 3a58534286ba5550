package daypattern

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/robfig/cron/v3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func parse(t require.TestingT, text string) Pattern {
	p, err := Parse(text)
	require.NoError(t, err)
	return p
}

// matches lists the days of a month on which the pattern fits.
func matches(p Pattern, year int, month time.Month) (days []int) {
	for d := time.Date(year, month, 1, 0, 0, 0, 0, time.UTC); d.Month() == month; d = d.AddDate(0, 0, 1) {
		if p.Matches(d) {
			days = append(days, d.Day())
		}
	}
	return days
}

// POSIX, IEEE Std 1003.1-2024, utility crontab: the day patterns of its
// examples, against the calendar of February 2027, which begins on a Monday.
func TestMatchesPOSIX(t *testing.T) {
	for _, c := range []struct {
		pattern string
		want    []int
	}{
		{"0 0 1,15 * 1", []int{1, 8, 15, 22}}, // example 3: 1st and 15th, and every Monday
		{"0 0 * * 1", []int{1, 8, 15, 22}},    // example 3: Mondays only
		{"0 0 * * 1-5", []int{1, 2, 3, 4, 5, 8, 9, 10, 11, 12, 15, 16, 17, 18, 19, 22, 23, 24, 25, 26}}, // example 1: weekdays
		{"0 0 14 2 *", []int{14}}, // example 2: 14 February
		{"0 0 14 3 *", nil},
		{"0 0 * * 0", []int{7, 14, 21, 28}}, // 0 is Sunday
		{"0 0 2,16 * 0", []int{2, 7, 14, 16, 21, 28}},
		{"0 0 10-12 * *", []int{10, 11, 12}},
	} {
		assert.Equal(t, c.want, matches(parse(t, c.pattern), 2027, time.February), c.pattern)
	}
}

// What POSIX leaves open or says otherwise, as the package comment has it;
// June 2027 begins on a Tuesday.
func TestMatchesBeyondPOSIX(t *testing.T) {
	assert.Equal(t, []int{6, 13, 20, 27}, matches(parse(t, "0 0 * 6 0"), 2027, time.June))
	assert.Empty(t, matches(parse(t, "0 0 * 6 0"), 2027, time.July), "the month binds the weekday")
	assert.Equal(t, []int{1, 6, 11, 13, 16, 20, 21, 26, 27}, matches(parse(t, "0 0 */5 * sun"), 2027, time.June))
	assert.Equal(t, []int{29}, matches(parse(t, "0 0 29 FEB *"), 2028, time.February))
	assert.Empty(t, matches(parse(t, "0 0 29 2 *"), 2027, time.February))
}

// The calendar date counts, in the date's own location.
func TestMatchesInLocation(t *testing.T) {
	sunday := parse(t, "0 0 * * 0")
	late := time.Date(2027, 2, 7, 23, 30, 0, 0, time.FixedZone("", -8*3600)) // Monday in UTC
	assert.True(t, sunday.Matches(late))
	assert.False(t, sunday.Matches(late.UTC()))
	assert.False(t, Pattern{}.Matches(late))
}

func TestParseErrors(t *testing.T) {
	for text, want := range map[string]string{
		"":                               "needs 5 fields and has 0",
		"* * 0":                          "needs 5 fields and has 3",
		"@weekly":                        "needs 5 fields and has 1",
		"30 0 * * 0":                     `must be "0 0"`,
		"0 8 * * 0":                      `must be "0 0"`,
		"TZ=UTC 0 0 * * 0":               "needs 5 fields and has 6",
		"0 0 TZ=UTC * 0":                 `day of month "TZ=UTC"`,
		"0 0 32 * *":                     `day of month "32" is not understood`,
		"0 0 0 * *":                      "1 to 31",
		"0 0 * 13 *":                     "1 to 12, or jan to dec",
		"0 0 * * 7":                      "Sunday is 0, not 7",
		"0 0 * * sunday":                 `day of week "sunday"`,
		"0 0 5-1 * *":                    "ranges from low to high",
		"0 0 1,,2 * *":                   `day of month "1,,2"`,
		"0 0 , * *":                      `day of month ","`,
		"0 0 *-5 * *":                    `day of month "*-5"`,
		"0 0 */0 * *":                    `day of month "*/0"`,
		"0 0 -1 * *":                     `day of month "-1"`,
		"0 0 L * *":                      `day of month "L"`,
		"0 0 1/99999999999999999999 * *": `day of month "1/99999999999999999999"`,
		"0 0 31 2,4,6 *":                 "fits no date",
		"0 0 30 feb *":                   "fits no date",
	} {
		_, err := Parse(text)
		assert.ErrorContains(t, err, want, text)
		for _, word := range []string{"strconv", "cron.", "int", "%!"} {
			assert.NotContains(t, fmt.Sprint(err), word, text)
		}
	}
}

// drawField writes a field of numbers from low to high, together with the
// numbers and whether it leaves the choice open, all built without a parser.
func drawField(t *rapid.T, low, high int, label string) (text string, numbers map[int]bool, open bool) {
	numbers = map[int]bool{}
	var items []string
	for range rapid.IntRange(1, 3).Draw(t, label+" items") {
		a := rapid.IntRange(low, high).Draw(t, label+" a")
		b := rapid.IntRange(a, high).Draw(t, label+" b")
		step := rapid.IntRange(1, 9).Draw(t, label+" step")
		item := ""
		switch rapid.IntRange(0, 4).Draw(t, label+" kind") {
		case 0:
			item, a, b, step, open = "*", low, high, 1, true
		case 1:
			item, b = fmt.Sprint(a), a
		case 2:
			item, step = fmt.Sprintf("%d-%d", a, b), 1
		case 3:
			item = fmt.Sprintf("%d-%d/%d", a, b, step)
		case 4:
			item, a, b = fmt.Sprintf("*/%d", step), low, high
			open = open || step == 1
		}
		for n := a; n <= b; n += step {
			numbers[n] = true
		}
		items = append(items, item)
	}
	return strings.Join(items, ","), numbers, open
}

// Every date of four years, against sets written down while the pattern was
// composed, and against the moments at which robfig/cron itself would fire.
func TestMatchesBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dom, monthDays, anyDay := drawField(t, 1, 31, "day")
		mon, months, _ := drawField(t, 1, 12, "month")
		dow, weekdays, anyWeekday := drawField(t, 0, 6, "weekday")
		text := strings.Join([]string{"0 0", dom, mon, dow}, " ")
		p, err := Parse(text)
		schedule, cronErr := cron.ParseStandard(text)
		require.NoError(t, cronErr)

		start := time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)
		next := schedule.Next(start.Add(-time.Second))
		found := false
		for date := start; date.Year() < 2029; date = date.AddDate(0, 0, 1) {
			want := monthDays[date.Day()] || weekdays[int(date.Weekday())]
			if anyDay || anyWeekday {
				want = monthDays[date.Day()] && weekdays[int(date.Weekday())]
			}
			want = want && months[int(date.Month())]
			found = found || want
			if err == nil {
				require.Equal(t, want, p.Matches(date), "%s on %s", text, date)
			}
			require.Equal(t, want, next.Equal(date), "%s on %s", text, date)
			if want {
				next = schedule.Next(date)
			}
		}
		require.Equal(t, found, err == nil, "refused if and only if there is no date in four years: %v", err)
	})
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"0 0 * * 0", "0 0 1,15 * 1", "0 0 */2 jan-mar ?", "0 0 */2 jan-mar *", "0 0 31 2 *", "TZ= 0 * * *", "0 0 1-5/2 * mon"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := Parse(text)
		if err != nil {
			return
		}
		again, err := Parse(p.String())
		require.NoError(t, err)
		require.Equal(t, p, again)
	})
}
