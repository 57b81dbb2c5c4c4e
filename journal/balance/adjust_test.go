package balance_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal"
	"fairmeasure/journal/balance"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/unit"
)

const pourable = unit.Volume(2500)

func within(low, high float64) balance.Range { return balance.Range{Low: low, High: high, Known: true} }

func TestAdjust(t *testing.T) {
	// 60 ml at 40 %, 22.5 ml lime, 22.5 ml syrup at one to one by weight: the sour of the checks.
	sour := func(syrup float64) journal.Made {
		return made(journal.Shaken, part("gin", 60, 40, 0, 0), part("lime", 22.5, 0, 17, 60), part("syrup", syrup, 0, 615, 0))
	}
	t.Run("TooSweet", func(t *testing.T) {
		m := sour(32.5)
		before := estimated(m)
		require.Equal(t, balance.Above, before.Verdicts.Sugar)
		got, ok := balance.Adjust(m, dilution.Water{}, balance.Wanted{Sugar: before.Ranges.Sugar}, pourable, false)
		require.True(t, ok)
		require.Len(t, got.Changes, 1)
		require.Equal(t, 2, got.Changes[0].Part)
		require.Less(t, got.Changes[0].To, got.Changes[0].From)
		require.Equal(t, balance.In, got.After.Verdicts.Sugar)
		require.Equal(t, unit.Volume(32_500), m.Parts[2].Volume.Value.Value, "what was asked about stays as it was")
	})
	t.Run("ToATarget", func(t *testing.T) {
		got, ok := balance.Adjust(sour(22.5), dilution.Water{}, balance.Wanted{Acid: within(0.90, 0.92), Sugar: within(8.5, 9.0)}, pourable, false)
		require.True(t, ok)
		require.LessOrEqual(t, len(got.Changes), 2)
		require.True(t, balance.Wanted{Acid: within(0.90, 0.92), Sugar: within(8.5, 9.0)}.Met(got.After))
	})
	t.Run("MetAlready", func(t *testing.T) {
		m := sour(22.5)
		got, ok := balance.Adjust(m, dilution.Water{}, balance.Wanted{Sugar: within(0, 20)}, pourable, false)
		require.True(t, ok)
		require.Empty(t, got.Changes)
		require.Equal(t, m, got.Made)
	})
	t.Run("NeverMoreAlcoholUnlessAsked", func(t *testing.T) {
		m := made(journal.Stirred, part("gin", 40, 40, 0, 0), part("water", 10, 0, 0, 0))
		stronger := balance.Wanted{Strength: within(25, 40), Volume: within(75, 200)}
		_, ok := balance.Adjust(m, dilution.Water{}, stronger, pourable, false)
		require.False(t, ok)
		got, ok := balance.Adjust(m, dilution.Water{}, stronger, pourable, true)
		require.True(t, ok)
		require.Greater(t, got.After.Before.Ethanol.Value, estimated(m).Before.Ethanol.Value)
	})
	t.Run("NothingDoes", func(t *testing.T) {
		_, ok := balance.Adjust(sour(22.5), dilution.Water{}, balance.Wanted{Acid: within(5, 6)}, pourable, false)
		require.False(t, ok)
		_, ok = balance.Adjust(made(journal.Shaken, part("gin", 60, 40, 0, 0)), dilution.Water{}, balance.Wanted{Sugar: within(5, 6)}, pourable, true)
		require.False(t, ok, "there is nothing sweet in it")
		_, ok = balance.Adjust(sour(22.5), dilution.Water{}, balance.Wanted{Acid: within(0.9, 1)}, 0, false)
		require.False(t, ok)
	})
	t.Run("DashesAreLeftAlone", func(t *testing.T) {
		m := made(journal.Stirred, part("rye", 60, 45, 0, 0), part("bitters", 1.8, 44, 0, 0))
		got, ok := balance.Adjust(m, dilution.Water{}, balance.Wanted{Volume: within(60, 80)}, pourable, false)
		require.True(t, ok)
		require.Equal(t, []int{0}, []int{got.Changes[0].Part})
	})
}

// TestAdjustIsTheSmallest tries every smaller change by the whole reckoning: none of them does it.
func TestAdjustIsTheSmallest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var parts []journal.Part
		for range rapid.IntRange(2, 3).Draw(t, "parts") {
			parts = append(parts, part("part", float64(rapid.IntRange(2, 24).Draw(t, "ml"))*2.5, rapid.Float64Range(0, 60).Draw(t, "strength"),
				rapid.Float64Range(0, 700).Draw(t, "sugar"), rapid.Float64Range(0, 60).Draw(t, "acid")))
		}
		m := made(rapid.SampledFrom([]journal.Method{journal.Shaken, journal.Stirred, journal.Built}).Draw(t, "method"), parts...)
		before := estimated(m)
		about := func(f balance.Figure, spread float64) balance.Range {
			middle := f.Value * rapid.Float64Range(0.8, 1.2).Draw(t, "aim")
			return within(middle*(1-spread), middle*(1+spread))
		}
		want := balance.Wanted{Sugar: about(before.After.Sugar, 0.05)}
		if rapid.Bool().Draw(t, "acid too") {
			want.Acid = about(before.After.Acid, 0.1)
		}
		more := rapid.Bool().Draw(t, "more alcohol")
		got, ok := balance.Adjust(m, dilution.Water{}, want, pourable, more)
		smaller := 5 // looked through when nothing was found
		if ok {
			require.True(t, want.Met(got.After))
			require.Equal(t, balance.Of(got.Made, dilution.Water{}), got.After)
			if !more {
				require.LessOrEqual(t, got.After.Before.Ethanol.Value, before.Before.Ethanol.Value+1e-9)
			}
			smaller = -1
			for _, c := range got.Changes {
				steps := (c.To - c.From) / pourable
				require.Equal(t, c.To-c.From, steps*pourable, "whole steps only")
				require.GreaterOrEqual(t, c.To, pourable)
				smaller += int(max(steps, -steps))
			}
			smaller = min(smaller, 5)
		}
		does := func(i, k, j, l int) bool {
			other := m
			other.Parts = append([]journal.Part(nil), m.Parts...)
			for _, c := range [2][2]int{{i, k}, {j, l}} {
				v := other.Parts[c[0]].Volume.Value.Value + unit.Volume(c[1])*pourable
				if v < pourable {
					return false
				}
				other.Parts[c[0]].Volume = exact(v)
			}
			r := estimated(other)
			return want.Met(r) && (more || r.Before.Ethanol.Value <= before.Before.Ethanol.Value)
		}
		for i := range m.Parts {
			for j := range m.Parts {
				if i == j {
					continue
				}
				for k := -smaller; k <= smaller; k++ {
					for l := -(smaller - max(k, -k)); l <= smaller-max(k, -k); l++ {
						require.False(t, does(i, k, j, l), "part %d by %d and part %d by %d is smaller", i, k, j, l)
					}
				}
			}
		}
	})
}

func BenchmarkAdjust(b *testing.B) {
	m := orchardSour()
	want := balance.Wanted{Sugar: within(5, 5.2), Acid: within(0.95, 1), Strength: within(16, 17)}
	for b.Loop() {
		balance.Adjust(m, dilution.Water{}, want, pourable, false)
	}
}
