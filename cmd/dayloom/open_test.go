package main

import (
	"bufio"
	"net/http"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The first line of standard output is the address; it works once; the program ends at a
// signal, with code 0 and nothing left to say.
func TestOpenServesOneBrowserUntilASignal(t *testing.T) {
	plan := likePlan(t, "single")
	for _, signal := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM} {
		cmd, talk := program(t, "open", plan, "--no-browser")
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		line, err := bufio.NewReader(out).ReadString('\n')
		require.NoError(t, err)
		url := strings.TrimSpace(line)
		require.Regexp(t, `^http://127\.0\.0\.1:[0-9]+/\?token=[A-Z2-7]{26}$`, url)
		client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }, Timeout: 10 * time.Second}
		for _, code := range []int{http.StatusSeeOther, http.StatusForbidden} {
			r, err := client.Get(url)
			require.NoError(t, err)
			r.Body.Close()
			assert.Equal(t, code, r.StatusCode)
		}
		require.NoError(t, cmd.Process.Signal(signal))
		require.NoError(t, cmd.Wait(), "%s", talk)
		assert.NotContains(t, talk.String(), "error")
	}
}

func TestOpenRefusesWhatCannotBeServed(t *testing.T) {
	plan := likePlan(t, "single")
	_, msg, code := at(t, "2026-12-02T12:00:00Z", "open", plan, "--port", "99999")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, msg, "error: --port: write a number from 1 to 65535")
	_, msg, code = at(t, "2026-12-02T12:00:00Z", "open", "nowhere.yaml")
	assert.Equal(t, exitFile, code)
	assert.Contains(t, msg, "nowhere.yaml: there is no such file")
	broken, err := filepath.Glob("../../testdata/broken/*.yaml")
	require.NoError(t, err)
	_, msg, code = at(t, "2026-12-02T12:00:00Z", "open", broken[0])
	assert.Equal(t, exitFile, code)
	assert.Contains(t, msg, "; nothing was done")
}
