package ethanol_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
)

func part(ul unit.Volume, bp unit.Strength) journal.Part {
	return journal.Part{Volume: unit.Known(unit.Exact(ul)), Content: strength(unit.Exact(bp))}
}

func strength(b unit.Band[unit.Strength]) journal.Content {
	return journal.Content{Strength: unit.Known(b)}
}

func TestIn(t *testing.T) {
	type sum struct {
		ul, low, high int64
		unknown       int
	}
	volume := func(v, low, high unit.Volume) unit.Maybe[unit.Band[unit.Volume]] {
		return unit.Known(unit.Band[unit.Volume]{Value: v, Low: low, High: high})
	}
	gin := unit.Exact[unit.Strength](4400)
	for name, c := range map[string]struct {
		parts []journal.Part
		want  sum
	}{
		"Empty":              {nil, sum{}},
		"OrchardSour":        {[]journal.Part{part(45_000, 4400), part(15_000, 4200), part(22_500, 0)}, sum{26_100, 26_100, 26_100, 0}},
		"RoundedOnce":        {[]journal.Part{part(1, 4000), part(1, 4000), part(1, 4000)}, sum{1, 1, 1, 0}},
		"UnknownStrength":    {[]journal.Part{part(45_000, 4400), {Volume: volume(10_000, 10_000, 10_000)}}, sum{19_800, 19_800, 19_800, 1}},
		"OpenTopOfSoda":      {[]journal.Part{{Open: journal.Top, Content: strength(unit.Exact[unit.Strength](0))}}, sum{}},
		"OpenTopOfATrace":    {[]journal.Part{{Open: journal.Top, Content: strength(unit.Band[unit.Strength]{High: 50})}}, sum{}},
		"OpenTopOfWine":      {[]journal.Part{{Open: journal.Top, Content: strength(unit.Exact[unit.Strength](1150))}}, sum{unknown: 1}},
		"FloatWithAFigure":   {[]journal.Part{{Open: journal.Float, Volume: volume(10_000, 10_000, 10_000), Content: strength(gin)}}, sum{4400, 4400, 4400, 0}},
		"NothingOfUnknown":   {[]journal.Part{{Volume: volume(0, 0, 0)}}, sum{}},
		"Rinse":              {[]journal.Part{{Open: journal.Rinse, Content: strength(unit.Exact[unit.Strength](6000))}}, sum{1500, 600, 3000, 0}},
		"RinseWithAFigure":   {[]journal.Part{{Open: journal.Rinse, Volume: volume(7_500, 7_500, 7_500), Content: strength(unit.Exact[unit.Strength](6000))}}, sum{1500, 600, 3000, 0}},
		"RinseOfADrop":       {[]journal.Part{{Open: journal.Rinse, Volume: volume(500, 500, 500), Content: strength(unit.Exact[unit.Strength](6000))}}, sum{300, 300, 300, 0}},
		"TasteOfUnknown":     {[]journal.Part{{Open: journal.ToTaste}}, sum{unknown: 1}},
		"TasteOfBitters":     {[]journal.Part{{Open: journal.ToTaste, Content: strength(gin)}}, sum{unknown: 1}},
		"TasteOfNone":        {[]journal.Part{{Open: journal.ToTaste, Content: strength(unit.Exact[unit.Strength](0))}}, sum{}},
		"RinseOfUnknown":     {[]journal.Part{{Open: journal.Rinse}}, sum{unknown: 1}},
		"Dash":               {[]journal.Part{{Volume: volume(900, 400, 1200), Content: strength(unit.Exact[unit.Strength](4000))}}, sum{360, 160, 480, 0}},
		"Quadrature":         {[]journal.Part{{Volume: volume(10_000, 7_000, 10_000), Content: strength(unit.Band[unit.Strength]{Value: 4000, Low: 2400, High: 4000})}}, sum{4000, 2000, 4000, 0}},
		"BandOutOfOrder":     {[]journal.Part{{Volume: volume(10_000, 12_000, 8_000), Content: strength(gin)}}, sum{4400, 4400, 4400, 0}},
		"AbsurdVolume":       {[]journal.Part{part(math.MaxInt64, 4000)}, sum{unknown: 1}},
		"AbsurdStrength":     {[]journal.Part{part(30_000, 10_001)}, sum{unknown: 1}},
		"NegativeVolume":     {[]journal.Part{part(-30_000, 4000), part(30_000, 4000)}, sum{12_000, 12_000, 12_000, 1}},
		"PureFromAHundredL":  {[]journal.Part{part(100_000_000, 10_000)}, sum{100_000_000, 100_000_000, 100_000_000, 0}},
		"DilutionIsNoMatter": {[]journal.Part{part(45_000, 4400), part(90_000, 0)}, sum{19_800, 19_800, 19_800, 0}},
	} {
		t.Run(name, func(t *testing.T) {
			a := ethanol.In(journal.Made{Parts: c.parts})
			v := a.Volume
			require.Equal(t, c.want, sum{int64(v.Value), int64(v.Low), int64(v.High), len(a.Unknown)})
		})
	}
}
