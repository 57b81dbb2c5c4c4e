package unit_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal/unit"
)

func TestQuantitiesRoundHalvesAwayFromZero(t *testing.T) {
	require.Equal(t, unit.Volume(22500), unit.Millilitres(22.5))
	require.Equal(t, unit.Volume(29574), unit.Millilitres(29.5735295625), "one US fluid ounce")
	require.Equal(t, unit.Volume(1), unit.Millilitres(0.0005))
	require.Equal(t, unit.Volume(-1), unit.Millilitres(-0.0005))
	require.Equal(t, unit.Strength(4470), unit.PercentVol(44.7))
	require.Equal(t, unit.Concentration(615000), unit.GPerL(615))
	require.InDelta(t, 18.94, unit.Mass(18940).Grams(), 1e-12)
}

func TestUnknownIsNotZero(t *testing.T) {
	var unknown unit.Maybe[unit.Strength]
	require.False(t, unknown.Known)
	require.NotEqual(t, unknown, unit.Known(unit.Strength(0)))
	require.Equal(t, unit.Band[unit.Volume]{Value: 5, Low: 5, High: 5}, unit.Exact(unit.Volume(5)))
}

// What is stored comes back as it was, whatever the unit it was shown in.
func TestEveryStoredQuantityComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(-5_000_000, 5_000_000).Draw(t, "n")
		require.Equal(t, unit.Volume(n), unit.Millilitres(unit.Volume(n).ML()))
		require.Equal(t, unit.Strength(n), unit.PercentVol(unit.Strength(n).Percent()))
		require.Equal(t, unit.Concentration(n), unit.GPerL(unit.Concentration(n).GramsPerLitre()))
	})
}
