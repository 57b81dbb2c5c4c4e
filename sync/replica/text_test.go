package replica_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
)

// TestRefusalText: what a refusal says is what fmt would say.
func TestRefusalText(t *testing.T) {
	for _, c := range []struct {
		format string
		args   []any
	}{
		{"plain", nil}, {"%s: at most %d, came %d", []any{"note", 5, int64(-7)}}, {"%q is not an id", []any{replica.ID("a\"b")}},
		{"%s is %s, %q", []any{replica.ID("x"), replica.Run("r"), "kind"}}, {"%q and %s", []any{replica.Stamp{Run: "r", N: 3}, replica.Stamp{Run: "r", N: 4}}},
		{"%d", []any{uint64(1 << 63)}},
	} {
		require.Equal(t, fmt.Sprintf(c.format, c.args...), replica.Refuse("", "", c.format, c.args...).Text, c.format)
	}
}
