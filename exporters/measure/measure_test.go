package measure_test

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/measure"
	"dayloom/photon/fit"
	"dayloom/schedule/light/survey"
	"dayloom/schedule/plan"
)

// The words of the table are those that a readings file takes; a spot that is no coral has
// coordinates, and the range is two deviations of the logarithm either way.
func TestSheetAndPage(t *testing.T) {
	p := &plan.Plan{Name: "T & T", Channels: []plan.Channel{{Name: "blue"}, {Name: "tubes"}}, Corals: []plan.Coral{{Name: "brain", X: 0.4, Y: 0.3, Depth: 0.12}}}
	s := survey.Survey{Lines: []survey.Line{
		{Reading: plan.Reading{Coral: 0, X: 0.4, Y: 0.3, Depth: 0.12, Lit: []plan.Lit{{Channel: 0, Command: "100%"}}}, Expected: fit.Expected{Value: 200, SD: 20}},
		{Reading: plan.Reading{Coral: 0, X: 0.4, Y: 0.3, Depth: 0.12, Lit: []plan.Lit{{Channel: 0}, {Channel: 1}}}, Expected: fit.Expected{Value: 300, SD: 30}},
		{Reading: plan.Reading{Coral: -1, X: 1.255, Y: 0.3, Depth: 0.2, Lit: []plan.Lit{{Channel: 1}}}, Expected: fit.Expected{Value: 1.5, SD: 0.3}},
	}}
	rows := measure.Rows(p, s)
	assert.InDelta(t, 200*math.Exp(-0.2), rows[0].Low, 1e-9)
	assert.InDelta(t, 200*math.Exp(0.2), rows[0].High, 1e-9)
	assert.Equal(t, []bool{true, false, true}, []bool{rows[0].First, rows[1].First, rows[2].First})
	var b bytes.Buffer
	require.NoError(t, measure.WriteCSV(&b, plan.Date{Year: 2027, Month: 2, Day: 3}, rows))
	assert.Equal(t, []string{
		"coral,x_cm,y_cm,depth_cm,lit,ppfd,date,expected_umol_m2_s,low,high,note",
		"brain,,,,blue@100%,,2027-02-03,200,164,244,",
		"brain,,,,all,,2027-02-03,300,246,366,",
		",125.5,30,20,tubes,,2027-02-03,1.5,1.01,2.24,", ""}, strings.Split(b.String(), "\r\n"))
	b.Reset()
	require.NoError(t, measure.WritePage(&b, p.Name, plan.Date{}, rows))
	assert.Contains(t, b.String(), "<h1>T &amp; T: where to measure</h1>")
	assert.Contains(t, b.String(), `<td class="word">x 125.5, y 30, depth 20 cm</td>`)
	assert.Equal(t, 2, strings.Count(b.String(), `<tr class="first">`))
}
