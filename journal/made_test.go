package journal_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

func volume(v, low, high unit.Volume) unit.Maybe[unit.Band[unit.Volume]] {
	return unit.Known(unit.Band[unit.Volume]{Value: v, Low: low, High: high})
}

var sour = journal.Made{
	Method: journal.Shaken, Ice: "large cubes",
	Parts: []journal.Part{
		{Name: "juniper-heavy gin", Ingredient: "01KA2B3C4D5E6F7G8H9JKMNPQR", Bottle: "01KA2B3C4D5E6F7G8H9JKMNPQS", Volume: volume(45000, 45000, 45000),
			Content: journal.Content{
				Strength: unit.Known(unit.Exact(unit.Strength(4700))),
				Sugar:    unit.Known(unit.Band[unit.Concentration]{Value: 0, Low: 0, High: 10000}),
				Acid:     unit.Known(unit.Exact(unit.Concentration(0))),
			}},
		{Name: "orange bitters", Ingredient: "stock.orange_bitters", Volume: volume(1800, 800, 2400)},
		{Name: "soda", Open: journal.Top},
	},
}

const sourText = "made 1\tshaken\tlarge cubes\n" +
	"juniper-heavy gin\t01KA2B3C4D5E6F7G8H9JKMNPQR\t01KA2B3C4D5E6F7G8H9JKMNPQS\t\t45000\t4700\t0~0~10000\t0\n" +
	"orange bitters\tstock.orange_bitters\t\t\t1800~800~2400\t?\t?\t?\n" +
	"soda\t\t\ttop\t?\t?\t?\t?"

func TestMadeText(t *testing.T) {
	text, err := sour.Text()
	require.NoError(t, err)
	require.Equal(t, sourText, text)
	m, err := journal.ParseMade(text)
	require.NoError(t, err)
	require.Equal(t, sour, m)

	text, err = journal.Made{}.Text()
	require.NoError(t, err)
	require.Equal(t, "made 1\t\t", text)
}

func TestMadeTextRefuses(t *testing.T) {
	part := func(p journal.Part) journal.Made { return journal.Made{Parts: []journal.Part{p}} }
	for _, c := range []struct {
		name, code string
		m          journal.Made
	}{
		{"tab in a name", "made_text", part(journal.Part{Name: "gin\trum"})},
		{"line break in a name", "made_text", part(journal.Part{Name: "gin\nrum"})},
		{"line separator in a name", "made_text", part(journal.Part{Name: "gin\u2028rum"})},
		{"tab in an id", "made_text", part(journal.Part{Bottle: "a\tb"})},
		{"control character in the ice", "made_text", journal.Made{Ice: "\x7f"}},
		{"no UTF-8", "made_text", journal.Made{Method: "\xff"}},
		{"below zero", "made_number", part(journal.Part{Volume: volume(-1, -1, 5)})},
		{"outside its band", "made_number", part(journal.Part{Volume: volume(5, 6, 7)})},
		{"stronger than alcohol", "made_number", part(journal.Part{Content: journal.Content{Strength: unit.Known(unit.Exact(unit.Strength(10001)))}})},
		{"unknown open amount", "made_open", part(journal.Part{Open: "heap"})},
		{"too long", "made_too_long", part(journal.Part{Name: strings.Repeat("x", journal.MaxMade)})},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := c.m.Text()
			require.Equal(t, c.code, code(err), "%v", err)
		})
	}
}

func TestParseMadeRefuses(t *testing.T) {
	row := "\ngin\t\t\t\t1\t?\t?\t?"
	for _, c := range []struct{ text, code string }{
		{"", "made_form"},
		{"made", "made_form"},
		{"made x\t\t", "made_form"},
		{"made 0\t\t", "made_form"},
		{"made 1", "made_form"},
		{"made 1\tshaken", "made_form"},
		{"made 01\t\t", "made_form"},
		{"made 2\tshaken\tcubes\tsomething new", "newer_made"},
		{"made 1\t\t\n", "made_form"},
		{"made 1\t\t" + row + "\n", "made_form"},
		{"made 1\t\t" + row + "\t", "made_form"},
		{"made 1\t\t\ngin\t\t\t\t01\t?\t?\t?", "made_form"},
		{"made 1\t\t\ngin\t\t\t\t+1\t?\t?\t?", "made_form"},
		{"made 1\t\t\ngin\t\t\t\t1~1~1\t?\t?\t?", "made_form"},
		{"made 1\t\t\ngin\t\t\t\t1~0\t?\t?\t?", "made_form"},
		{"made 1\t\t\ngin\t\t\t\t\t?\t?\t?", "made_form"},
		{"made 1\t\t\ngin\t\t\t\t99999999999999999999\t?\t?\t?", "made_form"},
		{"made 1\t\t\ngin\t\t\t\t-1\t?\t?\t?", "made_number"},
		{"made 1\t\t\ngin\t\t\theap\t1\t?\t?\t?", "made_open"},
		{"made 1\t\t\ngin\r\t\t\t\t1\t?\t?\t?", "made_text"},
		{"made 1\t\t" + strings.Repeat(row, journal.MaxMade/len(row)), "made_too_long"},
	} {
		_, err := journal.ParseMade(c.text)
		require.Equal(t, c.code, code(err), "%q: %v", c.text, err)
	}
}

func code(err error) string {
	var r *journal.Refusal
	if errors.As(err, &r) {
		return r.Code
	}
	return ""
}

// Two Mades have one text only if they are one, and every Made comes back from its text.
func TestMadeComesBack(t *testing.T) {
	maybe := func(most int64) *rapid.Generator[*[3]int64] {
		return rapid.Custom(func(t *rapid.T) *[3]int64 {
			if rapid.Bool().Draw(t, "unknown") {
				return nil
			}
			low := rapid.Int64Range(0, most).Draw(t, "low")
			v := rapid.Int64Range(low, most).Draw(t, "value")
			high := rapid.Int64Range(v, most).Draw(t, "high")
			if rapid.Bool().Draw(t, "exact") {
				low, high = v, v
			}
			return &[3]int64{v, low, high}
		})
	}
	text := rapid.StringOf(rapid.SampledFrom([]rune("aé 1~?½%")))
	made := rapid.Custom(func(t *rapid.T) journal.Made {
		m := journal.Made{Method: journal.Method(text.Draw(t, "method")), Ice: text.Draw(t, "ice")}
		for range rapid.IntRange(0, 5).Draw(t, "parts") {
			p := journal.Part{Name: text.Draw(t, "name"), Ingredient: journal.ID(text.Draw(t, "ingredient")), Bottle: journal.ID(text.Draw(t, "bottle")),
				Open: rapid.SampledFrom([]journal.Open{journal.Measured, journal.Top, journal.Rinse, journal.Float, journal.ToTaste}).Draw(t, "open")}
			if n := maybe(100_000_000).Draw(t, "volume"); n != nil {
				p.Volume = volume(unit.Volume(n[0]), unit.Volume(n[1]), unit.Volume(n[2]))
			}
			if n := maybe(10_000).Draw(t, "strength"); n != nil {
				p.Content.Strength = unit.Known(unit.Band[unit.Strength]{Value: unit.Strength(n[0]), Low: unit.Strength(n[1]), High: unit.Strength(n[2])})
			}
			if n := maybe(2_000_000).Draw(t, "sugar"); n != nil {
				p.Content.Sugar = unit.Known(unit.Band[unit.Concentration]{Value: unit.Concentration(n[0]), Low: unit.Concentration(n[1]), High: unit.Concentration(n[2])})
			}
			if n := maybe(2_000_000).Draw(t, "acid"); n != nil {
				p.Content.Acid = unit.Known(unit.Band[unit.Concentration]{Value: unit.Concentration(n[0]), Low: unit.Concentration(n[1]), High: unit.Concentration(n[2])})
			}
			m.Parts = append(m.Parts, p)
		}
		return m
	})
	rapid.Check(t, func(t *rapid.T) {
		m := made.Draw(t, "made")
		text, err := m.Text()
		require.NoError(t, err)
		back, err := journal.ParseMade(text)
		require.NoError(t, err)
		require.Equal(t, m, back)
	})
}

func FuzzParseMade(f *testing.F) {
	f.Add(sourText)
	f.Add("made 1\t\t")
	f.Add("made 2\tx")
	f.Add("made 1\tstirred\t\ngin\t\t\trinse\t2500~1000~5000\t6500\t0\t0")
	f.Fuzz(func(t *testing.T, text string) {
		m, err := journal.ParseMade(text)
		if err != nil {
			require.NotEmpty(t, code(err), "%v", err)
			return
		}
		again, err := m.Text()
		require.NoError(t, err)
		require.Equal(t, text, again)
	})
}
