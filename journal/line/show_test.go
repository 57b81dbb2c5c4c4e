package line_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal/line"
	"fairmeasure/journal/unit"
)

func TestAmount(t *testing.T) {
	for _, c := range []struct {
		ul   unit.Volume
		as   line.Unit
		kind line.OunceKind
		text string
	}{
		{22500, "oz", line.Bar, "¾ oz"},
		{22500, "oz", line.US, "¾ oz"},
		{60000, "oz", line.US, "2 oz"},
		{45000, "oz", line.Bar, "1½ oz"},
		{30000, "oz", line.Bar, "1 oz"},
		{15000, "oz", line.Bar, "½ oz"},
		{7500, "oz", line.Bar, "¼ oz"},
		{20000, "oz", line.Bar, "⅔ oz"},
		{52500, "oz", line.Bar, "1¾ oz"},
		{3750, "oz", line.Bar, "⅛ oz"},
		{5000, "oz", line.Bar, "⅙ oz"},
		{28000, "oz", line.Bar, "≈ ⅞ oz"},
		{30000, "oz", line.Imperial, "≈ 1 oz"},
		{900, "oz", line.Bar, "0.9 ml"},
		{59147, "ml", line.Bar, "59 ml"},
		{22500, "ml", line.Bar, "22.5 ml"},
		{1848, "ml", line.Bar, "1.8 ml"},
		{1000, "ml", line.Bar, "1 ml"},
		{40000, "cl", line.Bar, "4 cl"},
		{22500, "cl", line.Bar, "2.25 cl"},
	} {
		t.Run(c.text, func(t *testing.T) {
			require.Equal(t, c.text, line.Amount(c.ul, c.as, c.kind))
		})
	}
}

// An amount shown in ounces is poured within the step it promises: 1.5 % where no ≈ stands, else half of an eighth.
func TestAmountIsNear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := unit.Volume(rapid.Int64Range(1, 1_000_000).Draw(t, "ul"))
		kind := rapid.SampledFrom([]line.OunceKind{line.Bar, line.US, line.Imperial}).Draw(t, "kind")
		text := line.Amount(v, line.Ounce, kind)
		about := false
		if len(text) > 3 && text[:3] == "≈" {
			about, text = true, text[4:]
		}
		l, err := line.Read(text+" gin", line.Options{OunceKind: kind})
		if v < 50 {
			return // shown as 0 ml, which is no amount
		}
		require.NoError(t, err, text)
		got := l[0].Volume.Value.Value
		limit := float64(v) * 0.0151
		if l[0].Unit == line.Millilitre {
			limit = 50
		} else if about {
			limit = 30000.0 / 16
		}
		require.InDelta(t, float64(v), float64(got), limit+1, text)
	})
}

func TestPrint(t *testing.T) {
	for _, c := range []struct{ typed, printed string }{
		{"45 ml gin, 44 %", "45 ml gin, 44 % vol"},
		{"3/4 oz lime", "¾ oz lime"},
		{"22,5 ml Zitronensaft", "22.5 ml Zitronensaft"},
		{"1 bar spoon honey", "1 barspoon honey"},
		{"2 Spritzer Bitter", "2 dashes Bitter"},
		{"soda to top", "top with soda"},
		{"absinthe rinse", "rinse: absinthe"},
		{"Saft einer halben Limette", "juice of ½ Limette"},
		{"8 – 10 mint leaves", "8-10 mint leaves"},
		{"2 oz 100 proof rye (bottled)", "2 oz rye, 50 % vol (bottled)"},
		{"2 pieces gin", "2 pieces gin"},
		{"ca. 4 cl Gin", "about 4 cl Gin"},
		{"2 tea spoons sugar", "2 tsp sugar"},
	} {
		require.Equal(t, c.printed, line.Print(read1(t, c.typed, line.Options{})))
	}
}

func TestResolve(t *testing.T) {
	spec := []line.Line{
		read1(t, "2 parts gin", line.Options{}), read1(t, "1 part lemon juice", line.Options{}),
		read1(t, "2 dashes bitters", line.Options{}), read1(t, "30 ml soda", line.Options{}),
	}
	out, err := line.Resolve(spec, line.Parts{PartUL: 25000})
	require.NoError(t, err)
	require.Equal(t, unit.Exact(unit.Volume(50000)), out[0].Volume.Value)
	require.Equal(t, unit.Exact(unit.Volume(30000)), out[3].Volume.Value)
	require.False(t, spec[0].Volume.Known, "the lines given stay as they are")
	for _, c := range []struct {
		size line.Parts
		code string
	}{
		{line.Parts{}, "needs_total_or_part"},
		{line.Parts{PartUL: 1, TotalUL: 1}, "total_and_part"},
		{line.Parts{PartUL: -1}, "part_size"},
		{line.Parts{TotalUL: 9_000_000}, "total_size"},
		{line.Parts{PartUL: 4_000_000}, "part_size"},
	} {
		_, err := line.Resolve(spec, c.size)
		require.Equal(t, c.code, refusal(t, err).Code)
	}
	out, err = line.Resolve(spec[2:], line.Parts{})
	require.NoError(t, err)
	require.Equal(t, spec[2:], out)
}

func TestSplitKeepsTheTotal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		total := unit.Volume(rapid.Int64Range(0, 5_000_000).Draw(t, "total"))
		shares := rapid.SliceOfN(rapid.Map(rapid.Int64Range(1, 1_000_000_000), func(n int64) line.Qty { return line.Qty(n) }), 1, 12).Draw(t, "shares")
		out, err := line.Split(total, shares)
		require.NoError(t, err)
		var sum unit.Volume
		var all line.Qty
		for _, q := range shares {
			all += q
		}
		for i, v := range out {
			sum += v
			require.InDelta(t, float64(total)*float64(shares[i])/float64(all), float64(v), 1)
		}
		require.Equal(t, total, sum)
	})
}
