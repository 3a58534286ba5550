package spreadsheet

import (
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The same two rows of text and numbers, as they may stand in a file.
func TestTablesOfAllCountries(t *testing.T) {
	for _, text := range []string{
		"at,light\n08:30,-1.5\n",
		"\ufeffat,light\r\n08:30,-1.5\r\n",
		"at;light\r\n08:30;-1,5\r\n",
		"\ufeff# a, comment\nat;light\n08:30;-1,5\n",
		"at;light\n08:30;-1.5\n",
	} {
		rows, ok := New(strings.NewReader(text))
		require.True(t, ok, text)
		rows.Comment = '#'
		head, err := rows.Next()
		require.NoError(t, err, text)
		assert.Equal(t, []string{"at", "light"}, head, text)
		row, err := rows.Next()
		require.NoError(t, err, text)
		assert.Equal(t, []string{"08:30", "-1.5"}, row, text)
		_, err = rows.Next()
		assert.Equal(t, io.EOF, err)
	}
}

func TestWhatIsLeftAsItIs(t *testing.T) {
	rows, _ := New(strings.NewReader("a;b;c\n1,2,3;moon, blue;1,\n"))
	_, _ = rows.Next()
	row, err := rows.Next()
	require.NoError(t, err)
	assert.Equal(t, []string{"1,2,3", "moon, blue", "1,"}, row, "no numbers with one decimal comma")
	rows, ok := New(strings.NewReader("a,b;c\n1,5\n"))
	require.True(t, ok)
	assert.Equal(t, ',', rows.Comma, "a first line with both marks is one of commas")
	_, ok = New(strings.NewReader("a\tb\n"))
	assert.False(t, ok, "tabs")
	rows, ok = New(strings.NewReader(""))
	require.True(t, ok)
	_, err = rows.Next()
	assert.Equal(t, io.EOF, err)
}
