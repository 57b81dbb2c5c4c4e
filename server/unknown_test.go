package server_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestUnknownJournals: a device learns which journals nobody here has, and nothing else of the others.
func TestUnknownJournals(t *testing.T) {
	h := newHouse(t)
	laptop := h.setUp("Robin", "laptop")
	kim := h.asked(laptop, "Kim", "Kim's phone")
	gone := h.asked(laptop, "Alex", "Alex's phone")
	require.Equal(t, 200, gone.post(gone.syncPath(), gone.request(note("KKKKKKKKKKK", 1, 1, "x"))).Status)
	h.tick()
	require.Equal(t, 200, gone.post("/api/v1/journals/"+gone.Journal+"/erase", obj{"typed": quiet}).Status)
	stored := string(h.strangersJournal())
	never := strings.Repeat("e", 32)

	ask := func(journals ...string) (unknown, erased []string) {
		a := laptop.post("/api/v1/journals/unknown", obj{"journals": journals})
		require.Equal(t, 200, a.Status, a.Body)
		var out struct{ Unknown, Erased []string }
		require.NoError(t, json.Unmarshal([]byte(a.Body), &out))
		return out.Unknown, out.Erased
	}
	unknown, erased := ask(laptop.Journal, kim.Journal, stored, never, gone.Journal)
	require.Equal(t, []string{never}, unknown, "an account's that was never written in is known")
	require.Equal(t, []string{gone.Journal}, erased)
	unknown, erased = ask()
	require.Empty(t, unknown)
	require.Empty(t, erased)

	for _, bad := range []any{obj{"journals": []string{"x"}}, obj{"journals": []string{""}}, obj{"journals": strings.Split(strings.Repeat(never+" ", 51), " ")}, obj{"journals": "x"}} {
		refused(t, laptop.post("/api/v1/journals/unknown", bad), 400, "malformed")
	}
	refused(t, h.stranger().post("/api/v1/journals/unknown", obj{"journals": []string{never}}), 401, "expired")
}
