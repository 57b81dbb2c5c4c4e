package bottles_test

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal"
	"fairmeasure/journal/bottles"
	"fairmeasure/journal/unit"
	"fairmeasure/testdata"
)

func cases(t *testing.T) []map[string]string {
	t.Helper()
	all := testdata.Rows(t, "cases/bottles_cases.csv")
	require.Len(t, all, 5)
	return all
}

func TestCases(t *testing.T) {
	for _, c := range cases(t) {
		t.Run(c["id"], func(t *testing.T) {
			switch c["op"] {
			case "bottle_level":
				level(t, c["input"], c["expected"])
			case "cost":
				cost(t, c["input"], c["expected"])
			default:
				t.Fatalf("no such op: %s", c["op"])
			}
		})
	}
}

func level(t *testing.T, input, expected string) {
	var in struct {
		Size   float64 `json:"size_ml"`
		Events [][2]any
	}
	var want struct {
		Left        float64 `json:"left_ml"`
		Unexplained float64 `json:"unexplained_ml"`
	}
	require.NoError(t, json.Unmarshal([]byte(input), &in))
	require.NoError(t, json.Unmarshal([]byte(expected), &want))
	var readings []bottles.Reading
	var draws []bottles.Draw
	for i, e := range in.Events {
		id, at, v := journal.ID(fmt.Sprint("E", i)), int64(i), unit.Millilitres(e[1].(float64))
		if e[0] == "stocktake" {
			readings = append(readings, bottles.Reading{ID: id, AtMS: at, Left: v})
		} else {
			require.Equal(t, "pour", e[0])
			draws = append(draws, bottles.Draw{ID: id, AtMS: at, Volume: v})
		}
	}
	s := bottles.Stand(unit.Known(unit.Millilitres(in.Size)), readings, draws)
	require.Equal(t, unit.Known(unit.Millilitres(want.Left)), s.Left)
	require.Equal(t, unit.Millilitres(want.Unexplained), unexplained(s))
	require.Zero(t, s.Over)
	require.False(t, s.AtMost)
}

func cost(t *testing.T, input, expected string) {
	var in struct {
		Lines []struct {
			ML, Price float64
			Size      float64 `json:"size_ml"`
			Cur       string
		}
	}
	var want struct {
		Totals map[string]float64
		Sum    *float64
	}
	require.NoError(t, json.Unmarshal([]byte(input), &in))
	require.NoError(t, json.Unmarshal([]byte(expected), &want))
	cents := func(v float64) int64 { return int64(math.Round(v * 100)) }
	var takings []bottles.Taken
	for _, l := range in.Lines {
		takings = append(takings, bottles.Taken{
			Volume: unit.Millilitres(l.ML),
			Price:  unit.Known(bottles.Price{Minor: cents(l.Price), Currency: l.Cur, Size: unit.Millilitres(l.Size)}),
		})
	}
	c := bottles.CostOf(takings)
	require.Zero(t, c.Unpriced)
	require.Len(t, c.Totals, len(want.Totals))
	for _, m := range c.Totals {
		require.Equal(t, cents(want.Totals[m.Currency]), m.Minor, m.Currency)
	}
	sum := c.Sum()
	require.Equal(t, want.Sum != nil, sum.Known)
	if want.Sum != nil {
		require.Equal(t, cents(*want.Sum), sum.Value.Minor)
	}
}

func TestStand(t *testing.T) {
	t.Run("UnknownWithoutSizeOrReading", func(t *testing.T) {
		s := bottles.Stand(unit.Maybe[unit.Volume]{}, nil, []bottles.Draw{{AtMS: 1, Volume: 60_000}})
		require.False(t, s.Left.Known)
	})
	t.Run("ReadingWithoutSize", func(t *testing.T) {
		s := bottles.Stand(unit.Maybe[unit.Volume]{}, []bottles.Reading{{AtMS: 2, Left: 300_000}},
			[]bottles.Draw{{AtMS: 1, Volume: 60_000}, {AtMS: 3, Volume: 60_000}})
		require.Equal(t, unit.Known(unit.Volume(240_000)), s.Left)
		require.Empty(t, s.Gaps, "nothing to compare the reading with")
	})
	t.Run("DrawAtTheInstantOfAReadingCameBefore", func(t *testing.T) {
		s := bottles.Stand(unit.Known(unit.Volume(700_000)), []bottles.Reading{{AtMS: 5, Left: 640_000}},
			[]bottles.Draw{{AtMS: 5, Volume: 60_000}})
		require.Equal(t, unit.Known(unit.Volume(640_000)), s.Left)
		require.Zero(t, unexplained(s))
	})
	t.Run("MoreFoundThanLogged", func(t *testing.T) {
		s := bottles.Stand(unit.Known(unit.Volume(700_000)), []bottles.Reading{{AtMS: 5, Left: 660_000}},
			[]bottles.Draw{{AtMS: 1, Volume: 60_000}})
		require.Equal(t, unit.Volume(-20_000), s.Gaps[0].Missing)
	})
	t.Run("MoreDrawnThanThere", func(t *testing.T) {
		s := bottles.Stand(unit.Known(unit.Volume(50_000)), nil, []bottles.Draw{{AtMS: 1, Volume: 60_000}})
		require.Equal(t, unit.Known(unit.Volume(0)), s.Left)
		require.Equal(t, unit.Volume(10_000), s.Over)
	})
	t.Run("UnmeasuredDrawLeavesAtMost", func(t *testing.T) {
		open := []bottles.Draw{{AtMS: 1, Unmeasured: 1}}
		require.True(t, bottles.Stand(unit.Known(unit.Volume(50_000)), nil, open).AtMost)
		looked := []bottles.Reading{{AtMS: 2, Left: 40_000}}
		require.False(t, bottles.Stand(unit.Known(unit.Volume(50_000)), looked, open).AtMost, "a reading settles it")
	})
	t.Run("TwoReadingsAtOneInstant", func(t *testing.T) {
		rs := []bottles.Reading{{ID: "B", AtMS: 2, Left: 30_000}, {ID: "A", AtMS: 2, Left: 40_000}}
		require.Equal(t, unit.Known(unit.Volume(30_000)), bottles.Stand(unit.Maybe[unit.Volume]{}, rs, nil).Left)
	})
}

func TestStandDoesNotDependOnOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.Int64Range(0, 20)
		ml := rapid.Map(rapid.Int64Range(0, 100_000), func(v int64) unit.Volume { return unit.Volume(v) })
		id := rapid.Map(rapid.IntRange(0, 1<<30), func(n int) journal.ID { return journal.ID(fmt.Sprint(n)) })
		readings := rapid.SliceOfNDistinct(rapid.Custom(func(t *rapid.T) bottles.Reading {
			return bottles.Reading{ID: id.Draw(t, "id"), AtMS: at.Draw(t, "at"), Left: ml.Draw(t, "left")}
		}), 0, 4, func(r bottles.Reading) journal.ID { return r.ID }).Draw(t, "readings")
		draws := rapid.SliceOf(rapid.Custom(func(t *rapid.T) bottles.Draw {
			return bottles.Draw{ID: id.Draw(t, "id"), AtMS: at.Draw(t, "at"), Volume: ml.Draw(t, "volume"),
				Unmeasured: rapid.IntRange(0, 1).Draw(t, "unmeasured")}
		})).Draw(t, "draws")
		size := unit.Known(unit.Volume(700_000))
		s := bottles.Stand(size, readings, draws)
		require.Equal(t, s, bottles.Stand(size, rapid.Permutation(readings).Draw(t, "r"), rapid.Permutation(draws).Draw(t, "d")))

		// What is gone is either logged or a gap.
		var logged unit.Volume
		for _, d := range draws {
			logged += d.Volume
		}
		require.Equal(t, size.Value-logged-unexplained(s), s.Left.Value-s.Over)
	})
}

func TestDrawn(t *testing.T) {
	vol := func(ul unit.Volume) unit.Maybe[unit.Band[unit.Volume]] { return unit.Known(unit.Exact(ul)) }
	made := journal.Made{Parts: []journal.Part{
		{Bottle: "gin", Volume: vol(45_000)},
		{Bottle: "gin", Volume: vol(5_000)},
		{Bottle: "gin", Open: journal.Float},
		{Bottle: "quince", Volume: vol(10_000)},
		{Volume: vol(20_000)},
	}}
	v, unmeasured := bottles.Drawn(made, "gin")
	require.Equal(t, unit.Volume(50_000), v)
	require.Equal(t, 1, unmeasured)
	v, unmeasured = bottles.Drawn(made, "")
	require.Zero(t, v)
	require.Zero(t, unmeasured)
}

func TestCostOf(t *testing.T) {
	euro := func(minor int64, size, taken unit.Volume) bottles.Taken {
		return bottles.Taken{Volume: taken, Price: unit.Known(bottles.Price{Minor: minor, Currency: "EUR", Size: size})}
	}
	t.Run("RoundsTheSumOnce", func(t *testing.T) {
		third := euro(100, 3_000, 1_000) // 33.33 cents
		require.Equal(t, []bottles.Money{{Minor: 100, Currency: "EUR"}}, bottles.CostOf([]bottles.Taken{third, third, third}).Totals)
	})
	t.Run("NoPriceIsNotZero", func(t *testing.T) {
		c := bottles.CostOf([]bottles.Taken{{Volume: 1000}, euro(100, 0, 1000), euro(0, 1000, 1000)})
		require.Equal(t, bottles.Cost{Totals: []bottles.Money{{Minor: 0, Currency: "EUR"}}, Unpriced: 2}, c)
	})
	t.Run("AbsurdIsUnpriced", func(t *testing.T) {
		c := bottles.CostOf([]bottles.Taken{euro(math.MaxInt64, 1, math.MaxInt64), euro(-1, 1000, 10), euro(10_000_000_000, 1, 1_000_000_000)})
		require.Equal(t, bottles.Cost{Unpriced: 3}, c)
	})
	t.Run("Glass", func(t *testing.T) {
		made := journal.Made{Parts: []journal.Part{
			{Bottle: "gin", Volume: unit.Known(unit.Exact[unit.Volume](45_000))},
			{Bottle: "pear", Volume: unit.Known(unit.Exact[unit.Volume](15_000))},
			{Bottle: "gin", Open: journal.Float},
			{Volume: unit.Known(unit.Exact[unit.Volume](22_500))},
		}}
		c := bottles.CostOfGlass(made, map[journal.ID]bottles.Price{
			"gin":  {Minor: 2800, Currency: "EUR", Size: 700_000},
			"pear": {Minor: 4000, Currency: "CHF", Size: 500_000},
		})
		require.Equal(t, bottles.Cost{Totals: []bottles.Money{{120, "CHF"}, {180, "EUR"}}, Unpriced: 2}, c)
	})
}

func TestCostDoesNotDependOnOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		takings := rapid.SliceOf(rapid.Custom(func(t *rapid.T) bottles.Taken {
			return bottles.Taken{
				Volume: unit.Volume(rapid.Int64Range(0, 1_000_000).Draw(t, "volume")),
				Price: unit.Known(bottles.Price{
					Minor:    rapid.Int64Range(0, 100_000).Draw(t, "minor"),
					Currency: rapid.SampledFrom([]string{"EUR", "GBP", "JPY"}).Draw(t, "currency"),
					Size:     unit.Volume(rapid.Int64Range(10_000, 2_000_000).Draw(t, "size")),
				}),
			}
		})).Draw(t, "takings")
		c := bottles.CostOf(takings)
		require.Equal(t, c, bottles.CostOf(rapid.Permutation(takings).Draw(t, "order")))

		require.Zero(t, c.Unpriced)
		exact := map[string]float64{}
		for _, one := range takings {
			p := one.Price.Value
			exact[p.Currency] += float64(p.Minor) * float64(one.Volume) / float64(p.Size)
		}
		for _, m := range c.Totals {
			// Half a minor unit for the rounding, and what floating point and the millionths may differ.
			require.InDelta(t, exact[m.Currency], float64(m.Minor), 0.5+1e-4+exact[m.Currency]*1e-12)
		}
	})
}

// unexplained sums the gaps: what left the bottle, over all its stock-takes, without being logged.
func unexplained(s bottles.Standing) (v unit.Volume) {
	for _, g := range s.Gaps {
		v += g.Missing
	}
	return v
}
