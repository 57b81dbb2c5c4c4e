package schema_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

// weighing is a journal with two specs of one plain sour: 60 ml at 40 %, 22.5 ml of lime, 22.5 ml of syrup. Its start has
// 22.86 % vol, for which the published curve says 0.5193 (testdata/reference/chemistry_checks.csv CH33): 54.53 ml of water.
const (
	curveUL = 54_530
	cubes   = 30
	pebble  = 31
)

func weighing(t testing.TB) *book {
	b := newBook(t, "phone")
	for id, ice := range map[int]string{cubes: "cubes", pebble: "Pebble "} {
		b.do(obj{"do": "spec", "id": newID(id), "name": ice, "method": "shaken", "ice": ice, "lines": []obj{
			{"typed": "60 ml gin, 40 %"}, {"typed": "22.5 ml lime juice"}, {"typed": "22.5 ml simple syrup"},
		}})
	}
	return b
}

// pour records a glass with so much of the curve's water.
func (b *book) pourWith(id, spec int, share float64) {
	b.t.Helper()
	b.do(obj{"do": "pour", "id": newID(id), "spec": newID(spec), "water_ul": int64(share * curveUL)})
}

func rowJSON(ice string, drinks, percent, lo, hi, seen float64) obj {
	return obj{"method": "shaken", "ice": ice, "drinks": drinks, "percent": percent, "lo": lo, "hi": hi, "seen_percent": seen}
}

func TestCalibration(t *testing.T) {
	b := weighing(t)
	rows := func() any { return b.ask(obj{"q": "calibration"})["rows"] }
	spec := func(id int) any { return b.ask(obj{"q": "spec", "id": newID(id)})["balance"] }
	require.Equal(t, []any{}, rows())
	require.Equal(t, "curve", dig(t, spec(cubes), "basis"))
	require.Equal(t, 55.0, dig(t, spec(cubes), "water_ml", "v"))

	// One drink at 80 %: it counts for 0.0481/0.0625 of its distance, 84.6 %; half of the band is 16.0 %.
	b.pourWith(40, cubes, 0.8)
	require.Equal(t, []any{rowJSON("cubes", 1, 85, 69, 101, 80)}, rows())
	require.Equal(t, "own", dig(t, spec(cubes), "basis"))
	require.Equal(t, 46.0, dig(t, spec(cubes), "water_ml", "v"), "54.53 by 0.846")
	require.Equal(t, 37.0, dig(t, spec(cubes), "water_ml", "lo"))
	require.Equal(t, 55.0, dig(t, spec(cubes), "water_ml", "hi"))
	require.Equal(t, 46.0, dig(t, spec(pebble), "water_ml", "v"), "with other ice as over all")
	require.Equal(t, "measured", dig(t, b.ask(obj{"q": "pour", "id": newID(40)}), "balance", "basis"), "its own measure wins")

	t.Run("a pour that nobody weighed stands on the others", func(t *testing.T) {
		b.do(obj{"do": "pour", "id": newID(41), "spec": newID(cubes)})
		require.Equal(t, "own", dig(t, b.ask(obj{"q": "pour", "id": newID(41)}), "balance", "basis"))
	})
	t.Run("by ice, and over all", func(t *testing.T) {
		b.pourWith(42, pebble, 1.3)
		// 0.3 by 0.7696 is 23.1 %; over both the mean is 105 %, and two drinks count for 0.0962/0.1106;
		// half of that band is the root of 0.0481/7.68 + 0.0144.
		require.Equal(t, []any{rowJSON("", 2, 104, 90, 119, 105), rowJSON("cubes", 1, 85, 69, 101, 80), rowJSON("pebble", 1, 123, 107, 139, 130)}, rows())
		require.Equal(t, 67.0, dig(t, spec(pebble), "water_ml", "v"))
		a := b.ask(obj{"q": "draft", "method": "shaken", "lines": []string{"60 ml gin, 40 %", "22.5 ml lime juice", "22.5 ml simple syrup"}})
		require.Equal(t, 57.0, dig(t, a, "balance", "water_ml", "v"), "without ice as over all")
		b.do(obj{"do": "delete", "id": newID(42)})
		require.Len(t, rows(), 1, "what is in the trash tells nothing")
	})
	t.Run("what tells nothing of the curve is passed over", func(t *testing.T) {
		before := rows()
		b.pourWith(43, cubes, 5)   // the tin was on the scale
		b.pourWith(44, cubes, 0.1) // nothing was
		b.do(obj{"do": "pour", "id": newID(45), "spec": newID(cubes), "water_ul": curveUL, "about": true})
		for i, lines := range [][]obj{
			{{"typed": "60 ml vermouth, 16 %"}, {"typed": "60 ml lime juice"}}, {{"typed": "60 ml rum, 57 %"}}, {{"typed": "60 ml quince liqueur"}, {"typed": "60 ml gin, 40 %"}},
		} {
			b.do(obj{"do": "spec", "id": newID(50 + i), "name": fmt.Sprint("other ", i), "method": "shaken", "lines": lines})
			b.do(obj{"do": "pour", "id": newID(60 + i), "spec": newID(50 + i), "water_ul": 60_000})
		}
		b.do(obj{"do": "spec", "id": newID(53), "name": "built", "method": "built", "lines": []obj{{"typed": "60 ml gin, 40 %"}}})
		b.do(obj{"do": "pour", "id": newID(63), "spec": newID(53), "water_ul": 30_000})
		b.do(obj{"do": "plain", "id": newID(64), "name": "pint", "vol_ul": 568_000, "abv_bp": 450})
		require.Equal(t, before, rows())
		require.Equal(t, "habit", dig(t, spec(53), "basis"))
	})
	t.Run("weighed, and for someone else", func(t *testing.T) {
		b.do(obj{"do": "pour", "id": newID(46), "spec": newID(cubes), "share_bp": 0, "before_mg": 110_000, "after_mg": 153_546})
		// two drinks: 0.2 by 0.8698
		require.Equal(t, []any{rowJSON("cubes", 2, 83, 68, 97, 80)}, rows())
	})
	t.Run("a change of a line stands on the same water", func(t *testing.T) {
		require.NotEqual(t, "", dig(t, spec(cubes), "verdict", "acid_percent"))
		a := b.ask(obj{"q": "adjust", "spec": newID(cubes), "keys": []string{"acid_percent"}})
		require.Equal(t, true, a["found"])
		require.Equal(t, "own", dig(t, a, "balance", "basis"))
		require.Equal(t, "in", dig(t, a, "balance", "verdict", "acid_percent"))
	})
}

// TestCalibrationIsOfTheJournal: it does not hang on who weighed what first, nor on which device asks.
func TestCalibrationIsOfTheJournal(t *testing.T) {
	var first []byte
	rng := rand.New(rand.NewPCG(3, 9))
	for range 6 {
		phone := weighing(t)
		laptop := newBook(t, "laptop")
		laptop.join(phone)
		for _, i := range rng.Perm(20) {
			on := phone
			if rng.IntN(2) == 0 {
				on = laptop
			}
			on.now.MS = evening + int64(rng.IntN(1000))*minute
			on.pourWith(40+i, []int{cubes, pebble}[i%2], 0.6+0.07*float64(i))
		}
		phone.join(laptop)
		for _, b := range []*book{phone, laptop} {
			b.now.MS = evening
			got, err := schema.Ask(b, b.now, []byte(`{"q":"calibration"}`))
			require.NoError(t, err)
			if first == nil {
				first = got
			}
			require.JSONEq(t, string(first), string(got))
		}
	}
	var a struct{ Rows []struct{ Drinks int } }
	require.NoError(t, json.Unmarshal(first, &a))
	require.Len(t, a.Rows, 3)
	require.Equal(t, 20, a.Rows[0].Drinks)
}

// TestMeltRemarks: hard to believe is said, and nothing is refused.
func TestMeltRemarks(t *testing.T) {
	b := weighing(t)
	for i, c := range []struct {
		ul   int64
		code string
	}{{20_000, "melt_too_little"}, {220_000, "melt_too_much"}} {
		b.do(obj{"do": "pour", "id": newID(40 + i), "spec": newID(cubes), "water_ul": c.ul})
		require.Contains(t, dig(t, b.ask(obj{"q": "pour", "id": newID(40 + i)}), "balance", "remarks"), obj{"code": c.code, "names": []any{}})
	}
	b.pourWith(42, cubes, 1)
	require.Empty(t, dig(t, b.ask(obj{"q": "pour", "id": newID(42)}), "balance", "remarks"))
}

// TestWeakDrinksAndTheCold: the two figures that rest on the model of energy, as the screens get them.
func TestWeakDrinksAndTheCold(t *testing.T) {
	b := weighing(t)
	a := b.ask(obj{"q": "spec", "id": newID(cubes)})
	require.Equal(t, -6.8, dig(t, a, "balance", "coldest_c", "v"), "worked out in journal/balance")
	require.Less(t, dig(t, a, "balance", "coldest_c", "lo"), -7.3)
	require.Equal(t, 1.0, dig(t, a, "balance", "coldest_c", "dec"))

	a = b.ask(obj{"q": "draft", "method": "shaken", "lines": []string{"100 ml water"}})
	require.Equal(t, "energy", dig(t, a, "balance", "basis"))
	require.Equal(t, 32.0, dig(t, a, "balance", "water_ml", "v"), "0.324 of the start")
	require.Equal(t, 24.0, dig(t, a, "balance", "water_ml", "lo"))
	require.Equal(t, 40.0, dig(t, a, "balance", "water_ml", "hi"))
	require.NotContains(t, fmt.Sprint(dig(t, a, "balance", "remarks")), "outside_curve")

	a = b.ask(obj{"q": "draft", "method": "shaken", "lines": []string{"60 ml rum, 57 %"}})
	require.Equal(t, "habit", dig(t, a, "balance", "basis"))
	require.Contains(t, dig(t, a, "balance", "remarks"), obj{"code": "outside_curve", "names": []any{}})

	a = b.ask(obj{"q": "draft", "method": "shaken", "lines": []string{"60 ml something nobody knows"}})
	require.Nil(t, dig(t, a, "balance", "coldest_c", "v"))
	require.Nil(t, dig(t, a, "balance", "coldest_c", "lo"))
}

// BenchmarkCalibration: what a large journal with 500 weighed pours adds to a spec and to a draft.
func BenchmarkCalibration(b *testing.B) {
	j := large(b, 5000)
	for i := range 500 {
		e, _ := j.state.Get(newID(100_000 + 10*i))
		e.Put("water_ul", replica.Write{Stamp: replica.Stamp{Run: "run00000000", N: 1}, At: evening, Value: replica.Int(int64(30_000 + 50*i))})
		e.Put("before_mg", replica.Write{Stamp: replica.Stamp{Run: "run00000000", N: 1}, At: evening, Value: replica.Null})
		e.Put("after_mg", replica.Write{Stamp: replica.Stamp{Run: "run00000000", N: 1}, At: evening, Value: replica.Null})
	}
	for _, q := range []obj{
		{"q": "calibration"}, {"q": "spec", "id": newID(4001)}, {"q": "draft", "method": "shaken", "lines": []string{"45 ml gin", "20 ml lemon juice", "20 ml honey syrup"}},
	} {
		raw, _ := json.Marshal(q)
		reader := schema.NewReader()
		b.Run(fmt.Sprint(q["q"]), func(b *testing.B) {
			for b.Loop() {
				if _, err := reader.Ask(j, j.now, raw); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
