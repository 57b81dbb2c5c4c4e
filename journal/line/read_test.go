package line_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal"
	"fairmeasure/journal/line"
	"fairmeasure/journal/unit"
)

func TestReadAmountsAndNames(t *testing.T) {
	for _, c := range []struct {
		typed string
		qty   float64
		unit  line.Unit
		ml    float64 // 0: not known
		name  string
	}{
		{"22.5 ml honey syrup", 22.5, "ml", 22.5, "honey syrup"},
		{"22,5 ml honey syrup", 22.5, "ml", 22.5, "honey syrup"},
		{".5 oz gin", 0.5, "oz", 15, "gin"},
		{"4cl gin", 4, "cl", 40, "gin"},
		{"45ml gin", 45, "ml", 45, "gin"},
		{"45 ML Gin", 45, "ml", 45, "Gin"},
		{"45 mL gin.", 45, "ml", 45, "gin"},
		{"2oz. gin", 2, "oz", 60, "gin"},
		{"2 fl. oz. gin", 2, "oz", 60, "gin"},
		{"2 Fluid Ounces gin", 2, "oz", 60, "gin"},
		{"1 Unze Gin", 1, "oz", 30, "Gin"},
		{"½ oz gin", 0.5, "oz", 15, "gin"},
		{"1 ½ oz gin", 1.5, "oz", 45, "gin"},
		{"1-1/2 oz gin", 1.5, "oz", 45, "gin"},
		{"2 and 1/2 oz gin", 2.5, "oz", 75, "gin"},
		{"3/4 oz gin", 0.75, "oz", 22.5, "gin"},
		{"¾oz gin", 0.75, "oz", 22.5, "gin"},
		{"half an ounce of gin", 0.5, "oz", 15, "gin"},
		{"three quarters of an ounce gin", 0.75, "oz", 22.5, "gin"},
		{"one and a half oz gin", 1.5, "oz", 45, "gin"},
		{"an ounce of gin", 1, "oz", 30, "gin"},
		{"⅓ oz gin", 0.333333, "oz", 10, "gin"},
		{"1 dl water", 1, "dl", 100, "water"},
		{"1 l water", 1, "l", 1000, "water"},
		{"1 bar-spoon honey", 1, "barspoon", 5, "honey"},
		{"1 bsp honey", 1, "barspoon", 5, "honey"},
		{"2 BL Honig", 2, "barspoon", 10, "Honig"},
		{"1 Barlöffel Honig", 1, "barspoon", 5, "Honig"},
		{"1 Barlo\u0308ffel Honig", 1, "barspoon", 5, "Honig"},
		{"1 TL Zucker", 1, "teaspoon", 0, "Zucker"},
		{"1 EL Honig", 1, "tablespoon", 15, "Honig"},
		{"1 tsp honey", 1, "teaspoon", 5, "honey"},
		{"2 Spritzer Orangenbitter", 2, "dash", 1.8, "Orangenbitter"},
		{"3 Tropfen Salzlösung", 3, "drop", 0.15, "Salzlösung"},
		{"1 Schuss Soda", 1, "splash", 7.5, "Soda"},
		{"ein Schuss Soda", 1, "splash", 7.5, "Soda"},
		{"dash of orange bitters", 1, "dash", 0.9, "orange bitters"},
		{"a splash of soda", 1, "splash", 7.5, "soda"},
		{"2 Teile Gin", 2, "part", 0, "Gin"},
		{"1 part gin", 1, "part", 0, "gin"},
		{"5 g salt", 5, "g", 0, "salt"},
		{"1 sugar cube", 1, "cube", 0, "sugar"},
		{"1 brown sugar cube", 1, "cube", 0, "brown sugar"},
		{"2 Zuckerwürfel", 2, "cube", 0, "Zuckerwürfel"},
		{"1 slice cucumber", 1, "piece", 0, "slice cucumber"},
		{"1 pinch salt", 1, "pinch", 0, "salt"},
		{"3 mint leaves", 3, "piece", 0, "mint leaves"},
		{"3 kumquats", 3, "piece", 0, "kumquats"},
		{"2 egg yolks", 2, "piece", 34, "egg yolks"},
		{"1 Eiweiß", 1, "piece", 30, "Eiweiß"},
		{"lemon twist", 1, "piece", 0, "lemon twist"},
		{"juice of 2 lemons", 2, "fruit", 90, "lemons"},
		{"Saft einer halben Limette", 0.5, "fruit", 15, "Limette"},
		{"Saft von 1 Zitrone", 1, "fruit", 45, "Zitrone"},
		{"½ lime, juiced", 0.5, "fruit", 15, "lime"},
		{"1 lime juice", 1, "fruit", 30, "lime"},
		{"juice of 1 yuzu", 1, "fruit", 0, "yuzu"},
		{"gin 45 ml", 45, "ml", 45, "gin"},
		{"gin: 45 ml", 45, "ml", 45, "gin"},
		{"lemon juice – 22,5 ml", 22.5, "ml", 22.5, "lemon juice"},
		{"12 year old rum, 45 ml", 45, "ml", 45, "12 year old rum"},
		{"• 45 ml gin", 45, "ml", 45, "gin"},
		{"- 45 ml gin", 45, "ml", 45, "gin"},
		{"– 45 ml gin…", 45, "ml", 45, "gin"},
		{"1. 45 ml gin", 45, "ml", 45, "gin"},
		{"\u00a045\u202fml\u00a0gin ", 45, "ml", 45, "gin"},
		{"45\tml  gin", 45, "ml", 45, "gin"},
		{"\ufeff45 ml gin\r\n", 45, "ml", 45, "gin"},
		{"60 ml / 2 oz gin", 60, "ml", 60, "gin"},
		{"60 ml (2 oz) gin", 60, "ml", 60, "gin"},
		{"45 ml gin, London dry", 45, "ml", 45, "gin, London dry"},
		{"2 imperial oz gin", 2, "oz", 56.826, "gin"},
	} {
		t.Run(c.typed, func(t *testing.T) {
			l := read1(t, c.typed, line.Options{})
			require.InDelta(t, c.qty, float64(l.Qty.Value)/1e6, 1e-6)
			require.False(t, l.QtyHigh.Known)
			require.Equal(t, c.unit, l.Unit)
			require.Equal(t, c.name, l.Name)
			require.Equal(t, c.ml != 0, l.Volume.Known)
			require.InDelta(t, c.ml, l.Volume.Value.Value.ML(), 0.001)
			require.False(t, l.Strength.Known)
		})
	}
}

func TestReadRanges(t *testing.T) {
	for _, c := range []struct {
		typed     string
		low, high float64
		band      unit.Band[unit.Volume]
	}{
		{"20-25 ml gin", 20, 25, unit.Band[unit.Volume]{Value: 22500, Low: 20000, High: 25000}},
		{"20 – 25 ml gin", 20, 25, unit.Band[unit.Volume]{Value: 22500, Low: 20000, High: 25000}},
		{"20 ml - 25 ml gin", 20, 25, unit.Band[unit.Volume]{Value: 22500, Low: 20000, High: 25000}},
		{"2 to 3 dashes bitters", 2, 3, unit.Band[unit.Volume]{Value: 2250, Low: 800, High: 3600}},
		{"2 bis 3 Spritzer Bitter", 2, 3, unit.Band[unit.Volume]{Value: 2250, Low: 800, High: 3600}},
		{"1½–2 oz gin", 1.5, 2, unit.Band[unit.Volume]{Value: 52500, Low: 45000, High: 60000}},
	} {
		t.Run(c.typed, func(t *testing.T) {
			l := read1(t, c.typed, line.Options{})
			require.InDelta(t, c.low*1e6, float64(l.Qty.Value), 0)
			require.InDelta(t, c.high*1e6, float64(l.QtyHigh.Value), 0)
			require.Equal(t, c.band, l.Volume.Value)
			require.True(t, l.Estimate)
			require.Contains(t, l.Assumed, line.AssumedAmount)
		})
	}
}

func TestReadOpenAmounts(t *testing.T) {
	for _, c := range []struct {
		typed string
		open  journal.Open
		name  string
		ml    float64 // 0: open
	}{
		{"top up with soda", journal.Top, "soda", 0},
		{"Top with soda water.", journal.Top, "soda water", 0},
		{"topped with soda", journal.Top, "soda", 0},
		{"soda to top", journal.Top, "soda", 0},
		{"auffüllen mit Soda", journal.Top, "Soda", 0},
		{"mit Soda auffüllen", journal.Top, "Soda", 0},
		{"top with 90 ml soda", journal.Top, "soda", 90},
		{"90 ml soda to top", journal.Top, "soda", 90},
		{"absinthe rinse", journal.Rinse, "absinthe", 2.5},
		{"rinse with absinthe", journal.Rinse, "absinthe", 2.5},
		{"Glas mit Absinth ausspülen", journal.Rinse, "Absinth", 2.5},
		{"5 ml absinthe rinse", journal.Rinse, "absinthe", 2.5},
		{"2 ml absinthe rinse", journal.Rinse, "absinthe", 2},
		{"float: dark rum", journal.Float, "dark rum", 0},
		{"15 ml dark rum float", journal.Float, "dark rum", 15},
		{"float of 15 ml dark rum", journal.Float, "dark rum", 15},
		{"salt to taste", journal.ToTaste, "salt", 0},
		{"Salz nach Geschmack", journal.ToTaste, "Salz", 0},
	} {
		t.Run(c.typed, func(t *testing.T) {
			l := read1(t, c.typed, line.Options{})
			require.Equal(t, c.open, l.Open)
			require.Equal(t, c.name, l.Name)
			require.Equal(t, c.ml != 0, l.Volume.Known)
			require.InDelta(t, c.ml, l.Volume.Value.Value.ML(), 0)
		})
	}
}

func TestReadStrengths(t *testing.T) {
	for _, c := range []struct {
		typed string
		bp    unit.Strength // -1: none typed
		name  string
		note  string
	}{
		{"45 ml gin, 40 %", 4000, "gin", ""},
		{"45 ml gin, 44%", 4400, "gin", ""},
		{"60 ml rum 57% vol", 5700, "rum", ""},
		{"60 ml rum 57 % Vol.", 5700, "rum", ""},
		{"60 ml Rum 57,5 Vol.-%", 5750, "Rum", ""},
		{"60 ml rum 57 vol", 5700, "rum", ""},
		{"60 ml rum at 57.15% ABV", 5715, "rum", ""},
		{"60 ml rum, 57 % alc./vol.", 5700, "rum", ""},
		{"60 ml rum, 57 % by vol.", 5700, "rum", ""},
		{"60 ml rum 57 abv", 5700, "rum", ""},
		{"2 oz 100 proof rye", 5000, "rye", ""},
		{"2 oz 100-proof rye", 5000, "rye", ""},
		{"2 oz rye, 101 proof", 5050, "rye", ""},
		{"2 oz rum, 70 uk proof", 4000, "rum", ""},
		{"2 oz rum, 70° UK proof", 4000, "rum", ""},
		{"60 ml 40 % gin", 4000, "gin", ""},
		{"60 ml gin, 40 %, London dry", 4000, "gin, London dry", ""},
		{"40 % gin 45 ml", 4000, "gin", ""},
		{"gin 45 ml, 40 %", 4000, "gin", ""},
		{"0 % vol aperitif 30 ml", 0, "aperitif", ""},
		{"45 ml gin (44 %)", -1, "gin", "44 %"},
		{"45 ml gin (44 %), 41 %", 4100, "gin", "44 %"},
		{"45 ml tequila (100 % agave), 38 %", 3800, "tequila", "100 % agave"},
		{"45 ml tequila 100% agave", -1, "tequila", "100% agave"},
		{"3 drops saline 20%", -1, "saline", "20%"},
		{"30 ml cream 35 % fat", -1, "cream", "35 % fat"},
		{"30 ml cream, 35%", -1, "cream", "35%"},
		{"45 ml gin No. 30", -1, "gin No. 30", ""},
		{"45 ml rum 12", -1, "rum 12", ""},
		{"200 ml water 80 °C", -1, "water 80 °C", ""},
	} {
		t.Run(c.typed, func(t *testing.T) {
			l := read1(t, c.typed, line.Options{})
			require.Equal(t, c.bp >= 0, l.Strength.Known)
			if c.bp >= 0 {
				require.Equal(t, c.bp, l.Strength.Value)
			}
			require.Equal(t, c.name, l.Name)
			require.Equal(t, c.note, l.Note)
		})
	}
}

func TestReadLists(t *testing.T) {
	for _, c := range []struct {
		typed string
		want  []string
	}{
		{"equal parts gin, sweet vermouth and red bitter aperitif", []string{"1 part gin", "1 part sweet vermouth", "1 part red bitter aperitif"}},
		{"Equal parts: gin, 40 %, dry vermouth", []string{"1 part gin, 40 %", "1 part dry vermouth"}},
		{"zu gleichen Teilen Gin und Wermut", []string{"1 part Gin", "1 part Wermut"}},
		{"30 ml each gin, dry vermouth", []string{"30 ml gin", "30 ml dry vermouth"}},
		{"je 3 cl Gin, Wermut und Likör, 22,5 %", []string{"3 cl Gin", "3 cl Wermut", "3 cl Likör, 22,5 %"}},
		{"1 oz each: gin (a, b), lime", []string{"1 oz gin (a, b)", "1 oz lime"}},
	} {
		t.Run(c.typed, func(t *testing.T) {
			lines, err := line.Read(c.typed, line.Options{})
			require.NoError(t, err)
			var typed []string
			for _, l := range lines {
				typed = append(typed, l.Typed)
				again := read1(t, l.Typed, line.Options{})
				require.Equal(t, l, again)
			}
			require.Equal(t, c.want, typed)
		})
	}
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct{ typed, code, says string }{
		{"", "empty", "45 ml gin"},
		{" \u00a0\t", "empty", ""},
		{"???", "unreadable", "???"},
		{"45 ml", "no_name", ""},
		{"45 ml ???", "no_name", ""},
		{"45", "no_name", ""},
		{"(a note)", "unreadable", "only a note"},
		{"45 ml gin\n30 ml vermouth", "unreadable", "one line"},
		{"45 ml \x00 gin", "unreadable", ""},
		{"45 ml \xff gin", "unreadable", "UTF-8"},
		{"gin", "no_amount", "gin"},
		{"45 gin", "no_unit", "gin"},
		{"45 mll gin", "unknown_unit", "“ml”"},
		{"45 lm gin", "unknown_unit", "“ml”"},
		{"2 ozz gin", "unknown_unit", "“oz”"},
		{"2 dahses bitters", "unknown_unit", "“dash”"},
		{"3 glugs gin", "unknown_unit", "glugs"},
		{"2 zorb gin", "no_unit", "zorb gin"},
		{"3 cm ginger", "unknown_unit", "cm"},
		{"-45 ml gin", "negative", "-45"},
		{"−45 ml gin", "negative", ""},
		{"-.5 oz gin", "negative", ""},
		{"minus 45 ml gin", "negative", ""},
		{"0 ml gin", "zero", ""},
		{"0.0000001 ml gin", "zero", ""},
		{"5001 ml gin", "too_much", "5000 ml"},
		{"6 l gin", "too_much", ""},
		{"99999999999999999999 ml gin", "too_much", ""},
		{"1000000000 dashes gin", "too_much", ""},
		{"500 mint leaves", "too_much", ""},
		{strings.Repeat("gin ", 60) + "45 ml", "too_long", "200"},
		{strings.Repeat("x", 100000), "too_long", "200"},
		{"60 ml rum, 151", "proof_or_percent", "75.5 % vol"},
		{"60 ml rum, 151 %", "proof_or_percent", "86.29 % vol"},
		{"60 ml rum 101", "proof_or_percent", "50.5 % vol"},
		{"45 ml gin, 44", "proof_or_percent", "22 % vol"},
		{"45 ml gin 44", "proof_or_percent", "44 % vol"},
		{"60 ml rum, 70° proof", "proof_or_percent", "40 % vol"},
		{"60 ml rum 40°", "proof_or_percent", "20 % vol"},
		{"60 ml rum, 201 %", "strength", "100 % vol"},
		{"60 ml rum, 201 proof", "strength", ""},
		{"60 ml rum, 40-45 %", "strength", "one strength"},
		{"60 ml rum, 40 % 45 %", "strength", "one strength"},
		{"10-8 ml gin", "range", ""},
		{"1-2 parts gin", "range", ""},
		{"1.000 ml gin", "unclear_number", "1.000"},
		{"1,500 ml gin", "unclear_number", ""},
		{"1.000,5 ml gin", "unclear_number", ""},
		{"1/0 oz gin", "unclear_number", "fraction"},
		{"11⁄2 oz gin", "unclear_number", "1 1/2"},
		{"equal parts", "no_name", ""},
		{"2 oz gin 2 oz vermouth", "two_amounts", "2 oz vermouth"},
		{"1 part gin to 2 parts tonic", "two_amounts", ""},
		{"a few dashes bitters", "no_amount", "few"},
		{"1 cup crushed ice", "ice", "crushed ice"},
		{"3 ice cubes", "ice", ""},
		{"top with", "no_name", ""},
	} {
		t.Run(clipName(c.typed), func(t *testing.T) {
			lines, err := line.Read(c.typed, line.Options{})
			require.Error(t, err, "%+v", lines)
			r := refusal(t, err)
			require.Equal(t, c.code, r.Code, r.Text)
			require.Equal(t, "typed", r.Field)
			require.Contains(t, r.Text, c.says)
			require.True(t, utf8.ValidString(r.Text))
			require.Less(t, len(r.Text), 400)
		})
	}
}

func clipName(s string) string {
	if len(s) > 30 {
		return s[:30]
	}
	return s
}

func TestOptions(t *testing.T) {
	for _, c := range []struct {
		opt  line.Options
		code string
	}{
		{line.Options{OunceKind: "troy"}, "ounce_kind"},
		{line.Options{DashUL: -1}, "dash_size"},
		{line.Options{BarspoonUL: 1}, "barspoon_size"},
	} {
		_, err := line.Read("1 dash bitters", c.opt)
		require.Equal(t, c.code, refusal(t, err).Code)
	}

	// An owner's dash keeps the doubt of the default one, in proportion.
	l := read1(t, "2 dashes bitters", line.Options{DashUL: 450})
	require.Equal(t, unit.Band[unit.Volume]{Value: 900, Low: 400, High: 1200}, l.Volume.Value)
}

func TestOneOunce(t *testing.T) {
	bar := read1(t, "2 oz gin", line.Options{})
	us := read1(t, "2 oz gin", line.Options{OunceKind: line.US})
	ml := read1(t, "20 ml gin", line.Options{OunceKind: line.US})
	require.NoError(t, line.OneOunce([]line.Line{bar, ml, bar}))
	require.Equal(t, "mixed_ounces", refusal(t, line.OneOunce([]line.Line{bar, ml, us})).Code)
}

func TestPartAndDry(t *testing.T) {
	l := read1(t, "juice of half a lime", line.Options{})
	require.Equal(t, "lime juice", l.Calls())
	require.Equal(t, "simple syrup 2:1", read1(t, "15 ml simple syrup (rich, 2:1)", line.Options{}).Calls())
	require.Equal(t, "gin", read1(t, "15 ml gin (note: a:b)", line.Options{}).Calls())
	p := read1(t, "45 ml gin, 44 %", line.Options{}).Part()
	require.Equal(t, journal.Part{Name: "gin", Volume: unit.Known(unit.Exact(unit.Volume(45000))),
		Content: journal.Content{Strength: unit.Known(unit.Exact(unit.Strength(4400)))}}, p)
	require.False(t, read1(t, "45 ml gin", line.Options{}).Part().Content.Strength.Known, "unknown is never zero")
	require.True(t, read1(t, "3 mint leaves", line.Options{}).Dry())
	require.False(t, read1(t, "1 egg white", line.Options{}).Dry())
	require.False(t, read1(t, "15 g honey", line.Options{}).Dry())
	require.True(t, read1(t, "1 barspoon salt", line.Options{}).Dry())
	require.False(t, read1(t, "1 tsp sugar", line.Options{}).Dry(), "its sugar is unknown, not nothing")
	require.False(t, read1(t, "1 sugar cube", line.Options{}).Dry())
	require.False(t, read1(t, "top with soda", line.Options{}).Dry())
}

// examples are lines of every shape; the laws below start from them.
var examples = []string{
	"45 ml gin, 44 %", "¾ oz lemon juice", "22,5 ml honey syrup", "2 dashes orange bitters", "1½ oz 100 proof rye", "top with soda", "top with 90 ml soda",
	"rinse: absinthe", "5 ml absinthe rinse", "float of dark rum", "juice of half a lime", "juice of 1-2 limes", "1 egg white", "8-10 mint leaves", "2 zorbs of x",
	"equal parts gin, sweet vermouth, red bitter aperitif", "3 drops saline (20%)", "salt to taste", "about 45 ml gin", "1 sugar cube", "5 g salt", "1 pinch salt",
	"2 pieces gin", "⅓ cup water", "10.1250 ml x", "1 lime juice", "¾ oz lime (fresh) [cold]", "1 pony rum, 70 uk proof", "2 imperial oz gin", "Saft einer halben Limette",
	"je 3 cl Gin, Wermut", "60 ml / 2 oz gin", "2 to 3 tbsp honey", "gin 45 ml, 40 %", "1 shot rum", "1 measure gin", "ca. 4 cl Gin", "30 ml cream, 35 % fat", "12 year old rum 45 ml",
}

// sameAmount checks that what Print prints is read as the same amount of the same thing.
func sameAmount(t require.TestingT, l line.Line, opt line.Options) {
	if l.OunceKind != "" {
		opt.OunceKind = l.OunceKind
	}
	printed := line.Print(l)
	again, err := line.Read(printed, opt)
	require.NoError(t, err, "typed %q printed %q", l.Typed, printed)
	require.Len(t, again, 1, "typed %q printed %q", l.Typed, printed)
	a := again[0]
	require.Equal(t, l.Qty, a.Qty, "typed %q printed %q", l.Typed, printed)
	require.Equal(t, l.QtyHigh, a.QtyHigh, "typed %q printed %q", l.Typed, printed)
	require.Equal(t, l.Unit, a.Unit, "typed %q printed %q", l.Typed, printed)
	require.Equal(t, l.OunceKind, a.OunceKind, "typed %q printed %q", l.Typed, printed)
	require.Equal(t, l.Volume, a.Volume, "typed %q printed %q", l.Typed, printed)
	require.Equal(t, l.Open, a.Open, "typed %q printed %q", l.Typed, printed)
	require.Equal(t, l.Form, a.Form, "typed %q printed %q", l.Typed, printed)
	require.Equal(t, l.Strength, a.Strength, "typed %q printed %q", l.Typed, printed)
	require.Equal(t, l.Estimate, a.Estimate, "typed %q printed %q", l.Typed, printed)
	require.Equal(t, l.Name, a.Name, "typed %q printed %q", l.Typed, printed)
	require.Equal(t, l.Note, a.Note, "typed %q printed %q", l.Typed, printed)
}

func TestPrintedIsReadAgain(t *testing.T) {
	for _, e := range examples {
		lines, err := line.Read(e, line.Options{})
		require.NoError(t, err, e)
		for _, l := range lines {
			sameAmount(t, l, line.Options{})
		}
	}
}

func TestPrintedIsReadAgainForAnyAmount(t *testing.T) {
	units := []string{"ml", "cl", "dl", "l", "oz", "dash", "drop", "barspoon", "tsp", "tbsp", "cup", "part", "splash", "piece", "g", "cube", "pinch", "jigger", "pony", "shot", "measure"}
	rapid.Check(t, func(t *rapid.T) {
		opt := line.Options{
			OunceKind: rapid.SampledFrom([]line.OunceKind{"", line.Bar, line.US, line.Imperial}).Draw(t, "kind"),
			DashUL:    unit.Volume(rapid.Int64Range(300, 1500).Draw(t, "dash")),
		}
		n := rapid.OneOf(rapid.StringMatching(`[1-9][0-9]{0,2}([.,][0-9]{1,6})?`), rapid.StringMatching(`[1-9] ?[½¼¾⅓⅔⅛⅜⅝⅞⅙⅚⅕⅐]`), rapid.StringMatching(`([1-9] )?[1-9][/⁄][1-9]`)).Draw(t, "number")
		high := rapid.StringMatching(`|-[1-9]{3}|–[5-9]½`).Draw(t, "high")
		u := rapid.SampledFrom(units).Draw(t, "unit")
		name := rapid.SampledFrom([]string{"gin", "mint leaves", "lime", "honey syrup 2:1", "egg white", "rum, 57 %", "rye 101 proof (old)"}).Draw(t, "name")
		lines, err := line.Read(n+high+" "+u+" "+name, opt)
		if err != nil {
			require.NotEmpty(t, refusalCode(err))
			return
		}
		for _, l := range lines {
			sameAmount(t, l, opt)
		}
	})
}

func refusalCode(err error) string {
	r, _ := err.(*journal.Refusal)
	if r == nil {
		return ""
	}
	return r.Code
}

func TestNoStringPanics(t *testing.T) {
	pieces := append([]string{"1", "½", "/", "⁄", ".", ",", "-", "–", " ", " ", " ", "%", "°", "proof", "uk", "to", "of", "top with", "rinse", "float", "juice of", "(", ")", "[", "oz",
		"ml", "dash", "each", "equal parts", "and", "0", "99", "\u0308", "\xff", "\n"}, examples...)
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOfN(rapid.OneOf(rapid.SampledFrom(pieces), rapid.String()), 0, 12).Draw(t, "pieces"), "")
		lines, err := line.Read(text, line.Options{})
		if err != nil {
			require.NotEmpty(t, refusalCode(err), "%v", err)
			return
		}
		for _, l := range lines {
			sameAmount(t, l, line.Options{})
		}
	})
}

func FuzzRead(f *testing.F) {
	for _, e := range examples {
		f.Add(e)
	}
	f.Fuzz(func(t *testing.T, text string) {
		lines, err := line.Read(text, line.Options{})
		if err != nil {
			require.NotEmpty(t, refusalCode(err), "%v", err)
			return
		}
		require.NotEmpty(t, lines)
		for _, l := range lines {
			require.NotEmpty(t, l.Name)
			if l.Volume.Known {
				v := l.Volume.Value
				require.True(t, 0 < v.Value && v.Low <= v.Value && v.Value <= v.High && v.Value <= line.MaxVolume, "%+v", v)
			}
			sameAmount(t, l, line.Options{})
		}
	})
}

func BenchmarkRead(b *testing.B) {
	for b.Loop() {
		if _, err := line.Read("22,5 ml gin, 44 %", line.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
