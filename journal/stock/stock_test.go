package stock_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal"
	"fairmeasure/journal/stock"
	"fairmeasure/journal/unit"
	"fairmeasure/testdata"
)

// TestTable compares every ingredient with its row of testdata/reference/ingredients_typical.csv, where the figures and
// their sources stand. Lemon and lime depart from it in the band of their acid, as table_stock.go says.
func TestTable(t *testing.T) {
	f, err := testdata.Files.Open("reference/ingredients_typical.csv")
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	column := map[string]int{}
	for i, name := range all[0] {
		column[name] = i
	}
	got := stock.All()
	require.Len(t, all, 1+115)
	require.Len(t, got, 115+len(testdata.Rows(t, "cases/eu_classes.csv")))
	ids := map[journal.ID]bool{}
	for i, r := range all[1:] {
		t.Run(r[column["ingredient"]], func(t *testing.T) {
			g := got[i]
			number := func(name string, scale float64) int64 {
				v, err := strconv.ParseFloat(r[column[name]], 64)
				require.NoError(t, err)
				return int64(math.Round(v * scale))
			}
			require.Equal(t, r[column["ingredient"]], g.Name)
			require.Equal(t, r[column["category"]], g.Category)
			require.Equal(t, r[column["source"]], g.Source)
			require.Equal(t, r[column["marking"]], g.Marking)
			require.Equal(t, unit.Known(unit.Band[unit.Strength]{Value: unit.Strength(number("abv_pct", 100)), Low: unit.Strength(number("abv_low", 100)), High: unit.Strength(number("abv_high", 100))}), g.Content.Strength)
			require.Equal(t, unit.Known(unit.Band[unit.Concentration]{Value: unit.Concentration(number("sugar_g_per_L", 1000)), Low: unit.Concentration(number("sugar_low", 1000)), High: unit.Concentration(number("sugar_high", 1000))}), g.Content.Sugar)
			acid := unit.Band[unit.Concentration]{Value: unit.Concentration(number("acid_g_per_L_citric_eq", 1000)), Low: unit.Concentration(number("acid_low", 1000)), High: unit.Concentration(number("acid_high", 1000))}
			if g.ID == "stock.lemon_juice" || g.ID == "stock.lime_juice" {
				acid.Low, acid.High = acid.Value*80/100, acid.Value*120/100
				require.Equal(t, unit.GPerL(60), acid.Value)
			}
			require.Equal(t, unit.Known(acid), g.Content.Acid)
			require.Equal(t, unit.Concentration(number("density_g_per_ml", 1e6)), g.Density)

			require.Regexp(t, `^stock\.[a-z_]+$`, string(g.ID))
			require.False(t, ids[g.ID], "an id for each")
			ids[g.ID] = true
			require.NotEmpty(t, g.Family)
			require.LessOrEqual(t, g.Content.Strength.Value.Low, g.Content.Strength.Value.Value)
			require.LessOrEqual(t, g.Content.Strength.Value.Value, g.Content.Strength.Value.High)
			require.LessOrEqual(t, g.Content.Sugar.Value.Low, g.Content.Sugar.Value.Value)
			require.LessOrEqual(t, g.Content.Sugar.Value.Value, g.Content.Sugar.Value.High)

			again, ok := stock.ByID(g.ID)
			require.True(t, ok)
			require.Equal(t, g, again)
			named, ok := stock.Match(g.Name)
			require.True(t, ok, "every ingredient is found by its own name")
			require.Equal(t, g.ID, named.ID)
		})
	}
}

// TestClasses: the classes of EU law begin at their legal floors, and are found by their own names alone.
func TestClasses(t *testing.T) {
	for _, row := range testdata.Rows(t, "cases/eu_classes.csv") {
		t.Run(row["id"], func(t *testing.T) {
			i, ok := stock.ByID(journal.ID("stock." + row["id"]))
			require.True(t, ok)
			require.Equal(t, row["name"], i.Name)
			number := func(name string) float64 {
				x, err := strconv.ParseFloat(row[name], 64)
				require.NoError(t, err)
				return x
			}
			require.Equal(t, number("abv_floor"), i.Content.Strength.Value.Low.Percent())
			require.Equal(t, number("sugar_floor_g_per_l"), i.Content.Sugar.Value.Low.GramsPerLitre())
			if row["abv_below"] != "" {
				require.Less(t, i.Content.Strength.Value.High.Percent(), number("abv_below"))
			}
			found, ok := stock.Match(row["name"])
			require.True(t, ok)
			require.Equal(t, i.ID, found.ID)
			for _, s := range stock.All() { // every stock ingredient of the class lies within it
				if s.Family == i.Family && s.Family == "vermouth" {
					require.GreaterOrEqual(t, s.Content.Strength.Value.Low, i.Content.Strength.Value.Low, s.Name)
					require.GreaterOrEqual(t, i.Content.Sugar.Value.High, s.Content.Sugar.Value.High, s.Name)
				}
			}
		})
	}
}

func TestByIDUnknown(t *testing.T) {
	for _, id := range []journal.ID{"", "stock.", "stock.nothing", "gin", "01KA2B3C4D5E6F7G8H9JKMNPQR"} {
		_, ok := stock.ByID(id)
		require.False(t, ok, id)
	}
}

func TestFamiliesAreUsed(t *testing.T) {
	used := map[string]bool{}
	for _, i := range stock.All() {
		used[i.Family] = true
	}
	require.Len(t, used, len(stock.Families()))
	for _, f := range stock.Families() {
		require.True(t, used[f], f)
	}
}

func TestMatch(t *testing.T) {
	for _, c := range []struct{ key, names string }{
		{"gin", "gin|Gin|juniper-heavy gin|London dry gin|gin, London dry|navy strength gin|old tom gin|pear gin|citrus-forward gin, 43 %"},
		{"vodka", "vodka|Wodka|pear vodka"},
		{"aged_rum", "rum|dark rum|12 year old rum|Jamaican rum|rum, aged 12 years|rhum agricole|brauner Rum"},
		{"white_rum", "white rum|light rum|weißer Rum|unaged cane rum"},
		{"overproof_rum", "overproof rum|navy rum"},
		{"tequila", "tequila|reposado tequila"},
		{"mezcal", "mezcal|smoky mezcal"},
		{"brandy", "brandy|cognac|Weinbrand|Spanish brandy"},
		{"apple_brandy", "apple brandy|calvados|Apfelbrand"},
		{"fruit_spirit", "pear eau-de-vie|eau-de-vie de poire|pear spirit|kirsch|Kirschwasser|Birnenbrand|Himbeergeist|Williams pear eau de vie|plum brandy|Zwetschgenwasser|Quittenbrand"},
		{"blended_whisky", "whisky|whiskey|Scotch whisky|smoky Scotch|single malt"},
		{"bourbon", "bourbon|Bourbon whiskey|high-rye bourbon"},
		{"rye", "rye|rye whiskey|straight rye whiskey"},
		{"absinthe", "absinthe|Absinth"},
		{"sloe_gin", "sloe gin|Schlehen Gin"},
		{"dry_vermouth", "dry vermouth|vermouth, dry|French vermouth|trockener Wermut|Wermut trocken"},
		{"sweet_vermouth", "sweet vermouth|red vermouth|vermouth rosso|Wermut rot|roter Wermut|süßer Wermut|bianco vermouth"},
		{"extra_dry_vermouth", "extra dry vermouth"},
		{"orange_liqueur", "triple sec|orange liqueur|Orangenlikör"},
		{"orange_curacao", "curaçao|dry curaçao|blue curacao"},
		{"maraschino_liqueur", "maraschino|maraschino liqueur"},
		{"red_bitter_aperitif", "red bitter aperitif|bitter aperitif|red bitter"},
		{"apricot_liqueur", "apricot liqueur|apricot brandy|Aprikosenlikör|Marillenlikör"},
		{"coffee_liqueur", "coffee liqueur|Kaffeelikör"},
		{"elderflower_liqueur", "elderflower liqueur|Holunderblütenlikör"},
		{"egg_liqueur", "Eierlikör|advocaat"},
		{"almond_liqueur", "amaretto|Mandellikör"},
		{"creme_de_cassis", "crème de cassis|Cassis"},
		{"aromatic_bitters", "aromatic bitters|bitters|chocolate bitters|celery bitters"},
		{"orange_bitters", "orange bitters|Orangenbitter|Orange Bitters"},
		{"lemon_juice", "lemon juice|fresh lemon juice|lemon|lemons|Zitronensaft|frischer Zitronensaft|Zitrone juice|lemon juice, freshly squeezed|juice of lemon|Zitronensaft frisch gepresst"},
		{"lime_juice", "lime juice|lime|fresh lime|Limettensaft|Limette juice|limes juice|lime juice (fresh)"},
		{"grapefruit_juice", "grapefruit juice|pink grapefruit juice|Grapefruitsaft"},
		{"orange_juice", "orange juice|Orangensaft|blood orange juice"},
		{"pineapple_juice", "pineapple juice|Ananassaft"},
		{"apple_juice", "apple juice|Apfelsaft|cloudy apple juice"},
		{"cranberry_cocktail", "cranberry juice|Cranberrysaft"},
		{"passion_fruit_juice", "passion fruit juice|Maracujasaft"},
		{"verjus", "verjus|verjuice"},
		{"simple_syrup", "simple syrup|sugar syrup|simple syrup 1:1|Zuckersirup|Läuterzucker|syrup 1:1|Rohrzuckersirup"},
		{"rich_syrup", "rich syrup|rich simple syrup|simple syrup 2:1|2:1 simple syrup|Zuckersirup 2:1|rich sugar syrup"},
		{"demerara_syrup", "demerara syrup|rich demerara syrup"},
		{"honey_syrup", "honey syrup|honey syrup 1:1|Honigsirup"},
		{"rich_honey_syrup", "honey syrup 2:1|2:1 honey syrup|rich honey syrup|Honigsirup 2:1|rosemary honey syrup 2:1"},
		{"honey", "honey|Honig"},
		{"agave_syrup", "agave syrup|agave nectar|Agavendicksaft|Agavensirup"},
		{"maple_syrup", "maple syrup|Ahornsirup"},
		{"spiced_syrup", "cinnamon syrup|rosemary syrup|Zimtsirup"},
		{"raspberry_syrup", "raspberry syrup|Himbeersirup|strawberry syrup"},
		{"ginger_syrup", "ginger syrup|Ingwersirup"},
		{"orgeat", "orgeat|orgeat syrup"},
		{"grenadine", "grenadine|homemade grenadine"},
		{"lime_cordial", "lime cordial"},
		{"water", "water|soda|soda water|sparkling water|Sodawasser|Wasser|Mineralwasser|hot water|chilled soda water|cold water"},
		{"tonic_water", "tonic|tonic water|dry tonic water"},
		{"ginger_beer", "ginger beer|Ingwerbier"},
		{"cola", "cola"},
		{"sparkling_wine", "sparkling wine|dry sparkling wine|Schaumwein|Sekt|champagne|brut sparkling wine"},
		{"dry_white_wine", "white wine|dry white wine|Weißwein|crisp white wine"},
		{"dry_red_wine", "red wine|Rotwein"},
		{"dry_sherry", "dry sherry|fino sherry|fino"},
		{"port", "port|ruby port|Portwein|tawny port"},
		{"lager_beer", "beer|lager|Bier|Helles|Pils|Weißbier|craft beer"},
		{"dry_cider", "cider|dry cider|Apfelwein"},
		{"egg_white", "egg white|egg whites|Eiweiß|large egg whites|white of an egg"},
		{"egg_yolk", "egg yolk|Eigelb"},
		{"cream", "cream|heavy cream|Sahne|Schlagsahne"},
		{"coconut_milk", "coconut milk|Kokosmilch"},
		{"saline", "saline|saline solution|Salzlösung"},
		{"brewed_tea", "tea|black tea|Tee"},
		{"wine_vinegar", "wine vinegar|Weinessig"},
	} {
		for name := range strings.SplitSeq(c.names, "|") {
			t.Run(name, func(t *testing.T) {
				i, ok := stock.Match(name)
				require.True(t, ok)
				require.Equal(t, "stock."+c.key, string(i.ID))
			})
		}
	}
}

// Unknown is honest: no default where a fair one is missing, and never alcohol for what is made without.
func TestNoMatch(t *testing.T) {
	for _, name := range []string{
		"", "  ", "!!!", "quince liqueur", "Quittenlikör", "pear liqueur", "liqueur", "vermouth", "Wermut", "bitter", "sherry", "wine", "syrup", "rich raspberry syrup", "juice",
		"pear juice", "carrot juice", "acid-adjusted orange juice", "lemon and orange juice", "coconut water", "rose water", "Rosenwasser", "coconut rum", "spiced rum", "pineapple rum",
		"honey whisky", "cinnamon whisky", "coffee tequila", "root beer", "apple cider", "sweet cider", "apple cider vinegar", "oat milk", "coconut cream", "sour cream", "ice cream",
		"lemon twist", "lime wedge", "orange peel", "maraschino cherry", "bay leaf", "mint leaves", "non-alcoholic gin", "alcohol-free beer", "alkoholfreies Bier", "beer 0.0",
		"gin alternative", "zero gin", "gin & tonic", "rum and cola", "gin or vodka", "white port", "oloroso sherry", "mulled wine", "plum wine", "golden syrup", "elderflower cordial",
		"grapefruit soda", "cream soda", "ginger", "mint", "sugar", "salt", "ginseng", "begin", "wine gum",
	} {
		t.Run(name, func(t *testing.T) {
			i, ok := stock.Match(name)
			require.False(t, ok, "matched %s", i.ID)
			require.Empty(t, i)
		})
	}
}

func TestMatchIsStable(t *testing.T) {
	pieces := []string{"gin", "rum", "lemon", "saft", "sirup", "syrup", "juice", " ", " ", "2:1", "(", ")", ",", "Wermut", "dry", "ö", "o\u0308", "ß", "s", "0.0", "eau", "de", "vie", "\xff"}
	rapid.Check(t, func(t *rapid.T) {
		name := strings.Join(rapid.SliceOfN(rapid.OneOf(rapid.SampledFrom(pieces), rapid.String()), 0, 8).Draw(t, "name"), "")
		a, okA := stock.Match(name)
		b, okB := stock.Match("  " + strings.ToUpper(name) + " ")
		loud, quiet := strings.ToUpper(name), strings.ToLower(name)
		if back := strings.ToLower(loud); back != quiet || loud != strings.ToTitle(name) {
			return // letters that do not come back from upper case
		}
		require.Equal(t, okA, okB)
		require.Equal(t, a, b)
	})
}

func BenchmarkMatch(b *testing.B) {
	names := []string{"juniper-heavy gin", "Zitronensaft", "honey syrup 2:1", "quince liqueur", "orange bitters"}
	for i := 0; b.Loop(); i++ {
		stock.Match(names[i%len(names)])
	}
}

func ExampleMatch() {
	i, _ := stock.Match("frischer Zitronensaft")
	acid := i.Content.Acid.Value
	fmt.Printf("%s: %.0f g/L acid (%.0f to %.0f)\n", i.Name, acid.Value.GramsPerLitre(), acid.Low.GramsPerLitre(), acid.High.GramsPerLitre())
	// Output: lemon juice, fresh: 60 g/L acid (48 to 72)
}
