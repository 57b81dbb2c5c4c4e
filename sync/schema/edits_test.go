package schema_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

// seen is a view of a few entities.
type seen map[replica.ID]*replica.Entity

func (s seen) Get(id replica.ID) (*replica.Entity, bool) { e, ok := s[id]; return e, ok }

func (s seen) Each(kind string, fn func(*replica.Entity) bool) {
	for _, e := range s {
		if e.Kind == kind && !fn(e) {
			return
		}
	}
}

func (s seen) DeviceOf(replica.Run) string { return "" }

const lineID, pourID = replica.ID("01HZZZZZZZ0000000000000001"), replica.ID("01HZZZZZZZ0000000000000002")

func at(text string) replica.Stamp { s, _ := replica.ParseStamp(text); return s }

var (
	phone  = at("phone000000.1")
	laptop = at("laptop00000.1")
	tablet = at("tablet00000.1")
)

func entity(id replica.ID, kind string) *replica.Entity {
	return &replica.Entity{ID: id, Kind: kind, Fields: map[string][]replica.Write{}}
}

func price(e *replica.Entity, s replica.Stamp, ms int64, minor int64, currency string) {
	e.Put("price_minor", replica.Write{Stamp: s, At: ms, Value: replica.Int(minor)})
	e.Put("currency", replica.Write{Stamp: s, At: ms, Value: replica.Text(currency)})
}

func refusal(t *testing.T, err error) string {
	t.Helper()
	var r *journal.Refusal
	require.ErrorAs(t, err, &r)
	return r.Code
}

func TestSet(t *testing.T) {
	t.Run("a new entity names nothing", func(t *testing.T) {
		ed, err := schema.Set(seen{}, pourID, "pour", map[string]replica.Value{"note": replica.Text("sharp")})
		require.NoError(t, err)
		require.Equal(t, replica.Edit{ID: pourID, Kind: "pour", Set: map[string]replica.Value{"note": replica.Text("sharp")}}, ed)
	})
	t.Run("a group is set whole", func(t *testing.T) {
		e := entity(lineID, "bottle")
		price(e, phone, 100, 2400, "EUR")
		ed, err := schema.Set(seen{lineID: e}, lineID, "bottle", map[string]replica.Value{"price_minor": replica.Int(2500)})
		require.NoError(t, err)
		require.Equal(t, map[string]replica.Value{"price_minor": replica.Int(2500), "currency": replica.Text("EUR")}, ed.Set)
		require.Equal(t, map[string][]replica.Stamp{"price_minor": {phone}, "currency": {phone}}, ed.Over)
	})
	t.Run("the shown version and its equals are replaced, a rival stays whole", func(t *testing.T) {
		e := entity(lineID, "bottle")
		price(e, phone, 100, 2400, "EUR")
		price(e, laptop, 300, 2600, "EUR") // shown; its currency equals the rival's
		price(e, tablet, 200, 2600, "EUR")
		ed, err := schema.Set(seen{lineID: e}, lineID, "bottle", map[string]replica.Value{"currency": replica.Text("CHF")})
		require.NoError(t, err)
		require.Equal(t, map[string]replica.Value{"price_minor": replica.Int(2600), "currency": replica.Text("CHF")}, ed.Set)
		require.Equal(t, map[string][]replica.Stamp{"price_minor": {laptop, tablet}, "currency": {laptop, tablet}}, ed.Over)
	})
	t.Run("wrong kind", func(t *testing.T) {
		_, err := schema.Set(seen{lineID: entity(lineID, "bottle")}, lineID, "pour", map[string]replica.Value{"note": replica.Null})
		require.Equal(t, "wrong_kind", refusal(t, err))
	})
	t.Run("gone", func(t *testing.T) {
		_, err := schema.Set(seen{}, lineID, "pour", map[string]replica.Value{"gone": replica.Null})
		require.Equal(t, "bad_field", refusal(t, err))
	})
}

func TestChooseAndResolve(t *testing.T) {
	e := entity(lineID, "bottle")
	price(e, phone, 100, 2400, "EUR")
	price(e, laptop, 300, 2600, "USD")
	e.Put("note", replica.Write{Stamp: phone, At: 100, Value: replica.Text("sharp")})
	e.Put("note", replica.Write{Stamp: laptop, At: 300, Value: replica.Text("thin")})
	v := seen{lineID: e}
	all := map[string][]replica.Stamp{"price_minor": {laptop, phone}, "currency": {laptop, phone}}

	t.Run("choose sets the chosen version and names all listed", func(t *testing.T) {
		ed, err := schema.Choose(v, lineID, "price_minor", phone)
		require.NoError(t, err)
		require.Equal(t, map[string]replica.Value{"price_minor": replica.Int(2400), "currency": replica.Text("EUR")}, ed.Set)
		require.Equal(t, all, ed.Over)
	})
	t.Run("what is not listed cannot be chosen", func(t *testing.T) {
		_, err := schema.Choose(v, lineID, "price_minor", tablet)
		require.Equal(t, "not_listed", refusal(t, err))
		_, err = schema.Choose(v, pourID, "note", tablet)
		require.Equal(t, "missing", refusal(t, err))
	})
	t.Run("keep both notes", func(t *testing.T) {
		ed, err := schema.Resolve(v, lineID, "bottle", map[string]replica.Value{"note": replica.Text("sharp; thin")})
		require.NoError(t, err)
		require.Equal(t, map[string]replica.Value{"note": replica.Text("sharp; thin")}, ed.Set)
		require.Equal(t, map[string][]replica.Stamp{"note": {laptop, phone}}, ed.Over)
	})
}

func TestDeleteRestoreErase(t *testing.T) {
	e := entity(pourID, "pour")
	e.Put("note", replica.Write{Stamp: phone, At: 1, Value: replica.Text("sharp")})
	e.Put("note", replica.Write{Stamp: laptop, At: 2, Value: replica.Text("thin")})
	e.Put("made", replica.Write{Stamp: tablet, At: 3, Value: replica.Text("...")})
	v := seen{pourID: e}
	apply := func(s replica.Stamp, ed replica.Edit) {
		for f, stamps := range ed.Over {
			for _, d := range stamps {
				require.True(t, e.Drop(f, d), "it named what is not there")
			}
		}
		for f, value := range ed.Set {
			e.Put(f, replica.Write{Stamp: s, Value: value})
		}
	}

	_, err := schema.Erase(v, pourID)
	require.Equal(t, "not_in_trash", refusal(t, err))

	del, err := schema.Delete(v, pourID)
	require.NoError(t, err)
	list, _ := del.Set["gone"].AsText()
	require.Equal(t, "laptop00000.1 phone000000.1 tablet00000.1", list)
	apply(at("phone000000.2"), del)
	require.Equal(t, replica.Hidden, replica.Deleted(e))

	e.Put(replica.Gone, replica.Write{Stamp: laptop, Value: replica.Text("")}) // deleted on the laptop as well
	back, err := schema.Restore(v, pourID)
	require.NoError(t, err)
	require.Equal(t, []replica.Stamp{laptop, at("phone000000.2")}, back.Over["gone"])
	apply(at("phone000000.3"), back)
	require.Equal(t, replica.NotDeleted, replica.Deleted(e))

	del, err = schema.Delete(v, pourID)
	require.NoError(t, err)
	require.Equal(t, []replica.Stamp{at("phone000000.3")}, del.Over["gone"])
	apply(at("phone000000.4"), del)
	gone, err := schema.Erase(v, pourID)
	require.NoError(t, err)
	require.Empty(t, gone.Set)
	apply(at("phone000000.5"), gone)
	require.True(t, e.Empty())

	t.Run("a list that would be too long is refused", func(t *testing.T) {
		for n := range uint64(700) {
			e.Put("note", replica.Write{Stamp: replica.Stamp{Run: "laptop00000", N: n + 1}, Value: replica.Int(int64(n))})
		}
		_, err := schema.Delete(v, pourID)
		require.Equal(t, "too_many_writes", refusal(t, err))
		require.False(t, strings.Contains(err.Error(), "  "))
	})
}
