package solution

import "fairmeasure/journal"

// Sweetener is what a swap needs to know of one: sugar in grams a litre, and the owner's own factor for its taste, 1 when
// they have none.
type Sweetener struct {
	PerLitre float64
	Taste    float64
}

func (s Sweetener) strength() float64 { return s.PerLitre * s.Taste }

// Sweetened is a sweetener swapped for another: so many millilitres of it, and the water that keeps the drink its size
// (below nought: so much more liquid than before).
type Sweetened struct{ ML, WaterML float64 }

// SwapSweetener replaces some millilitres of a sweetener by another that brings the same sugar (by the taste factors, the
// same of it as it tastes).
func SwapSweetener(ml float64, from, to Sweetener) (Sweetened, error) {
	if !(to.strength() > 0) {
		return Sweetened{}, journal.Refuse("no_sugar", "to", "this brings no sugar, so it cannot take the place of a sweetener")
	}
	after := ml * from.strength() / to.strength()
	return Sweetened{after, ml - after}, nil
}

// Soured is one citrus swapped for another: with juice alone, or with as much juice as before and acid weighed into it.
type Soured struct {
	AcidGrams float64 // what the line brought, as citric acid
	JuiceML   float64 // of the other juice alone
	AddGrams  float64 // of citric acid to as much juice as before; below nought: it brings more than before
	Grows     float64 // how many times the line by juice alone
}

// SwapCitrus replaces some millilitres of a juice by another; acids are grams a litre, as citric acid.
func SwapCitrus(ml, from, to float64) (Soured, error) {
	if !(to > 0) {
		return Soured{}, journal.Refuse("no_acid", "to", "this brings no acid, so it cannot take the place of a citrus")
	}
	s := Soured{AcidGrams: from * ml / 1000}
	s.JuiceML = s.AcidGrams / to * 1000
	s.AddGrams = s.AcidGrams - float64(to*ml/1000)
	if ml > 0 {
		s.Grows = s.JuiceML / ml
	}
	return s, nil
}

// Apart is a liqueur taken apart into a spirit and a syrup. WaterML is what fills it up to its size; below nought it is
// larger by so much. Its flavour is not in it: the screen says so.
type Apart struct{ SpiritML, SyrupML, WaterML float64 }

// TakeApart gives the spirit and the syrup that bring the ethanol and sugar of some millilitres of a liqueur. Volumes are
// added up as they are poured, without contraction. Strengths are % vol, sugars grams a litre.
func TakeApart(ml, strength, sugar, spirit, syrup float64) (Apart, error) {
	switch {
	case strength > 0 && !(spirit > 0):
		return Apart{}, journal.Refuse("no_alcohol", "spirit", "this has no alcohol, so it cannot stand for the liqueur's")
	case sugar > 0 && !(syrup > 0):
		return Apart{}, journal.Refuse("no_sugar", "syrup", "this has no sugar, so it cannot stand for the liqueur's")
	}
	var a Apart
	if strength > 0 {
		a.SpiritML = ml * strength / spirit
	}
	if sugar > 0 {
		a.SyrupML = ml * sugar / syrup
	}
	a.WaterML = ml - a.SpiritML - a.SyrupML
	return a, nil
}

// Together is a spirit and a syrup put together to a liqueur: so much of it, and what of both it takes.
type Together struct{ LiqueurML, SpiritML, SyrupML float64 }

// PutTogether is the way back from TakeApart: the most of a liqueur whose ethanol and sugar some millilitres of a spirit
// and of a syrup have. One of them goes wholly into it. Strengths are % vol, sugars grams a litre.
func PutTogether(spiritML, spirit, syrupML, syrup, strength, sugar float64) (Together, error) {
	if !(strength > 0 && sugar > 0 && spirit > 0 && syrup > 0) {
		return Together{}, journal.Refuse("no_liqueur", "liqueur", "expected a spirit, a sweetener, and a liqueur of alcohol and sugar")
	}
	ml := min(spiritML*spirit/strength, syrupML*syrup/sugar)
	return Together{ml, ml * strength / spirit, ml * sugar / syrup}, nil
}

// SwapSpirit gives the millilitres of another spirit that bring the same ethanol. Strengths are % vol.
func SwapSpirit(ml, from, to float64) (float64, error) {
	if !(to > 0) {
		return 0, journal.Refuse("no_alcohol", "to", "this has no alcohol, so it cannot take the place of a spirit")
	}
	return ml * from / to, nil
}
