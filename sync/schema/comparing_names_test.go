package schema_test

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Two gins that are only known by name are two, though both are like the typical one.
func TestCandidatesByName(t *testing.T) {
	b := orchard(t, "phone")
	gin := b.line(sourID, 0)
	b.do(obj{"do": "compare", "id": gins, "base": sourID, "lines": []any{gin}, "candidates": []obj{
		{"line": gin, "name": "windfall gin, 44 %"}, {"line": gin, "name": "garden gin"}, {"line": gin, "name": "vodka"},
	}})
	b.do(obj{"do": "candidate", "id": newID(7100), "swap": dig(t, b.ask(obj{"q": "comparison", "id": gins}), "swaps", 0, "id"), "name": "Garden gin"})
	var names []any
	for _, e := range dig(t, b.ask(obj{"q": "comparison", "id": gins}), "swaps", 0, "effects").([]any) {
		names = append(names, dig(t, e, "name"))
	}
	require.ElementsMatch(t, []any{"juniper-heavy gin", "windfall gin", "garden gin", "vodka"}, names)
}
