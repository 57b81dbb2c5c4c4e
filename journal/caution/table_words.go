package caution

// Where the rules come from. The words that stand for each are ours.
const (
	memory   = "from memory (unverified)"
	practice = "common practice"
	annex    = "Regulation (EU) 1169/2011, Annex II, from memory"
)

// tableGlass is what to be careful about in a glass. Cereals that were distilled are not listed: the annex exempts them.
// Sources: raw egg, food safety advice in the US and the UK (from memory); caffeine, FDA of November 2010 (read in reports);
// quinine, 21 CFR 172.575 (read in reports) and pharmacy knowledge (from memory); grapefruit, FDA (read in reports).
var tableGlass = [...]row{
	{"raw_egg", "egg|eggs|yolk|yolks|ei|eier|eiweiss|eiweiß|eiklar|eigelb", "egg liqueur|pasteurised|pasteurized|powder|powdered|dried|vegan", memory},
	{"allergen.egg", "egg|eggs|yolk|yolks|eggnog|advocaat|albumen|ei|eier|eiweiss|eiweiß|eiklar|eigelb", "vegan", annex},
	{"allergen.milk", "milk|cream|butter|buttermilk|yoghurt|yogurt|whey|kefir|cheese|lactose|dairy|condensed milk|clarified milk",
		"coconut milk|coconut cream|cream of coconut|almond milk|oat milk|soy milk|soya milk|rice milk|hazelnut milk|cream of tartar|cream soda|cream sherry|peanut butter|cocoa butter|almond butter|milk thistle|vegan", annex},
	{"allergen.nuts", "almond|almonds|orgeat|amaretto|hazelnut|hazelnuts|walnut|walnuts|nocino|pistachio|pistachios|cashew|cashews|pecan|pecans|macadamia|marzipan|falernum|gianduja|praline|brazil nut|brazil nuts|nut|nuts|noisette", "", annex},
	{"allergen.peanuts", "peanut|peanuts", "", annex},
	{"allergen.gluten", "beer|lager|stout|porter|ale|ipa|barley|wheat|rye|malt|oat|oats|spelt|soy sauce",
		"ginger beer|root beer|birch beer|ginger ale|spruce beer|whisky|whiskey|rye vodka|wheat vodka|malt spirit", annex},
	{"allergen.sulphites", "wine|champagne|prosecco|cava|cremant|crémant|vermouth|sherry|port|madeira|marsala|cider|perry|sangria|verjus|quinquina|sparkling", "sparkling water|palm wine|non wine", annex},
	{"allergen.fish", "worcestershire|anchovy|anchovies|fish|bonito|isinglass", "", annex},
	{"allergen.crustaceans", "shrimp|shrimps|prawn|prawns|crab|lobster", "crab apple|crab apples", annex},
	{"allergen.molluscs", "clam|clams|oyster|oysters|mussel|mussels|squid", "oyster mushroom", annex},
	{"allergen.celery", "celery|celeriac", "", annex},
	{"allergen.mustard", "mustard", "", annex},
	{"allergen.sesame", "sesame|tahini", "", annex},
	{"allergen.soya", "soy|soya|miso|tofu|edamame", "", annex},
	{"allergen.lupin", "lupin|lupine", "", annex},
	{"quinine", "quinine|tonic|cinchona|quinquina", "tonic wine", memory},
	{"grapefruit", "grapefruit|pomelo|tangelo|tangelos|seville|pampelmuse", "", "FDA, read in reports; pomelo from memory"},
	{"caffeine", "espresso|coffee|cola|energy drink|tea|matcha|guarana|caffeine|mate|cold brew", "decaf|decaffeinated|herbal tea|chamomile tea|rooibos tea|mint tea|tea spoon", "FDA, November 2010, read in reports"},
	{"charcoal", "charcoal", "", memory},
	{"liquorice", "liquorice|licorice", "", memory},
}

// tableInfuse is what is not to be put into a spirit, or with care. Sources: tonka, 21 CFR 189.130 (text read in a copy);
// calamus and sassafras, 21 CFR 189.110 and 189.180 (read in a listing); kernels, EFSA Journal 2016;14(4):4424 (read);
// the others from memory.
var tableInfuse = [...]row{
	{"avoid.tobacco", "tobacco|nicotine|cigar|cigars|cigarette|cigarettes", "", memory},
	{"avoid.tonka", "tonka|coumarin", "", "21 CFR 189.130, read in a copy"},
	{"avoid.kernels", "kernel|kernels|noyau|noyaux|bitter almond|bitter almonds|cherry pits|cherry stones|apricot pits|apricot stones|peach pits|peach stones|plum stones|fruit stones",
		"corn kernels|popcorn kernels|corn kernel", "EFSA Journal 2016;14(4):4424"},
	{"avoid.liver", "comfrey|coltsfoot|borage", "borage flower|borage flowers", memory},
	{"avoid.calamus", "calamus|sweet flag|sassafras|safrole", "", "21 CFR 189.110, 189.180, read in a listing"},
	{"infused.wormwood", "wormwood|thujone|artemisia", "", memory},
	{"avoid.garden", "lily of the valley|foxglove|oleander|garden flowers|cut flowers|hemlock|yew|nightshade|laburnum|monkshood|aconite|wolfsbane|datura|rhododendron|hydrangea", "", memory},
	{"infused.foraged", "foraged|wild mushroom|wild mushrooms|wild herbs|wild plants|elder leaves|elder bark", "", practice},
	{"infused.oil", "oil", "oil of|essential oil|orange oil|lemon oil", memory},
	{"infused.cinchona", "cinchona|quinine bark", "", "read in reports"},
	{"avoid.nitrogen", "liquid nitrogen|dry ice", "", "FDA, 30 August 2018, read in reports"},
}
