package stock

import (
	"slices"
	"strings"
	"sync"
)

// Match finds the ingredient that a typed name means: by one of its names in any order of words, English or German, or by
// the kind of thing the name ends in ("juniper-heavy gin"). A strength or an age in the name does not matter here. It
// returns false when no ingredient is a fair default, as for a quince liqueur or a vermouth that is neither dry nor sweet.
func Match(name string) (Ingredient, bool) {
	if len(name) > 400 {
		return Ingredient{}, false
	}
	ws := words(name)
	if len(ws) == 0 || slices.Equal(ws, []string{"coconut", "cream"}) { // not the sweetened cream of coconut
		return Ingredient{}, false
	}
	key := alias(ws)
	if key == "" && !several(name) {
		key = kind(ws)
		if first, _, ok := strings.Cut(name, ","); key == "" && ok {
			// "gin, London dry": what stands before the comma says what it is
			if ws := words(first); len(ws) > 0 {
				if key = alias(ws); key == "" {
					key = kind(ws)
				}
			}
		}
	}
	found, ok := byKey(key)
	if ok && found.Content.Strength.Value.High > 0 && (sober(ws) || strings.Contains(name, "0.0") || strings.Contains(name, "0,0")) {
		return Ingredient{}, false
	}
	return found, ok
}

// several says whether a name is of more than one thing: "gin & tonic", "rum or brandy".
func several(name string) bool {
	for w := range strings.FieldsSeq(fold(name)) {
		if oneOf("&|+|/|and|und|or|oder|with|mit|in|plus", w) {
			return true
		}
	}
	return false
}

// sober says whether a name is of something made without alcohol, in the place of something that has it.
func sober(ws []string) bool {
	for i, w := range ws {
		if oneOf("nonalcoholic|alcoholfree|virgin|zero|alternative|substitute|ersatz|dealcoholised|dealcoholized|entalkoholisiert", w) {
			return true
		}
		if i > 0 && (w == "alcoholic" && ws[i-1] == "non" || w == "free" && ws[i-1] == "alcohol") {
			return true
		}
	}
	return false
}

type named struct{ words, key string }

// index is every name of every ingredient, its words in alphabetical order, for looking up.
var index = sync.OnceValue(func() []named {
	var all []named
	for i := range rows {
		all = append(all, named{sorted(words(rows[i].name)), rows[i].key})
	}
	for _, n := range names {
		for a := range strings.SplitSeq(n[1], "|") {
			all = append(all, named{sorted(words(a)), n[0]})
		}
	}
	slices.SortStableFunc(all, func(a, b named) int { return strings.Compare(a.words, b.words) })
	return all
})

func alias(ws []string) string {
	all := index()
	want := sorted(ws)
	i, ok := slices.BinarySearchFunc(all, want, func(n named, w string) int { return strings.Compare(n.words, w) })
	if !ok {
		return ""
	}
	return all[i].key
}

func sorted(ws []string) string {
	ws = slices.Clone(ws)
	slices.Sort(ws)
	return strings.Join(slices.Compact(ws), " ")
}

// names are further names, by key. Common trade words; none is a brand.
var names = [][2]string{
	{"gin", "London dry gin|old tom gin|genever"},
	{"white_rum", "light rum|silver rum|rum blanco|blanc rum"},
	{"aged_rum", "rum|dark rum|gold rum|golden rum|amber rum|black rum|anejo rum|brown rum"},
	{"overproof_rum", "navy strength rum"},
	{"tequila", "blanco tequila|reposado tequila|anejo tequila|silver tequila"},
	{"brandy", "cognac|armagnac|grape brandy|spanish brandy"},
	{"grape_spirit", "pisco|grape spirit|grappa|marc|grape eau vie"},
	{"apple_brandy", "calvados|applejack|apple spirit|apple eau vie"},
	{"fruit_spirit", "kirsch|kirsch spirit|slivovitz|fruit spirit|fruit eau vie|eau vie|fruit brandy|poire williams|cherry spirit|mirabelle"},
	{"blended_whisky", "whisky|scotch|scotch whisky|irish whisky|single malt|single malt whisky|malt whisky|japanese whisky|canadian whisky"},
	{"bourbon", "bourbon|bourbon whisky|tennessee whisky|corn whisky"},
	{"rye", "rye|rye whisky"},
	{"absinthe", "absinthe|absinthe verte"},
	{"neutral_spirit", "neutral spirit|neutral grain spirit|rectified spirit"},
	{"orange_liqueur", "orange liqueur|triple sec|orange triple sec"},
	{"orange_curacao", "curacao|dry curacao|blue curacao|curacao liqueur|orange curacao liqueur"},
	{"maraschino_liqueur", "maraschino"},
	{"red_bitter_aperitif", "red bitter|bitter aperitif|red bitter liqueur|italian red bitter|bitter red aperitivo|red aperitivo|red aperitif|red aperitivo bitter"},
	{"orange_aperitif", "light orange aperitif|orange aperitif|orange aperitivo"},
	{"amaro", "amaro|herbal amaro|bitter liqueur"},
	{"elderflower_liqueur", "elderflower"},
	{"creme_de_cacao", "cacao liqueur|dark creme cacao|white creme cacao|chocolate liqueur"},
	{"creme_de_menthe", "mint liqueur|white creme menthe|green creme menthe|peppermint liqueur"},
	{"creme_de_cassis", "cassis|cassis liqueur|blackcurrant liqueur"},
	{"creme_de_violette", "violet liqueur|violette"},
	{"creme_de_mure", "creme mure|blackberry liqueur|mure"},
	{"peach_liqueur", "peach schnapps|creme peche"},
	{"apricot_liqueur", "apricot brandy"}, // the trade's old name of the liqueur
	{"cherry_liqueur", "cherry brandy"},
	{"raspberry_liqueur", "creme framboise"},
	{"almond_liqueur", "amaretto"},
	{"anise_liqueur", "sambuca|anise liqueur|anisette"},
	{"allspice_liqueur", "allspice dram|pimento dram"},
	{"falernum_liqueur", "falernum"},
	{"lemon_liqueur", "limoncello"},
	{"egg_liqueur", "advocaat|egg liqueur"},
	{"banana_liqueur", "creme banane"},
	{"aperitif_wine", "quinquina|aromatised wine|aperitif wine|aromatized wine|aromatised aperitif wine"},
	{"sparkling_wine", "sparkling wine|champagne|prosecco|cava|cremant|brut champagne|spumante|dry sparkling wine|brut sparkling wine"},
	{"dry_white_wine", "white wine|rose wine|dry rose wine"},
	{"dry_red_wine", "red wine"},
	{"dry_sherry", "dry sherry|fino|fino sherry|manzanilla|manzanilla sherry"},
	{"sweet_sherry", "sweet sherry|px|px sherry|pedro ximenez|pedro ximenez sherry"},
	{"port", "port|port wine|ruby port|tawny port|red port"},
	{"lager_beer", "beer|lager|pale lager|wheat beer|white beer|pilsner"},
	{"dry_cider", "cider|hard cider|cidre|apple wine|dry hard cider"},
	{"aromatic_bitters", "bitters|aromatic bitter"},
	{"orange_bitters", "orange bitter"},
	{"lemon_juice", "lemon|lemon juice"},
	{"lime_juice", "lime|lime juice"},
	{"grapefruit_juice", "grapefruit|pink grapefruit juice|white grapefruit juice|red grapefruit juice"},
	{"orange_juice", "orange|blood orange juice"},
	{"pineapple_juice", "pineapple"},
	{"passion_fruit_juice", "passion fruit|passion fruit juice|passion fruit pulp|passion fruit puree"},
	{"cranberry_juice", "unsweetened cranberry juice|pure cranberry juice"},
	{"cranberry_cocktail", "cranberry|cranberry juice|sweetened cranberry juice|cranberry cocktail|cranberry juice cocktail"}, // what a bar means by it
	{"apple_juice", "apple|cloudy apple juice|clear apple juice"},
	{"pomegranate_juice", "pomegranate"},
	{"tomato_juice", "tomato"},
	{"verjus", "verjuice|white verjus|red verjus"},
	{"wine_vinegar", "wine vinegar|white wine vinegar|red wine vinegar"},
	{"citric_acid_solution", "citric acid solution"},
	{"simple_syrup", "simple syrup|simple|sugar syrup|plain syrup|sugar syrup 1:1|1:1 syrup|white sugar syrup|cane syrup|bar syrup|1:1 cane syrup"},
	{"rich_syrup", "rich syrup|rich simple syrup|2:1 simple syrup|2:1 sugar syrup|2:1 syrup|rich sugar syrup|rich simple|rich cane syrup|2:1 rich syrup|2:1 rich simple syrup|gomme syrup"},
	{"simple_syrup_by_volume", "1:1 sugar syrup volume"},
	{"rich_syrup_by_volume", "2:1 sugar syrup volume|2:1 simple syrup volume"},
	{"demerara_syrup", "demerara syrup|rich demerara syrup|2:1 rich demerara syrup|demerara sugar syrup|2:1 demerara sugar syrup"},
	{"honey_syrup", "honey syrup|honey water"},
	{"rich_honey_syrup", "rich honey syrup|2:1 rich honey syrup"},
	{"agave_syrup", "agave|agave nectar"},
	{"grenadine", "pomegranate syrup|pomegranate grenadine"},
	{"orgeat", "almond syrup|orgeat syrup"},
	{"ginger_syrup", "ginger syrup"},
	{"spiced_syrup", "cinnamon syrup|spiced syrup|spice syrup"},
	{"citrus_oil_syrup", "oleo saccharum|citrus oleo saccharum|lemon oleo saccharum"},
	{"water", "water|soda|soda water|sparkling water|club soda|mineral water|carbonated water|seltzer|tap water|still water|filtered water|hot water|warm water|boiling water|spring water|sparkling mineral water|still mineral water|distilled water|plain water"},
	{"tonic_water", "tonic"},
	{"lemon_lime_soda", "lemon lime lemonade"},
	{"egg_white", "white egg"},
	{"cream", "cream|heavy cream|whipping cream|double cream|heavy whipping cream"},
	{"milk", "whole milk|cow milk"},
	{"espresso", "espresso coffee|espresso shot"},
	{"brewed_tea", "tea|black tea|green tea|iced tea unsweetened"},
	{"saline", "saline|saline solution|salt solution|salt water"},
}

// flavours are words that make another thing of a spirit, or of a juice.
const flavours = "apple|apricot|banana|berry|blackberry|blackcurrant|blood|blueberry|caramel|cherry|chocolate|cinnamon|coconut|coffee|cranberry|cream|elderflower|fruit|ginger|hazelnut|honey|" +
	"lemon|lime|liqueur|mango|maple|orange|passion|peach|peanut|pear|pineapple|plum|pomegranate|quince|raspberry|spiced|flavoured|flavored|strawberry|vanilla|walnut"

// behind are adjectives that stand behind their noun: "vermouth rosso", "rhum agricole".
const behind = "agricole|anejo|bianco|blanc|blanco|brut|dark|dry|extra|red|reposado|rosso|rouge|semi|sweet|white|2:1|1:1"

// noun is the word that says what the thing is.
func noun(ws []string) string {
	for i := len(ws) - 1; i > 0; i-- {
		if !oneOf(behind, ws[i]) {
			return ws[i]
		}
	}
	return ws[0]
}

// kind finds the fair default for what a name ends in, if there is one.
func kind(ws []string) string {
	has := func(list string) bool { return slices.ContainsFunc(ws, func(w string) bool { return oneOf(list, w) }) }
	head := noun(ws)
	for i := range kinds {
		k := &kinds[i]
		if (k.nouns == "" || oneOf(k.nouns, head)) && !slices.ContainsFunc(k.has, func(list string) bool { return !has(list) }) {
			if k.is == itself {
				return head
			}
			return k.is
		}
	}
	switch head {
	case "juice":
		return juice(ws, has)
	case "syrup":
		return syrup(has)
	}
	return ""
}

func juice(ws []string, has func(string) bool) string {
	found := ""
	for _, f := range [][2]string{
		{"lemon", "lemon_juice"}, {"lime", "lime_juice"}, {"grapefruit", "grapefruit_juice"}, {"orange", "orange_juice"}, {"tangerine", "tangerine_juice"},
		{"pineapple", "pineapple_juice"}, {"passion", "passion_fruit_juice"}, {"apple", "apple_juice"}, {"pomegranate", "pomegranate_juice"}, {"tomato", "tomato_juice"},
	} {
		if !has(f[0]) {
			continue
		}
		if found != "" {
			return "" // a blend
		}
		found = f[1]
	}
	for _, w := range ws {
		if oneOf(flavours, w) && !oneOf("blood|lemon|lime|orange|pineapple|passion|fruit|apple|pomegranate", w) {
			return ""
		}
	}
	if has("acid|adjusted|sweetened|concentrate|drink") {
		return ""
	}
	return found
}

func syrup(has func(string) bool) string {
	rich := has("rich|2:1")
	switch {
	case has("golden|corn|date|chocolate|caramel|3:1|3:2|1:2|elderflower"):
		return ""
	case has("honey") && rich:
		return "rich_honey_syrup"
	case has("honey"):
		return "honey_syrup"
	case has("agave"):
		return "agave_syrup"
	case has("maple"):
		return "maple_syrup"
	case has("demerara|muscovado|turbinado") && !has("1:1"):
		return "demerara_syrup"
	case has("ginger") && !rich:
		return "ginger_syrup"
	case rich && !has("simple|sugar|cane|plain"):
		return "" // a rich syrup of something
	case has("cinnamon|spice|spiced|vanilla|cardamom|clove|star|pepper|rosemary|thyme|sage|basil|mint|lavender|bay|lemongrass|tea|hibiscus|saffron|anise|nutmeg"):
		return "spiced_syrup"
	case has("raspberry|strawberry|blackberry|blueberry|blackcurrant|cherry|cranberry|redcurrant"):
		return "raspberry_syrup"
	case has("pear|apple|quince|peach|apricot|plum|fig|pineapple|passion|mango|banana|orange|lemon|lime|grapefruit|coconut|fruit|cucumber|rhubarb|melon|grape|coffee|nut|pistachio|hazelnut"):
		return ""
	case has("simple|sugar|cane|demerara|muscovado|turbinado"):
		if rich {
			return "rich_syrup"
		}
		return "simple_syrup"
	}
	return ""
}
