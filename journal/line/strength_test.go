package line_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal/line"
)

// TestProofIsAsked: a number that may be a proof or a percentage is asked about and never guessed; above 100 only proofs
// are offered, and what is offered is read as what was promised.
func TestProofIsAsked(t *testing.T) {
	strength := func(typed string) string {
		t.Helper()
		l := read1(t, typed, line.Options{})
		require.True(t, l.Strength.Known, typed)
		return strconv.FormatFloat(l.Strength.Value.Percent(), 'f', -1, 64)
	}
	for n := 1; n <= 200; n++ {
		for _, typed := range []string{fmt.Sprintf("60 ml rum, %d", n), fmt.Sprintf("60 ml rum %d", n), fmt.Sprintf("60 ml rum %d°", n), fmt.Sprintf("60 ml rum, %d %%", n)} {
			switch {
			case strings.HasSuffix(typed, "%") && n <= 100, !strings.ContainsAny(typed, ",°%") && n < 20:
				continue // said to be a percentage; part of a name
			}
			_, err := line.Read(typed, line.Options{})
			require.Error(t, err, typed)
			r := refusal(t, err)
			require.Equal(t, "proof_or_percent", r.Code, typed)
			us := fmt.Sprintf("%d proof", n)
			require.Contains(t, r.Text, us, typed)
			require.Contains(t, r.Text, strength("60 ml rum, "+us)+" % vol", typed)
			percent := fmt.Sprintf("“%d %%”", n)
			if n <= 100 {
				require.Contains(t, r.Text, percent, typed)
				continue
			}
			require.NotContains(t, r.Text, percent, typed)
			require.Contains(t, r.Text, "more than 100")
			if uk := fmt.Sprintf("%d uk proof", n); n <= 175 { // pure alcohol: 100 / 0.57145
				require.Contains(t, r.Text, uk, typed)
				require.Contains(t, r.Text, strength("60 ml rum, "+uk)+" % vol", typed)
			} else {
				require.NotContains(t, r.Text, "uk proof", typed)
			}
		}
	}
}
