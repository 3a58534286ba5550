package main

import (
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestVersion(t *testing.T) {
	out, msg, code := at(t, "2026-12-02T12:00:00Z", "--version")
	assert.Zero(t, code)
	assert.Empty(t, msg)
	assert.Regexp(t, `^dayloom .*go1\.`, out)
	b := debug.BuildInfo{GoVersion: "go1.99", Main: debug.Module{Version: "v1.2.3"}, Settings: []debug.BuildSetting{
		{Key: "vcs.revision", Value: "0123456789abcdef0123"}, {Key: "vcs.time", Value: "2027-01-02T03:04:05Z"}, {Key: "vcs.modified", Value: "true"}}}
	assert.Equal(t, "dayloom v1.2.3, commit 0123456789ab of 2027-01-02T03:04:05Z, with changes that are not committed, go1.99", version(&b, true))
	b.Main.Version, b.Settings = "(devel)", nil
	assert.Equal(t, "dayloom devel, go1.99", version(&b, true))
	assert.Contains(t, version(nil, false), "unknown")
}
