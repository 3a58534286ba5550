package timetable

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/shape/daypattern"
)

// weekly is the example's ports in tables for weekdays: every Sunday of January 2027, and the other days in two.
func weekly(t testing.TB) File {
	f := example(t)
	ports := f.Tables[0].Ports
	sun, rest := days(t, "sun"), days(t, "mon tue wed thu fri sat")
	f.Tables = []Table{
		{From: date(t, "2027-01-01"), To: date(t, "2027-01-12"), Days: rest, Ports: ports},
		{From: date(t, "2027-01-01"), To: date(t, "2027-01-31"), Days: sun, Ports: ports},
		{From: date(t, "2027-01-13"), To: date(t, "2027-01-31"), Days: rest, Ports: ports},
	}
	return f
}

func days(t testing.TB, text string) daypattern.Weekdays {
	t.Helper()
	w, err := daypattern.ParseWeekdays(text)
	require.NoError(t, err)
	return w
}

func TestTablesForWeekdaysReadBack(t *testing.T) {
	f := weekly(t)
	csv, json := written(t, f)
	assert.Contains(t, string(json), `"valid_from": "2027-01-01", "days": "sun",`)
	assert.Contains(t, string(csv), ",7.000,mon tue wed thu fri sat\r\n")
	require.NoError(t, valid(schema(t), json))
	got, err := Read("t.json", json)
	require.NoError(t, err)
	assert.Equal(t, f, got)
	back, err := Read("t.csv", csv)
	require.NoError(t, err)
	for i, table := range back.Tables {
		assert.Equal(t, []any{f.Tables[i].From, f.Tables[i].To, f.Tables[i].Days}, []any{table.From, table.To, table.Days})
	}
	for day, want := range map[string]int{"2026-12-31": -1, "2027-01-02": 0, "2027-01-03": 1, "2027-01-12": 0, "2027-01-13": 2, "2027-01-17": 1, "2027-01-31": 1, "2027-02-01": -1} {
		i, _ := got.Index(date(t, day))
		assert.Equal(t, want, i, day)
	}
	from, to := got.Covers()
	assert.Equal(t, []any{date(t, "2027-01-01"), date(t, "2027-01-31")}, []any{from, to})
	assert.Equal(t, date(t, "2027-01-03"), got.Tables[1].First())
}

// A file without days reads as before.
func TestFilesWithoutDays(t *testing.T) {
	f := example(t)
	csv, json := written(t, f)
	got, err := Read("t.json", bytes.ReplaceAll(json, []byte(`, "days": ""`), nil))
	require.NoError(t, err)
	assert.Equal(t, f, got)
	old := strings.ReplaceAll(strings.Replace(string(resaved(csv)), ",days\r\n", "\r\n", 1), ",\r\n", "\r\n")
	back, err := Read("t.csv", []byte(old))
	require.NoError(t, err)
	assert.Equal(t, f.Tables[1].From, back.Tables[1].From)
	assert.Zero(t, back.Tables[1].Days)
}

// Two tables for one date, and a date without any, are refused at the table.
func TestWeekdaysThatDoNotFit(t *testing.T) {
	_, good := written(t, weekly(t))
	for _, c := range []struct{ old, new, want string }{
		{`"days": "sun"`, `"days": "sat sun"`, `t.json:48:5: two tables claim 2027-01-02 (Saturday): this one, and the one from 2027-01-01 for mon tue wed thu fri sat to 2027-01-12`},
		{`"days": "mon tue wed thu fri sat"`, `"days": "mon tue wed thu fri"`, `t.json:88:5: no table is valid on 2027-01-02 (Saturday)`},
		{`"days": "sun"`, `"days": "mon"`, `two tables claim 2027-01-04 (Monday)`},
		{`"valid_from": "2027-01-13"`, `"valid_from": "2027-01-14"`, `t.json:88:5: no table is valid on 2027-01-13 (Wednesday)`},
		{`"valid_from": "2027-01-13"`, `"valid_from": "2027-01-12"`, `t.json:88:5: two tables claim 2027-01-12 (Tuesday)`},
		{"      \"valid_to\": \"2027-01-12\",\n", ``, `t.json:8:5: the table from 2027-01-01 for mon tue wed thu fri sat has no valid_to, but another follows`},
		{`"valid_from": "2027-01-01", "days": "sun"`, `"valid_from": "2027-01-25", "days": "sun"`, `t.json:48:5: no table is valid on 2027-01-03 (Sunday)`},
		{`"valid_from": "2027-01-01", "days": "sun",` + "\n" + `      "valid_to": "2027-01-31"`, `"valid_from": "2027-01-01", "days": "sun",` + "\n" + `      "valid_to": "2027-01-30"`, `t.json:88:5: no table is valid on 2027-01-31 (Sunday)`},
	} {
		t.Run(c.want, func(t *testing.T) {
			require.Contains(t, string(good), c.old)
			_, err := Read("t.json", []byte(strings.Replace(string(good), c.old, c.new, 1)))
			require.Error(t, err)
			assert.True(t, strings.HasPrefix(err.Error(), c.want) || strings.Contains(err.Error(), c.want) && c.want[0] == 't' && c.want[1] == 'w', err.Error())
		})
	}
}
