package schema_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal"
	"fairmeasure/journal/line"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

func typedOf(lines []schema.Line) (all []string) {
	for _, l := range lines {
		all = append(all, l.Typed)
	}
	return all
}

func TestSpecIntent(t *testing.T) {
	t.Run("makes the drink, its benchmark and the lines as typed", func(t *testing.T) {
		b := orchard(t, "phone")
		j := schema.Read(b, b.now)
		s, ok := j.Spec(sourID)
		require.True(t, ok)
		require.Equal(t, "shaken", s.Method)
		d, ok := j.Drink(sourDrink)
		require.True(t, ok)
		require.Equal(t, schema.Drink{ID: sourDrink, Name: "Orchard Sour", Benchmark: sourID}, d)
		lines := j.Lines(sourID)
		require.Equal(t, "1¼ oz juniper-heavy gin", lines[0].Typed)
		require.Equal(t, unit.Volume(37500), lines[0].Volume.Value.Value)
		require.Equal(t, juniper, lines[0].Ingredient, "the name of one of the owner's ingredients is that ingredient")
		require.Equal(t, replica.ID("stock.lemon_juice"), lines[3].Ingredient)
		require.Equal(t, line.Dash, lines[5].Unit)
		require.Equal(t, unit.Known(unit.Strength(4500)), lines[5].Strength)
	})
	t.Run("a drink of that name is joined, not made twice", func(t *testing.T) {
		b := orchard(t, "phone")
		b.do(obj{"do": "spec", "id": newID(30), "drink_name": " orchard sour ", "lines": []obj{{"typed": "45 ml gin"}}})
		j := schema.Read(b, b.now)
		require.Len(t, j.Drinks(), 1)
		s, _ := j.Spec(newID(30))
		require.Equal(t, sourDrink, s.Drink)
	})
	t.Run("a riff takes its parent's drink and remembers which lines it copied", func(t *testing.T) {
		b := orchard(t, "phone")
		b.do(obj{"do": "spec", "id": newID(30), "parent": sourID, "method": "shaken", "lines": []obj{
			{"keep": b.line(sourID, 0), "typed": "1¼ oz juniper-heavy gin"}, {"keep": b.line(sourID, 3), "typed": "1 oz lemon juice"}, {"typed": "5 ml gentian liqueur"},
		}})
		j := schema.Read(b, b.now)
		s, _ := j.Spec(newID(30))
		require.Equal(t, sourDrink, s.Drink)
		lines := j.Lines(newID(30))
		require.Equal(t, b.line(sourID, 0), lines[0].Of)
		require.Equal(t, b.line(sourID, 3), lines[1].Of)
		require.Empty(t, lines[2].Of)
		require.Equal(t, []string{"1¼ oz juniper-heavy gin", "1 oz lemon juice", "5 ml gentian liqueur"}, typedOf(lines))
	})
	t.Run("a change keeps what has its text, moves, adds and takes away", func(t *testing.T) {
		b := orchard(t, "phone")
		before := schema.Read(b, b.now).Lines(sourID)
		b.do(obj{"do": "set", "name": "oz_kind", "value": "us"})
		b.do(obj{"do": "spec", "id": sourID, "garnish": "thyme", "lines": []obj{
			{"keep": before[3].ID, "typed": before[3].Typed, "moved": true}, {"keep": before[0].ID, "typed": "1½ oz juniper-heavy gin"},
			{"typed": "½ oz honey syrup"}, {"id": newID(31), "typed": "1 barspoon verjus"},
			{"keep": before[1].ID, "gone": true}, {"keep": before[2].ID, "gone": true}, {"keep": before[5].ID, "gone": true},
		}})
		j := schema.Read(b, b.now)
		after := j.Lines(sourID)
		require.Equal(t, []string{"¾ oz lemon juice", "1½ oz juniper-heavy gin", "½ oz honey syrup", "1 barspoon verjus"}, typedOf(after))
		require.Equal(t, before[3].ID, after[0].ID)
		require.Equal(t, before[0].ID, after[1].ID)
		require.Equal(t, before[4].ID, after[2].ID, "a line with the very same text is taken up")
		require.Equal(t, newID(31), after[3].ID, "a new line has the id that was minted for it")
		require.Equal(t, unit.Volume(22500), after[0].Volume.Value.Value, "what was read once is not read again")
		require.Equal(t, unit.Volume(45000), after[1].Volume.Value.Value, "a spec keeps to the ounce it was written in")
		s, _ := j.Spec(sourID)
		require.Equal(t, "thyme", s.Garnish)
		require.Equal(t, "shaken", s.Method, "what is not given stays")
	})
	t.Run("a poured one is not rewritten, but named and corrected", func(t *testing.T) {
		b := orchard(t, "phone")
		b.do(obj{"do": "pour", "id": newID(40), "spec": sourID})
		require.Equal(t, "poured", b.refused(obj{"do": "spec", "id": sourID, "lines": []obj{{"id": newID(31), "typed": "45 ml gin"}}}))
		require.Equal(t, "poured", b.refused(obj{"do": "edit", "id": sourID, "kind": "spec", "set": obj{"method": "stirred"}}))
		var same []obj
		for _, l := range schema.Read(b, b.now).Lines(sourID) {
			same = append(same, obj{"keep": l.ID, "typed": l.Typed})
		}
		b.do(obj{"do": "spec", "id": sourID, "name": "House version", "lines": same})
		s, _ := schema.Read(b, b.now).Spec(sourID)
		require.Equal(t, "House version", s.Name)
		for i := range same {
			same[i]["gone"] = i > 0
		}
		same[0]["typed"] = "45 ml gin"
		b.do(obj{"do": "spec", "id": sourID, "slip": true, "lines": same})
		require.Equal(t, []string{"45 ml gin"}, typedOf(schema.Read(b, b.now).Lines(sourID)))
	})
	t.Run("refusals", func(t *testing.T) {
		b := orchard(t, "phone")
		many := make([]obj, 61)
		for i := range many {
			many[i] = obj{"typed": "1 ml gin"}
		}
		for code, in := range map[string]obj{
			"bad_id":         {"do": "spec", "id": "x", "lines": []obj{}},
			"empty":          {"do": "spec", "id": newID(30), "lines": []obj{}},
			"not_found":      {"do": "spec", "id": newID(30), "parent": newID(99), "lines": []obj{{"typed": "1 oz gin"}}},
			"too_many_lines": {"do": "spec", "id": newID(30), "lines": many},
			"mixed_ounces":   {"do": "spec", "id": newID(30), "lines": []obj{{"typed": "1 us oz gin"}, {"typed": "1 imperial oz rum"}}},
			"too_long":       {"do": "spec", "id": newID(30), "note": strings.Repeat("a", 8193), "lines": []obj{{"typed": "1 oz gin"}}},
			"out_of_range":   {"do": "spec", "id": newID(30), "part_ul": -1, "lines": []obj{{"typed": "1 part gin"}}},
			"id_taken":       {"do": "spec", "id": juniper, "lines": []obj{{"typed": "1 oz gin"}}},
			"bad_text":       {"do": "spec", "id": newID(30), "name": "a\u0000b", "lines": []obj{{"typed": "1 oz gin"}}},
			"malformed":      {"do": "spec", "id": newID(30), "linse": []obj{}},
			"unknown_intent": {"do": "dance"},
		} {
			require.Equal(t, code, b.refused(in))
		}
		for _, typed := range []string{"6 l gin", "45 ml gin, 140 %", "0 ml gin", "3 zorks gin", strings.Repeat("gin ", 60)} {
			_, err := b.plan(obj{"do": "spec", "id": newID(30), "lines": []obj{{"typed": typed}}})
			require.NotEmpty(t, refusal(t, err), typed)
		}
		_, err := b.plan(obj{"do": "spec", "id": newID(30), "lines": []obj{{"typed": "1 oz gin"}, {"typed": "-3 ml rum"}}})
		var r *journal.Refusal
		require.ErrorAs(t, err, &r)
		require.Equal(t, "lines.1", r.Field, "the refusal names the line")
	})
}

func TestLineIntent(t *testing.T) {
	t.Run("an unpoured spec is changed", func(t *testing.T) {
		b := orchard(t, "phone")
		done := b.do(obj{"do": "line", "id": newID(30), "spec": sourID, "line": b.line(sourID, 3), "typed": "20 ml lemon juice"})
		require.Equal(t, schema.Done{Made: sourID, Touched: []replica.ID{b.line(sourID, 3)}}, done)
		require.Equal(t, "20 ml lemon juice", schema.Read(b, b.now).Lines(sourID)[3].Typed)
	})
	t.Run("a poured one becomes a riff with that line changed, once", func(t *testing.T) {
		b := orchard(t, "phone")
		b.do(obj{"do": "pour", "id": newID(40), "spec": sourID})
		change := func(id int) obj {
			return obj{"do": "line", "id": newID(id), "spec": sourID, "line": b.line(sourID, 3), "typed": "20 ml lemon juice"}
		}
		done := b.do(change(30))
		require.Equal(t, newID(30), done.Riff)
		j := schema.Read(b, b.now)
		require.Equal(t, "¾ oz lemon juice", j.Lines(sourID)[3].Typed)
		require.Equal(t, "20 ml lemon juice", j.Lines(newID(30))[3].Typed)
		require.Len(t, j.Lines(newID(30)), 6)
		riff, _ := j.Spec(newID(30))
		require.Equal(t, sourID, riff.Parent)
		require.Equal(t, "bay leaf", riff.Garnish)
		again := b.do(change(31))
		require.Equal(t, newID(30), again.Riff, "the riff of that content is there already")
		require.Empty(t, again.Touched)
	})
	t.Run("a slip is corrected in place", func(t *testing.T) {
		b := orchard(t, "phone")
		b.do(obj{"do": "pour", "id": newID(40), "spec": sourID})
		b.do(obj{"do": "line", "id": newID(30), "spec": sourID, "line": b.line(sourID, 3), "typed": "20 ml lemon juice", "slip": true})
		require.Equal(t, "20 ml lemon juice", schema.Read(b, b.now).Lines(sourID)[3].Typed)
	})
	t.Run("refusals", func(t *testing.T) {
		b := orchard(t, "phone")
		for code, typed := range map[string]string{"one_line": "equal parts gin, dry vermouth", "mixed_ounces": "1 imperial oz lemon juice"} {
			require.Equal(t, code, b.refused(obj{"do": "line", "id": newID(30), "spec": sourID, "line": b.line(sourID, 3), "typed": typed}))
		}
		require.Equal(t, "not_found", b.refused(obj{"do": "line", "id": newID(30), "spec": sourID, "line": newID(77), "typed": "1 oz gin"}))
		require.Equal(t, "not_found", b.refused(obj{"do": "line", "id": newID(30), "spec": newID(77), "line": newID(77), "typed": "1 oz gin"}))
	})
}

func TestPourIntent(t *testing.T) {
	t.Run("writes down what was in the glass", func(t *testing.T) {
		b := orchard(t, "phone")
		done := b.do(obj{"do": "pour", "id": newID(40), "spec": sourID, "share_bp": 5000, "score_x10": 75, "note": "sharp", "tags": []string{"pear", "too sweet"}})
		require.Equal(t, newID(40), done.Made)
		p, ok := schema.Read(b, b.now).Pour(newID(40))
		require.True(t, ok)
		require.Equal(t, evening, p.AtMS)
		require.Equal(t, 120, p.OffsetMin)
		require.Equal(t, "Europe/Paris", p.Zone)
		require.Equal(t, unit.Share(5000), p.Share)
		require.Equal(t, unit.Known(int64(75)), p.ScoreX10)
		made, err := journal.ParseMade(p.Made)
		require.NoError(t, err)
		require.Equal(t, journal.Shaken, made.Method)
		require.Len(t, made.Parts, 6)
		gin := made.Parts[0]
		require.Equal(t, journal.ID(juniper), gin.Ingredient)
		require.Equal(t, journal.ID(juniperFull), gin.Bottle, "the open bottle of it")
		require.Equal(t, unit.Exact(unit.Volume(37500)), gin.Volume.Value)
		require.Equal(t, unit.Exact(unit.Strength(4700)), gin.Content.Strength.Value)
		require.Equal(t, unit.Band[unit.Concentration]{Value: 0, Low: 0, High: 10_000}, gin.Content.Sugar.Value, "the stock gin's sugar, as the owner gave none")
		require.Equal(t, unit.Band[unit.Concentration]{Value: 60_000, Low: 48_000, High: 72_000}, made.Parts[3].Content.Acid.Value)
		require.False(t, made.Parts[2].Content.Sugar.Known, "nobody knows the sugar of a quince liqueur: unknown, not zero")
	})
	t.Run("one ingredient swapped makes the riff once", func(t *testing.T) {
		b := orchard(t, "phone")
		swap := func(id int) obj {
			return obj{"do": "pour", "id": newID(id), "spec": sourID, "swap": obj{"line": b.line(sourID, 0), "ingredient": floral}}
		}
		first := b.do(swap(40))
		require.NotEmpty(t, first.Riff)
		j := schema.Read(b, b.now)
		riff := j.Lines(first.Riff)
		require.Equal(t, "1¼ oz soft floral gin", riff[0].Typed)
		require.Equal(t, floral, riff[0].Ingredient)
		require.Equal(t, b.line(sourID, 0), riff[0].Of)
		require.Equal(t, typedOf(j.Lines(sourID))[1:], typedOf(riff)[1:])
		p, _ := j.Pour(newID(40))
		require.Equal(t, first.Riff, p.Spec)
		made, err := journal.ParseMade(p.Made)
		require.NoError(t, err)
		require.Equal(t, "soft floral gin", made.Parts[0].Name)
		require.Equal(t, unit.Exact(unit.Strength(4150)), made.Parts[0].Content.Strength.Value)

		second := b.do(swap(41))
		require.Equal(t, first.Riff, second.Riff, "tapping again finds it")
		require.Len(t, schema.Read(b, b.now).Specs(), 2)
		back := b.do(obj{"do": "pour", "id": newID(42), "spec": sourID, "swap": obj{"line": b.line(sourID, 0), "ingredient": juniper}})
		require.Empty(t, back.Riff, "a swap to what is written is the spec itself")
		p, _ = schema.Read(b, b.now).Pour(newID(42))
		require.Equal(t, sourID, p.Spec)
	})
	t.Run("a riff typed by hand is found as well", func(t *testing.T) {
		b := orchard(t, "phone")
		var lines []obj
		for i, l := range schema.Read(b, b.now).Lines(sourID) {
			if i == 0 {
				l.Typed = "37.5 ml soft floral gin, 41.5 %"
			}
			lines = append(lines, obj{"typed": l.Typed})
		}
		b.do(obj{"do": "spec", "id": newID(30), "parent": sourID, "method": "shaken", "ice": "cubes", "glass": "coupe", "garnish": "bay leaf", "lines": lines})
		done := b.do(obj{"do": "pour", "id": newID(40), "spec": sourID, "swap": obj{"line": b.line(sourID, 0), "ingredient": floral}})
		require.Equal(t, newID(30), done.Riff)
	})
	t.Run("an amount that only suits the old name is told in millilitres", func(t *testing.T) {
		b := orchard(t, "phone")
		b.do(obj{"do": "spec", "id": newID(30), "method": "shaken", "lines": []obj{{"typed": "2 oz gin"}, {"typed": "juice of half a lime"}}})
		done := b.do(obj{"do": "pour", "id": newID(40), "spec": newID(30), "swap": obj{"line": b.line(newID(30), 1), "ingredient": "stock.verjus"}})
		was, is := schema.Read(b, b.now).Lines(newID(30))[1], schema.Read(b, b.now).Lines(done.Riff)[1]
		require.Equal(t, was.Volume, is.Volume, "amount kept")
		require.Equal(t, "verjus", is.Calls())
		require.Regexp(t, `^[0-9.]+ ml verjus$`, is.Typed)
	})
	t.Run("refusals", func(t *testing.T) {
		b := orchard(t, "phone")
		pour := func(more obj) obj {
			in := obj{"do": "pour", "id": newID(40), "spec": sourID}
			for k, v := range more {
				in[k] = v
			}
			return in
		}
		for _, c := range []struct {
			code string
			in   obj
		}{
			{"not_found", pour(obj{"spec": newID(77)})},
			{"not_found", pour(obj{"swap": obj{"line": newID(77), "ingredient": floral}})},
			{"not_found", pour(obj{"swap": obj{"line": b.line(sourID, 0), "ingredient": newID(77)}})},
			{"out_of_range", pour(obj{"score_x10": 101})},
			{"out_of_range", pour(obj{"score_x10": -5})},
			{"wrong_step", pour(obj{"score_x10": 83})},
			{"out_of_range", pour(obj{"share_bp": 10001})},
			{"in_the_future", pour(obj{"at_ms": evening + 25*60*minute})},
			{"out_of_range", pour(obj{"at_ms": -1})},
			{"out_of_range", pour(obj{"offset_min": 15 * 60})},
			{"out_of_range", pour(obj{"water_ul": -1})},
			{"lighter_after", pour(obj{"before_mg": 120_000, "after_mg": 119_000})},
			{"bad_tag", pour(obj{"tags": []string{"ver\tjus"}})},
			{"malformed", pour(obj{"score_x10": 8.5})},
			{"too_long", pour(obj{"note": strings.Repeat("ü", 4097)})},
			{"bad_id", pour(obj{"id": "01KRPZ"})},
			{"id_taken", pour(obj{"id": sourID})},
		} {
			require.Equal(t, c.code, b.refused(c.in), "%v", c.in)
		}
		_, err := b.plan(pour(obj{"at_ms": evening + 23*60*minute}))
		require.NoError(t, err, "a clock a little ahead is no reason to refuse")
	})
}

func TestAgainCopiesTheGlass(t *testing.T) {
	b := orchard(t, "phone")
	b.do(obj{"do": "pour", "id": newID(40), "spec": sourID, "share_bp": 5000, "score_x10": 75, "note": "sharp", "tags": []string{"pear"}, "before_mg": 100_000, "after_mg": 150_000})
	b.do(obj{"do": "edit", "id": juniper, "kind": "ingredient", "set": obj{"abv_bp": 6000}})
	b.now.MS += 40 * minute
	b.do(obj{"do": "again", "id": newID(41), "pour": newID(40)})
	j := schema.Read(b, b.now)
	first, _ := j.Pour(newID(40))
	second, _ := j.Pour(newID(41))
	require.Equal(t, first.Made, second.Made, "what was in it then, not what its spec would give now")
	require.Equal(t, first.Spec, second.Spec)
	require.Equal(t, first.Share, second.Share)
	require.False(t, second.ScoreX10.Known)
	require.Empty(t, second.Note)
	require.False(t, second.BeforeMG.Known, "a measurement belongs to its own glass")
	require.Equal(t, evening+40*minute, second.AtMS)

	b.do(obj{"do": "plain", "id": newID(42), "name": "pint", "vol_ul": 568_000, "abv_bp": 450})
	b.do(obj{"do": "again", "id": newID(43), "pour": newID(42)})
	p, _ := schema.Read(b, b.now).Pour(newID(43))
	require.True(t, p.Plain())
	require.Equal(t, "pint", p.Name)
	require.Equal(t, unit.Known(unit.Strength(450)), p.Strength)
	require.Equal(t, "not_found", b.refused(obj{"do": "again", "id": newID(44), "pour": newID(77)}))
}

func TestPlainIntent(t *testing.T) {
	b := orchard(t, "phone")
	b.do(obj{"do": "plain", "id": newID(40), "name": "cider", "vol_ul": 330_000, "abv_bp": 500, "keep": true})
	b.do(obj{"do": "plain", "id": newID(41), "name": "cider", "vol_ul": 330_000, "abv_bp": 500, "keep": true})
	b.do(obj{"do": "plain", "id": newID(42), "name": "some punch", "vol_ul": 200_000, "abv_bp": nil, "about": true})
	plains := dig(t, b.ask(obj{"q": "tonight"}), "plains").([]any)
	require.Len(t, plains, 1, "kept once")
	require.Equal(t, "cider", dig(t, plains, 0, "name"))
	p, _ := schema.Read(b, b.now).Pour(newID(42))
	require.False(t, p.Strength.Known)
	require.True(t, p.About)
	for code, in := range map[string]obj{
		"empty":        {"do": "plain", "id": newID(43), "name": "  ", "vol_ul": 1},
		"out_of_range": {"do": "plain", "id": newID(43), "name": "vat", "vol_ul": 5_000_001},
		"not_a_number": {"do": "edit", "id": newID(42), "kind": "pour", "set": obj{"vol_ul": "much"}},
	} {
		require.Equal(t, code, b.refused(in))
	}
	require.Equal(t, "out_of_range", b.refused(obj{"do": "plain", "id": newID(43), "name": "x", "vol_ul": 1000, "abv_bp": 10_001}))
}

func TestBottleIntent(t *testing.T) {
	b := orchard(t, "phone")
	done := b.do(obj{"do": "bottle", "id": newID(50), "name": "quince liqueur", "abv_bp": 2400, "size_ul": 500_000})
	j := schema.Read(b, b.now)
	var made schema.Bottle
	for _, x := range j.Bottles() {
		if x.ID == done.Made {
			made = x
		}
	}
	i := j.Ingredient(made.Ingredient)
	require.Equal(t, "quince liqueur", i.Name)
	require.Equal(t, unit.Known(unit.Strength(2400)), i.Strength)

	b.do(obj{"do": "bottle", "id": newID(51), "name": "Quince Liqueur", "abv_bp": 2400, "size_ul": 500_000})
	require.Len(t, schema.Read(b, b.now).OwnIngredients(), 5, "the same thing bought again is the same ingredient")
	b.do(obj{"do": "bottle", "id": newID(52), "name": "", "ingredient": "stock.dry_vermouth", "abv_bp": 1700})
	require.Len(t, schema.Read(b, b.now).OwnIngredients(), 6, "a correction of the stock is one of the owner's")
	b.do(obj{"do": "bottle", "id": newID(53), "name": "strange liquid"})
	require.Equal(t, "empty", b.refused(obj{"do": "bottle", "id": newID(54), "name": ""}))
	require.Equal(t, "bad_day", b.refused(obj{"do": "bottle", "id": newID(54), "name": "gin", "opened_on": "2026-02-30"}))
	require.Equal(t, "not_found", b.refused(obj{"do": "bottle", "id": newID(54), "name": "gin", "ingredient": newID(77)}))
}

func TestEditIntent(t *testing.T) {
	b := orchard(t, "phone")
	b.do(obj{"do": "pour", "id": newID(40), "spec": sourID, "score_x10": 75})
	b.do(obj{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"score_x10": 85, "note": " two\nlines ", "tag.quince": true}})
	p, _ := schema.Read(b, b.now).Pour(newID(40))
	require.Equal(t, unit.Known(int64(85)), p.ScoreX10)
	require.Equal(t, "two\nlines", p.Note)
	b.do(obj{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"score_x10": nil}})
	p, _ = schema.Read(b, b.now).Pour(newID(40))
	require.False(t, p.ScoreX10.Known)
	plan, err := b.plan(obj{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"note": "two\nlines"}})
	require.NoError(t, err)
	require.Empty(t, plan.Edits, "nothing changes, nothing is written")
	plan, err = b.plan(obj{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"at_ms": evening - minute}})
	require.NoError(t, err)
	require.Len(t, plan.Edits[0].Set, 3, "instant, offset and zone change together")

	for _, c := range []struct {
		code string
		id   replica.ID
		kind string
		set  obj
	}{
		{"unknown_kind", newID(40), "throne", obj{"a": 1}},
		{"unknown_field", newID(40), "pour", obj{"made": "x"}},
		{"unknown_field", newID(40), "pour", obj{"gone": "x"}},
		{"id_taken", newID(40), "spec", obj{"name": "x"}},
		{"not_found", newID(77), "pour", obj{"note": "x"}},
		{"empty", newID(40), "pour", obj{}},
		{"not_plain", newID(40), "pour", obj{"abv_bp": 100}},
		{"in_the_future", newID(40), "pour", obj{"at_ms": evening + 48*60*minute}},
		{"wrong_step", newID(40), "pour", obj{"score_x10": 84}},
		{"not_a_number", newID(40), "pour", obj{"score_x10": "8.5"}},
		{"malformed", newID(40), "pour", obj{"note": []int{1}}},
		{"not_yes_or_no", newID(40), "pour", obj{"tag.pear": "yes"}},
		{"not_a_text", newID(40), "pour", obj{"note": 3}},
		{"bad_id", sourDrink, "drink", obj{"benchmark": "no such id"}},
		{"bad_position", b.line(sourID, 0), "line", obj{"pos": "a b"}},
		{"unknown_field", b.line(sourID, 0), "line", obj{"vol_ul": 3}},
		{"unknown_word", newID(40), "pour", obj{"sight": "squinting"}},
		{"bad_id", "stock.gin", "ingredient", obj{"name": "x"}},
		{"empty", newID(60), "level", obj{"bottle": juniperFull}},
	} {
		require.Equal(t, c.code, b.refused(obj{"do": "edit", "id": c.id, "kind": c.kind, "set": c.set}), "%v", c)
	}
	t.Run("moving a line writes only its place", func(t *testing.T) {
		plan, err := b.plan(obj{"do": "edit", "id": b.line(sourID, 5), "kind": "line", "set": obj{"pos": "01"}})
		require.NoError(t, err)
		require.Len(t, plan.Edits[0].Set, 1)
		b.apply(plan)
		require.Equal(t, "2 dashes orange bitters, 45 %", schema.Read(b, b.now).Lines(sourID)[0].Typed)
	})
}

func TestDeleteRestoreEraseIntents(t *testing.T) {
	b := orchard(t, "phone")
	lines := schema.Read(b, b.now).Lines(sourID)
	b.do(obj{"do": "delete", "id": lines[5].ID})
	done := b.do(obj{"do": "delete", "id": sourID})
	require.Len(t, done.Touched, 6, "the spec and the five lines left go together")
	j := schema.Read(b, b.now)
	_, ok := j.Spec(sourID)
	require.False(t, ok)
	require.Empty(t, j.Lines(sourID))
	_, ok = j.Drink(sourDrink)
	require.True(t, ok, "the drink stays")
	b.do(obj{"do": "restore", "id": sourID})
	require.Len(t, schema.Read(b, b.now).Lines(sourID), 5, "the line deleted before stays deleted")
	require.Equal(t, "not_in_trash", b.refused(obj{"do": "erase", "id": sourID}))
	b.do(obj{"do": "delete", "id": sourID})
	b.do(obj{"do": "erase", "id": sourID})
	for _, l := range lines {
		_, ok := b.Get(l.ID)
		require.False(t, ok)
	}
	require.Equal(t, "not_found", b.refused(obj{"do": "delete", "id": newID(77)}))
	require.Equal(t, "not_found", b.refused(obj{"do": "restore", "id": newID(77)}))
}

func TestBenchmarkSetDayWater(t *testing.T) {
	b := orchard(t, "phone")
	b.do(obj{"do": "spec", "id": newID(30), "parent": sourID, "lines": []obj{{"typed": "45 ml gin"}}})
	b.do(obj{"do": "benchmark", "spec": newID(30)})
	d, _ := schema.Read(b, b.now).Drink(sourDrink)
	require.Equal(t, newID(30), d.Benchmark)
	b.do(obj{"do": "spec", "id": newID(31), "lines": []obj{{"typed": "45 ml gin"}}})
	require.Equal(t, "no_drink", b.refused(obj{"do": "benchmark", "spec": newID(31)}))

	for name, value := range map[string]any{"day_start_min": 240, "week_start": "sun", "quiet": true, "dash_ul": 700, "own_day_drinks_x10": 20, "units": "oz"} {
		b.do(obj{"do": "set", "name": name, "value": value})
		require.EqualValues(t, value, dig(t, b.ask(obj{"q": "keeper"}), "settings", name))
	}
	b.do(obj{"do": "set", "name": "own_day_drinks_x10", "value": nil})
	require.Nil(t, dig(t, b.ask(obj{"q": "keeper"}), "settings", "own_day_drinks_x10"))
	for code, in := range map[string]obj{
		"unknown_setting": {"do": "set", "name": "colour", "value": "red"},
		"unknown_country": {"do": "set", "name": "country", "value": "Atlantis"},
		"wrong_step":      {"do": "set", "name": "day_start_min", "value": 17},
		"unknown_word":    {"do": "set", "name": "units", "value": "cups"},
	} {
		require.Equal(t, code, b.refused(in))
	}
	b.do(obj{"do": "day", "day": "2026-05-12", "alcohol_free": true})
	require.Equal(t, "bad_day", b.refused(obj{"do": "day", "day": "2026-13-12", "alcohol_free": true}))
	require.Equal(t, "in_the_future", b.refused(obj{"do": "day", "day": "2026-06-12", "alcohol_free": true}))
	require.Equal(t, "out_of_range", b.refused(obj{"do": "water", "id": newID(70), "vol_ul": 0}))
}

// TestRepeatedIntents carries every kind of intent out twice: the second time nothing is left to do, and it says the same.
func TestRepeatedIntents(t *testing.T) {
	b := orchard(t, "phone")
	l3 := b.line(sourID, 3)
	for _, in := range []obj{
		{"do": "spec", "id": newID(30), "parent": sourID, "name": "bitter", "lines": []obj{{"keep": b.line(sourID, 0), "typed": "1¼ oz juniper-heavy gin"}, {"typed": "5 ml gentian liqueur"}, {"typed": "equal parts gin, rum"}}},
		{"do": "spec", "id": newID(31), "drink_name": "Another", "lines": []obj{{"typed": "45 ml gin"}, {"typed": "45 ml gin"}}},
		{"do": "spec", "id": newID(31), "lines": []obj{{"typed": "45 ml gin"}, {"id": newID(51), "typed": "20 ml gin"}, {"id": newID(52), "typed": "20 ml gin"}}},
		{"do": "spec", "id": newID(31), "lines": []obj{{"id": newID(51), "typed": "equal parts gin, rum"}, {"id": newID(53), "typed": "equal parts gin, rum, rye"}, {"id": newID(52), "gone": true}}},
		{"do": "line", "id": newID(32), "spec": sourID, "line": l3, "typed": "20 ml lemon juice"},
		{"do": "pour", "id": newID(40), "spec": sourID, "score_x10": 75, "tags": []string{"pear"}},
		{"do": "pour", "id": newID(41), "spec": sourID, "swap": obj{"line": b.line(sourID, 0), "ingredient": floral}},
		{"do": "line", "id": newID(33), "spec": sourID, "line": l3, "typed": "25 ml lemon juice"},
		{"do": "again", "id": newID(42), "pour": newID(41)},
		{"do": "plain", "id": newID(43), "name": "pint", "vol_ul": 568_000, "abv_bp": 450, "keep": true},
		{"do": "water", "id": newID(44), "vol_ul": 250_000},
		{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"score_x10": 80, "note": "longer"}},
		{"do": "edit", "id": newID(45), "kind": "ingredient", "set": obj{"name": "rye"}},
		{"do": "edit", "id": newID(46), "kind": "level", "set": obj{"bottle": juniperFull, "at_ms": evening, "left_ul": 500_000}},
		{"do": "bottle", "id": newID(47), "name": "genever", "abv_bp": 3500},
		{"do": "benchmark", "spec": newID(30)},
		{"do": "set", "name": "week_start", "value": "sun"},
		{"do": "day", "day": "2026-05-12", "alcohol_free": true},
		{"do": "delete", "id": newID(31)},
		{"do": "restore", "id": newID(31)},
		{"do": "delete", "id": newID(31)},
		{"do": "erase", "id": newID(31)},
	} {
		first := b.do(in)
		shown := b.state.AppendCanon(nil)
		b.now.MS += 7 // a repetition comes later
		plan, err := b.plan(in)
		require.NoError(t, err, "%v", in)
		require.Empty(t, plan.Edits, "%v", in)
		require.Equal(t, first.Made, plan.Done.Made, "%v", in)
		require.Equal(t, first.Riff, plan.Done.Riff, "%v", in)
		require.Equal(t, shown, b.state.AppendCanon(nil))
	}
}
