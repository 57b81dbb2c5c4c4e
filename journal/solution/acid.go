package solution

import (
	"strings"

	"fairmeasure/journal"
)

// Acid is a food acid by its plain name.
type Acid string

// The acids that are weighed or titrated behind a bar.
const (
	Citric            Acid = "citric" // anhydrous
	CitricMonohydrate Acid = "citric_monohydrate"
	Malic             Acid = "malic"
	Tartaric          Acid = "tartaric"
	Lactic            Acid = "lactic"
	Acetic            Acid = "acetic"
	Succinic          Acid = "succinic"
	Phosphoric        Acid = "phosphoric" // titrated to pH 8.2
)

// acids are molar masses in g/mol and the protons that titrate.
//
// Source: molar masses from the atomic weights (IUPAC abridged); the equivalents are the number of carboxyl groups, and
// two for phosphoric acid at pH 8.2. Checked: CH29 to CH31.
var acids = []struct {
	acid    Acid
	mass    float64
	protons float64
}{
	{Citric, 192.12, 3}, {CitricMonohydrate, 210.14, 3}, {Malic, 134.09, 2}, {Tartaric, 150.09, 2}, {Lactic, 90.08, 1},
	{Acetic, 60.05, 1}, {Succinic, 118.09, 2}, {Phosphoric, 98.00, 2},
}

// AsCitric gives what an amount of an acid titrates as, in the same unit of anhydrous citric acid. Equal acid is not equal
// sourness.
func AsCitric(a Acid, amount float64) (float64, error) {
	for _, row := range acids {
		if row.acid == a {
			return amount * row.protons / row.mass * acids[0].mass / acids[0].protons, nil
		}
	}
	return 0, journal.Refuse("unknown_word", "acid", "expected an acid such as citric or malic, got %q", string(a))
}

// Dose is grams of an acid for a litre of juice.
type Dose struct {
	Acid     Acid
	PerLitre float64
}

// Weighed is grams of an acid for a batch; Fine is false when a scale of the step given cannot weigh it to a tenth.
type Weighed struct {
	Acid  Acid
	Grams float64
	Fine  bool
}

// Adjust gives the acids to weigh for some millilitres of juice, on a scale that shows steps of so many grams.
func Adjust(ml float64, doses []Dose, scaleStep float64) []Weighed {
	out := make([]Weighed, len(doses))
	for i, d := range doses {
		grams := d.PerLitre * ml / 1000
		out[i] = Weighed{d.Acid, grams, float64(scaleStep*10) <= grams}
	}
	return out
}

// SmallestBatch gives the millilitres of juice from which on a scale of that step weighs every acid to a tenth; 0 when
// nothing has to be weighed.
func SmallestBatch(doses []Dose, scaleStep float64) float64 {
	most := 0.0
	for _, d := range doses {
		if d.PerLitre > 0 {
			most = max(most, scaleStep*10/d.PerLitre*1000)
		}
	}
	return most
}

// AcidVolume is the millilitres that a gram of dissolved acid takes up: citric acid 0.595 to 0.600, computed from the
// densities in the CRC Handbook, 102nd ed.; taken for the other dry acids as well (chosen).
const AcidVolume = 0.597

// Named finds a dry acid by its plain name, English or German.
func Named(name string) (Acid, bool) {
	switch strings.ToLower(strings.TrimSpace(name)) {
	case "citric acid", "zitronensäure":
		return Citric, true
	case "citric acid monohydrate", "zitronensäure-monohydrat":
		return CitricMonohydrate, true
	case "malic acid", "äpfelsäure":
		return Malic, true
	case "tartaric acid", "weinsäure":
		return Tartaric, true
	case "succinic acid", "bernsteinsäure":
		return Succinic, true
	}
	return "", false
}

// adjusted are the grams of citric and malic acid that the trade weighs into a litre of a juice for the acid of lime.
// Common practice; C046 and C047.
var adjusted = []struct {
	juice         string
	citric, malic float64
}{
	{"orange_juice", 32, 20}, {"grapefruit_juice", 27, 13},
}

// limeCitric and limeMalic are the shares of lime's acid: 4 of citric to 2 of malic (D. Arnold, Liquid Intelligence, 2014).
const limeCitric, limeMalic = 4, 2

// Adjusting gives the acids for a litre of a juice that bring so many grams more of acid, as citric acid: in the trade's own
// proportion where it has one for lime, else in lime's; for any other juice than lime, citric acid alone. Juices are named by
// the stock's keys.
func Adjusting(juice, target string, asCitric float64) []Dose {
	if target != "lime_juice" || !(asCitric > 0) {
		return []Dose{{Citric, max(asCitric, 0)}}
	}
	citric, malic := float64(limeCitric), float64(limeMalic)
	for _, row := range adjusted {
		if row.juice == juice {
			citric, malic = row.citric, row.malic
		}
	}
	malicAsCitric, _ := AsCitric(Malic, malic)
	by := asCitric / (citric + malicAsCitric)
	return []Dose{{Citric, citric * by}, {Malic, malic * by}}
}
