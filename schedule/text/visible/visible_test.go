package visible

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// General categories and Bidi_Control by the Unicode Character Database (its charts are
// quoted from memory).
func TestHidden(t *testing.T) {
	for _, r := range "\x00\a\b\t\n\r\x1b\x7f\u0080\u0085\u009b\u061c\u200e\u200f\u2028\u2029\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069" {
		got, found := Hidden("é" + string(r) + "x")
		assert.True(t, found, "%U", r)
		assert.Equal(t, r, got)
	}
	for _, text := range []string{"", "Quay Street, é 水 µ − ☾", "שלום", "a b", "e\u0301"} {
		_, found := Hidden(text)
		assert.False(t, found, text)
	}
}

func through(t require.TestingT, parts ...string) string {
	var b bytes.Buffer
	require.NoError(t, Text(func(w io.Writer) error {
		for _, p := range parts {
			if n, err := io.WriteString(w, p); err != nil || n != len(p) {
				return errors.Join(err, io.ErrShortWrite)
			}
		}
		return nil
	})(&b))
	return b.String()
}

func TestWriterShowsWhatItReplaces(t *testing.T) {
	assert.Equal(t, "a\tb\r\n\uFFFD[2J\uFFFDc", through(t, "a\tb\r\n\x1b[2J\u202ec"))
	assert.Equal(t, "µ\uFFFDx", through(t, "\xc2", "\xb5\xe2\x80", "\xae", "x"), "characters cut in two")
	assert.Equal(t, "a\uFFFD", through(t, "a\xe2"))
}

// However text is cut into pieces, it comes out the same: valid, nothing hidden, and
// unchanged where there was nothing to hide.
func TestWriterProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := string(rapid.SliceOf(rapid.SampledFrom([]byte("ab\n\t\x1b\xc2\x9b\xe2\x80\xae\xff\xf0\x9f"))).Draw(t, "bytes"))
		cut := rapid.IntRange(0, len(text)).Draw(t, "cut")
		got := through(t, text[:cut], text[cut:])
		assert.Equal(t, through(t, text), got)
		assert.True(t, utf8.ValidString(got))
		_, found := Hidden(strings.NewReplacer("\t", "", "\n", "").Replace(got))
		assert.False(t, found)
		assert.Equal(t, got, through(t, got))
	})
	text := rapid.String()
	rapid.Check(t, func(t *rapid.T) {
		s := text.Draw(t, "text")
		if _, found := Hidden(s); !found {
			assert.Equal(t, s, through(t, s))
		}
	})
}

func BenchmarkWriter64KiBOfGridRows(b *testing.B) {
	text := []byte(strings.Repeat("2027-02-03,08:30,1.2,3.4,5.6\r\n", 1<<16/30))
	b.SetBytes(int64(len(text)))
	w := Writer(io.Discard)
	for b.Loop() {
		if _, err := w.Write(text); err != nil {
			b.Fatal(err)
		}
	}
}

// Whatever is written, what comes out is valid text in which nothing is hidden.
func FuzzWriter(f *testing.F) {
	f.Add([]byte("a\x1b[2J"), []byte("\u202eb\n"))
	f.Add([]byte("\xe2\x80"), []byte("\xae\xff"))
	f.Fuzz(func(t *testing.T, a, b []byte) {
		got := through(t, string(a), string(b))
		_, found := Hidden(strings.NewReplacer("\t", "", "\n", "", "\r", "").Replace(got))
		if found || !utf8.ValidString(got) || got != through(t, string(a)+string(b)) {
			t.Fatalf("%q", got)
		}
	})
}
