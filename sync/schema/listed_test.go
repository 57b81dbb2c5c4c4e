package schema_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

func (b *book) pours(q schema.PoursAsked) obj {
	b.t.Helper()
	var out obj
	require.NoError(b.t, json.Unmarshal(schema.NewReader().Pours(b, b.now, q), &out))
	return out
}

func idsOf(t *testing.T, list obj) (ids []string) {
	for _, p := range list["pours"].([]any) {
		ids = append(ids, dig(t, p, "id").(string))
	}
	return ids
}

func TestPoursAreListed(t *testing.T) {
	b := orchard(t, "phone")
	now := b.now
	var all []string // newest first
	for i := range 7 {
		b.now.MS = now.MS - int64(7-i/2)*1440*minute // two share an instant
		b.do(obj{"do": "plain", "id": newID(40 + i), "name": "cider", "vol_ul": 330_000, "abv_bp": 450})
		all = append([]string{string(newID(40 + i))}, all...)
	}
	b.now = now

	t.Run("all of them, as the journal screen has them", func(t *testing.T) {
		a := b.pours(schema.PoursAsked{})
		require.Equal(t, all, idsOf(t, a))
		require.Nil(t, a["next"])
		require.Equal(t, 7.0, a["total"])
		screen := map[string]any{}
		for _, day := range b.ask(obj{"q": "journal", "days": 30})["days"].([]any) {
			for _, s := range dig(t, day, "sessions").([]any) {
				for _, p := range dig(t, s, "pours").([]any) {
					screen[dig(t, p, "id").(string)] = p
				}
			}
		}
		require.Len(t, screen, 7)
		for _, p := range a["pours"].([]any) {
			require.Equal(t, screen[dig(t, p, "id").(string)], p)
		}
	})
	t.Run("in portions, each once", func(t *testing.T) {
		for limit := 1; limit <= 8; limit++ {
			var got []string
			var after schema.PourPlace
			for range 8 {
				a := b.pours(schema.PoursAsked{Limit: limit, After: after})
				require.LessOrEqual(t, len(idsOf(t, a)), limit)
				got = append(got, idsOf(t, a)...)
				if a["next"] == nil {
					break
				}
				var ok bool
				after, ok = schema.ParsePourPlace(a["next"].(string))
				require.True(t, ok, a["next"])
			}
			require.Equal(t, all, got, limit)
		}
	})
	t.Run("by drinking days back from now", func(t *testing.T) {
		// Seven, six, five and four days ago: the window of five days holds the last alone, of six the last three.
		require.Equal(t, all[:1], idsOf(t, b.pours(schema.PoursAsked{Days: 5})))
		require.Equal(t, all[:3], idsOf(t, b.pours(schema.PoursAsked{Days: 6})))
		require.Empty(t, idsOf(t, b.pours(schema.PoursAsked{Days: 1})))
		a := b.pours(schema.PoursAsked{Days: 6, Limit: 3})
		require.Nil(t, a["next"], "what is outside the days is nothing to go on with")
	})
	t.Run("a place outlives its pour", func(t *testing.T) {
		next := b.pours(schema.PoursAsked{Limit: 3})["next"].(string)
		after, ok := schema.ParsePourPlace(next)
		require.True(t, ok)
		b.do(obj{"do": "delete", "id": all[2]})
		require.Equal(t, all[3:], idsOf(t, b.pours(schema.PoursAsked{After: after})))
	})
}

func TestPourPlaces(t *testing.T) {
	p := schema.PourPlace{AtMS: evening, ID: newID(3)}
	back, ok := schema.ParsePourPlace(p.String())
	require.True(t, ok)
	require.Equal(t, p, back)
	for _, bad := range []string{"", ".", "1", "1.", "1.x", "+1." + string(newID(3)), "01." + string(newID(3)), "1e3." + string(newID(3)), p.String() + " "} {
		_, ok := schema.ParsePourPlace(bad)
		require.False(t, ok, bad)
	}
}

func FuzzPourPlace(f *testing.F) {
	f.Add(schema.PourPlace{AtMS: evening, ID: newID(3)}.String())
	f.Add("-1.set.country")
	f.Fuzz(func(t *testing.T, text string) {
		if p, ok := schema.ParsePourPlace(text); ok {
			require.Equal(t, text, p.String())
		}
	})
}

func TestBalanceOfASpecIsTheScreens(t *testing.T) {
	b := orchard(t, "phone")
	raw, ok := schema.NewReader().Balance(b, sourID)
	require.True(t, ok)
	var got obj
	require.NoError(t, json.Unmarshal(raw, &got))
	screen := b.ask(obj{"q": "spec", "id": sourID})
	for key, value := range got {
		require.Equal(t, screen[key], value, key)
	}
	require.NotNil(t, dig(t, got, "balance", "after", "abv_percent", "v"))
	for _, id := range []replica.ID{"", "x", newID(999), replica.ID(strings.Repeat("Z", 26)), floral} {
		_, ok := schema.NewReader().Balance(b, id)
		require.False(t, ok, id)
	}
}
