// Package line reads one typed line of a recipe ("¾ oz lemon juice", "2 dashes orange bitters", "top with soda") and
// prints it again.
//
// It promises that what was typed is kept, that an amount is never guessed (an open amount stays open, a line in parts
// has no volume until a total or a part size is chosen), that every estimate carries its band, and that what Print
// prints is read again as the same amount. It does not know ingredients: a name is only a name here.
//
// Text comes in as the caller has it. Callers hand in Unicode form NFC (a browser has String.prototype.normalize);
// nothing here depends on it except that equal names should be equal bytes.
package line

import (
	"slices"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

// Qty is a typed number in millionths: 1½ is 1,500,000. Thirds are rounded to the nearest millionth.
type Qty int64

// One is the quantity 1.
const One Qty = 1_000_000

// Unit is how an amount was typed, in a closed list of words.
type Unit string

// The units. Fruit is the juice of so many fruits; Piece counts things (leaves, egg whites); Top, Rinse, Float and Taste
// stand where no number was typed.
const (
	Millilitre Unit = "ml"
	Centilitre Unit = "cl"
	Decilitre  Unit = "dl"
	Litre      Unit = "l"
	Ounce      Unit = "oz"
	Dash       Unit = "dash"
	Drop       Unit = "drop"
	Barspoon   Unit = "barspoon"
	Teaspoon   Unit = "teaspoon"
	Tablespoon Unit = "tablespoon"
	Cup        Unit = "cup"
	Splash     Unit = "splash"
	Jigger     Unit = "jigger"
	Pony       Unit = "pony"
	Shot       Unit = "shot"
	Single     Unit = "measure" // the British single measure
	PartOf     Unit = "part"
	Piece      Unit = "piece"
	Fruit      Unit = "fruit"
	Gram       Unit = "g"
	Cube       Unit = "cube"
	Pinch      Unit = "pinch"
	Top        Unit = "top"
	Rinse      Unit = "rinse"
	Float      Unit = "float"
	Taste      Unit = "taste"
)

// OunceKind says which ounce a line means. One spec never mixes two.
type OunceKind string

// The three ounces.
const (
	Bar      OunceKind = "bar"      // 30 ml, the jigger convention
	US       OunceKind = "us"       // 29.5735 ml
	Imperial OunceKind = "imperial" // 28.4131 ml
)

// What a reading rests on, as listed in Line.Assumed.
const (
	AssumedForm     = "form"     // a bare "lime" with a volume is taken as its juice
	AssumedUnit     = "unit"     // a number with an unknown word is taken as a count
	AssumedQuantity = "quantity" // "a dash" was typed without a number
	AssumedAmount   = "amount"   // "about 45 ml", or the middle of a range
)

// Juice is the form of a fruit of which only the juice is used.
const Juice = "juice"

// The longest line read, in characters, and the most one line may hold.
const (
	MaxLength = 200
	MaxVolume = unit.Volume(5_000_000)
)

// Options are the owner's settings that a reading depends on. The zero Options are the defaults.
type Options struct {
	OunceKind  OunceKind   // empty: bar
	DashUL     unit.Volume // 0: 0.9 ml
	BarspoonUL unit.Volume // 0: 5 ml
}

func (o Options) settled() (Options, error) {
	if o.OunceKind == "" {
		o.OunceKind = Bar
	}
	if o.DashUL == 0 {
		o.DashUL = DefaultDash
	}
	if o.BarspoonUL == 0 {
		o.BarspoonUL = DefaultBarspoon
	}
	switch {
	case o.OunceKind != Bar && o.OunceKind != US && o.OunceKind != Imperial:
		return o, journal.Refuse("ounce_kind", "ounce_kind", "expected bar, us or imperial, got “%s”", clip(string(o.OunceKind)))
	case o.DashUL < 50 || o.DashUL > 5000:
		return o, journal.Refuse("dash_size", "dash_ul", "expected a dash of 0.05 to 5 ml, got %s ml", decimal(int64(o.DashUL), 3))
	case o.BarspoonUL < 500 || o.BarspoonUL > 20000:
		return o, journal.Refuse("barspoon_size", "barspoon_ul", "expected a barspoon of 0.5 to 20 ml, got %s ml", decimal(int64(o.BarspoonUL), 3))
	}
	return o, nil
}

// Line is one typed line, understood.
type Line struct {
	Typed     string
	Qty       unit.Maybe[Qty] // unknown for an open amount without a figure
	QtyHigh   unit.Maybe[Qty] // the upper end of a range; Qty is then the lower
	Unit      Unit
	OunceKind OunceKind // set where the size of Unit depends on it
	Volume    unit.Maybe[unit.Band[unit.Volume]]
	Open      journal.Open
	Name      string
	Form      string // Juice or empty
	Note      string // bracketed text, and a percentage that is no strength
	Strength  unit.Maybe[unit.Strength]
	Estimate  bool     // the volume is an estimate, to be shown with its band
	Assumed   []string // what was taken for granted, one of the Assumed words
}

// Calls is the name of what the line calls for: "lime juice" for the juice of half a lime. A ratio in the note is part of
// it, since "simple syrup (2:1)" is another syrup.
func (l Line) Calls() string {
	name := l.Name
	if l.Form == Juice {
		name += " " + Juice
	}
	for w := range strings.FieldsSeq(l.Note) {
		w = strings.Trim(w, ",;.()")
		if a, b, ok := strings.Cut(w, ":"); ok && digits(a) == len(a) && digits(b) == len(b) && a != "" && b != "" {
			name += " " + w
		}
	}
	return name
}

// Dry says that the line adds nothing to the volume of the glass that is counted here: leaves, a pinch of salt. Sugar by
// the spoon or cube, grams and parts are not dry: their volume is unknown, not nothing.
func (l Line) Dry() bool {
	if l.Volume.Known || l.Open == journal.Top || l.Open == journal.Float {
		return false
	}
	dry, sweet := solid(l.Name)
	return (l.Unit == Piece || l.Unit == Pinch || dry) && !sweet
}

// Part is the line as it goes into a glass, with nothing known of the ingredient but a typed strength.
func (l Line) Part() journal.Part {
	p := journal.Part{Name: l.Calls(), Open: l.Open, Volume: l.Volume}
	if l.Strength.Known {
		p.Content.Strength = unit.Known(unit.Exact(l.Strength.Value))
	}
	return p
}

func (l Line) assumed(word string) bool { return slices.Contains(l.Assumed, word) }

// OneOunce refuses lines that mix two kinds of ounce.
func OneOunce(lines []Line) error {
	var kind OunceKind
	for _, l := range lines {
		if l.Unit != Ounce && l.Unit != Jigger && l.Unit != Pony {
			continue
		}
		if kind != "" && l.OunceKind != kind {
			return journal.Refuse("mixed_ounces", "oz_kind", "expected one kind of ounce in a spec, got %s ounces and %s ounces", kind, l.OunceKind)
		}
		kind = l.OunceKind
	}
	return nil
}
