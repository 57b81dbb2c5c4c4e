package balance_test

import (
	"math"
	"testing"

	"fairmeasure/journal"
	"fairmeasure/journal/balance"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/unit"
)

// FuzzOf reckons whatever text says was in a glass: no figure is ever not a number, and a band holds its value.
func FuzzOf(f *testing.F) {
	for _, m := range []journal.Made{orchardSour(), shakenSour(), made(journal.Built, open(journal.Top, part("soda", 0, 0, 0, 0))), made("")} {
		text, err := m.Text()
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text, int64(-1), 0.8)
		f.Add(text, int64(40_000), math.NaN())
	}
	f.Fuzz(func(t *testing.T, text string, waterUL int64, seen float64) {
		m, err := journal.ParseMade(text)
		if err != nil {
			return
		}
		water := dilution.Calibrate([]float64{seen}).Water()
		if waterUL >= 0 {
			if water, err = dilution.Poured(unit.Volume(waterUL)); err != nil {
				t.Fatal(err)
			}
		}
		r := balance.Of(m, water)
		for _, one := range append(all(r), r.Coldest) {
			for _, x := range []float64{one.Value, one.Low, one.High} {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					t.Fatalf("%+v of %q", one, text)
				}
			}
			if one.Known && (one.Low > one.Value || one.Value > one.High) {
				t.Fatalf("%+v of %q", one, text)
			}
		}
	})
}
