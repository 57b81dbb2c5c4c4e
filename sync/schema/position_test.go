package schema

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
)

func TestPositionsAlwaysHaveRoomBetween(t *testing.T) {
	all := spread(3)
	rng := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		at := rng.IntN(len(all) + 1)
		a, b := "", ""
		if at > 0 {
			a = all[at-1]
		}
		if at < len(all) {
			b = all[at]
		}
		p := between(a, b)
		require.Greater(t, p, a)
		if b != "" {
			require.Less(t, p, b)
		}
		require.NotEqual(t, byte('0'), p[len(p)-1], "a trailing zero leaves no room in front")
		all = slices.Insert(all, at, p)
	}
	require.True(t, slices.IsSorted(all))
	// Always in front and always behind are the worst cases; they grow by about a character in five.
	front, behind := "V", "V"
	for range 300 {
		front, behind = between("", front), between(behind, "")
	}
	require.Less(t, len(front), 70)
	require.Less(t, len(behind), 70)
}

func TestSpreadIsInOrder(t *testing.T) {
	for n := range 200 {
		all := spread(n)
		require.True(t, slices.IsSorted(all), "%d: %v", n, all)
		require.Len(t, slices.Compact(slices.Clone(all)), n)
		for _, p := range all {
			require.NotEmpty(t, p)
			require.NotEqual(t, byte('0'), p[len(p)-1])
		}
	}
}

func TestEqualPositionsGiveOneBehind(t *testing.T) {
	require.Greater(t, between("V", "V"), "V")
	require.Greater(t, between("k", "V"), "k")
	for _, zeros := range [][2]string{{"V", "V0"}, {"V0", "V00"}, {"", "0"}, {"", "00"}, {"V", "V000"}} { // there is nothing between these
		require.Greater(t, between(zeros[0], zeros[1]), zeros[1])
	}
}

func TestDerivedIds(t *testing.T) {
	id := "01KA2B3C4D5E6F7G8H9JKMNPQR"
	seen := map[string]bool{}
	for i := range 5000 {
		d := derived("01KA2B3C4D5E6F7G8H9JKMNPQR", "line."+string(rune('a'+i%26))+string(rune('a'+i/26)))
		require.True(t, minted(d), d)
		require.Equal(t, id[:10], string(d[:10]), "the time stays")
		require.False(t, seen[string(d)])
		seen[string(d)] = true
	}
	require.Equal(t, derived("01KA2B3C4D5E6F7G8H9JKMNPQR", "riff"), derived("01KA2B3C4D5E6F7G8H9JKMNPQR", "riff"))
	require.NotEqual(t, derived("01KA2B3C4D5E6F7G8H9JKMNPQR", "riff"), derived("01KA2B3C4D5E6F7G8H9JKMNPQS", "riff"))
}

func TestMintedIds(t *testing.T) {
	require.True(t, minted("01KA2B3C4D5E6F7G8H9JKMNPQR"))
	for _, bad := range []string{"", "01KA2B3C4D5E6F7G8H9JKMNPQ", "81KA2B3C4D5E6F7G8H9JKMNPQR", "01KA2B3C4D5E6F7G8H9JKMNPQl", "01KA2B3C4D5E6F7G8H9JKMNPQU", "set.country"} {
		require.False(t, minted(replica.ID(bad)), bad)
	}
}
