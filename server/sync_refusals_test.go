package server_test

import (
	"encoding/json"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/testdata"
)

// TestSyncRefusals holds the list that the app's sentences are held against: every code that a round, or renewing the
// sign-in on the way to one, can be refused with.
func TestSyncRefusals(t *testing.T) {
	d := readDescription(t, newHouse(t))
	codes := map[string]bool{}
	for _, path := range []string{"/api/v1/journals/{journal}/sync", "/api/v1/auth/refresh"} {
		for status, r := range d.under("paths", path, "post", "responses").(obj) {
			if status == "200" {
				continue
			}
			for _, line := range strings.Split(r.(obj)["description"].(string), "\n") {
				code, _, found := strings.Cut(line, ": ")
				require.True(t, found, line)
				codes[code] = true
			}
		}
	}
	text, err := fs.ReadFile(testdata.Files, "wire/sync_refusals.json")
	require.NoError(t, err)
	var listed []string
	require.NoError(t, json.Unmarshal(text, &listed))
	require.Equal(t, slices.Sorted(maps.Keys(codes)), listed)
}
