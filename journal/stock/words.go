package stock

import (
	"strings"
	"unicode"
)

// fold is lower case without accents, German umlauts and ß written out.
func fold(s string) string {
	var b strings.Builder
	last := rune(0)
	for _, r := range strings.ToLower(s) {
		switch r {
		case 'ä', 'æ':
			b.WriteString("ae")
		case 'ö', 'ø':
			b.WriteString("oe")
		case 'ü':
			b.WriteString("ue")
		case 'ß':
			b.WriteString("ss")
		case '\u0308':
			if last == 'a' || last == 'o' || last == 'u' {
				b.WriteByte('e')
			}
		case 'á', 'à', 'â', 'ã', 'å':
			b.WriteByte('a')
		case 'é', 'è', 'ê', 'ë':
			b.WriteByte('e')
		case 'í', 'ì', 'î', 'ï':
			b.WriteByte('i')
		case 'ó', 'ò', 'ô', 'õ':
			b.WriteByte('o')
		case 'ú', 'ù', 'û':
			b.WriteByte('u')
		case 'ç':
			b.WriteByte('c')
		case 'ñ':
			b.WriteByte('n')
		case '\'', '’', '.':
			// "d'arbo", "St." stay one word
		default:
			if !unicode.Is(unicode.Mn, r) {
				b.WriteRune(r)
			}
		}
		last = r
	}
	return b.String()
}

// words takes a name apart into the words that say what it is: English, singular, without brackets, figures and such
// words as "fresh". A ratio such as "2:1" stays.
func words(name string) []string {
	var out []string
	for _, w := range strings.FieldsFunc(outsideBrackets(fold(name)), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != ':'
	}) {
		w = strings.Trim(w, ":")
		if len(w) < 2 || noise(w) {
			continue
		}
		if strings.IndexFunc(w, unicode.IsDigit) >= 0 {
			if ratio(w) {
				out = append(out, w)
			}
			continue
		}
		out = append(out, english(w)...)
	}
	return out
}

func outsideBrackets(s string) string {
	if !strings.ContainsAny(s, "()[]") {
		return s
	}
	depth := 0
	return strings.Map(func(r rune) rune {
		switch r {
		case '(', '[':
			depth++
			return ' '
		case ')', ']':
			depth = max(0, depth-1)
			return ' '
		}
		if depth > 0 {
			return -1
		}
		return r
	}, s)
}

func ratio(w string) bool {
	a, b, ok := strings.Cut(w, ":")
	return ok && a != "" && b != "" && strings.Trim(a+b, "0123456789") == ""
}

// noise are words that change nothing about what a thing holds.
func noise(w string) bool { return oneOf(noiseWords, w) }

const noiseWords = "fresh|freshly|squeezed|pressed|hand|frisch|frische|frischer|frisches|gepresst|gepresster|ausgepresst|homemade|home|made|hausgemacht|hausgemachter|good|best|quality|organic|bio|chilled|cold|kalt|kalte|kaltes|gekuehlt|of|the|and|und|de|du|la|" +
	"le|von|vom|der|die|das|raw|large|strained|premium|generic|type|style|by|weight|year|years|yr|yo|old|aged|jahre|jahrealt|room|temperature|proof|vol|abv|typed|half|nach|art|ein|eine|an"

// oneOf says whether w is one of the words of a list with bars between them. Lists like this are a tenth of the code that
// a switch over the same words becomes in the browser.
func oneOf(list, w string) bool {
	for known := range strings.SplitSeq(list, "|") {
		if known == w {
			return true
		}
	}
	return false
}

// english turns a German word into English ones, taking compounds apart, and a plural into the singular.
func english(w string) []string {
	if to := german(w); to != "" {
		return strings.Fields(to)
	}
	for _, c := range []struct{ end, to string }{
		{"saft", "juice"}, {"sirup", "syrup"}, {"likoer", "liqueur"}, {"wein", "wine"}, {"bier", "beer"}, {"wasser", "water"}, {"geist", "spirit"},
		{"brand", "spirit"}, {"essig", "vinegar"}, {"milch", "milk"}, {"bitter", "bitters"}, {"schnaps", "spirit"}, {"wermut", "vermouth"}, {"loesung", "solution"},
	} {
		first, ok := strings.CutSuffix(w, c.end)
		if !ok {
			continue
		}
		if first == "" {
			if w == "bitter" {
				break // alone it may be an aperitif as well
			}
			return []string{c.to}
		}
		if to := german(first); to != "" {
			return append(strings.Fields(to), c.to)
		}
		if len(first) > 2 && c.end != "bitter" && c.end != "brand" {
			return []string{first, c.to}
		}
	}
	if len(w) > 3 && w[len(w)-1] == 's' && w != "bitters" && !strings.HasSuffix(w, "ss") && !strings.HasSuffix(w, "us") && !strings.HasSuffix(w, "is") {
		w = w[:len(w)-1]
	}
	return []string{w}
}

func german(w string) string {
	for _, g := range germanWords {
		if oneOf(g[0], w) {
			return g[1]
		}
	}
	return ""
}

// germanWords are the German names of what a bar has, alone or as the first half of a compound.
var germanWords = [][2]string{
	{"zitrone|zitronen", "lemon"}, {"limette|limetten", "lime"}, {"orangen", "orange"}, {"pampelmuse|pampelmusen", "grapefruit"},
	{"apfel|aepfel", "apple"}, {"birne|birnen", "pear"}, {"quitte|quitten", "quince"}, {"pfirsich|pfirsiche", "peach"},
	{"aprikose|aprikosen|marille|marillen", "apricot"}, {"kirsche|kirschen|sauerkirsch", "cherry"}, {"zwetschge|zwetschgen|pflaume|pflaumen", "plum"},
	{"himbeer|himbeere|himbeeren", "raspberry"}, {"brombeer|brombeere|brombeeren", "blackberry"}, {"erdbeer|erdbeere|erdbeeren", "strawberry"},
	{"holunderblueten|holunderbluete", "elderflower"}, {"haselnuss", "hazelnut"}, {"mandel|mandeln", "almond"}, {"kaffee", "coffee"}, {"ingwer", "ginger"},
	{"bananen|banane", "banana"}, {"granatapfel", "pomegranate"}, {"maracuja|passionsfrucht|passionfruit", "passion fruit"}, {"ananas", "pineapple"},
	{"mandarine|mandarinen|clementine|clementinen|mandarin", "tangerine"}, {"tomaten|tomate", "tomato"}, {"trauben", "grape"}, {"cassis", "cassis"},
	{"honig", "honey"}, {"zucker|rohrzucker", "sugar"}, {"laeuterzucker", "sugar syrup"}, {"ahorn", "maple"}, {"agaven|agavendicksaft", "agave"}, {"zimt", "cinnamon"},
	{"wermut", "vermouth"}, {"trocken|trockener|trockene|trockenes", "dry"}, {"suess|suesser|suesse|suesses", "sweet"}, {"rot|roter|rote", "red"},
	{"weiss|weisser|weisse|weisses", "white"}, {"dunkler|dunkel", "dark"}, {"brauner|braun", "brown"}, {"schaum", "sparkling"}, {"wein", "wine"}, {"sekt", "sparkling wine"},
	{"eiweiss|eiklar", "egg white"}, {"eigelb|dotter", "egg yolk"}, {"eier", "egg"}, {"sahne|schlagsahne", "cream"}, {"kokos", "coconut"}, {"salz", "salt"},
	{"tee", "tea"}, {"schwarztee", "black tea"}, {"leitung|leitungs", "tap"}, {"mineral", "mineral"}, {"sprudel", "sparkling water"}, {"soda", "soda"}, {"tonic", "tonic"},
	{"wodka", "vodka"}, {"weinbrand", "brandy"}, {"kirschwasser", "kirsch"}, {"zwetschgenwasser", "plum spirit"}, {"obstler", "fruit spirit"}, {"absinth", "absinthe"},
	{"schlehen|schlehe", "sloe"}, {"kirsch", "kirsch"}, {"kirschlikoer", "cherry liqueur"}, {"kirschsaft", "cherry juice"}, {"kirschsirup", "cherry syrup"}, {"aromatisch|aromatischer", "aromatic"}, {"rosmarin", "rosemary"}, {"thymian", "thyme"}, {"vanille", "vanilla"}, {"minz|minze", "mint"}, {"salbei", "sage"}, {"lavendel", "lavender"},
	{"johannisbeer", "blackcurrant"}, {"helles", "lager"}, {"pils|pilsner|pilsener", "lager"}, {"alkoholfrei|alkoholfreier|alkoholfreies|alkoholfreie", "nonalcoholic"}, {"rhum", "rum"}, {"whiskey", "whisky"}, {"orangeade", "orangeade"},
}
