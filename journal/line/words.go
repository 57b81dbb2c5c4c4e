package line

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// fold is how words are compared: lower case, without accents, German umlauts and ß written out.
func fold(s string) string {
	var b strings.Builder
	last := rune(0)
	for _, r := range strings.ToLower(s) {
		switch r {
		case 'ä':
			b.WriteString("ae")
		case 'ö':
			b.WriteString("oe")
		case 'ü':
			b.WriteString("ue")
		case 'ß':
			b.WriteString("ss")
		case '\u0308': // a diaeresis on its own: an umlaut that came in taken apart
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
		default:
			if !unicode.Is(unicode.Mn, r) {
				b.WriteRune(r)
			}
		}
		last = r
	}
	return b.String()
}

// oneOf says whether w is one of the words of a list with bars between them, endsIn whether it ends in one. Lists like
// these are a fraction of the code that a switch over the same words becomes in the browser.
func oneOf(list, w string) bool {
	for known := range strings.SplitSeq(list, "|") {
		if known == w {
			return true
		}
	}
	return false
}

func endsIn(list, w string) bool {
	for end := range strings.SplitSeq(list, "|") {
		if strings.HasSuffix(w, end) {
			return true
		}
	}
	return false
}

func letter(r rune) bool { return unicode.IsLetter(r) || unicode.Is(unicode.Mn, r) }

// word is the first word of s, folded and without a trailing dot, and what follows it.
func word(s string) (string, string) {
	i := 0
	for i < len(s) {
		r, n := utf8.DecodeRuneInString(s[i:])
		if !letter(r) {
			break
		}
		i += n
	}
	if i == 0 {
		return "", s
	}
	return fold(s[:i]), strings.TrimPrefix(s[i:], ".")
}

// cutWord takes a phrase of whole words off the start of s. A colon behind the phrase goes with it.
func cutWord(s, phrase string) (string, bool) {
	rest := s
	for want := range strings.SplitSeq(phrase, " ") {
		w, after := word(strings.TrimLeft(rest, " -"))
		if w != want {
			return s, false
		}
		rest = after
	}
	if r, n := utf8.DecodeRuneInString(rest); digits(rest) > 0 || r == '-' && len(rest) > n && rest[n] != ' ' {
		return s, false // "of2", "top-shelf"
	}
	rest = strings.TrimPrefix(strings.TrimLeft(rest, " "), ":")
	return strings.TrimLeft(rest, " "), true
}

// cutLast takes a phrase of whole words off the end of s, with a comma or dash before it.
func cutLast(s, phrase string) (string, bool) {
	words := strings.Fields(s)
	want := strings.Fields(phrase)
	if len(words) <= len(want) {
		return s, false
	}
	for i, w := range want {
		if strings.TrimRight(fold(words[len(words)-len(want)+i]), ".!") != w {
			return s, false
		}
	}
	return strings.TrimRight(strings.Join(words[:len(words)-len(want)], " "), " ,;:-–—"), true
}

// unitWords are the spellings of each unit, folded, the first one plain.
var unitWords = []struct {
	unit  Unit
	words string
}{
	{Millilitre, "ml|mls|millilitre|millilitres|milliliter|milliliters|millilitern|cc|ccm"},
	{Centilitre, "cl|cls|centilitre|centilitres|centiliter|centiliters|zentiliter|zentilitern"},
	{Decilitre, "dl|decilitre|decilitres|deciliter|deciliters|deziliter"},
	{Litre, "l|litre|litres|liter|liters|ltr"},
	{Ounce, "oz|ozs|ounce|ounces|unze|unzen|fl oz|fl ozs|floz|fluid oz|fluid ounce|fluid ounces|fl ounce|fl ounces"},
	{Dash, "dash|dashes|spritzer|spritzern|dsh|ds"},
	{Drop, "drop|drops|tropfen"},
	{Barspoon, "barspoon|barspoons|bar spoon|bar spoons|bsp|bsps|bl|barloeffel|bar loeffel"},
	{Teaspoon, "tsp|tsps|teaspoon|teaspoons|tea spoon|tea spoons|tl|teeloeffel"},
	{Tablespoon, "tbsp|tbsps|tbs|tablespoon|tablespoons|table spoon|table spoons|el|essloeffel"},
	{Cup, "cup|cups|tasse|tassen"},
	{Splash, "splash|splashes|schuss|schuesse"},
	{Jigger, "jigger|jiggers"},
	{Pony, "pony|ponies"},
	{Shot, "shot|shots"},
	{Single, "measure|measures"},
	{PartOf, "part|parts|teil|teile|teilen"},
	{Piece, "piece|pieces|pc|pcs|stueck|stk"},
	{Gram, "g|gram|grams|gramm|gr"},
	{Cube, "cube|cubes|wuerfel"},
	{Pinch, "pinch|pinches|prise|prisen"},
}

// ounceWords name an ounce kind before the unit: "us oz", "imperial fluid ounces".
func ounceWord(w string) OunceKind {
	switch w {
	case "us", "american":
		return US
	case "imp", "imperial", "uk", "british":
		return Imperial
	case "bar":
		return Bar
	}
	return ""
}

func lookUnit(words string) (Unit, bool) {
	for _, u := range unitWords {
		if oneOf(u.words, words) {
			return u.unit, true
		}
	}
	return "", false
}

// cutUnit reads a unit at the start of s, the longest spelling first.
func cutUnit(s string) (u Unit, kind OunceKind, rest string, ok bool) {
	const most = 4 // "imperial fluid ounces", with one to spare
	var words, rests []string
	for at := s; len(words) < most; {
		w, after := word(at)
		if w == "" {
			break
		}
		words, rests = append(words, w), append(rests, after)
		at = strings.TrimLeft(after, " -")
	}
	for n := len(words); n > 0; n-- {
		rest := rests[n-1]
		if !ends(s[:len(s)-len(rest)], rest) {
			continue
		}
		rest = strings.TrimLeft(rest, " ")
		if kind := ounceWord(words[0]); kind != "" && n > 1 {
			if u, ok := lookUnit(strings.Join(words[1:n], " ")); ok && u == Ounce {
				return u, kind, rest, true
			}
		}
		if u, ok := lookUnit(strings.Join(words[:n], " ")); ok {
			return u, "", rest, true
		}
	}
	return "", "", s, false
}

// ends says whether a unit word may stop before rest: "4cl gin", "2 oz/60 ml", "oz.lime", but not "G&T".
func ends(consumed, rest string) bool {
	next, _ := utf8.DecodeRuneInString(rest)
	return rest == "" || strings.HasSuffix(consumed, ".") || strings.ContainsRune(" ,/|:;-–—~", next)
}

// vague are words that stand where a unit stands but name no size anyone could look up.
func vague(w string) bool {
	return oneOf("glug|glugs|slug|slugs|gulp|gulps|drizzle|nip|nips|tot|tots|finger|fingers|glass|glasses|glas|glaeser|mug|mugs|can|cans|dose|bottle|"+
		"bottles|flasche|flaschen|spoon|spoons|loeffel|spoonful|spoonfuls|capful|capfuls|cap|caps|handful|handfuls|handvoll|squeeze|"+
		"squeezes|squirt|squirts|spray|sprays|pump|pumps|dram|drams|pint|pints|quart|gallon|schluck|glucks|cm|mm|inch|zoll|bit|bits|scoop|"+
		"scoops|kg|mg|lb|lbs", w)
}

// liquid says whether a name ends in a word for something poured, so that a bare number before it is no count.
func liquid(name string) bool {
	w := head(name)
	return oneOf("gin|vodka|rum|rhum|tequila|mezcal|brandy|cognac|armagnac|calvados|pisco|grappa|whisky|whiskey|bourbon|rye|scotch|spirit|schnaps|"+
		"vie|absinthe|cachaca|kirsch|liqueur|amaro|aperitif|maraschino|curacao|sec|vermouth|wermut|sherry|port|madeira|wine|prosecco|"+
		"champagne|beer|lager|ale|stout|cider|sake|bitters|juice|syrup|soda|water|tonic|cola|lemonade|milk|cream|sahne|tea|tee|coffee|"+
		"espresso|kaffee|cordial|honey|honig|agave|orgeat|grenadine|falernum|verjus|vinegar|essig|saline|shrub|absinth|kombucha|solution|"+
		"aquafaba", w) ||
		endsIn("saft|sirup|likoer|wasser|wein|bier|milch|geist|brand|loesung", w)
}

// sober says whether a bare percentage behind such a name means salt, fat, acid or sugar, not alcohol.
func sober(name string) bool {
	w := head(name)
	return oneOf("saline|salt|solution|cream|milk|acid|vinegar|syrup|juice|water|yoghurt|sahne|essig|salz|honey|cocoa|chocolate", w) ||
		endsIn("saft|sirup|milch|loesung|saeure|sahne|essig|wasser", w)
}

// head is the last word of the name before a comma, folded.
func head(name string) string {
	name, _, _ = strings.Cut(name, ",")
	name = strings.TrimRight(name, " .;:-–!")
	i := strings.LastIndexFunc(name, func(r rune) bool { return !letter(r) })
	if i >= 0 {
		_, n := utf8.DecodeRuneInString(name[i:])
		name = name[i+n:]
	}
	return fold(name)
}

// single says whether a name without a number is one countable thing: "egg white", "lemon twist".
func single(name string) bool {
	return oneOf("egg|egg white|egg yolk|whole egg|ei|eiweiss|eiklar|eigelb", fold(name)) ||
		oneOf("wedge|slice|twist|peel|zest|sprig|leaf|wheel|stick|pod|cherry|olive|zweig|scheibe|blatt|zeste|spalte", head(name))
}

// countable says whether a name ends in a word for something that is counted.
func countable(name string) bool {
	if _, ok := countedSize(name); ok || single(name) || juiced(name) {
		return true
	}
	for part := range strings.FieldsFuncSeq(fold(name), func(r rune) bool { return !letter(r) }) {
		if counted(part) {
			return true
		}
	}
	return false
}

func counted(w string) bool {
	return oneOf("slice|sprig|leaf|wedge|wheel|stick|strip|zweig|scheibe|blatt|leaves|sprigs|wedges|slices|twists|peels|zests|wheels|sticks|pods|"+
		"cherries|olives|berries|raspberries|blackberries|strawberries|blueberries|grapes|cubes|coins|chunks|cloves|beans|seeds|peppercorns|"+
		"flowers|ribbons|strips|halves|rounds|bags|figs|dates|plums|peaches|apricots|pears|apples|zweige|blaetter|scheiben|zesten|spalten|"+
		"kirschen|oliven|beeren|nelken|bohnen|rosinen|raisins|almonds|nuts", w) || endsIn("blaetter|beeren|zweige", w)
}

// iced says whether a name is ice.
func iced(name string) bool {
	h := head(name)
	return h == "ice" || endsIn("eiswuerfel", h) || oneOf("ice cube|ice cubes|eis|crushed eis", fold(name))
}

// solid says whether a name is a dry thing, so that a spoon of it is no volume of liquid; sweet, whether it dissolves
// into sugar.
func solid(name string) (ok, sweet bool) {
	h := head(name)
	sweet = oneOf("sugar|wuerfelzucker|zuckerwuerfel", h) || endsIn("zucker", h)
	return sweet || oneOf("salt|pepper|pfeffer|nutmeg|muskat|cinnamon|zimt|powder|cocoa|kakao|chilli|chili", h) || endsIn("salz|pulver", h), sweet
}

// countedSize is the volume of one counted thing, where one is known.
func countedSize(name string) (size, bool) {
	n := fold(name)
	for _, w := range []string{"fresh ", "large ", "raw ", "frisches "} {
		n = strings.TrimPrefix(n, w)
	}
	switch {
	case oneOf("egg white|egg whites|eiweiss|eiklar|white of egg|white of an egg", n):
		return sizeEggWhite, true
	case oneOf("egg yolk|egg yolks|eigelb|yolk", n):
		return sizeYolk, true
	case oneOf("egg|eggs|whole egg|whole eggs|ei|eier", n):
		return sizeEgg, true
	}
	return size{}, false
}

// fruitSize is the juice of one fruit, where a yield is known.
func fruitSize(name string) (size, bool) {
	n := head(name)
	switch {
	case oneOf("lime|limes|limette|limetten", n):
		return sizeLime, true
	case oneOf("lemon|lemons|zitrone|zitronen", n):
		return sizeLemon, true
	case oneOf("orange|oranges|orangen", n):
		return sizeOrange, true
	case oneOf("grapefruit|grapefruits|pampelmuse|pampelmusen", n):
		return sizeGrapefruit, true
	}
	return size{}, false
}

// juiced says whether a name is nothing but a fruit that goes into a glass as juice when a volume of it is called for.
func juiced(name string) bool {
	n := fold(name)
	for _, w := range []string{"fresh ", "freshly squeezed ", "fresh-squeezed ", "frische ", "frischer "} {
		n = strings.TrimPrefix(n, w)
	}
	return oneOf("lime|limes|limette|limetten|lemon|lemons|zitrone|zitronen|orange|oranges|orangen|grapefruit|pampelmuse|pineapple|ananas|"+
		"passion fruit|passionfruit|maracuja|cranberry|apple|apfel|pomegranate|granatapfel|tomato|tangerine|mandarin|mandarine|clementine|"+
		"yuzu", n)
}

// nearest is the unit word one slip away from w, or nothing.
func nearest(w string) string {
	if w == "ei" {
		return ""
	}
	n := len(w)
	for _, u := range unitWords {
		for known := range strings.SplitSeq(u.words, "|") {
			short := known == "ml" || known == "cl" || known == "oz"
			if n < 4 && (!short || w[0] != known[0] && w != known[1:]+known[:1]) || n >= 4 && len(known) < 3 {
				continue
			}
			if oneSlip(w, known) {
				plain, _, _ := strings.Cut(u.words, "|")
				return plain
			}
		}
	}
	return ""
}

// oneSlip says whether one letter too many, missing, wrong or swapped with its neighbour makes a into b.
func oneSlip(a, b string) bool {
	if len(a) < len(b) {
		a, b = b, a
	}
	i := 0
	for i < len(b) && a[i] == b[i] {
		i++
	}
	switch len(a) - len(b) {
	case 0:
		return a != b && (a[i+1:] == b[i+1:] || i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:])
	case 1:
		return a[i+1:] == b[i:]
	}
	return false
}
