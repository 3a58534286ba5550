package table_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/table"
)

func sample() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "coral", Key: "coral", Left: true},
		{Head: "DLI", Unit: "mol/m²/d", Key: "dli_mol_m2_d"},
		{Head: "note", Left: true, Only: table.TextOnly},
	}}
	t.Add("acropora-a", "12.30", "met")
	t.Add("=SUM(A1)", "-0.5", "low, by far")
	return t
}

func TestText(t *testing.T) {
	var b strings.Builder
	require.NoError(t, sample().Text(&b))
	assert.Equal(t, `coral            DLI  note
            mol/m²/d
acropora-a     12.30  met
=SUM(A1)        -0.5  low, by far
`, b.String())
}

// RFC 4180: CRLF, and a formula-like cell is disarmed while a negative number is not.
func TestCSV(t *testing.T) {
	var b strings.Builder
	require.NoError(t, sample().CSV(&b))
	assert.Equal(t, "coral,dli_mol_m2_d\r\nacropora-a,12.30\r\n'=SUM(A1),-0.5\r\n", b.String())
}
