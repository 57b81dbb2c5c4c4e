package stock

// itself stands for the noun as the kind.
const itself = "="

// kinds are the fair defaults for what a name ends in. The first row holds whose noun it is and of which it has a word of
// each list; "" says that no typical one stands for it. Chosen: what a bar pours when no more is said.
var kinds = []struct {
	nouns string
	has   []string
	is    string
}{
	{"", []string{"eau", "vie", "apple"}, "apple_brandy"},
	{"", []string{"eau", "vie", "grape|wine"}, "grape_spirit"},
	{"", []string{"eau", "vie"}, "fruit_spirit"},

	{"gin", []string{"sloe|damson"}, "sloe_gin"},
	{"gin", []string{"liqueur|cream"}, ""},
	{"gin", nil, itself},
	{"vodka", []string{"cream|liqueur|caramel"}, ""},
	{"vodka", nil, itself},
	{"rum", []string{flavours}, ""},
	{"rum", []string{"overproof|navy"}, "overproof_rum"},
	{"rum", []string{"white|light|silver|blanco|blanc|unaged|clear"}, "white_rum"},
	{"rum", nil, "aged_rum"},
	{"brandy|cognac|armagnac", []string{"apple"}, "apple_brandy"},
	{"brandy|cognac|armagnac", []string{"pear|plum|quince|mirabelle"}, "fruit_spirit"},
	{"brandy|cognac|armagnac", []string{flavours}, ""},
	{"brandy|cognac|armagnac", nil, "brandy"},
	{"whisky|bourbon|rye|scotch", []string{flavours}, ""},
	{"whisky|bourbon|rye|scotch", []string{"bourbon"}, "bourbon"},
	{"whisky|bourbon|rye|scotch", []string{"rye"}, "rye"},
	{"whisky|bourbon|rye|scotch", nil, "blended_whisky"},
	{"spirit", []string{"apple"}, "apple_brandy"},
	{"spirit", []string{"pear|plum|apricot|cherry|raspberry|quince|peach|strawberry|blackberry|mirabelle"}, "fruit_spirit"},
	{"cachaca|tequila|mezcal|absinthe|falernum|verjus|orgeat|grenadine|sake|madeira|amaro", []string{flavours}, ""},
	{"falernum", nil, "falernum_liqueur"},
	{"cachaca|tequila|mezcal|absinthe|verjus|orgeat|grenadine|sake|madeira|amaro", nil, itself},
	{"curacao", nil, "orange_curacao"},

	{"vermouth", []string{"semi", "dry"}, "semi_dry_vermouth"},
	{"vermouth", []string{"blanc"}, "blanc_vermouth"},
	{"vermouth", []string{"semi", "sweet"}, "blanc_vermouth"},
	{"vermouth", []string{"extra", "dry"}, "extra_dry_vermouth"},
	{"vermouth", []string{"dry|french"}, "dry_vermouth"},
	{"vermouth", []string{"sweet|red|rosso|rouge|bianco|italian"}, "sweet_vermouth"},
	{"bitters", []string{"orange"}, "orange_bitters"},
	{"bitters", nil, "aromatic_bitters"},

	{"tonic", nil, "tonic_water"},
	{"water", []string{"tonic"}, "tonic_water"},
	{"water", []string{flavours}, ""},
	{"water", []string{"soda|sparkling|mineral"}, "water"},

	{"wine", []string{flavours}, ""},
	{"wine", []string{"rice|mulled|sweet|dessert|ice|barley"}, ""},
	{"wine", []string{"port"}, "port"},
	{"wine", []string{"sparkling"}, "sparkling_wine"},
	{"wine", []string{"white"}, "dry_white_wine"},
	{"wine", []string{"red"}, "dry_red_wine"},
	{"wine", []string{"rose"}, "dry_white_wine"},
	{"champagne|prosecco|cava|cremant", nil, "sparkling_wine"},
	{"beer|lager", []string{"root|ginger|butter|birch|strong|barley"}, ""},
	{"beer|lager", []string{flavours}, ""},
	{"beer|lager", nil, "lager_beer"},
	{"cider", []string{flavours}, ""},
	{"cider", []string{"dry|hard|medium"}, "dry_cider"},
	{"sherry", []string{"dry|fino|manzanilla"}, "dry_sherry"},
	{"sherry", []string{"px|sweet"}, "sweet_sherry"},
	{"port", []string{"ruby|tawny|red"}, "port"},

	{"tea", []string{"black|green|white|oolong|assam|darjeeling|jasmine|brewed|strong"}, "brewed_tea"},
	{"honey", nil, itself},
	{"egg", []string{"white"}, "egg_white"},
	{"egg", []string{"yolk"}, "egg_yolk"},
	{"yolk", []string{"egg"}, "egg_yolk"},
}
