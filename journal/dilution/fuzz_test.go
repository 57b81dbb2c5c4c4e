package dilution_test

import (
	"math"
	"testing"

	"fairmeasure/journal"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
)

// FuzzChill gives the model of energy whatever it may be asked: it refuses, or every number it gives is one.
func FuzzChill(f *testing.F) {
	f.Add(60.0, 0.4, 100.0, 8.0, 20.0, 120.0, 150.0, 1.0, true)
	f.Add(100.0, 0.0, 0.0, 0.0, 20.0, 0.0, 0.0, 0.0, false)
	f.Add(1e30, 1.0, -1.0, math.NaN(), 60.0, math.Inf(1), 0.0, 0.5, true)
	f.Fuzz(func(t *testing.T, ml, strength, sugar, acid, start, vessel, ice, cooled float64, mixing bool) {
		d := dilution.Dissolved{ML: ml, Strength: ethanol.ByVolume(strength), Sugar: sugar, Acid: acid}
		if at, ok := d.Freezes(); ok && !(at <= 0 && at > -100) {
			t.Fatalf("%+v freezes at %v", d, at)
		}
		for _, method := range []journal.Method{journal.Shaken, journal.Stirred} {
			e := dilution.Calibrate([]float64{cooled}).Water().Estimate(method, unit.Known(100*strength), d)
			b := e.Ratio.Value
			if !(0 <= b.Low && b.Low <= b.Value && b.Value <= b.High && b.High < 10) {
				t.Fatalf("%v of %+v", b, d)
			}
		}
		out, err := dilution.Chill{Parts: []dilution.Dissolved{d}, Start: ethanol.Celsius(start), Vessel: vessel, Ice: ice, Cooled: cooled, Mixing: mixing}.Run()
		if err != nil {
			return
		}
		for _, x := range []float64{out.MeltGrams, float64(out.End), float64(out.Ratio), out.ML, float64(out.Strength)} {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%+v of %+v", out, d)
			}
		}
	})
}
