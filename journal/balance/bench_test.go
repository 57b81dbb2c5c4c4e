package balance_test

import (
	"testing"

	"fairmeasure/journal"
	"fairmeasure/journal/balance"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/unit"
)

// orchardSour is the demo drink: five parts, nearly everything with a band.
func orchardSour() journal.Made {
	p := func(name string, ml float64, strength [3]unit.Strength, sugar, acid [3]unit.Concentration) journal.Part {
		return journal.Part{Name: name, Volume: exact(unit.Millilitres(ml)), Content: journal.Content{
			Strength: band(strength[0], strength[1], strength[2]), Sugar: band(sugar[0], sugar[1], sugar[2]), Acid: band(acid[0], acid[1], acid[2]),
		}}
	}
	type s = [3]unit.Strength
	type c = [3]unit.Concentration
	return journal.Made{Method: journal.Shaken, Parts: []journal.Part{
		p("gin", 30, s{4700, 4700, 4700}, c{0, 0, 10000}, c{}),
		p("pear eau-de-vie", 15, s{4200, 4000, 4500}, c{0, 0, 10000}, c{}),
		p("quince liqueur", 15, s{2400, 1500, 3000}, c{280000, 100000, 400000}, c{3000, 0, 6000}),
		p("lemon juice", 22.5, s{}, c{25000, 15000, 35000}, c{60000, 48000, 72000}),
		p("honey syrup", 15, s{}, c{488000, 450000, 520000}, c{1000, 500, 3000}),
	}}
}

func BenchmarkOf(b *testing.B) {
	m := orchardSour()
	b.ReportAllocs()
	for b.Loop() {
		balance.Of(m, dilution.Water{})
	}
}

func BenchmarkExplain(b *testing.B) {
	r := balance.Of(orchardSour(), dilution.Water{})
	b.ReportAllocs()
	for b.Loop() {
		r.Explain(balance.OfSugar)
	}
}

func BenchmarkContracted(b *testing.B) {
	r := balance.Of(orchardSour(), dilution.Water{})
	b.ReportAllocs()
	for b.Loop() {
		r.Contracted()
	}
}
