package balance_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"dayloom/schedule/balance"
)

func TestSmoke(t *testing.T) {
	s := lamps(12, 8, 1)
	a, problems := balance.Solve(s.p, s.f, balance.Options{})
	require.Empty(t, problems, errors(problems))
	b, _ := json.MarshalIndent(a, "", " ")
	t.Log(string(b))
}

