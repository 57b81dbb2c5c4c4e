package line

import "fairmeasure/journal/unit"

// Sizes of the units, in picolitres (1 ml = 1,000,000,000).
//
// US fluid ounce: 1/128 US gallon of 231 cubic inches, exact from the inch of 2.54 cm. Imperial fluid ounce: 1/160
// imperial gallon of 4.54609 L, exact. US teaspoon, tablespoon and cup: 1/6, 1/2 and 8 US fluid ounces; 240 ml is the
// cup of US labels. Metric teaspoon 5 ml: spoon and label convention. Published.
// Bar ounce, dash, drop, barspoon, splash, rinse, jigger, pony, metric tablespoon and cup: common practice. Dash: 1/32
// US ounce is 0.924 ml; one published bench count found about that for a full bottle's later dashes and half of it for
// the first. Single measure (UK rule: 25 or 35 ml): from memory.
// Checked row by row against testdata/reference/units.csv by TestUnitTable.
const millilitre = 1_000_000_000

type size struct{ value, low, high int64 }

func exactly(v int64) size { return size{v, v, v} }

const (
	usOunce       = 29_573_529_563
	imperialOunce = 28_413_062_500
	barOunce      = 30 * millilitre
)

var (
	sizeDash       = size{900_000_000, 400_000_000, 1_200_000_000}
	sizeDrop       = size{50_000_000, 30_000_000, 100_000_000}
	sizeBarspoon   = size{5 * millilitre, 2_500_000_000, 7 * millilitre}
	sizeTeaspoon   = exactly(5 * millilitre)
	sizeTeaspoonUS = size{4_928_921_594, 4_928_921_594, 5 * millilitre}
	sizeTablespoon = exactly(15 * millilitre)
	sizeTableUS    = size{14_786_764_781, 14_786_764_781, 15 * millilitre}
	sizeCup        = size{250 * millilitre, 236_588_236_500, 250 * millilitre} // unless US a cup may still be an American one
	sizeCupUS      = size{236_588_236_500, 236_588_236_500, 240 * millilitre}
	sizeSplash     = size{7_500_000_000, 5 * millilitre, 15 * millilitre}
	sizeRinse      = size{2_500_000_000, 1 * millilitre, 5 * millilitre}
	sizeJigger     = size{45 * millilitre, 44_360_000_000, 45 * millilitre}
	sizeJiggerUS   = size{44_360_294_344, 44_360_000_000, 45 * millilitre}
	sizePony       = size{30 * millilitre, 29_570_000_000, 30 * millilitre}
	sizePonyUS     = size{usOunce, 29_570_000_000, 30 * millilitre}
	sizeShot       = size{40 * millilitre, 20 * millilitre, 50 * millilitre}
	sizeSingle     = size{25 * millilitre, 25 * millilitre, 35 * millilitre}
)

// DefaultDash and DefaultBarspoon hold when the owner has measured nothing.
const (
	DefaultDash     = unit.Volume(900)
	DefaultBarspoon = unit.Volume(5000)
)

// aboutShare is the band put around "about 45 ml", in percent each way. Chosen: a free pour by an unhurried hand; no
// source.
const aboutShare = 10

// Volumes of counted things.
//
// Egg white of a large egg: about 30 to 33 g, units.csv, common practice. Yolk: about 17 to 18 g at 1.030 g/ml
// (ingredients_typical.csv), its band chosen. A whole egg is the sum of both.
// Juice of one fruit: lime about two tablespoons, pages give 22 to 30 and 30 to 45 ml, the upper figure here is twice
// the 22 ml of the worked case C026; lemon about three tablespoons, orange about five, grapefruit about three quarters
// of a cup: common practice, their bands chosen a third each way, rounded.
var (
	sizeEggWhite = size{30 * millilitre, 25 * millilitre, 35 * millilitre}
	sizeYolk     = size{17 * millilitre, 15 * millilitre, 19 * millilitre}
	sizeEgg      = size{47 * millilitre, 40 * millilitre, 54 * millilitre}

	sizeLime       = size{30 * millilitre, 22 * millilitre, 44 * millilitre}
	sizeLemon      = size{45 * millilitre, 30 * millilitre, 60 * millilitre}
	sizeOrange     = size{75 * millilitre, 50 * millilitre, 100 * millilitre}
	sizeGrapefruit = size{180 * millilitre, 120 * millilitre, 240 * millilitre}
)
